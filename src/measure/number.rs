//! Numbers as a cook writes them: "2", "1.5", "1,5", "1 1/2", "1½", "½", "one", "a dozen".

use num_traits::{CheckedAdd, Zero};

use super::Ratio;

/// No number of a recipe is larger; keeps every product of the program far inside `i128`.
const MOST: i128 = 1_000_000_000;
/// Decimal places that are read; more are an error.
const PLACES: usize = 6;
/// The largest denominator that is read.
const MOST_DENOMINATOR: i128 = 1000;

/// What stands at the start of a text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Read<'a> {
    /// A number and the text after it. `comma`: three digits follow a comma, which may mean thousands or decimals.
    Number {
        value: Ratio,
        comma: bool,
        rest: &'a str,
    },
    /// No number.
    None,
    /// Something that looks like a number and is none.
    Bad(&'static str),
}

/// The value of a vulgar fraction character.
///
/// Source: the numeric values of U+00BC to U+00BE, U+2150 to U+215E and U+2189 in the Unicode Character Database.
pub fn vulgar_fraction(character: char) -> Option<Ratio> {
    let (numer, denom) = match character {
        '¼' => (1, 4),
        '½' => (1, 2),
        '¾' => (3, 4),
        '⅐' => (1, 7),
        '⅑' => (1, 9),
        '⅒' => (1, 10),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '⅕' => (1, 5),
        '⅖' => (2, 5),
        '⅗' => (3, 5),
        '⅘' => (4, 5),
        '⅙' => (1, 6),
        '⅚' => (5, 6),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        '↉' => (0, 3),
        _ => return None,
    };
    Some(Ratio::new(numer, denom))
}

/// Reads the number at the start of `text`.
pub(super) fn read(text: &str) -> Read<'_> {
    let text = text.trim_start();
    if let Some((value, rest)) = word(text) {
        return Read::Number {
            value,
            comma: false,
            rest,
        };
    }
    if let Some(value) = text.chars().next().and_then(vulgar_fraction) {
        let rest = skip_char(text);
        return match mixed_after_fraction(value, rest) {
            Some((value, rest)) => Read::Number {
                value,
                comma: false,
                rest,
            },
            None => Read::Number {
                value,
                comma: false,
                rest,
            },
        };
    }
    if !text.starts_with(|c: char| c.is_ascii_digit()) {
        return match text.strip_prefix('.') {
            Some(after) if after.starts_with(|c: char| c.is_ascii_digit()) => decimal("0", text),
            _ => Read::None,
        };
    }
    let end = text
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(text.len());
    let (digits, rest) = text.split_at(end);
    let Some(whole) = integer(digits) else {
        return Read::Bad("the number is too large");
    };
    if rest.starts_with(['.', ',']) && rest[1..].starts_with(|c: char| c.is_ascii_digit()) {
        return decimal(digits, rest);
    }
    if let Some(bottom) = slash(rest) {
        return fraction(whole, bottom);
    }
    // "1½", "1 ½", "1 1/2", "1-1/2"
    let after = rest.trim_start();
    if let Some(part) = after.chars().next().and_then(vulgar_fraction) {
        return Read::Number {
            value: whole + part,
            comma: false,
            rest: skip_char(after),
        };
    }
    if let Some(found) = mixed(whole, after.strip_prefix('-').unwrap_or(after)) {
        return found;
    }
    Read::Number {
        value: whole,
        comma: false,
        rest,
    }
}

fn skip_char(text: &str) -> &str {
    let mut chars = text.chars();
    chars.next();
    chars.as_str()
}

/// The digits as a number, if it is one of a kitchen.
fn integer(digits: &str) -> Option<Ratio> {
    let value: i128 = digits.parse().ok()?;
    (value <= MOST).then(|| Ratio::from_integer(value))
}

/// What follows a fraction bar: '/', U+2044 or U+2215.
fn slash(text: &str) -> Option<&str> {
    text.trim_start()
        .strip_prefix(['/', '\u{2044}', '\u{2215}'])
        .map(str::trim_start)
}

/// "3/4" with the "3" read already.
fn fraction(top: Ratio, bottom: &str) -> Read<'_> {
    let end = bottom
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(bottom.len());
    let (digits, rest) = bottom.split_at(end);
    match digits.parse::<i128>() {
        Ok(0) => Read::Bad("the fraction is divided by zero"),
        Ok(value) if value <= MOST_DENOMINATOR => Read::Number {
            value: top / Ratio::from_integer(value),
            comma: false,
            rest,
        },
        Ok(_) => Read::Bad("the fraction is too fine"),
        Err(_) if digits.is_empty() => Read::Bad("a number is missing after the fraction bar"),
        Err(_) => Read::Bad("the fraction is too fine"),
    }
}

/// "1/2" after a whole number: one that is less than one, else it is another number.
fn mixed(whole: Ratio, text: &str) -> Option<Read<'_>> {
    let end = text.find(|c: char| !c.is_ascii_digit())?;
    let (digits, rest) = text.split_at(end);
    let top = integer(digits).filter(|_| !digits.is_empty())?;
    match fraction(top, slash(rest)?) {
        Read::Number { value, rest, .. } if value < Ratio::from_integer(1) => Some(Read::Number {
            value: whole + value,
            comma: false,
            rest,
        }),
        _ => None,
    }
}

/// "½ + 1": what the fraction comes with.
fn mixed_after_fraction(part: Ratio, rest: &str) -> Option<(Ratio, &str)> {
    let after = rest.trim_start().strip_prefix('+')?.trim_start();
    let end = after
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(after.len());
    let (digits, rest) = after.split_at(end);
    let whole = integer(digits).filter(|_| !digits.is_empty())?;
    // "½ + 1 tsp" sums two amounts only when both have a unit; here the fraction has none.
    Some((whole.checked_add(&part)?, rest))
}

/// "1.5", "1,5", "1,500": digits read, `rest` starts with the point or comma.
fn decimal<'a>(digits: &str, rest: &'a str) -> Read<'a> {
    let comma = rest.starts_with(',');
    let places = &rest[1..];
    let end = places
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(places.len());
    let (places, after) = places.split_at(end);
    // "1,500,000": groups of three after a first comma are thousands without a doubt.
    if comma
        && places.len() == 3
        && !digits.starts_with('0')
        && digits.len() <= 3
        && let Some(next) = after.strip_prefix(',')
        && let Some(group) = next.get(..3)
        && group.bytes().all(|b| b.is_ascii_digit())
        && let Some(rest) = next.get(3..)
        && !rest.starts_with(|c: char| c.is_ascii_digit())
    {
        return match integer(&format!("{digits}{places}{group}")) {
            Some(value) => Read::Number {
                value,
                comma: false,
                rest,
            },
            None => Read::Bad("the number is too large"),
        };
    }
    if places.len() > PLACES {
        return Read::Bad("the number has too many decimal places");
    }
    let (Some(whole), Ok(part)) = (integer(digits), places.parse::<i128>()) else {
        return Read::Bad("the number is too large");
    };
    let scale = 10_i128.pow(places.len() as u32);
    let value = whole + Ratio::new(part, scale);
    let comma = comma && places.len() == 3 && !whole.is_zero() && digits.len() <= 3;
    Read::Number {
        value,
        comma,
        rest: after,
    }
}

const WORDS: &[(&str, i128, i128)] = &[
    ("one half", 1, 2),
    ("half a dozen", 6, 1),
    ("half a", 1, 2),
    ("half an", 1, 2),
    ("half", 1, 2),
    ("a quarter of a", 1, 4),
    ("a quarter", 1, 4),
    ("quarter", 1, 4),
    ("three quarters of a", 3, 4),
    ("three quarters", 3, 4),
    ("a third of a", 1, 3),
    ("a third", 1, 3),
    ("two thirds of a", 2, 3),
    ("two thirds", 2, 3),
    ("a dozen", 12, 1),
    ("dozen", 12, 1),
    ("a couple of", 2, 1),
    ("one", 1, 1),
    ("two", 2, 1),
    ("three", 3, 1),
    ("four", 4, 1),
    ("five", 5, 1),
    ("six", 6, 1),
    ("seven", 7, 1),
    ("eight", 8, 1),
    ("nine", 9, 1),
    ("ten", 10, 1),
    ("eleven", 11, 1),
    ("twelve", 12, 1),
    ("an", 1, 1),
    ("a", 1, 1),
];

/// A number written as a word, and the text after it. "a few" and the like are none.
fn word(text: &str) -> Option<(Ratio, &str)> {
    let lower = text.to_lowercase();
    if lower.len() != text.len()
        || ["a few", "a little", "a bit", "a lot"]
            .iter()
            .any(|w| lower.starts_with(w))
    {
        return None;
    }
    // Longest first, so that "half a" is not taken for "half".
    let (word, numer, denom) = WORDS
        .iter()
        .filter(|(word, ..)| {
            lower
                .strip_prefix(word)
                .is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', '-']))
        })
        .max_by_key(|(word, ..)| word.len())?;
    let rest = text.get(word.len()..)?;
    let value = Ratio::new(*numer, *denom);
    // "one and a half", "two and a half"
    let and_half = [" and a half", " and one half"]
        .iter()
        .find(|w| rest.to_lowercase().starts_with(**w));
    match and_half {
        Some(w) if value.is_integer() => Some((value + Ratio::new(1, 2), rest.get(w.len()..)?)),
        _ => Some((value, rest)),
    }
}
