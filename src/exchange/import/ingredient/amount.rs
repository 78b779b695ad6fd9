//! The amount of an ingredient line, and what of the words behind it belongs to the amount.

use super::Split;
use crate::measure::unit::Dimension;
use crate::measure::{Ratio, noun, quantity};

/// The amount at the start of a line, as it is written, and what follows it.
pub(super) fn amount(text: &str) -> (Option<String>, &str) {
    let Ok(Some((_, rest))) = quantity::read(text) else {
        return few(text).or_else(|| handful(text)).unwrap_or((None, text));
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

/// "a few sprigs of thyme", "a few drops vanilla extract".
fn few(text: &str) -> Option<(Option<String>, &str)> {
    let lower = text.to_lowercase();
    let mut end = ["a few ", "some ", "several ", "few "]
        .iter()
        .find(|words| lower.starts_with(**words))?
        .len();
    for _ in 0..2 {
        let rest = text.get(end..)?;
        let word = rest.split(' ').next()?;
        if noun::is_counted(word) {
            let amount = text.get(..end + word.len())?;
            let item = text.get(end + word.len()..)?.trim_start();
            let item = item.strip_prefix("of ").unwrap_or(item);
            let reads = !item.is_empty() && quantity::parse(amount).is_ok();
            return reads.then(|| (Some(amount.to_owned()), item));
        }
        end += word.len() + 1;
    }
    None
}

/// "knob of butter": one knob.
fn handful(text: &str) -> Option<(Option<String>, &str)> {
    let (said, rest) = text.split_once(" of ")?;
    let lower = said.to_lowercase();
    let last = lower.rsplit(' ').next().unwrap_or(&lower);
    if !noun::is_counted(last) || lower.split(' ').count() > 2 {
        return None;
    }
    let amount = format!("1 {said}");
    quantity::parse(&amount)
        .is_ok()
        .then_some((Some(amount), rest))
}

/// What of the item's first words belongs to the amount.
pub(super) fn settle(split: &mut Split) {
    bunch_without_number(split);
    sized_piece(split);
    shaped_piece(split);
    half_a_bunch(split);
    dozens(split);
    container(split);
    weight_behind(split);
}

/// The size of a piece, and the noun that is counted.
pub(super) fn sizes_and_nouns(split: &mut Split) {
    sized(split);
    counted_noun(split);
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
    if length != Some(Dimension::Length) {
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

/// "1 thumb-sized piece of ginger": one piece; how large is a note.
fn shaped_piece(split: &mut Split) {
    let Some(amount) = split.amount.clone().filter(|amount| is_bare(amount)) else {
        return;
    };
    let Some((shape, rest)) = split.item.split_once(' ') else {
        return;
    };
    let sized = shape.ends_with("-sized") || shape.ends_with("-size");
    let (noun, item) = rest.split_once(' ').unwrap_or((rest, ""));
    if !sized || !noun::is_counted(noun) || item.is_empty() {
        return;
    }
    let item = item.strip_prefix("of ").unwrap_or(item).to_owned();
    split.amount = Some(format!("{amount} {noun}"));
    split.note = Some(match split.note.take() {
        Some(note) => format!("{shape}, {note}"),
        None => shape.to_owned(),
    });
    split.item = item;
}

/// "½ a bunch of sage": half a bunch.
fn half_a_bunch(split: &mut Split) {
    let Some(amount) = split.amount.as_deref().filter(|amount| is_bare(amount)) else {
        return;
    };
    let Some((noun, item)) = split
        .item
        .strip_prefix("a ")
        .and_then(|rest| rest.split_once(' '))
    else {
        return;
    };
    if noun::is_counted(noun) {
        let item = item.strip_prefix("of ").unwrap_or(item).to_owned();
        split.amount = Some(format!("{amount} {noun}"));
        split.item = item;
    }
}

/// "2 dozen oysters": 24.
fn dozens(split: &mut Split) {
    let Some(item) = split.item.strip_prefix("dozen ") else {
        return;
    };
    let amount = split.amount.as_deref().filter(|amount| is_bare(amount));
    let Some(Ok(quantity::Amount::Measured(count))) = amount.map(quantity::parse) else {
        return;
    };
    let twelve = Ratio::from_integer(12);
    let (lo, hi) = (count.lo * twelve, count.hi * twelve);
    if lo.is_integer() && hi.is_integer() {
        split.amount = Some(if lo == hi {
            lo.to_integer().to_string()
        } else {
            format!("{} to {}", lo.to_integer(), hi.to_integer())
        });
        split.item = item.to_owned();
    }
}

/// What is sold by the piece, with its weight or volume printed on it.
const CONTAINERS: &[&str] = &[
    "bag", "ball", "block", "bottle", "box", "can", "carton", "jar", "pack", "package", "packet",
    "pot", "pouch", "punnet", "sachet", "tin", "tub", "tube",
];

/// "400g can plum tomatoes": one can of 400 g.
fn container(split: &mut Split) {
    let Some((noun, item)) = split.item.split_once(' ') else {
        return;
    };
    let Some(amount) = &split.amount else { return };
    let weighed = quantity::parse(amount).is_ok_and(|amount| {
        matches!(amount.quantity(), Some(q) if q.lo == q.hi && matches!(q.dimension(), Some(Dimension::Mass | Dimension::Volume)))
    });
    let item = item.strip_prefix("of ").unwrap_or(item);
    let is_dish = noun == "pot" && ["roast", "barley", "noodles"].contains(&item);
    if weighed && !is_dish && CONTAINERS.contains(&noun) {
        let packed = format!("1 x {amount} {noun}");
        if quantity::parse(&packed).is_ok() {
            (split.item, split.amount) = (item.to_owned(), Some(packed));
        }
    }
}

/// "1 sachet yeast (7 g)": one sachet of 7 g.
fn weight_behind(split: &mut Split) {
    let (Some(amount), Some(note)) = (&split.amount, &split.note) else {
        return;
    };
    let last = amount.rsplit(' ').next().unwrap_or(amount);
    if !CONTAINERS.contains(&noun::singular(last).as_str()) || amount.contains(['(', '/']) {
        return;
    }
    let weighed = matches!(quantity::read(note), Ok(Some((q, ""))) if matches!(q.dimension(), Some(Dimension::Mass | Dimension::Volume)));
    let whole = format!("{amount} ({note})");
    if weighed && quantity::parse(&whole).is_ok() {
        (split.amount, split.note) = (Some(whole), None);
    }
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
