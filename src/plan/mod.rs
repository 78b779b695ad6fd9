//! The plan: a session as a scheduling problem, solved, checked, explained.
//!
//! Pure: same input, same answer. No clock is read here; whoever has one passes a [`solver::Watch`].

pub mod build;
pub mod cost;
pub mod forecast;
pub mod frame;
pub mod hopeless;
pub mod json;
pub mod knobs;
pub mod live;
pub mod look;
pub mod markdown;
mod oven;
pub mod problem;
pub mod remedies;
pub mod schedule;
pub mod solver;
#[cfg(test)]
mod testing;
pub mod text;
#[cfg(test)]
mod text_tests;
pub mod timeline;
pub mod timetable;
pub mod verify;
pub mod why;

pub use build::{BuildError, Built, Options, build};
pub use frame::{Frame, Part};
