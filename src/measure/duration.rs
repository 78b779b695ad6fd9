//! Durations as a cook writes them: "8 min", "1 h 15 min", "70 to 90 min", "half an hour", "PT15M".
//!
//! Read exactly, in seconds, and printed for people. A range is two durations with "to" or a dash between;
//! the first may leave its unit to the second.

use std::{fmt, str::FromStr};

use num_traits::Zero;
use serde::{Deserialize, Serialize};

use super::Ratio;
use super::number::{Read, read};

mod iso;
#[cfg(test)]
mod tests;

pub use iso::iso8601;

/// A range of durations in seconds, `lo <= hi`; a single duration has `lo == hi`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct DurationRange {
    /// The shortest, in seconds.
    pub lo: Ratio,
    /// The longest, in seconds.
    pub hi: Ratio,
}

/// Why a text is not a duration, and what would be right.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct NotADuration(pub(super) String);

/// The longest duration that is read, in seconds: 366 days.
pub const LONGEST: i128 = 366 * DAY;

const MINUTE: i128 = 60;
const HOUR: i128 = 60 * MINUTE;
const DAY: i128 = 24 * HOUR;
const WEEK: i128 = 7 * DAY;

/// The units with what they are written as; the first word is what is printed for one, the second for more.
const UNITS: &[(i128, &[&str])] = &[
    (WEEK, &["week", "weeks", "wk", "wks"]),
    (DAY, &["day", "days", "d"]),
    (HOUR, &["h", "h", "hr", "hrs", "hour", "hours"]),
    (
        MINUTE,
        &["min", "min", "mins", "minute", "minutes", "m", "'", "′"],
    ),
    (
        1,
        &["s", "s", "sec", "secs", "second", "seconds", "\"", "″"],
    ),
];

impl DurationRange {
    /// A single duration.
    pub fn exactly(seconds: Ratio) -> Self {
        Self {
            lo: seconds,
            hi: seconds,
        }
    }

    /// Whether it is a single duration.
    pub fn is_single(&self) -> bool {
        self.lo == self.hi
    }

    /// The duration at quantile `q` (0 to 1) of the range, in seconds.
    pub fn at(&self, q: Ratio) -> Ratio {
        self.lo + q * (self.hi - self.lo)
    }
}

impl FromStr for DurationRange {
    type Err = NotADuration;

    fn from_str(text: &str) -> Result<Self, NotADuration> {
        let text = text.trim();
        let Some((first, second)) = split_range(text) else {
            return parse(text).map(Self::exactly);
        };
        let hi = parse(second)?;
        let lo = match parse(first) {
            Ok(lo) => lo,
            // "70 to 90 min": the first has the unit of the second.
            Err(error) => match (number(first), last_unit(second)) {
                (Some((value, "")), Some(unit)) => bounded(value * unit, first)?,
                _ => return Err(error),
            },
        };
        if lo > hi {
            return Err(NotADuration(format!(
                "the range runs backwards: write '{second} to {first}'"
            )));
        }
        Ok(Self { lo, hi })
    }
}

impl fmt::Display for DurationRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.is_single() {
            return f.write_str(&print(self.hi));
        }
        // "70 to 90 min": up to two hours a range is told in one unit, if it is whole in it.
        for (size, word, most) in [
            (1, "s", 2 * MINUTE - 1),
            (MINUTE, "min", 2 * HOUR),
            (HOUR, "h", 2 * DAY),
        ] {
            let size = Ratio::from_integer(size);
            let (lo, hi) = (self.lo / size, self.hi / size);
            if lo.is_integer() && hi.is_integer() && self.hi <= Ratio::from_integer(most) {
                return write!(f, "{lo} to {hi} {word}");
            }
        }
        write!(f, "{} to {}", print(self.lo), print(self.hi))
    }
}

/// Reads one duration (no range), in seconds; 0 to [`LONGEST`].
///
/// # Errors
/// When the text is no duration, is negative, in calendar months or years, or too long.
pub fn parse(text: &str) -> Result<Ratio, NotADuration> {
    let text = text.trim();
    if text.is_empty() {
        return Err(NotADuration("a duration is missing: write '15 min'".into()));
    }
    if text.starts_with(['P', 'p', '+']) || text.starts_with("-P") {
        let seconds = iso8601(text)?;
        if seconds < Ratio::zero() {
            return Err(NotADuration(format!("'{text}' is negative")));
        }
        return bounded(seconds, text);
    }
    if text == "0" {
        return Ok(Ratio::zero());
    }
    let lower = text.to_lowercase();
    compound(&lower, text)
}

/// "1 h 15 min", "1 h, 15 min", "1 h and 15 min": parts in falling order of unit.
fn compound(lower: &str, text: &str) -> Result<Ratio, NotADuration> {
    let mut rest = lower;
    let mut total = Ratio::zero();
    let mut smallest = i128::MAX;
    while !rest.is_empty() {
        let Some((value, after)) = number(rest) else {
            return Err(NotADuration(if rest.starts_with('-') {
                format!("'{text}' is negative")
            } else {
                format!(
                    "'{text}' is not a duration: write '15 min', '1 h 15 min' or '70 to 90 min'"
                )
            }));
        };
        let after = after.trim_start();
        let end = after
            .find(|c: char| c.is_whitespace() || c.is_ascii_digit() || matches!(c, ',' | '.'))
            .unwrap_or(after.len());
        let (word, tail) = after.split_at(end);
        let unit = unit(word, text)?;
        if unit >= smallest {
            return Err(NotADuration(format!(
                "'{text}' is not a duration: the larger unit comes first, each once"
            )));
        }
        smallest = unit;
        total += bounded(value * unit, text)?;
        let tail = tail.trim_start_matches(['.', ',']).trim_start();
        rest = tail.strip_prefix("and ").unwrap_or(tail).trim_start();
    }
    bounded(total, text)
}

fn unit(word: &str, text: &str) -> Result<i128, NotADuration> {
    if let Some((seconds, _)) = UNITS.iter().find(|(_, words)| words.contains(&word)) {
        return Ok(*seconds);
    }
    Err(NotADuration(match word {
        "" => format!("'{text}' needs a unit: s, min, h or days"),
        "month" | "months" | "mo" | "year" | "years" | "y" => {
            format!("'{word}' has no fixed length: write days or weeks")
        }
        _ if word.starts_with(':') => {
            format!("'{text}' may be hours or minutes: write '1 h 30 min' or '1 min 30 s'")
        }
        _ => format!("'{word}' is not a unit of time: write s, min, h, days or weeks"),
    }))
}

/// The unit of the last part of "1 h 15 min", in seconds.
fn last_unit(text: &str) -> Option<i128> {
    let lower = text.trim_end_matches('.').to_lowercase();
    let start = lower
        .rfind(|c: char| c.is_whitespace() || c.is_ascii_digit())
        .and_then(|at| Some(at + lower[at..].chars().next()?.len_utf8()))?;
    unit(&lower[start..], text).ok()
}

/// "70 to 90 min", "70-90 min", "70 – 90 min".
fn split_range(text: &str) -> Option<(&str, &str)> {
    let (first, second) = text
        .split_once(" to ")
        .or_else(|| text.split_once(['–', '—', '‒', '−']))
        .or_else(|| {
            // A hyphen is a range only between two things: "-5 min" and "-PT5M" are negative numbers.
            let at = text.char_indices().skip(1).find(|(_, c)| *c == '-')?.0;
            text.split_at_checked(at)
                .and_then(|(a, b)| Some((a, b.strip_prefix('-')?)))
        })?;
    let (first, second) = (first.trim(), second.trim());
    (!first.is_empty()).then_some((first, second))
}

fn bounded(seconds: Ratio, text: &str) -> Result<Ratio, NotADuration> {
    if seconds > Ratio::from_integer(LONGEST) {
        return Err(NotADuration(format!(
            "'{text}' is too long: at most {} days",
            LONGEST / DAY
        )));
    }
    Ok(seconds)
}

/// The number at the start of a text, and what follows it.
fn number(text: &str) -> Option<(Ratio, &str)> {
    if let Read::Number {
        value,
        comma: false,
        rest,
    } = read(text)
    {
        return Some((value, rest));
    }
    let rest = text.strip_prefix("an ").or(text.strip_prefix("a "))?;
    Some((Ratio::from_integer(1), rest))
}

/// Prints seconds for people: "1 h 15 min", "45 s", "2 days"; negative ones with a minus sign.
///
/// Seconds are shown below ten minutes only when there are any; parts of a second are rounded.
pub fn print(seconds: Ratio) -> String {
    let mut left = seconds.round().to_integer();
    let sign = if left < 0 { "-" } else { "" };
    left = left.saturating_abs();
    let mut parts = Vec::new();
    for (size, words) in UNITS.iter().skip(1) {
        // Two days and more are told in days; a day and a half is 36 h.
        if *size == DAY && left < 2 * DAY && left != DAY {
            continue;
        }
        let count = left / size;
        left %= size;
        if count > 0 {
            let word = if count == 1 {
                words.first()
            } else {
                words.get(1)
            };
            parts.push(format!("{count} {}", word.unwrap_or(&"")));
        }
    }
    if parts.is_empty() {
        return "0 s".into();
    }
    format!("{sign}{}", parts.join(" "))
}
