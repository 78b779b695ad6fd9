//! Moments and spans as the screen shows them. Long spans are counted from minute to minute of the wall clock,
//! so that what is shown adds up with the clock beside it and changes with it, once a minute; only the last
//! two minutes run in seconds, all together on the wall clock's second.

use jiff::{SignedDuration, ZonedDateTime};

pub use crate::measure::hours::ClockFormat;

use crate::live::{Board, Ms};

/// A minute.
pub const MINUTE: Ms = 60_000;
/// Spans shorter than this are shown in seconds.
pub const SECONDS_BELOW: Ms = 2 * MINUTE;
/// A countdown below this stands out.
pub const SOON: Ms = MINUTE;

/// The clock of a board: turns session time into what people read.
#[derive(Clone, Copy, Debug)]
pub struct Clock<'a> {
    now: Ms,
    start: Ms,
    civil: &'a ZonedDateTime,
    format: ClockFormat,
    past_minute: Ms,
}

impl<'a> Clock<'a> {
    /// The clock of a board.
    pub fn of(board: &'a Board, format: ClockFormat) -> Self {
        Self::new(board.now, &board.clock, format)
    }

    /// A clock that shows `civil` at session time `now`.
    pub fn new(now: Ms, civil: &'a ZonedDateTime, format: ClockFormat) -> Self {
        let past_second = Ms::from(civil.millisecond());
        let past_minute = Ms::from(civil.second()) * 1000;
        Clock {
            now: now.saturating_sub(past_second),
            start: now,
            civil,
            format,
            past_minute,
        }
    }

    /// Session time at the last full second of the wall clock: what is shown is counted from it.
    pub fn now(&self) -> Ms {
        self.now
    }

    /// Session time at the last full minute of the wall clock.
    pub fn minute(&self) -> Ms {
        self.now.saturating_sub(self.past_minute)
    }

    /// Now, for what is drawn of something due then: to the minute until it is near.
    pub fn drawn(&self, due: Ms) -> Ms {
        if due.saturating_sub(self.now).saturating_abs() < SECONDS_BELOW {
            self.now
        } else {
            self.minute()
        }
    }

    /// A moment on the wall clock; as the session clock has no bounds, "--:--" for what no calendar holds.
    pub fn at(&self, moment: Ms) -> String {
        let span = SignedDuration::from_millis(moment.saturating_sub(self.start));
        match self.civil.checked_add(span) {
            Ok(civil) => self.format.words(civil.time()),
            Err(_) => "--:--".to_owned(),
        }
    }

    /// Columns that a clock time takes at most.
    pub fn columns(&self) -> u16 {
        match self.format {
            ClockFormat::H24 => 5,
            ClockFormat::H12 => 8,
        }
    }

    /// The first moment from `at` on at which the wall clock shows a multiple of `step`, counted from midnight.
    pub fn round_up(&self, at: Ms, step: Ms) -> Ms {
        let span = SignedDuration::from_millis(at.saturating_sub(self.start));
        let Ok(civil) = self.civil.checked_add(span) else {
            return at;
        };
        let seconds = Ms::from(civil.hour()) * 3600
            + Ms::from(civil.minute()) * 60
            + Ms::from(civil.second());
        let past = (seconds * 1000 + Ms::from(civil.millisecond())).rem_euclid(step.max(1));
        if past == 0 {
            at
        } else {
            at.saturating_add(step - past)
        }
    }

    /// How long until a moment: "12 min", "2 h 05", "1:12"; "3 min ago" and "0:40 ago" after it.
    pub fn left(&self, moment: Ms) -> String {
        let left = moment.saturating_sub(self.now);
        if left <= -1000 {
            format!("{} ago", self.span_to(moment))
        } else {
            self.span_to(moment)
        }
    }

    /// As `left`, "in" before: "in 12 min", "now", "3 min ago".
    pub fn within(&self, moment: Ms) -> String {
        let left = moment.saturating_sub(self.now);
        if left.saturating_abs() < 1000 {
            "now".to_owned()
        } else if left > 0 {
            format!("in {}", self.left(moment))
        } else {
            self.left(moment)
        }
    }

    /// As `left`, for what should be over: "3 min over".
    pub fn over(&self, moment: Ms) -> String {
        if moment.saturating_sub(self.now) <= -1000 {
            format!("{} over", self.span_to(moment))
        } else {
            self.span_to(moment)
        }
    }

    fn span_to(&self, moment: Ms) -> String {
        let left = moment.saturating_sub(self.now);
        if left.saturating_abs() < SECONDS_BELOW {
            // A countdown shows the second that runs: 0:01 until it is over.
            let seconds = if left > 0 {
                left.saturating_add(999) / 1000
            } else {
                -left / 1000
            };
            return format!("{}:{:02}", seconds / 60, seconds % 60);
        }
        let minutes = moment
            .saturating_sub(self.minute())
            .div_euclid(MINUTE)
            .saturating_abs();
        minutes_words(minutes)
    }

    /// The next moment at which what is shown of this moment may read otherwise.
    pub fn changes(&self, moment: Ms) -> Ms {
        let left = moment.saturating_sub(self.now);
        let second = self.now.saturating_add(1000);
        if left.saturating_abs() < SECONDS_BELOW {
            return second;
        }
        let minute = self.minute().saturating_add(MINUTE);
        if left > 0 {
            let ahead = (left - SECONDS_BELOW) / 1000 * 1000;
            minute.min(second.saturating_add(ahead))
        } else {
            minute
        }
    }
}

/// "12 min", "1 h 05", "26 h": from an hour on in hours, wherever a length is told.
pub fn minutes_words(minutes: i64) -> String {
    match minutes {
        ..60 => format!("{minutes} min"),
        60..6000 => format!("{} h {:02}", minutes / 60, minutes % 60),
        _ => format!("{} h", minutes / 60),
    }
}

/// A length of time, to the minute, below two minutes to the second: "45 s", "8 min", "1 h 40".
pub fn length_words(length: Ms) -> String {
    let length = length.max(0);
    if length < SECONDS_BELOW && length % MINUTE != 0 {
        format!("{} s", length / 1000)
    } else {
        minutes_words(length.saturating_add(MINUTE / 2) / MINUTE)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn civil(text: &str) -> ZonedDateTime {
        text.parse().unwrap()
    }

    #[test]
    fn spans_add_up_with_the_clock_beside_them() {
        let civil = civil("2026-12-21T18:53:40[UTC]");
        let clock = Clock::new(0, &civil, ClockFormat::H24);
        let due = 11 * MINUTE + 25_000;
        assert_eq!(clock.at(due), "19:05");
        assert_eq!(clock.left(due), "12 min");
        assert_eq!(clock.at(0), "18:53");
    }

    #[test]
    fn the_last_two_minutes_run_in_seconds_and_go_on_after() {
        let civil = civil("2026-12-21T18:53:40[UTC]");
        let clock = Clock::new(0, &civil, ClockFormat::H12);
        assert_eq!(clock.left(119_999), "2:00");
        assert_eq!(clock.left(71_500), "1:12");
        assert_eq!(clock.left(71_000), "1:11");
        assert_eq!(clock.left(0), "0:00");
        assert_eq!(clock.over(-40_000), "0:40 over");
        assert_eq!(clock.within(-200_000), "3 min ago");
        assert_eq!(clock.at(20 * MINUTE), "7:13 pm");
    }

    #[test]
    fn what_is_shown_changes_exactly_when_said() {
        let start = civil("2026-12-21T18:53:40.250[UTC]");
        let shown = |now: Ms, due: Ms| {
            let civil = start.checked_add(SignedDuration::from_millis(now)).unwrap();
            Clock::new(now, &civil, ClockFormat::H24).left(due)
        };
        for due in [0, 7_777, 90_000, 150_000, 10 * MINUTE + 1] {
            let mut now = 0;
            while now < due + 5 * MINUTE {
                let civil = start.checked_add(SignedDuration::from_millis(now)).unwrap();
                let next = Clock::new(now, &civil, ClockFormat::H24).changes(due);
                assert!(next > now);
                for between in [now + 1, (now + next) / 2, next - 1] {
                    if between > now && between < next {
                        assert_eq!(
                            shown(between, due),
                            shown(now, due),
                            "{now} {between} {due}"
                        );
                    }
                }
                now = next;
            }
        }
    }

    /// Central Europe, 2026-10-25: at 3:00 summer time the clock goes back to 2:00 (IANA tz, Europe/Berlin).
    #[test]
    fn the_wall_clock_follows_the_change_of_summer_time() {
        let civil = civil("2026-10-25T02:50:00+02:00[Europe/Berlin]");
        let clock = Clock::new(0, &civil, ClockFormat::H24);
        assert_eq!(clock.at(20 * MINUTE), "02:10");
        assert_eq!(clock.left(20 * MINUTE), "20 min");
    }
}
