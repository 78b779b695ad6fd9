//! What a schedule costs, part by part.

use crate::plan::problem::{Mode, Problem, Tick};
use crate::plan::schedule::{Cost, Schedule};

/// `keeps` up to this are of things that are best at once: 30 minutes.
pub const SHORT: Tick = 60;

/// Counts the parts of the cost of a schedule.
pub fn cost(problem: &Problem, schedule: &Schedule) -> Cost {
    let mut cost = Cost::default();
    let wait = |from: Tick, to: Tick| i64::from((to - from).max(0));
    for (course, &served) in problem.courses.iter().zip(&schedule.served) {
        cost.late += wait(course.promised, served);
    }
    let mut followed = vec![false; problem.steps.len()];
    for (i, step) in problem.steps.iter().enumerate() {
        for &a in &step.after {
            followed[a] = true;
            let before = &problem.steps[a];
            if let Some(keeps) = before.keeps {
                let waits = wait(schedule.starts[a] + before.length, schedule.starts[i]);
                cost.broken += (waits - i64::from(keeps)).max(0);
                cost.stale += if keeps <= SHORT { waits } else { 0 };
            }
        }
    }
    for (i, step) in problem.steps.iter().enumerate() {
        if let (Some(keeps), false) = (step.keeps, followed[i]) {
            let served = schedule.served[problem.dishes[step.dish].course];
            let waits = wait(schedule.starts[i] + step.length, served);
            cost.over += (waits - i64::from(keeps)).max(0);
            cost.stale += if keeps <= SHORT { waits } else { 0 };
        }
    }
    match &problem.mode {
        Mode::Before => {
            if let (Some(&last), Some(&first)) =
                (schedule.served.last(), schedule.starts.iter().min())
            {
                cost.span = wait(first, last);
            }
        }
        Mode::Live { before, .. } => {
            for (i, at) in before.iter().enumerate().take(problem.steps.len()) {
                if let (Some(at), None) = (at, problem.steps[i].begun) {
                    cost.moved += i64::from((schedule.starts[i] - at).abs());
                }
            }
        }
    }
    cost
}

/// The weighted sum of the mode.
pub fn total(problem: &Problem, cost: &Cost) -> i64 {
    match problem.mode {
        Mode::Before => 1000 * cost.late + 300 * cost.over + 10 * cost.stale + cost.span,
        Mode::Live { .. } => {
            1000 * cost.late + 50 * cost.broken + 30 * cost.over + cost.stale + cost.moved
        }
    }
}

/// What the search minimises: broken `keeps` before the meal first, then the total.
pub fn objective(problem: &Problem, cost: &Cost) -> i64 {
    match problem.mode {
        Mode::Before => super::model::BROKEN * cost.broken + total(problem, cost),
        Mode::Live { .. } => total(problem, cost),
    }
}
