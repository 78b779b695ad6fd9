//! All integration tests, in one binary.

// What can't be set up fails the test.
#![allow(clippy::unwrap_used, clippy::expect_used)]

#[path = "../projects/mod.rs"]
mod projects;

mod adversity;
mod alert;
mod careless;
mod cook;
mod dials;
mod dinner;
mod food_clocks;
mod forecast;
mod fuzz;
mod heated;
mod ics;
mod import;
mod kills;
mod log;
mod measure;
mod menu;
mod needs;
mod plan;
mod psplib;
mod pty;
mod rehearsals;
mod review;
mod safety;
mod screen;
mod screen_any;
mod screen_boards;
mod screen_pty;
mod screen_views;
mod shop;
mod simulation;
mod solver;
mod thermometer;
mod turns_first;
