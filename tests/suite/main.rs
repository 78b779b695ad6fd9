//! All integration tests, in one binary.

mod fuzz;
mod log;
mod import;
mod solver;
mod safety;
mod thermometer;
