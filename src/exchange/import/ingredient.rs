//! An ingredient line split into amount, item and note.

use super::recipe::Written;
use crate::measure::{noun, quantity};

/// An ingredient for the dish file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Split {
    /// An amount that [`quantity::parse`] reads.
    pub amount: Option<String>,
    pub item: String,
    pub note: Option<String>,
    pub or: Vec<String>,
    /// As the recipe has it.
    pub written: String,
    /// A heading of the list that begins here.
    pub heading: Option<String>,
}

/// The ingredients of one written line: one, or two where salt and pepper share it; none for a heading or an
/// empty line.
pub(super) fn split(written: &Written) -> Vec<Split> {
    match written {
        Written::Parts { amount, item } => {
            let whole = format!("{amount} {item}");
            // "2" of "cloves garlic": read as one line, unless that loses the amount.
            let mut parts = line(&whole);
            for part in &mut parts {
                part.written = whole.clone();
            }
            match parts.first() {
                Some(part) if part.amount.is_some() => parts,
                _ => vec![Split {
                    item: item.clone(),
                    note: Some(amount.clone()),
                    written: whole,
                    ..Split::default()
                }],
            }
        }
        Written::Line(text) => line(text),
    }
}

/// A heading among the ingredients: "For the sauce:".
pub(super) fn is_heading(text: &str) -> bool {
    let lower = text.to_lowercase();
    text.ends_with(':')
        || (lower.starts_with("for the ") && !text.contains(|c: char| c.is_ascii_digit()))
}

fn line(text: &str) -> Vec<Split> {
    let written = text.trim().to_owned();
    let text = bare(&written);
    if text.is_empty() || is_heading(text) {
        return Vec::new();
    }
    let (heading, text) = after_heading(text);
    let (amount, rest) = amount(text);
    let mut split = named(rest);
    split.written = written.clone();
    split.amount = amount;
    if let Some(heading) = heading {
        add_note(&mut split, heading);
    }
    bunch_without_number(&mut split);
    sized_piece(&mut split);
    if let Some(taste) = to_taste(&mut split) {
        split.amount = split.amount.or(Some(taste));
    }
    sized(&mut split);
    counted_noun(&mut split);
    juice_of(&mut split);
    if split.item.is_empty() {
        // A line that is nothing but an amount, or nothing but a note.
        split.item = split
            .note
            .take()
            .unwrap_or_else(|| bare(&split.written).to_owned());
    }
    salt_and_pepper(split)
}

/// "For the rice: 300 g basmati rice": the heading apart from the line.
fn after_heading(text: &str) -> (Option<&str>, &str) {
    match text.split_once(": ") {
        Some((heading, rest)) if heading.to_lowercase().starts_with("for ") && !rest.is_empty() => {
            (Some(heading), rest)
        }
        _ => (None, text),
    }
}

/// Adds a remark behind the others.
pub(super) fn add_note(split: &mut Split, note: &str) {
    let note = note.trim_end_matches(':').trim();
    let note = note
        .strip_prefix("For ")
        .map_or_else(|| note.to_owned(), |rest| format!("for {rest}"));
    split.note = Some(match split.note.take() {
        Some(before) => format!("{before}, {note}"),
        None => note,
    });
}

/// "Small bunch parsley": one small bunch.
fn bunch_without_number(split: &mut Split) {
    let mut words = split.item.splitn(3, ' ');
    let (Some(first), Some(second)) = (words.next(), words.next()) else {
        return;
    };
    let (first, second) = (first.to_lowercase(), second.to_lowercase());
    const GATHERED: &[&str] = &[
        "bunch", "handful", "pinch", "knob", "splash", "drizzle", "dash",
    ];
    let (said, rest) = if GATHERED.contains(&first.as_str()) {
        (first.clone(), split.item.get(first.len()..))
    } else if GATHERED.contains(&second.as_str())
        && (noun::is_size(&first) || ["good", "generous"].contains(&first.as_str()))
    {
        let said = format!("{first} {second}");
        (said.clone(), split.item.get(said.len()..))
    } else {
        return;
    };
    let amount = format!("1 {said}");
    if split.amount.is_none()
        && let Some(rest) = rest.map(str::trim).filter(|r| !r.is_empty())
        && quantity::parse(&amount).is_ok()
    {
        split.item = rest.strip_prefix("of ").unwrap_or(rest).to_owned();
        split.amount = Some(amount);
    }
}

/// "3 cm piece of ginger": one piece; its size is a note.
fn sized_piece(split: &mut Split) {
    let Some(amount) = split.amount.clone() else {
        return;
    };
    let length = quantity::parse(&amount)
        .ok()
        .and_then(|a| a.quantity().and_then(quantity::Quantity::dimension));
    if length != Some(crate::measure::unit::Dimension::Length) {
        return;
    }
    for noun in ["piece", "knob", "stick", "length"] {
        if let Some(rest) = split.item.strip_prefix(&format!("{noun} ")) {
            let item = rest.strip_prefix("of ").unwrap_or(rest).trim().to_owned();
            split.item = item;
            split.amount = Some(format!(
                "1 {}",
                if noun == "length" { "piece" } else { noun }
            ));
            let note = split.note.take();
            split.note = Some(match note {
                Some(note) => format!("{amount}, {note}"),
                None => amount,
            });
            return;
        }
    }
}

/// Without the bullet or box before it.
fn bare(text: &str) -> &str {
    text.trim_start_matches(|c: char| {
        c.is_whitespace() || matches!(c, '-' | '*' | '•' | '·' | '–' | '▢' | '□' | '☐' | '+')
    })
    .trim_end()
}

/// The amount at the start of a line, as it is written, and what follows it.
fn amount(text: &str) -> (Option<String>, &str) {
    let Ok(Some((_, rest))) = quantity::read(text) else {
        return handful(text).unwrap_or((None, text));
    };
    let mut rest = rest;
    // An equivalent in the other system belongs to the amount: "200g/7oz", "1/2 cup (120 ml)".
    let after = rest.trim_start();
    if let Some(other) = after.strip_prefix('/')
        && let Ok(Some((q, behind))) = quantity::read(other.trim_start())
        && q.unit().is_some()
    {
        rest = behind;
    } else if let Some(inner) = after.strip_prefix('(')
        && let Some((inner, behind)) = inner.split_once(')')
        && let Ok(Some((q, ""))) =
            quantity::read(inner).map(|r| r.map(|(q, rest)| (q, rest.trim())))
        && q.unit().is_some()
    {
        rest = behind;
    }
    let taken = text
        .get(..text.len() - rest.len())
        .unwrap_or(text)
        .trim()
        .trim_end_matches(',');
    let taken = taken.strip_suffix(" of").unwrap_or(taken);
    match quantity::parse(taken) {
        Ok(_) => (
            Some(taken.to_owned()),
            rest.trim_start().trim_start_matches("of "),
        ),
        Err(_) => (None, text),
    }
}

/// "a few sprigs of thyme", "knob of butter": an amount without a number.
fn handful(text: &str) -> Option<(Option<String>, &str)> {
    let (said, rest) = text.split_once(" of ")?;
    let lower = said.to_lowercase();
    let few = ["a few ", "some ", "several ", "few "];
    let noun = few
        .iter()
        .find_map(|w| lower.strip_prefix(w))
        .unwrap_or(&lower);
    let last = noun.rsplit(' ').next().unwrap_or(noun);
    if !noun::is_counted(last) || noun.split(' ').count() > 2 {
        return None;
    }
    let amount = if noun == lower {
        format!("1 {said}")
    } else {
        said.to_owned()
    };
    quantity::parse(&amount)
        .is_ok()
        .then_some((Some(amount), rest))
}

/// Item, note and substitutes of what follows the amount.
fn named(text: &str) -> Split {
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
            Some(other) if !other.contains([',', ';']) => others.push(other.trim().to_owned()),
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
    ]
    .into_iter()
    .flatten()
    .min();
    // "bone-in, skin-on chicken thighs": what stands before the comma is said of what follows.
    let cut = cut
        .map(|at| after_qualities(&item, at))
        .unwrap_or(item.len());
    let (name, tail) = item.split_at(cut.min(item.len()));
    let (name, tail) = (name.trim(), tail.trim_matches([',', ';', ' ', '-', '–']));
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
            (first, vec![other.trim().to_owned()])
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
        at = rest.find(", ").map_or(item.len(), |next| from + next);
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
fn to_taste(split: &mut Split) -> Option<String> {
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

/// "1 large onion": the size is the amount's.
fn sized(split: &mut Split) {
    let Some((size, item)) = split.item.split_once(' ') else {
        return;
    };
    if let Some(amount) = split.amount.as_ref().filter(|amount| is_bare(amount))
        && noun::is_size(size)
    {
        split.amount = Some(format!("{amount} {}", size.to_lowercase()));
        split.item = item.to_owned();
    }
}

/// Whether the amount is a number alone.
fn is_bare(amount: &str) -> bool {
    let parsed = quantity::parse(amount).ok();
    let measure = parsed
        .as_ref()
        .and_then(|a| a.quantity())
        .map(|q| &q.measure);
    matches!(measure, Some(quantity::Measure::Pieces(p)) if p.noun.is_none())
}

/// "2 garlic cloves": two cloves of garlic.
fn counted_noun(split: &mut Split) {
    const NOUNS: &[&str] = &[
        "clove", "sprig", "stalk", "rasher", "slice", "stick", "head",
    ];
    let Some(amount) = &split.amount else { return };
    let bare = is_bare(amount);
    let Some((name, last)) = split.item.rsplit_once(' ') else {
        return;
    };
    if bare
        && NOUNS.contains(&noun::singular(&last.to_lowercase()).as_str())
        && !["cinnamon", "whole", "ground"]
            .iter()
            .any(|w| name.ends_with(w))
    {
        split.amount = Some(format!("{amount} {last}"));
        split.item = name.to_owned();
    }
}

/// "Juice of 1 lemon", "zest and juice of 2 limes": the fruit is bought, the rest is a note.
fn juice_of(split: &mut Split) {
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

/// "Salt and pepper": two ingredients on one line.
fn salt_and_pepper(split: Split) -> Vec<Split> {
    let lower = split.item.to_lowercase();
    let Some((first, second)) = lower
        .split_once(" and ")
        .or_else(|| lower.split_once(" & "))
    else {
        return vec![split];
    };
    let salt = first.ends_with("salt") && first.split(' ').count() <= 2;
    if !salt || !second.ends_with("pepper") || second.contains(',') {
        return vec![split];
    }
    let one = |item: &str| Split {
        item: item.to_owned(),
        ..split.clone()
    };
    let pepper = second
        .strip_prefix("freshly ground ")
        .or(second.strip_prefix("ground "))
        .unwrap_or(second);
    vec![one(first), one(pepper)]
}
