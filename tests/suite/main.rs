//! All integration tests, in one binary.

#[cfg(target_os = "linux")]
mod alert;
mod fuzz;
mod ics;
mod import;
mod log;
mod measure;
mod plan;
mod menu;
mod review;
mod safety;
mod shop;
mod screen;
mod screen_any;
mod screen_boards;
mod screen_views;
mod solver;
mod thermometer;
