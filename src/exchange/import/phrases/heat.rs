//! The temperatures that a text names.

use super::{ENDS, says, words};
use crate::measure::Ratio;
use crate::measure::temperature::{OvenTemperature, celsius};

/// A temperature in a text, in the words of the dish file.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::exchange::import) struct Heat {
    /// "180 C", "gas 4", "fan 160 C".
    pub text: String,
    /// In C, of a conventional oven.
    pub celsius: Ratio,
    /// Where it stands, in bytes of the normal text.
    pub at: usize,
    /// The text names no scale.
    pub unsure: bool,
    /// A thermometer reads it in the food.
    pub inside: bool,
    fan: bool,
    word: usize,
}

/// The temperatures of a normal text, in order; of several that stand together ("180 C/350 F/gas 4") the first that
/// is not a fan oven's.
pub(in crate::exchange::import) fn heats(text: &str) -> Vec<Heat> {
    let words = words(text);
    let mut found: Vec<Heat> = Vec::new();
    for (index, (at, word)) in words.iter().enumerate() {
        let before = text.get(..*at).unwrap_or_default();
        let Some(heat) = heat(&words, index, word.trim_end_matches(ENDS), before) else {
            continue;
        };
        match found.last_mut() {
            Some(last)
                if index - last.word <= 4
                    && !(last.inside && heat.inside && last.scale() == heat.scale())
                    && text
                        .get(last.at..*at)
                        .is_some_and(|t| !t.contains(". ") && !t.contains("then")) =>
            {
                if last.fan && !heat.fan || last.unsure && !heat.unsure {
                    *last = Heat {
                        at: last.at,
                        ..heat
                    };
                } else {
                    last.word = index;
                }
            }
            _ => found.push(heat),
        }
    }
    found
}

/// Whether what stands before a temperature says that it is read in the food: "a thermometer registers 165".
fn is_inside(before: &str) -> bool {
    const READ: &[&str] = &[
        "registers",
        "register",
        "reads",
        "reaches",
        "internal temperature",
        "internal temp",
        "core temperature",
    ];
    let clause = before.rsplit(['.', ';']).next().unwrap_or(before);
    let mut near = clause.split_whitespace().rev().take(6).collect::<Vec<_>>();
    near.reverse();
    let near = near.join(" ");
    says(&near, READ) && !says(&near, &["oven", "oil", "fat"])
}

impl Heat {
    fn scale(&self) -> Option<char> {
        self.text.chars().next_back()
    }
}

/// The temperature that a word begins; `before`: the text up to it.
fn heat(words: &[(usize, &str)], index: usize, word: &str, before: &str) -> Option<Heat> {
    let at = before.len();
    let next = |n: usize| {
        words
            .get(index + n)
            .map(|(_, w)| w.trim_end_matches(ENDS))
            .unwrap_or_default()
    };
    let previous = index
        .checked_sub(1)
        .and_then(|i| words.get(i))
        .map(|(_, w)| *w)
        .unwrap_or_default();
    if word == "gas" {
        let mark = if next(1) == "mark" { next(2) } else { next(1) };
        let text = format!(
            "gas {}",
            mark.parse::<u8>().ok().filter(|m| (1..=9).contains(m))?
        );
        let celsius = middle(&text)?;
        return Some(Heat {
            text,
            celsius,
            at,
            unsure: false,
            inside: false,
            fan: false,
            word: index,
        });
    }
    let end = word
        .find(|c: char| !c.is_ascii_digit() && c != '-' && c != '–')
        .unwrap_or(word.len());
    let (digits, suffix) = word.split_at(end);
    if !digits.starts_with(|c: char| c.is_ascii_digit()) || digits.len() > 9 {
        return None;
    }
    let degree = next(1) == "deg";
    let letter = match (suffix, degree) {
        ("", true) => next(2),
        ("", false) => next(1),
        (suffix, _) => suffix,
    };
    let scale = match letter {
        "c" | "celsius" | "centigrade" => Some("C"),
        "f" | "fahrenheit" => Some("F"),
        _ if degree && suffix.is_empty() => None,
        _ => return None,
    };
    let number = digits.replace(['-', '–'], " to ");
    let value: i128 = digits.split(['-', '–']).next_back()?.parse().ok()?;
    let inside = is_inside(before);
    // Without a scale: no oven is set to 260 C and more at home, nor to less than 260 F for baking; no food is cooked
    // to more than 100 C inside.
    let hottest = if inside { 101 } else { 260 };
    let scale_text = scale.unwrap_or(if value >= hottest { "F" } else { "C" });
    let after = if scale.is_some() && suffix.is_empty() {
        next(if degree { 3 } else { 2 })
    } else {
        next(1)
    };
    // "190C/fan 170C": the fan is the next number's.
    let behind = if scale.is_some() && suffix.is_empty() {
        next(if degree { 4 } else { 3 })
    } else {
        next(2)
    };
    let is_nexts = behind.starts_with(|c: char| c.is_ascii_digit());
    let fan = previous == "fan" || after == "fan" && !is_nexts || after == "convection";
    let text = format!("{}{number} {scale_text}", if fan { "fan " } else { "" });
    let celsius = middle(&text).or_else(|| celsius(&text).ok())?;
    // Neither an oven nor food that is cooked is that cold: a torn number.
    if celsius < Ratio::from_integer(0) {
        return None;
    }
    Some(Heat {
        text,
        celsius,
        at,
        unsure: scale.is_none(),
        inside,
        fan,
        word: index,
    })
}

fn middle(text: &str) -> Option<Ratio> {
    crate::measure::dial::setting(&OvenTemperature::parse(text, None).ok()?)
}
