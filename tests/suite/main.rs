//! All integration tests, in one binary.

mod log;
mod solver;
mod thermometer;
