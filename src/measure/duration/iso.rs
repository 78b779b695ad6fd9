//! ISO 8601 durations as far as a clock can measure them: weeks, days, hours, minutes, seconds.

use num_traits::Zero;

use super::{DAY, HOUR, LONGEST, MINUTE, NotADuration, WEEK};
use crate::measure::Ratio;
use crate::measure::number::{Read, read};

/// Reads an ISO 8601 duration ("PT1H30M", "P1DT12H", "P1W", "-PT5M") in seconds; may be negative.
///
/// The grammar is that of XML Schema 1.1 `duration` with ISO's weeks; calendar years and months have no
/// fixed length and are refused. Any component, not the last alone, may have decimals.
///
/// # Errors
/// When the text doesn't follow the grammar, names years or months, or is longer than 366 days.
pub fn iso8601(text: &str) -> Result<Ratio, NotADuration> {
    let wrong = |why: &str| NotADuration(format!("'{text}' is not a duration: {why}"));
    let upper = text.trim().to_ascii_uppercase();
    let (negative, body) = match upper.strip_prefix('-') {
        Some(body) => (true, body),
        None => (false, upper.strip_prefix('+').unwrap_or(&upper)),
    };
    let body = body
        .strip_prefix('P')
        .ok_or_else(|| wrong("it begins with P, as in PT15M"))?;
    let (date, time) = match body.split_once('T') {
        Some((_, "")) => return Err(wrong("nothing follows the T")),
        Some((date, time)) => (date, time),
        None => (body, ""),
    };
    if date.is_empty() && time.is_empty() {
        return Err(wrong("nothing follows the P"));
    }
    let seconds = components(date, &[('Y', 0), ('M', 0), ('W', WEEK), ('D', DAY)], text)?
        + components(time, &[('H', HOUR), ('M', MINUTE), ('S', 1)], text)?;
    if seconds > Ratio::from_integer(LONGEST) {
        return Err(wrong("at most 366 days"));
    }
    Ok(if negative { -seconds } else { seconds })
}

const NO_CALENDAR: &str = "years and months have no fixed length; a minute is PT1M";

/// The sum of the components; a unit of size 0 is one without a fixed length, of which there may only be none
/// ("P0Y0M0DT45M").
fn components(mut rest: &str, units: &[(char, i128)], text: &str) -> Result<Ratio, NotADuration> {
    let wrong = |why: String| NotADuration(format!("'{text}' is not a duration: {why}"));
    let mut units = units.iter();
    let mut total = Ratio::zero();
    while !rest.is_empty() {
        let end = rest
            .find(|c: char| !c.is_ascii_digit() && !matches!(c, '.' | ','))
            .unwrap_or(rest.len());
        let (digits, after) = rest.split_at(end);
        let value = match read(digits) {
            Read::Number {
                value, rest: "", ..
            } => value,
            _ => {
                return Err(wrong(
                    "a number stands before each letter, as in PT1H30M".into(),
                ));
            }
        };
        let Some(letter) = after.chars().next() else {
            return Err(wrong(format!("'{digits}' lacks its letter")));
        };
        let Some((_, size)) = units.find(|(known, _)| *known == letter) else {
            return Err(wrong(match letter {
                'Y' | 'M' => NO_CALENDAR.into(),
                'H' | 'S' => format!("{letter} comes after a T, as in PT1H"),
                _ => format!("'{letter}' is out of place, as in P1DT2H30M15S"),
            }));
        };
        if *size == 0 && !value.is_zero() {
            return Err(wrong(NO_CALENDAR.into()));
        }
        total += value * size;
        rest = &after[letter.len_utf8()..];
    }
    Ok(total)
}
