//! Mealtide plans a dinner of several courses, proven best, and runs it live in the terminal.
//!
//! The rooms, from top to bottom; each imports only rooms below it:
//! [`commands`], [`screen`], [`alert`], [`engine`], [`log`], [`live`], [`plan`], [`safety`], [`menu`],
//! [`exchange`], [`measure`].

pub mod alert;
pub mod commands;
pub mod engine;
pub mod exchange;
pub mod live;
pub mod log;
pub mod measure;
pub mod menu;
pub mod plan;
pub mod safety;
pub mod screen;
