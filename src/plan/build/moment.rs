//! When a meal is served and when cooking may begin, by the clock on the wall.

use jiff::{
    ZonedDateTime,
    civil::{Date, Time},
    tz::{AmbiguousOffset, TimeZone},
};

use crate::menu::Moment;

/// The moment of service: as dated, or the next time after `now` that the clock shows it.
pub(super) fn serve(written: Moment, now: &ZonedDateTime) -> Option<ZonedDateTime> {
    let zone = now.time_zone();
    match written {
        Moment::At(at) => zone.to_zoned_datetime(at).ok(),
        Moment::Clock(time) => {
            let mut day = now.date();
            // Three days: the clock may skip the time today and tomorrow at most.
            for _ in 0..3 {
                if let Some(found) = shown(day, time, zone).into_iter().find(|z| z > now) {
                    return Some(found);
                }
                day = day.tomorrow().ok()?;
            }
            None
        }
    }
}

/// The moment before which nobody cooks: as dated, or the last time before `serve` that the clock shows it.
pub(super) fn start(written: Moment, serve: &ZonedDateTime) -> Option<ZonedDateTime> {
    let zone = serve.time_zone();
    match written {
        Moment::At(at) => zone.to_zoned_datetime(at).ok(),
        Moment::Clock(time) => {
            let mut day = serve.date();
            for _ in 0..3 {
                let before = shown(day, time, zone).into_iter().rev().find(|z| z < serve);
                if before.is_some() {
                    return before;
                }
                day = day.yesterday().ok()?;
            }
            None
        }
    }
}

/// The moments of a day at which the clock shows a time, in order: two in the hour that is repeated when summer
/// time ends. In the hour that is skipped when it begins, the one as late as if it had not been.
fn shown(day: Date, time: Time, zone: &TimeZone) -> Vec<ZonedDateTime> {
    let ambiguous = zone.to_ambiguous_zoned_datetime(day.to_datetime(time));
    if matches!(ambiguous.offset(), AmbiguousOffset::Fold { .. }) {
        let both = [ambiguous.clone().earlier(), ambiguous.later()];
        both.into_iter().flatten().collect()
    } else {
        ambiguous.compatible().into_iter().collect()
    }
}
