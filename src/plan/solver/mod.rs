//! The engine that finds schedules, behind one trait.
//!
//! A first schedule comes from list generation, backward from the moments of service.

mod bounds;
mod first;
mod flow;
mod generate;
mod learn;
mod model;
mod neighbourhood;
mod ovens;
mod profile;
mod ruin;
mod score;
mod search;
mod timing;
mod waits;

pub use search::Search;

use super::{
    problem::Problem,
    schedule::{Cost, Schedule},
};

/// The best schedule so far, and what is known about better ones.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    /// Correct by every hard rule, but for the `keeps` that are counted in `cost.broken`.
    pub schedule: Schedule,
    /// Its cost, part by part.
    pub cost: Cost,
    /// The weighted cost of the mode of the problem.
    pub total: i64,
    /// No correct schedule costs less than this.
    pub bound: i64,
    /// No correct schedule has less of each part, whatever it spends on the others; 0 where nothing is known.
    pub least: Cost,
    /// `keeps` between steps had to be broken because no schedule keeps them all.
    pub relaxed: bool,
}

impl Solution {
    /// Nothing better exists.
    pub fn proven(&self) -> bool {
        self.bound >= self.total
    }
}

/// What the caller tells a running search, and hears from it.
pub trait Watch {
    /// Asked often (every few hundred microseconds at most); `true` ends the search with what it has.
    fn stop(&mut self) -> bool;
    /// A better schedule or a better bound was found.
    fn improved(&mut self, _: &Solution) {}
}

/// Why there is no schedule at all.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Unsolvable {
    /// A step needs more of a thing than exists.
    #[error("step {step} needs more than the kitchen has")]
    TooMuch {
        /// Index of the step.
        step: usize,
    },
    /// Dishes hold cookware that others of them wait for, in any order.
    #[error("step {step} waits for cookware that is held by a dish which waits for that of others")]
    Crosswise {
        /// Index of the first step that waits.
        step: usize,
    },
}

/// A solver of kitchen problems.
pub trait Engine {
    /// Searches until proof or until `watch` says stop; `hint` is a schedule to begin from.
    /// Whatever `watch` says, a first correct schedule is always found and returned.
    ///
    /// # Errors
    /// When no schedule exists even with every `keeps` broken.
    fn solve(
        &mut self,
        problem: &Problem,
        hint: Option<&Schedule>,
        watch: &mut dyn Watch,
    ) -> Result<Solution, Unsolvable>;
}
