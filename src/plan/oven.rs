//! The arithmetic of ovens: what two settings have in common, and how long it takes from one to the other.

use super::problem::{Oven, Tick};
use crate::measure::{Ratio, temperature::Accepts};

/// The span that a setting means in an oven, in C: "off" is its room temperature.
pub(super) fn span(oven: &Oven, accepts: &Accepts) -> (Ratio, Ratio) {
    match *accepts {
        Accepts::Span { lo, hi } => (lo, hi),
        Accepts::Off => (oven.room, oven.room),
    }
}

/// Whether one temperature of the oven satisfies both settings. "Off" meets only "off".
pub(super) fn meet(a: &Accepts, b: &Accepts) -> bool {
    match (a, b) {
        (Accepts::Off, Accepts::Off) => true,
        (Accepts::Span { lo: a, hi: b }, Accepts::Span { lo: c, hi: d }) => a <= d && c <= b,
        _ => false,
    }
}

/// Ticks, rounded up, that an oven needs from a setting that has ended to one that begins, if they do not meet.
pub(super) fn change(oven: &Oven, from: &Accepts, to: &Accepts) -> Tick {
    let ((lo, hi), (next_lo, next_hi)) = (span(oven, from), span(oven, to));
    if next_lo > hi {
        ticks(next_lo - hi, oven.heats)
    } else if next_hi < lo {
        ticks(lo - next_hi, oven.cools)
    } else {
        0
    }
}

/// Ticks, rounded up, for `distance` C at `rate` C per minute.
pub(super) fn ticks(distance: Ratio, rate: Ratio) -> Tick {
    if rate <= Ratio::from_integer(0) {
        return Tick::MAX / 4;
    }
    let ticks = (distance * Ratio::from_integer(2) / rate)
        .ceil()
        .to_integer();
    Tick::try_from(ticks).unwrap_or(Tick::MAX / 4)
}
