//! The best moments for the order that a schedule has.

use super::flow::{Flow, Outcome};
use super::model::{Arc, BROKEN, Model, Task};
use super::score;
use crate::plan::problem::{Step, Tick};
use crate::plan::schedule::Schedule;

/// Weight of a tick of cost beside a tick by which a hands-on step could be earlier.
const COST: i64 = 1 << 21;
/// Pivots, by size, after which a schedule is left as it is.
const PIVOTS: usize = 60;
/// Pivots between two questions whether to stop.
const CHUNK: usize = 250;
/// Pivots that the last touch of a schedule may take.
const LAST: usize = 3000;

/// Constraints that hold a schedule to its order at everything that cannot be shared.
pub fn order(model: &Model, s: &Schedule) -> Vec<Arc> {
    let at = moments(model, s);
    let mut arcs = Vec::new();
    for pool in &model.pools {
        chains(pool.capacity, &pool.tasks, &at, &mut arcs);
    }
    for (o, oven) in model.problem.ovens.iter().enumerate() {
        let inside: Vec<usize> = model
            .oven_steps
            .iter()
            .copied()
            .filter(|&i| s.ovens[i] == Some(o))
            .collect();
        let mut spans = Vec::new();
        for (x, &i) in inside.iter().enumerate() {
            if !model.fixed[i] {
                arcs.push(Arc::new(model.origin, i, model.pairs.ready(o, i)));
            }
            for &j in &inside[x + 1..] {
                model.pairs.forbidden_into(o, i, j, &mut spans);
                let d = at[j] - at[i];
                for span in &spans {
                    if d >= span.before {
                        arcs.push(Arc::new(i, j, span.before));
                    } else if d <= span.after {
                        arcs.push(Arc::new(j, i, -span.after));
                    }
                }
            }
        }
        let racks = |i: usize| model.problem.steps[i].oven.as_ref().map_or(0, |u| u.racks);
        let task = |&i: &usize| Task {
            begin: i,
            end: i,
            tail: model.problem.steps[i].length,
            demand: racks(i),
            begun: model.fixed[i],
        };
        let tasks: Vec<Task> = inside
            .iter()
            .filter(|&&i| !model.past(i))
            .map(task)
            .collect();
        chains(oven.racks, &tasks, &at, &mut arcs);
    }
    arcs.retain(|a| !model.fixed[a.to]);
    arcs
}

/// Moments of all nodes in a schedule.
pub fn moments(model: &Model, s: &Schedule) -> Vec<Tick> {
    let mut at: Vec<Tick> = s.starts.iter().chain(&s.served).copied().collect();
    at.extend_from_slice(&model.lo[at.len()..]);
    // Begins of holds are as late as the steps after them allow, ends as early as those before.
    for node in model.steps + model.courses..model.nodes {
        if model.fixed[node] {
            continue;
        }
        let after = model
            .arcs
            .iter()
            .filter(|a| a.from == node)
            .map(|a| at[a.to] - a.gap)
            .min();
        let before = model
            .arcs
            .iter()
            .filter(|a| a.to == node)
            .map(|a| at[a.from] + a.gap)
            .max();
        at[node] = before
            .or(after)
            .unwrap_or(at[node])
            .max(if before.is_some() {
                at[node]
            } else {
                Tick::MIN
            });
    }
    at
}

/// Tasks of a pool on its units: each comes after those that had its units before.
pub fn chains(capacity: u32, tasks: &[Task], at: &[Tick], arcs: &mut Vec<Arc>) {
    let total: u64 = tasks.iter().map(|t| u64::from(t.demand)).sum();
    if total <= u64::from(capacity) {
        return;
    }
    let end = |t: &Task| at[t.end] + t.tail;
    let mut order: Vec<usize> = (0..tasks.len()).filter(|&k| tasks[k].demand > 0).collect();
    order.sort_by_key(|&k| (at[tasks[k].begin], end(&tasks[k])));
    // Who had each unit last.
    let mut units: Vec<Option<usize>> = vec![None; capacity as usize];
    for k in order {
        let task = &tasks[k];
        let free_at = |u: &Option<usize>| u.map_or(Tick::MIN, |j| end(&tasks[j]));
        let begin = at[task.begin];
        // Units that came free last, but in time, come first. Where the cook has begun more than there are units for,
        // the one that comes free next is shared.
        units.sort_by_key(|u| {
            let free = i64::from(free_at(u));
            let busy = free > i64::from(begin);
            (busy, if busy { free } else { -free })
        });
        let mut last = None;
        for unit in units.iter_mut().take(task.demand as usize) {
            if let Some(j) = unit.filter(|&j| end(&tasks[j]) <= begin && Some(j) != last) {
                arcs.push(Arc::new(tasks[j].end, task.begin, tasks[j].tail));
                last = Some(j);
            }
            // Shared, it is taken until the last of them ends.
            if free_at(unit) <= end(task) {
                *unit = Some(k);
            }
        }
    }
}

/// The best schedule of the same order; the schedule itself where no better one is found before `stop` says so.
pub fn improve(model: &Model, s: &Schedule, stop: &mut dyn FnMut() -> bool) -> Schedule {
    retimed(model, s, false, PIVOTS * model.nodes + 1000, stop)
}

/// As [`improve`], and hands-on steps as early as that costs nothing, and all steps of a course that is wanted as soon as
/// possible: what is made ahead begins to cool when it is off the heat.
pub fn settle(model: &Model, s: &Schedule) -> Schedule {
    retimed(model, s, true, LAST, &mut || false)
}

fn retimed(
    model: &Model,
    s: &Schedule,
    early: bool,
    pivots: usize,
    stop: &mut dyn FnMut() -> bool,
) -> Schedule {
    let latest: Vec<i64> = model.hi.iter().map(|&h| i64::from(h)).collect();
    let mut flow = Flow::new(model.origin, &latest, model.spread());
    for node in 0..model.nodes {
        flow.hard(model.origin, node, i64::from(model.lo[node]));
    }
    for a in model.arcs.iter().chain(&order(model, s)) {
        flow.hard(a.from, a.to, i64::from(a.gap));
    }
    let at = moments(model, s);
    for soft in &model.softs {
        let a = soft.arc;
        if early && soft.weight == BROKEN {
            // No worse than it is, so that the weights stay within their range.
            let short = (at[a.from] + a.gap - at[a.to]).max(0);
            flow.hard(a.from, a.to, i64::from(a.gap - short));
        } else {
            flow.soft(
                a.from,
                a.to,
                i64::from(a.gap),
                if early {
                    soft.weight * COST
                } else {
                    soft.weight
                },
            );
        }
    }
    if early {
        let problem = model.problem;
        let at_once = |step: &Step| problem.courses[problem.dishes[step.dish].course].promised <= 0;
        for (i, _) in problem
            .steps
            .iter()
            .enumerate()
            .filter(|(i, s)| (s.hands || model.live || at_once(s)) && !model.fixed[*i])
        {
            flow.soft(i, model.origin, -i64::from(model.lo[i]), 1);
        }
    }
    if flow.run_until(pivots, CHUNK, stop) != Outcome::Optimal {
        return s.clone();
    }
    let moment = |n: usize| flow.moment(n) as Tick;
    let better = Schedule {
        starts: (0..model.steps).map(moment).collect(),
        ovens: s.ovens.clone(),
        served: (0..model.courses)
            .map(|k| moment(model.course(k)))
            .collect(),
    };
    if score::of(model.problem, &better) <= score::of(model.problem, s) {
        better
    } else {
        s.clone()
    }
}
