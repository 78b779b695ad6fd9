//! The shopping list as text, as Markdown with check boxes, and as JSON.

use serde_json::{Value, json};
use unicode_width::UnicodeWidthStr;

use super::{Item, List, Total, Use};
use crate::measure::quantity::Measure;
use crate::measure::{print, to_f64};

/// As text in columns: amount, item, who needs it.
pub fn text(list: &List) -> String {
    let mut out = format!("{}\n", heading(list));
    let items = || list.sections.iter().flat_map(|s| &s.items);
    let amount_width = items()
        .map(|i| i.amount(list.units).width())
        .filter(|width| *width <= 24)
        .max()
        .unwrap_or(0);
    let item_width = items().map(|i| label(i).width()).max().unwrap_or(0).min(36);
    for section in &list.sections {
        out.push_str(&format!("\n{}\n", section.name));
        for item in &section.items {
            let amount = item.amount(list.units);
            let amount = if amount.width() > amount_width {
                // A long amount has a line of its own, and breaks no column.
                out.push_str(&format!("  {amount}\n"));
                String::new()
            } else {
                amount
            };
            let amount = padded(&amount, amount_width);
            let label = padded(&label(item), item_width);
            out.push_str(format!("  {amount}  {label}  {}", needed_by(list, item)).trim_end());
            out.push('\n');
            for line in asides(item) {
                out.push_str(&format!("  {:amount_width$}    {line}\n", ""));
            }
        }
    }
    if let Some(have) = have(list) {
        out.push_str(&format!("\n{have}\n"));
    }
    out
}

/// As Markdown with a check box for each item.
pub fn markdown(list: &List) -> String {
    let mut out = format!("# {}\n", escaped(&heading(list)));
    for section in &list.sections {
        out.push_str(&format!("\n## {}\n\n", section.name));
        for item in &section.items {
            let amount = item.amount(list.units);
            let gap = if amount.is_empty() { "" } else { " " };
            out.push_str(&format!(
                "- [ ] {}{gap}**{}**: {}\n",
                escaped(&amount),
                escaped(&label(item)),
                escaped(&needed_by(list, item))
            ));
            for line in asides(item) {
                out.push_str(&format!("  - {}\n", escaped(&line)));
            }
        }
    }
    if let Some(have) = have(list) {
        out.push_str(&format!("\n{}\n", escaped(&have)));
    }
    out
}

/// As JSON: `meals`, `sections` with `items`, and `have`. Numbers are decimal; `amount` is as the cook reads it.
pub fn json(list: &List) -> Value {
    let section = |s: &super::Section| {
        json!({
            "name": s.name,
            "items": s.items.iter().map(|i| item(list, i)).collect::<Vec<_>>(),
        })
    };
    json!({
        "meals": list.meals,
        "sections": list.sections.iter().map(section).collect::<Vec<_>>(),
        "have": list.have.iter().map(|i| item(list, i)).collect::<Vec<_>>(),
    })
}

fn item(list: &List, item: &Item) -> Value {
    json!({
        "item": item.name,
        "amount": item.amount(list.units),
        "totals": item.totals.iter().map(total).collect::<Vec<_>>(),
        "optional": item.optional,
        "pantry": item.pantry,
        "for": item.uses.iter().map(|u| used(list, u)).collect::<Vec<_>>(),
    })
}

fn total(total: &Total) -> Value {
    let unit = match &total.quantity.measure {
        Measure::Unit(unit) => Some(unit.name(true).to_owned()),
        Measure::Pieces(pieces) => match (&pieces.noun, &pieces.each) {
            (Some((one, _)), Some((size, unit))) => {
                Some(format!("{} {one}", print::value(*size, *unit)))
            }
            (noun, _) => noun.as_ref().map(|(one, _)| one.clone()),
        },
    };
    json!({
        "least": to_f64(total.quantity.lo),
        "most": to_f64(total.quantity.hi),
        "buy": to_f64(total.buy),
        "unit": unit,
    })
}

fn used(list: &List, used: &Use) -> Value {
    json!({
        "meal": list.meals.get(used.meal).map(|m| &m.title),
        "dish": used.dish,
        "item": used.item,
        "amount": used.amount(list.units),
        "note": used.note,
        "optional": used.optional,
        "or": used.or,
    })
}

fn heading(list: &List) -> String {
    let meals: Vec<String> = list
        .meals
        .iter()
        .map(|m| {
            format!(
                "{} ({} {})",
                m.title,
                m.guests,
                if m.guests == 1 { "guest" } else { "guests" }
            )
        })
        .collect();
    format!("Shopping for {}", meals.join(", "))
}

fn label(item: &Item) -> String {
    if item.optional {
        format!("{} (optional)", item.name)
    } else {
        item.name.clone()
    }
}

/// "Soup 3 cloves, Roast 2 cloves"; the amounts only where several dishes share.
fn needed_by(list: &List, item: &Item) -> String {
    let several_meals = list.meals.len() > 1;
    let one = |u: &Use| {
        let mut text = u.dish.clone();
        if several_meals && let Some(meal) = list.meals.get(u.meal) {
            text = format!("{}/{text}", meal.title);
        }
        let amount = u.plain_amount();
        if item.uses.len() > 1 && !amount.is_empty() {
            text = format!("{text} {amount}");
        }
        if u.optional && !item.optional {
            text.push_str(" (optional)");
        }
        text
    };
    item.uses.iter().map(one).collect::<Vec<_>>().join(", ")
}

/// What is said under an item: how it is wanted, what may take its place, what the pantry has.
fn asides(item: &Item) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut add = |line: String| {
        if !lines.contains(&line) {
            lines.push(line);
        }
    };
    for used in &item.uses {
        // That it is optional stands with its name.
        let more = |note: &&String| !note.eq_ignore_ascii_case("optional");
        if let Some(note) = used.note.as_ref().filter(more) {
            let shared = item.uses.len() > 1;
            add(match shared {
                true => format!("{note} ({})", used.dish),
                false => note.clone(),
            });
        }
        for or in &used.or {
            add(format!("or {or} ({})", used.dish));
        }
    }
    if let Some(pantry) = &item.pantry {
        add(format!("pantry: {pantry}"));
    }
    lines
}

fn have(list: &List) -> Option<String> {
    let names: Vec<String> = list
        .have
        .iter()
        .map(|i| match &i.pantry {
            Some(pantry) => format!("{} ({pantry})", i.name),
            None => format!("{} (from the tap)", i.name),
        })
        .collect();
    (!names.is_empty()).then(|| format!("In the house: {}", names.join(", ")))
}

fn padded(text: &str, width: usize) -> String {
    format!("{text}{}", " ".repeat(width.saturating_sub(text.width())))
}

/// Signs that Markdown would take for its own.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if matches!(
            c,
            '\\' | '*' | '_' | '`' | '[' | ']' | '<' | '>' | '#' | '|'
        ) {
            out.push('\\');
        }
        out.push(c);
    }
    out
}
