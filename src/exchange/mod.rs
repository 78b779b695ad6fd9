//! Recipe import; calendar, Markdown and WebVTT export.
