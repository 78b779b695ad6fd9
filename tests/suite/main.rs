//! All integration tests, in one binary.

mod fuzz;
mod import;
mod log;
mod solver;
mod safety;
mod thermometer;
