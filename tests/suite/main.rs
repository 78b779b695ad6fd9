//! All integration tests, in one binary.

mod alert;
mod fuzz;
mod ics;
mod import;
mod kills;
mod log;
mod measure;
mod menu;
mod plan;
mod review;
mod safety;
mod screen;
mod screen_any;
mod screen_boards;
mod screen_views;
mod shop;
mod solver;
mod thermometer;
