//! The notes of the three priorities.

use crate::live::Priority;
pub use crate::menu::sounds::{Notes, Pattern};

impl Notes {
    /// The pattern of a priority.
    pub fn of(&self, priority: Priority) -> &Pattern {
        match priority {
            Priority::Low => &self.low,
            Priority::Medium => &self.medium,
            Priority::High => &self.high,
        }
    }
}
