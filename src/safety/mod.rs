//! Temperatures, cooling, allergens, cautions. Tables in `assets/safety`, each row with its source.
//!
//! [`lint()`] reads a session and says what could make somebody ill or hurt; [`cautions_for_step`] gives the
//! short sentences of the live screen; [`clocks`]
//! gives the deadlines that food out of the heat starts; [`heat`] is the physics; [`thermometer`] says when a core will be there. Nothing here reads a clock or a file.

mod cautions;
pub mod clocks;
mod foods;
pub mod heat;
mod limit;
mod lint;
mod source;
pub mod tables;
pub mod thermometer;
mod words;

pub use cautions::{Caution, cautions_for_step};
pub use foods::{Food, Foods};
pub use limit::{Limit, Unit};
pub use lint::{Finding, Severity, lint};
pub use source::{Read, Source};
pub use tables::Tables;

/// What this room is for, and what it is not.
pub const DISCLAIMER: &str =
    "These checks support local rules and licensed practice; they do not replace them.";
