//! All integration tests, in one binary.

mod fuzz;
mod log;
mod solver;
mod safety;
mod thermometer;
