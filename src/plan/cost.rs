//! What a schedule costs.

use super::{
    problem::{HEATED, Mode, Problem, Tick},
    schedule::{Cost, Schedule},
};

/// A `keeps` of at most this many ticks (30 minutes) counts as one that goes stale.
pub const STALE: Tick = 60;

/// The parts of the cost of a schedule.
pub fn cost(problem: &Problem, schedule: &Schedule) -> Cost {
    let steps = &problem.steps;
    let mut cost = Cost::default();
    for (course, &served) in problem.courses.iter().zip(&schedule.served) {
        // Live, a course may have been served before its promise: no merit, no fault.
        cost.late += i64::from((served - course.promised).max(0));
    }
    let mut followed = vec![false; steps.len()];
    for (follower, step) in steps.iter().enumerate() {
        for &a in &step.after {
            followed[a] = true;
            let Some(keeps) = steps[a].keeps else {
                continue;
            };
            let wait = schedule.starts[follower] - end(problem, schedule, a);
            cost.broken += i64::from((wait - keeps).max(0));
            if keeps <= STALE {
                cost.stale += i64::from(wait.max(0));
            }
        }
    }
    for (a, step) in steps.iter().enumerate() {
        let Some(keeps) = step.keeps.filter(|_| !followed[a]) else {
            continue;
        };
        let service = schedule.served[problem.dishes[step.dish].course];
        let wait = service - end(problem, schedule, a);
        cost.over += i64::from((wait - keeps).max(0));
        if keeps <= STALE {
            cost.stale += i64::from(wait.max(0));
        }
    }
    let first = schedule.starts.iter().min();
    let last = schedule.served.iter().max();
    if let (Some(&first), Some(&last)) = (first, last) {
        cost.span = i64::from(last) - i64::from(first);
    }
    if let Mode::Live { before, heated, .. } = &problem.mode {
        for (i, step) in steps.iter().enumerate() {
            if let (None, Some(Some(before))) = (step.begun, before.get(i)) {
                let later = i64::from(schedule.starts[i] - before);
                cost.moved += later.abs();
                if heated.contains(&i) {
                    cost.moved += HEATED * later.max(0);
                }
            }
        }
    }
    cost
}

/// When a step ends.
pub(super) fn end(problem: &Problem, schedule: &Schedule, step: usize) -> Tick {
    schedule.starts[step] + problem.steps[step].length
}

/// The weighted cost by the weights of the mode. Before the meal `broken` has no weight: it counts ahead of everything.
pub fn total(problem: &Problem, cost: &Cost) -> i64 {
    match problem.mode {
        Mode::Before => 1000 * cost.late + 300 * cost.over + 10 * cost.stale + cost.span,
        Mode::Live { .. } => {
            1000 * cost.late + 50 * cost.broken + 30 * cost.over + cost.stale + cost.moved
        }
    }
}
