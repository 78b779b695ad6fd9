//! An answer to a [`Problem`](super::problem::Problem): when each step starts, in which oven, when each course is served.

use super::problem::Tick;

/// A complete timetable.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Schedule {
    /// Start of each step.
    pub starts: Vec<Tick>,
    /// Oven of each oven step.
    pub ovens: Vec<Option<usize>>,
    /// When each course is served.
    pub served: Vec<Tick>,
}

/// What a schedule costs, in ticks, part by part.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Cost {
    /// Sum over courses: served - promised.
    pub late: i64,
    /// Sum over pairs of a step with `keeps` and a follower: what the wait exceeds `keeps` by.
    pub broken: i64,
    /// Sum over steps with `keeps` that nothing follows: what the wait until service exceeds `keeps` by.
    pub over: i64,
    /// Sum of the waits of steps whose `keeps` is 30 minutes or less.
    pub stale: i64,
    /// Last service - first start.
    pub span: i64,
    /// Live: sum over steps not yet begun of |start - start before|.
    pub moved: i64,
}
