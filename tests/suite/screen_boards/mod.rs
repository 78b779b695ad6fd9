//! Boards of an invented evening, for the tests of the screen: *Midwinter supper* at its moments.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::too_many_arguments)]

mod calling;
mod parts;
mod pressing;
mod quiet;

use mealtide::live::Board;

pub use calling::{serve, soon, sound_test};
pub use parts::{MIN, at, blank, lanes, planned};
pub use pressing::{busy, cue, middle, turn_down};
pub use quiet::{after, before, before_late, calm};

/// Moments at which something calls that is no step's cue and no oven.
pub fn calling() -> Vec<(&'static str, Board)> {
    vec![
        ("sound_test", sound_test()),
        ("soon", soon()),
        ("serve", serve()),
    ]
}

/// Every moment at which steps are cooked, by its name, in order of time.
pub fn all() -> Vec<(&'static str, Board)> {
    vec![
        ("before", before()),
        ("before_late", before_late()),
        ("middle", middle()),
        ("turn_down", turn_down()),
        ("cue", cue()),
        ("calm", calm()),
        ("busy", busy()),
        ("after", after()),
    ]
}
