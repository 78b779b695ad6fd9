//! An ingredient line split into amount, item and note.

mod amount;
mod name;
mod several;

use super::recipe::Written;

/// An ingredient for the dish file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Split {
    /// An amount that [`quantity::parse`](crate::measure::quantity::parse) reads.
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
    let (label, text) = after_label(text);
    let mut found = match several::listed(label, text) {
        Some(parts) => parts.into_iter().flat_map(one_line).collect(),
        None => one_line(text),
    };
    for split in &mut found {
        split.written.clone_from(&written);
        if split.item.is_empty() {
            // A line that is nothing but an amount, or nothing but a note.
            split.item = split.note.take().unwrap_or_else(|| text.to_owned());
        }
        if let Some(label) = label {
            add_note(split, label);
        }
    }
    found
}

fn one_line(text: &str) -> Vec<Split> {
    let (amount, rest) = amount::amount(text);
    if let Some((parts, note)) = amount.as_ref().and_then(|_| several::each(rest)) {
        let of_each = |part| {
            let mut split = name::named(part);
            split.amount.clone_from(&amount);
            split.note = split.note.or_else(|| note.map(str::to_owned));
            split
        };
        return parts.into_iter().map(of_each).collect();
    }
    let mut split = name::named(rest);
    split.amount = amount;
    amount::settle(&mut split);
    if let Some(taste) = name::to_taste(&mut split) {
        split.amount = split.amount.or(Some(taste));
    }
    amount::sizes_and_nouns(&mut split);
    name::juice_of(&mut split);
    several::salt_and_pepper(split)
}

/// "For the rice: 300 g basmati rice", "Optional: hot sauce": what is said of the line apart from it.
fn after_label(text: &str) -> (Option<&str>, &str) {
    const LABELS: &[&str] = &[
        "to serve",
        "serving",
        "optional",
        "garnish",
        "to garnish",
        "to finish",
        "to decorate",
        "topping",
        "toppings",
    ];
    match text.split_once(": ") {
        Some((label, rest)) if !rest.trim().is_empty() => {
            let lower = label.to_lowercase();
            let is_label = lower.starts_with("for ") || LABELS.contains(&lower.as_str());
            if is_label {
                (Some(label), rest.trim())
            } else {
                (None, text)
            }
        }
        _ => (None, text),
    }
}

/// Adds a remark behind the others.
pub(super) fn add_note(split: &mut Split, note: &str) {
    let note = note.trim_end_matches(':').trim();
    // A heading of nothing but its colon says nothing.
    if note.is_empty() {
        return;
    }
    let mut chars = note.chars();
    let note: String = chars.next().map_or_else(String::new, |first| {
        first.to_lowercase().chain(chars).collect()
    });
    split.note = Some(match split.note.take() {
        Some(before) => format!("{before}, {note}"),
        None => note,
    });
}

/// Without the bullet or box before it.
fn bare(text: &str) -> &str {
    text.trim_start_matches(|c: char| {
        c.is_whitespace() || matches!(c, '-' | '*' | '•' | '·' | '–' | '▢' | '□' | '☐' | '+')
    })
    .trim_end()
}
