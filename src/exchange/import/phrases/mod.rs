//! What the words of a step say about time, heat, hands, vessels and cues.
//!
//! The lists of words are common practice, no source.

mod clause;
mod heat;
mod time;
mod ware;
mod work;

pub(super) use clause::{beside, cue, is_reading};
pub(super) use heat::{Heat, heats};
pub(super) use time::{About, Time, times};
pub(super) use ware::wares;
pub(super) use work::{Work, comes_to_the_boil, lights_the_grill, under_the_grill, work};

/// A text prepared for reading: signs of degree and hyphens before units of time made blanks, ASCII lower case.
pub(super) fn normal(text: &str) -> String {
    let text = text
        .replace(['°', 'º', '˚'], " deg ")
        .replace(['\u{a0}', '\u{202f}'], " ")
        .replace(['~', '≈'], "");
    let text = text.to_ascii_lowercase();
    ["minute", "hour", "second", "min", "hr"]
        .iter()
        .fold(text, |text, unit| {
            text.replace(&format!("-{unit}"), &format!(" {unit}"))
        })
        .replace("degrees", " deg ")
        .replace("-degree ", " deg ")
}

fn words(text: &str) -> Vec<(usize, &str)> {
    let mut found = Vec::new();
    let mut start = None;
    for (at, c) in text.char_indices() {
        match (
            c.is_whitespace() || matches!(c, '(' | ')' | '/' | ','),
            start,
        ) {
            (true, Some(from)) => {
                found.push((from, text.get(from..at).unwrap_or_default()));
                start = None;
            }
            (false, None) => start = Some(at),
            _ => {}
        }
    }
    if let Some(from) = start {
        found.push((from, text.get(from..).unwrap_or_default()));
    }
    found
}

const ENDS: [char; 6] = ['.', ',', ';', ':', ')', '!'];

/// Whether a normal text has any of the words, whole.
pub(super) fn says(text: &str, words: &[&str]) -> bool {
    words.iter().any(|word| place(text, word).is_some())
}

/// Where a word or phrase stands whole in a normal text.
pub(super) fn place(text: &str, phrase: &str) -> Option<usize> {
    text.match_indices(phrase).map(|(at, _)| at).find(|at| {
        let before = text.get(..*at).and_then(|t| t.chars().next_back());
        let after = text.get(at + phrase.len()..).and_then(|t| t.chars().next());
        !before.is_some_and(char::is_alphanumeric) && !after.is_some_and(char::is_alphanumeric)
    })
}

/// Whether a normal text says to heat the oven.
pub(super) fn lights_oven(text: &str) -> bool {
    const OTHERS: &[&str] = &[
        "air fryer",
        "air-fryer",
        "grill",
        "broiler",
        "barbecue",
        "griddle",
        "pan",
        "skillet",
        "wok",
        "waffle",
    ];
    if says(text, OTHERS) && !says(text, &["oven"]) {
        return false;
    }
    says(
        text,
        &[
            "preheat",
            "pre-heat",
            "heat the oven",
            "heat oven",
            "set the oven",
            "turn the oven",
            "turn on the oven",
            "heat your oven",
        ],
    )
}
