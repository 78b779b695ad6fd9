//! Recipe import; calendar, Markdown and WebVTT export.

pub mod ics;
pub mod import;
pub mod webvtt;
