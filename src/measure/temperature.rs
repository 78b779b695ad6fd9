//! Temperatures: Celsius, Fahrenheit, gas marks and fan settings, exact, with the author's own words kept.

use num_traits::Zero;
use serde::{Deserialize, Serialize};

use super::Ratio;
use super::number::{Read, read};

#[cfg(test)]
mod tests;

/// An oven temperature that a recipe asks for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct OvenTemperature {
    /// As the author wrote it: "220 C", "gas 7", "180 to 200 C", "off". Shown to the cook.
    pub text: String,
    /// What it means.
    pub accepts: Accepts,
}

/// The temperatures that an oven segment accepts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Accepts {
    /// Conventional-oven degrees Celsius from `lo` to `hi`, both accepted, `within` applied.
    Span {
        /// The lowest accepted temperature, in C.
        lo: Ratio,
        /// The highest accepted temperature, in C.
        hi: Ratio,
    },
    /// The oven is off: room temperature, and together only with "off".
    Off,
}

/// Why a text is not a temperature, and what would be right.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct NotATemperature(String);

/// No oven that is planned for is hotter, in C.
pub const HOTTEST_OVEN: i128 = 350;
/// What is accepted on either side of one temperature unless the recipe says otherwise, in C.
pub const WITHIN: i128 = 10;
/// A fan oven set to a temperature cooks like a conventional one this much hotter, in C.
///
/// Source: common practice (checks row N20); pages differ, 20 to 25.
pub const FAN: i128 = 20;
/// Gas marks 1 to 9 in C.
///
/// Source: several conversion pages that agree within 10 C; there is no primary standard (checks row N19).
pub const GAS: [i128; 9] = [140, 150, 165, 180, 190, 200, 220, 230, 240];

/// The scale that a number is in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Scale {
    Celsius,
    Fahrenheit,
    Gas,
}

/// Degrees Celsius from degrees Fahrenheit, exactly.
pub fn from_fahrenheit(degrees: Ratio) -> Ratio {
    (degrees - Ratio::from_integer(32)) * Ratio::new(5, 9)
}

impl OvenTemperature {
    /// Whether the author's words name this one temperature, in conventional C: the middle of what is accepted, and no
    /// span.
    pub fn names(&self, celsius: Ratio) -> bool {
        match self.accepts {
            Accepts::Span { lo, hi } => lo + hi == celsius + celsius && !self.text.contains(" to "),
            Accepts::Off => false,
        }
    }

    /// Reads "220 C", "425 F", "gas 7", "fan 200 C", "180 to 200 C" or "off"; `within` in C (default 10) widens
    /// one temperature to a span and leaves a span as it stands.
    ///
    /// # Errors
    /// When it is none of these, below 0 C or above 350 C (in a conventional oven's degrees).
    pub fn parse(text: &str, within: Option<Ratio>) -> Result<Self, NotATemperature> {
        let words = text.trim();
        if words.eq_ignore_ascii_case("off") {
            return Ok(Self {
                text: words.into(),
                accepts: Accepts::Off,
            });
        }
        let (body, fan) = without_fan(words);
        let (first, second) = split_range(&body);
        let scale = scale_of(second.unwrap_or(first)).or_else(|| scale_of(first));
        let rise = Ratio::from_integer(if fan { FAN } else { 0 });
        let degrees = |part: &str| -> Result<Ratio, NotATemperature> {
            let celsius = oven_degrees(part, scale, words)?;
            let celsius = celsius
                + if scale == Some(Scale::Gas) {
                    Ratio::zero()
                } else {
                    rise
                };
            if celsius > Ratio::from_integer(HOTTEST_OVEN) {
                return Err(NotATemperature(format!(
                    "'{words}' is hotter than an oven goes: at most {HOTTEST_OVEN} C"
                )));
            }
            if celsius < Ratio::zero() {
                return Err(NotATemperature(format!(
                    "'{words}' is colder than an oven goes"
                )));
            }
            Ok(celsius)
        };
        let lo = degrees(first)?;
        let accepts = match second {
            Some(second) => Accepts::Span {
                lo,
                hi: degrees(second)?,
            },
            None => {
                let within = within.unwrap_or(Ratio::from_integer(WITHIN));
                Accepts::Span {
                    lo: lo - within,
                    hi: lo + within,
                }
            }
        };
        if let Accepts::Span { lo, hi } = accepts
            && lo > hi
        {
            return Err(NotATemperature(format!(
                "the span '{words}' runs backwards: the lower temperature comes first"
            )));
        }
        Ok(Self {
            text: words.into(),
            accepts,
        })
    }
}

impl Accepts {
    /// Whether one setting of the oven suits both.
    pub fn meets(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Off, Self::Off) => true,
            (Self::Span { lo, hi }, Self::Span { lo: from, hi: to }) => lo <= to && from <= hi,
            _ => false,
        }
    }
}

/// Reads one temperature, "74 C" or "165 F", in C: of food or of a room.
///
/// # Errors
/// When it is no temperature, or outside -50 C to 350 C.
pub fn celsius(text: &str) -> Result<Ratio, NotATemperature> {
    let words = text.trim();
    let degrees = degrees(words, scale_of(words), words)?;
    if degrees < Ratio::from_integer(-50) || degrees > Ratio::from_integer(HOTTEST_OVEN) {
        return Err(NotATemperature(format!(
            "'{words}' is out of range: -50 C to {HOTTEST_OVEN} C"
        )));
    }
    Ok(degrees)
}

/// Reads a difference of temperatures, "10 C" or "18 F", in C; "0" needs no unit. Not negative, at most 350 C.
///
/// # Errors
/// When it is none.
pub fn difference(text: &str) -> Result<Ratio, NotATemperature> {
    let words = text.trim();
    let wrong = || {
        NotATemperature(format!(
            "'{words}' is not a difference of temperatures: write '10 C'"
        ))
    };
    let Read::Number {
        value,
        comma: false,
        rest,
    } = read(words)
    else {
        return Err(wrong());
    };
    let celsius = match scale_word(rest) {
        Some(Scale::Celsius) => value,
        Some(Scale::Fahrenheit) => value * Ratio::new(5, 9),
        _ if rest.trim().is_empty() && value.is_zero() => value,
        _ => return Err(wrong()),
    };
    if celsius > Ratio::from_integer(HOTTEST_OVEN) {
        return Err(wrong());
    }
    Ok(celsius)
}

/// Reads a rate of heating or cooling, "10 C/min", "18 F per minute" or "600 C/h", in C per minute; more than 0.
///
/// # Errors
/// When it is none.
pub fn rate(text: &str) -> Result<Ratio, NotATemperature> {
    let words = text.trim();
    let wrong = || NotATemperature(format!("'{words}' is not a rate: write '10 C/min'"));
    let (degrees, time) = words
        .split_once('/')
        .or_else(|| words.split_once(" per "))
        .or_else(|| words.split_once(" a "))
        .ok_or_else(wrong)?;
    let degrees = difference(degrees).map_err(|_| wrong())?;
    let minutes = match time.trim().to_lowercase().as_str() {
        "min" | "minute" | "m" => 1,
        "h" | "hour" => 60,
        _ => return Err(wrong()),
    };
    let rate = degrees / Ratio::from_integer(minutes);
    // An oven that takes a week to warm up is a misprint, and the planner counts in ticks.
    if rate < Ratio::new(1, 100) {
        return Err(NotATemperature(format!(
            "'{words}' is too slow: at least 0.01 C/min"
        )));
    }
    Ok(rate)
}

/// "fan 200 C", "200 C fan": the words without the fan, and whether there was one.
fn without_fan(words: &str) -> (String, bool) {
    let lower = words.to_lowercase();
    let stripped = lower
        .strip_prefix("fan ")
        .or_else(|| lower.strip_suffix(" fan"))
        .or_else(|| lower.strip_suffix(" (fan)"));
    match stripped {
        Some(body) => (body.trim().to_owned(), true),
        None => (lower, false),
    }
}

/// "180 to 200 C", "180-200 C".
fn split_range(text: &str) -> (&str, Option<&str>) {
    let split = text
        .split_once(" to ")
        .or_else(|| text.split_once(['–', '—', '‒']))
        .or_else(|| {
            let at = text.char_indices().skip(1).find(|(_, c)| *c == '-')?.0;
            let (a, b) = text.split_at_checked(at)?;
            Some((a, b.strip_prefix('-')?))
        });
    match split {
        Some((a, b)) => (a.trim(), Some(b.trim())),
        None => (text, None),
    }
}

/// The scale that a text names, if it names one.
fn scale_of(text: &str) -> Option<Scale> {
    let lower = text.trim().to_lowercase();
    if lower.starts_with("gas") {
        return Some(Scale::Gas);
    }
    let unit = lower.trim_start_matches(|c: char| {
        c.is_ascii_digit() || c.is_whitespace() || matches!(c, '.' | ',' | '/' | '-' | '−' | '½')
    });
    scale_word(unit)
}

fn scale_word(word: &str) -> Option<Scale> {
    match word.trim().to_lowercase().trim_end_matches('.') {
        "c" | "°c" | "° c" | "ºc" | "℃" | "celsius" | "degrees c" | "degrees celsius" | "deg c" => {
            Some(Scale::Celsius)
        }
        "f" | "°f" | "° f" | "ºf" | "℉" | "fahrenheit" | "degrees f" | "degrees fahrenheit"
        | "deg f" => Some(Scale::Fahrenheit),
        _ => None,
    }
}

fn oven_degrees(part: &str, scale: Option<Scale>, words: &str) -> Result<Ratio, NotATemperature> {
    if scale != Some(Scale::Gas) {
        return degrees(part, scale, words);
    }
    let mark = part
        .trim_start_matches("gas")
        .trim_start()
        .trim_start_matches("mark")
        .trim();
    mark.parse::<usize>()
        .ok()
        .and_then(|mark| GAS.get(mark.checked_sub(1)?))
        .map(|celsius| Ratio::from_integer(*celsius))
        .ok_or_else(|| {
            NotATemperature(format!(
                "'{words}' is not a gas mark: write 'gas 1' to 'gas 9'"
            ))
        })
}

fn degrees(part: &str, scale: Option<Scale>, words: &str) -> Result<Ratio, NotATemperature> {
    let wrong = |why: &str| NotATemperature(format!("'{words}' is not a temperature: {why}"));
    let part = part.trim();
    let (negative, digits) = match part.strip_prefix(['-', '−']) {
        Some(digits) => (true, digits),
        None => (false, part),
    };
    let Read::Number {
        value,
        comma: false,
        rest,
    } = read(digits)
    else {
        return Err(wrong(
            "write '220 C', '425 F', 'gas 7', 'fan 200 C', '180 to 200 C' or 'off'",
        ));
    };
    let own = if rest.trim().is_empty() {
        scale
    } else {
        Some(scale_word(rest).ok_or_else(|| wrong("write C or F after the number"))?)
    };
    let value = if negative { -value } else { value };
    match own {
        Some(Scale::Celsius) => Ok(value),
        Some(Scale::Fahrenheit) => Ok(from_fahrenheit(value)),
        Some(Scale::Gas) => Err(wrong("write the gas mark as 'gas 7'")),
        None => Err(wrong("write C or F after the number")),
    }
}
