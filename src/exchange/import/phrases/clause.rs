//! Clauses of a step: the cue that ends it, and what goes on beside it.

use super::{ENDS, place, says};

/// The cue of a step: what follows "until", up to the end of the clause.
pub(in crate::exchange::import) fn cue(text: &str) -> Option<String> {
    let lower = text.to_ascii_lowercase();
    let at = ["until ", "till "]
        .iter()
        .filter_map(|w| place(&lower, w.trim_end()).map(|at| at + w.len()))
        .min()?;
    let rest = text.get(at..)?;
    let low = rest.to_ascii_lowercase();
    let end = [
        ". ",
        "; ",
        ", then",
        " then ",
        ", about",
        " (",
        ", for ",
        ", approx",
        ", stirring",
        ", turning",
        ", another",
        " and reaches",
        " or reaches",
    ]
    .iter()
    .filter_map(|w| low.find(w))
    .chain(reading_at(&low))
    .chain(number_at(&low))
    .min()
    .unwrap_or(rest.len());
    let cue = rest
        .get(..end)?
        .trim()
        .trim_end_matches(ENDS)
        .trim_start_matches("the point where ");
    let empty = [
        "needed",
        "ready",
        "ready to serve",
        "ready to use",
        "required",
        "serving",
        "later",
    ];
    (!cue.is_empty() && cue.len() <= 120 && !empty.contains(&cue.to_ascii_lowercase().as_str()))
        .then(|| cue.to_owned())
}

/// What is read off a thermometer has its own place in a step.
const READINGS: &[&str] = &[
    "thermometer",
    "a thermometer",
    "an instant-read",
    "an instant read",
    "a meat thermometer",
    "a probe",
    "the probe",
    "the internal",
    "an internal",
    "internal temp",
    "the core",
    "it registers",
    "it reaches",
];

/// Whether a cue is a thermometer's reading and no more.
pub(in crate::exchange::import) fn is_reading(cue: &str) -> bool {
    let lower = cue.to_ascii_lowercase();
    READINGS.iter().any(|words| lower.starts_with(words))
}

/// Where a thermometer's reading follows the cue: "tender and a thermometer reads 74 C".
fn reading_at(low: &str) -> Option<usize> {
    [" and ", " or ", ", "]
        .iter()
        .flat_map(|link| low.match_indices(link).map(|(at, _)| (at, at + link.len())))
        .filter(|(_, after)| low.get(*after..).is_some_and(is_reading))
        .map(|(at, _)| at)
        .min()
}

/// Where a number follows a comma: "tender, 25 minutes".
fn number_at(low: &str) -> Option<usize> {
    low.match_indices(", ").map(|(at, _)| at).find(|at| {
        low.get(at + 2..)
            .is_some_and(|rest| rest.starts_with(|c: char| c.is_numeric()))
    })
}

/// "Meanwhile, ..." and "While the rice cooks, ...": the words that say so, and the work that is left without them.
/// What is done "while still hot" is no work beside another.
pub(in crate::exchange::import) fn beside(text: &str) -> Option<(&str, &str)> {
    let lower = text.to_ascii_lowercase();
    let said = |end: usize| {
        let words = text.get(..end)?;
        let rest = text.get(end..)?.trim_start_matches([',', ' ']);
        (!rest.is_empty()).then_some((words, rest))
    };
    for words in ["meanwhile", "in the meantime", "at the same time"] {
        if lower.starts_with(words) && place(&lower, words) == Some(0) {
            return said(words.len());
        }
    }
    let begins = [
        "while the ",
        "while your ",
        "while it ",
        "while they ",
        "while this ",
        "while that ",
        "while these ",
        "whilst the ",
        "as the ",
    ];
    let comma = lower.find(", ")?;
    let head = lower.get(..comma)?;
    let begins = begins.iter().any(|w| head.starts_with(w));
    if !begins || head.contains(". ") || says(head, &["still", "hot", "warm"]) {
        return None;
    }
    said(comma)
}
