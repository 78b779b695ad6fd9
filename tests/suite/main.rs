//! All integration tests, in one binary.

mod solver;
mod thermometer;
