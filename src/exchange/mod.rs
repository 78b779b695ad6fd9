//! Recipe import; calendar, Markdown and WebVTT export.

pub mod import;
