//! All integration tests, in one binary.

#[cfg(target_os = "linux")]
mod alert;
mod fuzz;
mod ics;
mod import;
mod log;
mod menu;
mod measure;
mod plan;
mod safety;
mod shop;
mod solver;
mod thermometer;
