//! What holds a step in its place, with everything else where it is.

use crate::plan::{
    cost::end,
    oven::{change, meet, span, ticks},
    problem::{Mode, Problem, Tick},
    schedule::Schedule,
    verify::verify,
};

/// Which way a step would move.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// Towards service.
    Later,
    /// Towards the begin.
    Earlier,
}

/// One thing that keeps a step from moving by a tick.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tie {
    /// Of what kind.
    pub what: What,
    /// With whom.
    pub with: Tied,
}

/// Whom a step is tied to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tied {
    /// Another step.
    Step(usize),
    /// The service of a course.
    Course(usize),
    /// The begin of the plan, or now.
    Start,
    /// The oven, which is cold.
    HeatUp,
}

/// What ties a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// One comes after the other.
    Order,
    /// One keeps only for so many ticks.
    Keeps(Tick),
    /// Its dish is served.
    Service,
    /// Hands.
    Cook,
    /// A burner.
    Burner,
    /// Cookware, by index.
    Ware(usize),
    /// Room in the oven.
    Racks,
    /// The time an oven needs for another temperature.
    Heat,
    /// The begin.
    Begin,
}

/// A slack of this many ticks (two hours) or more is not counted out.
pub(super) const FAR: Tick = 240;

/// Everything that keeps `step` from moving by a tick, what says most first.
pub fn ties(problem: &Problem, schedule: &Schedule, step: usize, direction: Direction) -> Vec<Tie> {
    let mut found = Vec::new();
    order(problem, schedule, step, direction, &mut found);
    heat(problem, schedule, step, direction, &mut found);
    sharing(problem, schedule, step, direction, &mut found);
    found
}

/// By how many ticks a step could move with everything else where it is; at most [`FAR`].
pub(super) fn slack(
    problem: &Problem,
    schedule: &Schedule,
    step: usize,
    direction: Direction,
) -> Tick {
    let mut moved = schedule.clone();
    // Rules broken from the start (a relaxed plan) are not the step's.
    let before = verify(problem, schedule).len();
    for by in 1..=FAR {
        moved.starts[step] = schedule.starts[step]
            + if direction == Direction::Later {
                by
            } else {
                -by
            };
        if verify(problem, &moved).len() > before {
            return by - 1;
        }
    }
    FAR
}

fn order(
    problem: &Problem,
    schedule: &Schedule,
    i: usize,
    direction: Direction,
    found: &mut Vec<Tie>,
) {
    let step = &problem.steps[i];
    let followers = || (0..problem.steps.len()).filter(|&f| problem.steps[f].after.contains(&i));
    match direction {
        Direction::Later => {
            let course = problem.dishes[step.dish].course;
            if schedule.served[course] == end(problem, schedule, i) {
                found.push(Tie {
                    what: What::Service,
                    with: Tied::Course(course),
                });
            }
            for f in followers().filter(|&f| schedule.starts[f] == end(problem, schedule, i)) {
                found.push(Tie {
                    what: What::Order,
                    with: Tied::Step(f),
                });
            }
            for &p in &step.after {
                if let Some(keeps) = problem.steps[p].keeps
                    && schedule.starts[i] - end(problem, schedule, p) >= keeps
                {
                    found.push(Tie {
                        what: What::Keeps(keeps),
                        with: Tied::Step(p),
                    });
                }
            }
        }
        Direction::Earlier => {
            for &p in step
                .after
                .iter()
                .filter(|&&p| end(problem, schedule, p) == schedule.starts[i])
            {
                found.push(Tie {
                    what: What::Order,
                    with: Tied::Step(p),
                });
            }
            if let Some(keeps) = step.keeps {
                for f in
                    followers().filter(|&f| schedule.starts[f] - end(problem, schedule, i) >= keeps)
                {
                    found.push(Tie {
                        what: What::Keeps(keeps),
                        with: Tied::Step(f),
                    });
                }
            }
            let open = match problem.mode {
                Mode::Before => 0,
                Mode::Live { now, .. } => now,
            };
            if schedule.starts[i] <= open {
                found.push(Tie {
                    what: What::Begin,
                    with: Tied::Start,
                });
            }
        }
    }
}

fn heat(
    problem: &Problem,
    schedule: &Schedule,
    i: usize,
    direction: Direction,
    found: &mut Vec<Tie>,
) {
    let (Some(need), Some(o)) = (&problem.steps[i].oven, schedule.ovens[i]) else {
        return;
    };
    let oven = &problem.ovens[o];
    let shift = if direction == Direction::Later { 1 } else { -1 };
    for (j, other) in problem.steps.iter().enumerate() {
        let Some(theirs) = other
            .oven
            .as_ref()
            .filter(|_| j != i && schedule.ovens[j] == Some(o))
        else {
            continue;
        };
        let clash = need.segments.iter().any(|a| {
            theirs.segments.iter().any(|b| {
                let (from, to) = (
                    schedule.starts[i] + shift + a.from,
                    schedule.starts[i] + shift + a.to,
                );
                let (start, end) = (schedule.starts[j] + b.from, schedule.starts[j] + b.to);
                let (there, back) = (
                    change(oven, &a.accepts, &b.accepts),
                    change(oven, &b.accepts, &a.accepts),
                );
                !meet(&a.accepts, &b.accepts) && start < to + there && from < end + back
            })
        });
        if clash {
            found.push(Tie {
                what: What::Heat,
                with: Tied::Step(j),
            });
        }
    }
    if let (Direction::Earlier, Some(first)) = (direction, need.segments.first()) {
        let (lo, _) = span(oven, &first.accepts);
        if lo > oven.temperature
            && schedule.starts[i] <= oven.from + ticks(lo - oven.temperature, oven.heats)
        {
            found.push(Tie {
                what: What::Begin,
                with: Tied::HeatUp,
            });
        }
    }
}

/// Cooks, burners, cookware and racks: whoever has them at the tick that the step would move into.
fn sharing(
    problem: &Problem,
    schedule: &Schedule,
    i: usize,
    direction: Direction,
    found: &mut Vec<Tie>,
) {
    let mut moved = schedule.clone();
    moved.starts[i] += if direction == Direction::Later { 1 } else { -1 };
    let rules: Vec<u8> = verify(problem, &moved).iter().map(|v| v.rule).collect();
    let tick = match direction {
        Direction::Later => end(problem, schedule, i),
        Direction::Earlier => schedule.starts[i] - 1,
    };
    let runs = |j: usize| j != i && schedule.starts[j] <= tick && tick < end(problem, schedule, j);
    // The neighbour in time says most: who begins where this one ends, or ends where it begins.
    let near = |j: usize| match direction {
        Direction::Later => tick - schedule.starts[j],
        Direction::Earlier => end(problem, schedule, j) - 1 - tick,
    };
    let nearest = |which: &dyn Fn(usize) -> bool| {
        (0..problem.steps.len())
            .filter(|&j| runs(j) && which(j))
            .min_by_key(|&j| near(j))
    };
    let step = &problem.steps[i];
    if rules.contains(&3) && step.hands {
        let serving = (0..problem.courses.len()).find(|&k| {
            (schedule.served[k]..schedule.served[k] + problem.courses[k].plating).contains(&tick)
        });
        let with = nearest(&|j| problem.steps[j].hands).map(Tied::Step);
        found.extend(with.or(serving.map(Tied::Course)).map(|with| Tie {
            what: What::Cook,
            with,
        }));
    }
    if rules.contains(&4) && step.burners > 0 {
        let with = nearest(&|j| problem.steps[j].burners > 0);
        found.extend(with.map(|j| Tie {
            what: What::Burner,
            with: Tied::Step(j),
        }));
    }
    if rules.contains(&5) {
        wares(problem, schedule, i, tick, direction, found);
    }
    if rules.contains(&6) {
        let same =
            |j: usize| problem.steps[j].oven.is_some() && schedule.ovens[j] == schedule.ovens[i];
        let with = nearest(&same).filter(|&j| !found.iter().any(|t| t.with == Tied::Step(j)));
        found.extend(with.map(|j| Tie {
            what: What::Racks,
            with: Tied::Step(j),
        }));
    }
}

fn wares(
    problem: &Problem,
    schedule: &Schedule,
    i: usize,
    tick: Tick,
    direction: Direction,
    found: &mut Vec<Tie>,
) {
    let mine = problem.dishes[problem.steps[i].dish]
        .holds
        .iter()
        .filter(|h| h.steps.contains(&i));
    for hold in mine {
        let others = problem
            .dishes
            .iter()
            .flat_map(|d| &d.holds)
            .filter(|h| h.ware == hold.ware && *h != hold);
        for other in others {
            let first = other
                .steps
                .iter()
                .copied()
                .min_by_key(|&s| schedule.starts[s]);
            let last = other
                .steps
                .iter()
                .copied()
                .max_by_key(|&s| end(problem, schedule, s));
            let (Some(first), Some(last)) = (first, last) else {
                continue;
            };
            if schedule.starts[first] <= tick && tick < end(problem, schedule, last) {
                let with = if direction == Direction::Later {
                    first
                } else {
                    last
                };
                found.push(Tie {
                    what: What::Ware(hold.ware),
                    with: Tied::Step(with),
                });
                break;
            }
        }
    }
}
