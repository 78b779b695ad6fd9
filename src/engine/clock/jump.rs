//! What happened to the clocks between two looks at them.

use jiff::ZonedDateTime;

use crate::live::{Ms, event::Jump};

/// Readings of three clocks and the zone at about the same moment.
#[derive(Clone, Debug, PartialEq)]
pub struct Look {
    /// A clock that counts suspend, in ms.
    pub boot: Ms,
    /// A clock that stops in suspend, in ms.
    pub awake: Ms,
    /// Civil time.
    pub civil: ZonedDateTime,
}

/// A jump of a clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Jumped {
    /// What kind.
    pub kind: Jump,
    /// By how much, in ms. A suspend is positive; a civil clock that was set back is negative.
    pub by: Ms,
}

/// Shorter differences between the two steady clocks are scheduling, not suspend, in ms.
const SUSPEND_FROM: Ms = 500;

/// Smaller differences of the civil clock are not worth a word, in ms. Above this it may drift by one part in a
/// thousand, twice what the kernel slews a clock at most (500 ppm, adjtimex(2)).
const CIVIL_FROM: Ms = 1_000;

/// What happened between two looks. Summer time is no jump: the moment is the same whatever the hour is called.
pub fn between(before: &Look, after: &Look) -> Vec<Jumped> {
    let passed = after.boot - before.boot;
    let asleep = passed - (after.awake - before.awake);
    let civil =
        after.civil.timestamp().as_millisecond() - before.civil.timestamp().as_millisecond();
    let set = civil - passed;
    let moved = zone_moved(before, after);
    let mut jumps = Vec::new();
    if asleep >= SUSPEND_FROM {
        jumps.push(Jumped {
            kind: Jump::Suspend,
            by: asleep,
        });
    }
    let shown = set + moved;
    let worth = CIVIL_FROM + passed.abs() / 1_000;
    if shown.abs() >= worth || moved != 0 {
        jumps.push(Jumped {
            kind: Jump::Civil,
            by: shown,
        });
    }
    jumps
}

/// By how much the clock on the wall moved because the zone is another one, in ms.
fn zone_moved(before: &Look, after: &Look) -> Ms {
    if before.civil.time_zone() == after.civil.time_zone() {
        return 0;
    }
    let moment = after.civil.timestamp();
    let as_before = before.civil.time_zone().to_offset(moment).seconds();
    let seconds = after.civil.offset().seconds() - as_before;
    Ms::from(seconds) * 1_000
}

#[cfg(test)]
mod tests {
    use super::*;

    fn look(boot: Ms, awake: Ms, civil: &str) -> Look {
        Look {
            boot,
            awake,
            civil: civil.parse().unwrap(),
        }
    }

    const HOUR: Ms = 3_600_000;

    fn from(after: Look) -> Vec<(Jump, Ms)> {
        let before = look(1_000, 1_000, "2026-10-24T23:30:00+02:00[Europe/Berlin]");
        let jumps = between(&before, &after).into_iter();
        jumps.map(|jumped| (jumped.kind, jumped.by)).collect()
    }

    #[test]
    fn time_that_passes_is_no_jump() {
        let after = look(
            1_000 + HOUR,
            1_000 + HOUR - 40,
            "2026-10-25T00:30:01+02:00[Europe/Berlin]",
        );
        assert_eq!(from(after), []);
    }

    #[test]
    fn the_end_of_summer_time_is_no_jump() {
        // Berlin's clocks went from 03:00 to 02:00 on 2026-10-25: EU directive 2000/84/EC, last Sunday of October.
        let passed = 1_000 + 4 * HOUR;
        let after = look(passed, passed, "2026-10-25T01:30:00+00:00[UTC]");
        let zone = jiff::tz::TimeZone::get("Europe/Berlin").unwrap();
        let civil = after.civil.with_time_zone(zone);
        assert_eq!(
            civil.to_string(),
            "2026-10-25T02:30:00+01:00[Europe/Berlin]"
        );
        assert_eq!(from(Look { civil, ..after }), []);
    }

    #[test]
    fn a_closed_lid_is_a_suspend() {
        let after = look(
            1_000 + HOUR,
            1_000 + HOUR / 3,
            "2026-10-25T00:30:00+02:00[Europe/Berlin]",
        );
        assert_eq!(from(after), [(Jump::Suspend, HOUR * 2 / 3)]);
    }

    #[test]
    fn a_clock_that_is_set_is_a_step_forwards_or_back() {
        let after = |civil| look(61_000, 61_000, civil);
        let back = after("2026-10-24T23:01:00+02:00[Europe/Berlin]");
        assert_eq!(from(back), [(Jump::Civil, -30 * 60_000)]);
        let on = after("2026-10-24T23:31:02+02:00[Europe/Berlin]");
        assert_eq!(from(on), [(Jump::Civil, 2_000)]);
    }

    #[test]
    fn both_at_once_are_told_apart() {
        let after = look(
            1_000 + HOUR,
            1_000,
            "2026-10-25T00:20:00+02:00[Europe/Berlin]",
        );
        assert_eq!(
            from(after),
            [(Jump::Suspend, HOUR), (Jump::Civil, -600_000)]
        );
    }

    #[test]
    fn another_zone_moves_the_wall_clock() {
        let after = look(61_000, 61_000, "2026-10-24T22:31:00+01:00[Europe/London]");
        assert_eq!(from(after), [(Jump::Civil, -HOUR)]);
    }
}
