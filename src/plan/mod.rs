//! The plan: a session as a scheduling problem, solved, checked, explained.
//!
//! Pure: same input, same answer. No clock is read here; whoever has one passes a [`solver::Watch`].

pub mod problem;
pub mod schedule;
pub mod solver;
