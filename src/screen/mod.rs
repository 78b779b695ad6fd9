//! The terminal: one file per pane, theme, keys. Draws a state, never changes it.
