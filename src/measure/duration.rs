//! Durations as a cook writes them: "8 min", "1 h 15 min", "70 to 90 min", "PT15M".

use serde::{Deserialize, Serialize};

use super::Ratio;

/// A range of durations in seconds, `lo <= hi`; a single duration has `lo == hi`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct DurationRange {
    /// The shortest, in seconds.
    pub lo: Ratio,
    /// The longest, in seconds.
    pub hi: Ratio,
}
