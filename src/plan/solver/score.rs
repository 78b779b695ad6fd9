//! What the search minimises.

use super::model::BROKEN;
use crate::plan::cost;
use crate::plan::problem::{Mode, Problem};
use crate::plan::schedule::{Cost, Schedule};

/// Broken `keeps` before the meal first, then the total of the mode.
pub fn objective(problem: &Problem, cost: &Cost) -> i64 {
    let broken = if matches!(problem.mode, Mode::Before) {
        BROKEN * cost.broken
    } else {
        0
    };
    broken + cost::total(problem, cost)
}

/// [`objective`] of a schedule.
pub fn of(problem: &Problem, schedule: &Schedule) -> i64 {
    objective(problem, &cost::cost(problem, schedule))
}
