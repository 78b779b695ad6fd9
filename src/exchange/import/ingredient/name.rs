//! What an ingredient line names: the item, remarks on it, what may stand in for it.

use super::Split;
use super::amount::amount;

/// Item, note and substitutes of what follows the amount.
pub(super) fn named(text: &str) -> Split {
    let mut notes: Vec<String> = Vec::new();
    let mut others: Vec<String> = Vec::new();
    let mut item = String::new();
    let mut rest = text;
    // Brackets are notes, wherever they stand.
    while let Some((before, after)) = rest.split_once('(') {
        item.push_str(before);
        let (inner, behind) = after.split_once(')').unwrap_or((after, ""));
        match inner.trim().strip_prefix("or ") {
            // "cider (or apple juice)": a substitute.
            Some(other) if !other.contains([',', ';']) => others.push(other_way(other)),
            _ => notes.push(inner.trim().to_owned()),
        }
        rest = behind;
    }
    item.push_str(rest);
    let item = item
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .replace(" ,", ",");
    let cut = [
        item.find(", "),
        item.find(" - "),
        item.find(" – "),
        item.find("; "),
        item.find(": "),
    ]
    .into_iter()
    .flatten()
    .min();
    // "bone-in, skin-on chicken thighs": what stands before the comma is said of what follows.
    let cut = cut
        .map(|at| after_qualities(&item, at))
        .unwrap_or(item.len());
    let (name, tail) = item.split_at(cut.min(item.len()));
    let (name, tail) = (
        name.trim(),
        tail.trim_matches([',', ';', ':', ' ', '-', '–']),
    );
    // "2 apples, or 3 pears, peeled": a substitute, and then a note.
    let loose = ["or to taste", "or more", "or less", "or as "];
    let (other, tail) = match tail.strip_prefix("or ") {
        Some(_) if loose.iter().any(|words| tail.starts_with(words)) => ("", tail),
        Some(rest) => rest.split_once(", ").unwrap_or((rest, "")),
        None => ("", tail),
    };
    if !other.is_empty() {
        others.insert(0, other_way(other));
    }
    let (name, purpose) = split_word(
        name,
        &[
            " for ",
            " to serve",
            " plus ",
            " cut into ",
            " at room temperature",
        ],
    );
    for note in [purpose, tail] {
        if !note.is_empty() {
            notes.insert(
                if note == purpose { 0 } else { notes.len() },
                note.to_owned(),
            );
        }
    }
    let (name, mut or) = match name.split_once(" or ") {
        // "red or white onions" is one thing in two kinds, "ghee or vegetable oil" is two.
        Some((first, other))
            if first.contains(' ')
                || !other.contains(' ')
                || crate::measure::food::find(first).is_some() && !other.ends_with(" stock") =>
        {
            (first, vec![other_way(other)])
        }
        _ => (name, Vec::new()),
    };
    or.append(&mut others);
    let note = notes
        .iter()
        .map(|n| n.trim_matches([',', ' ']))
        .filter(|n| !n.is_empty())
        .collect::<Vec<_>>()
        .join(", ");
    Split {
        item: name.trim_matches([',', '.', ':', ' ']).to_owned(),
        note: (!note.is_empty()).then_some(note),
        or,
        ..Split::default()
    }
}

/// A substitute with its amount behind it, as a dish file has it: "shallots, 2".
fn other_way(text: &str) -> String {
    let text = text.trim();
    match amount(text) {
        (Some(amount), item) if !item.is_empty() => format!("{item}, {amount}"),
        _ => text.to_owned(),
    }
}

/// Where a name ends whose first words, up to a comma at `at`, say how the thing is and not what.
fn after_qualities(item: &str, at: usize) -> usize {
    let (mut at, mut from) = (at, 0);
    while let Some(part) = item.get(from..at) {
        let last = part.rsplit(' ').next().unwrap_or(part).to_lowercase();
        let quality = ["-in", "-on", "-less", "-free", "-purpose", "-fat"]
            .iter()
            .any(|end| last.ends_with(end))
            || [
                "boneless", "skinless", "ripe", "fresh", "large", "small", "medium", "dry", "firm",
            ]
            .contains(&last.as_str());
        if !quality || !item.get(at..).is_some_and(|t| t.starts_with(", ")) {
            return at;
        }
        from = at + 2;
        let rest = item.get(from..).unwrap_or_default();
        let next = [", ", " - ", " – "]
            .iter()
            .filter_map(|sign| rest.find(sign))
            .min();
        at = next.map_or(item.len(), |next| from + next);
    }
    at
}

fn split_word<'a>(text: &'a str, words: &[&str]) -> (&'a str, &'a str) {
    let at = words
        .iter()
        .filter_map(|w| text.find(w))
        .filter(|at| *at > 0)
        .min();
    let (a, b) = text.split_at(at.unwrap_or(text.len()));
    (a, b.trim())
}

/// "salt to taste": the phrase is the amount.
pub(super) fn to_taste(split: &mut Split) -> Option<String> {
    for phrase in ["to taste", "as needed", "as required"] {
        if let Some(item) = split.item.to_lowercase().strip_suffix(phrase) {
            split.item = split
                .item
                .get(..item.len())
                .unwrap_or_default()
                .trim()
                .trim_end_matches(',')
                .to_owned();
            return Some(phrase.to_owned());
        }
        if split
            .note
            .as_deref()
            .is_some_and(|n| n.eq_ignore_ascii_case(phrase))
        {
            split.note = None;
            return Some(phrase.to_owned());
        }
    }
    None
}

/// "Juice of 1 lemon", "zest and juice of 2 limes": the fruit is bought, the rest is a note.
pub(super) fn juice_of(split: &mut Split) {
    let lower = split.item.to_lowercase();
    if split.amount.is_some()
        || !(lower.contains("juice") || lower.contains("zest") || lower.contains("rind"))
    {
        return;
    }
    // "Zest 1 lemon" lacks the "of".
    let number = lower.find(|c: char| c.is_numeric());
    let of = lower
        .find(" of ")
        .filter(|at| number.is_none_or(|n| *at < n));
    let (end, start) = match (of, number) {
        (Some(at), _) => (at, at + 4),
        (None, Some(at)) => (at, at),
        (None, None) => return,
    };
    let (part, fruit) = (
        split.item.get(..end).map(str::trim),
        split.item.get(start..),
    );
    let (Some(part), Some(fruit)) = (part.map(str::to_owned), fruit) else {
        return;
    };
    let (found, item) = amount(fruit);
    if found.is_none() {
        return;
    }
    let note = [Some(part.to_lowercase()), split.note.take()]
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
        .join(", ");
    (split.amount, split.item, split.note) = (found, item.to_owned(), Some(note));
}
