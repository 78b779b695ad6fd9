//! Rules 6 and 7: what the oven must be, and the time it takes to get there.

use super::Findings;
use crate::plan::{
    oven::{change, meet, span, ticks},
    problem::{Mode, Problem, Segment, Tick},
    schedule::Schedule,
};

/// A segment at its place in time.
struct Placed<'a> {
    step: usize,
    from: Tick,
    to: Tick,
    segment: &'a Segment,
    begun: bool,
}

pub(super) fn check(problem: &Problem, schedule: &Schedule, found: &mut Findings) {
    for o in 0..problem.ovens.len() {
        let placed = placed(problem, schedule, o);
        for (n, a) in placed.iter().enumerate() {
            for b in &placed[n + 1..] {
                if a.step != b.step && !(a.begun && b.begun) {
                    pair(problem, o, a, b, found);
                }
            }
        }
        reach(problem, schedule, o, found);
    }
}

fn placed<'a>(problem: &'a Problem, schedule: &Schedule, oven: usize) -> Vec<Placed<'a>> {
    let mut placed = Vec::new();
    for (i, step) in problem.steps.iter().enumerate() {
        let Some(need) = step
            .oven
            .as_ref()
            .filter(|_| schedule.ovens[i] == Some(oven))
        else {
            continue;
        };
        let start = schedule.starts[i];
        placed.extend(need.segments.iter().map(|segment| Placed {
            step: i,
            from: start + segment.from,
            to: start + segment.to,
            segment,
            begun: step.begun.is_some(),
        }));
    }
    placed
}

fn pair(problem: &Problem, o: usize, a: &Placed, b: &Placed, found: &mut Findings) {
    let oven = &problem.ovens[o];
    let (x, y) = (&a.segment.accepts, &b.segment.accepts);
    if meet(x, y) {
        return;
    }
    let (there, back) = (change(oven, x, y), change(oven, y, x));
    if b.from >= a.to + there || a.from >= b.to + back {
        return;
    }
    let words = format!(
        "in oven {o}, step {} from {} to {} and step {} from {} to {} have no temperature in common",
        a.step, a.from, a.to, b.step, b.from, b.to,
    );
    if a.from < b.to && b.from < a.to {
        found.add(6, words);
    } else {
        let needed = if a.to <= b.from { there } else { back };
        found.add(7, format!("{words}, and the change takes {needed} ticks"));
    }
}

/// An oven is lit no sooner than it is free to: a step finds it at its temperature only after it has had time.
fn reach(problem: &Problem, schedule: &Schedule, o: usize, found: &mut Findings) {
    let oven = &problem.ovens[o];
    for (i, step) in problem.steps.iter().enumerate() {
        let Some(need) = step.oven.as_ref().filter(|_| schedule.ovens[i] == Some(o)) else {
            continue;
        };
        let Some(first) = need.segments.first().filter(|_| step.begun.is_none()) else {
            continue;
        };
        let (lo, hi) = span(oven, &first.accepts);
        let known = oven.temperature;
        let needed = if lo > known {
            ticks(lo - known, oven.heats)
        } else if hi < known && matches!(problem.mode, Mode::Live { .. }) {
            ticks(known - hi, oven.cools)
        } else {
            0
        };
        if schedule.starts[i] < oven.from + needed {
            found.add(
                7,
                format!(
                    "step {i} starts at {}, but oven {o} is ready at {} at the soonest",
                    schedule.starts[i],
                    oven.from + needed,
                ),
            );
        }
    }
}
