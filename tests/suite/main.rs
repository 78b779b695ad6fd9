//! All integration tests, in one binary.

mod fuzz;
mod ics;
mod import;
mod log;
mod safety;
mod solver;
mod thermometer;
