//! Where a value comes from, and how it was read.

use std::fmt;

use serde::{Deserialize, Serialize};

/// How a row was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Read {
    /// In the primary document, or the authority's own page or data.
    Primary,
    /// In a copy, an adopting regulation, a restatement or a digest.
    Copy,
    /// Computed from a stated formula.
    Computed,
    /// Not read: from memory, or common practice. Never shown as sourced.
    Memory,
}

/// The origin of a value.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Source {
    /// The authority: "USDA FSIS".
    pub source: String,
    /// The part of it.
    pub section: String,
    /// Year of issue; "undated" where none is printed.
    pub year: String,
    /// How it was read.
    pub read: Read,
}

impl Source {
    /// A rule of the trade for which no source was read.
    #[must_use]
    pub fn practice() -> Self {
        Self {
            source: "common practice".into(),
            section: String::new(),
            year: "undated".into(),
            read: Read::Memory,
        }
    }
}

impl fmt::Display for Source {
    /// As a reader sees it; what was not read names nobody.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.read == Read::Memory {
            return f.write_str("common practice, no source read");
        }
        f.write_str(&self.source)?;
        if self.year != "undated" {
            write!(f, " {}", self.year)?;
        }
        if !self.section.is_empty() {
            write!(f, ", {}", self.section)?;
        }
        match self.read {
            Read::Copy => f.write_str(" (read in a copy)"),
            Read::Computed => f.write_str(" (computed)"),
            Read::Primary | Read::Memory => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_not_read_names_nobody() {
        let unread = Source {
            source: "Somebody".into(),
            section: "1".into(),
            year: "2022".into(),
            read: Read::Memory,
        };
        assert_eq!(unread.to_string(), "common practice, no source read");
        let copy = Source {
            read: Read::Copy,
            ..unread
        };
        assert_eq!(copy.to_string(), "Somebody 2022, 1 (read in a copy)");
    }
}
