//! Dishes: the same reader for `[[dish]]` in a session and for dish files.

use std::collections::HashMap;

use toml::de::DeTable;

use super::{Document, Fields, MOST_STEPS, Reader, Spot, StepPlaces, step};
use crate::measure::quantity;
use crate::menu::diagnostic::{At, Diagnostic};
use crate::menu::keys::{DISH, INGREDIENT};
use crate::menu::model::{Dish, Ingredient};

/// A dish whose references are not resolved yet.
#[derive(Clone, Debug)]
pub(in crate::menu) struct RawDish {
    pub dish: Dish,
    pub at: At,
    pub id_at: At,
    pub makes_at: At,
    /// Where each ingredient stands.
    pub ingredients: Vec<At>,
    /// One for each step.
    pub places: Vec<StepPlaces>,
    /// Some of its steps could not be read: what seems undefined may be among them.
    pub incomplete: bool,
}

/// A dish file. `id` is what it is looked up by, if it is.
pub(in crate::menu) fn dish_file(reader: &mut Reader, document: &Document, id: &str) -> RawDish {
    let dish = dish_table(reader, &document.table, document.at(), Some(id));
    // With a fallback there is always one.
    dish.unwrap_or_else(|| RawDish::nothing(id, document.at()))
}

/// A dish of a table. In a session `fallback` is `None`, and one without an id is none.
pub(in crate::menu) fn dish_table<'t>(
    reader: &mut Reader,
    entries: &'t DeTable<'t>,
    at: At,
    fallback: Option<&str>,
) -> Option<RawDish> {
    let fields = reader.open(&DISH, entries, at);
    let id = identity(reader, &fields, fallback);
    let title = fields.name(reader, "title").map(|title| title.value);
    let serves = fields.positive(reader, "serves");
    let makes = fields.volume(reader, "makes");
    let mut raw = RawDish::nothing(id.as_ref().map_or("", |id| &id.value), at);
    raw.id_at = id.as_ref().map_or(at, |id| id.at);
    raw.makes_at = fields.spot("makes");
    raw.dish.title = title.unwrap_or_else(|| spoken(&raw.dish.id));
    raw.dish.serves = serves;
    raw.dish.makes = makes;
    for (entries, at) in fields.tables(reader, "ingredient").unwrap_or_default() {
        if let Some(ingredient) = ingredient(reader, entries, at) {
            raw.dish.ingredients.push(ingredient.value);
            raw.ingredients.push(ingredient.at);
        }
    }
    steps(reader, &fields, &mut raw);
    id.map(|_| raw)
}

impl RawDish {
    fn nothing(id: &str, at: At) -> Self {
        Self {
            dish: Dish {
                id: id.into(),
                title: spoken(id),
                serves: None,
                makes: None,
                ingredients: Vec::new(),
                steps: Vec::new(),
            },
            at,
            id_at: at,
            makes_at: at,
            ingredients: Vec::new(),
            places: Vec::new(),
            incomplete: false,
        }
    }
}

fn identity(reader: &mut Reader, fields: &Fields, fallback: Option<&str>) -> Option<Spot<String>> {
    let own = fields.id(reader, "id");
    let Some(expected) = fallback else {
        if own.is_none() && fields.value("id").is_none() {
            reader.absence(
                Diagnostic::error(fields.at, "a dish of a session lacks 'id'")
                    .help("add id = \"...\", the name by which a course calls it"),
            );
        }
        return own;
    };
    if let Some(own) = &own
        && own.value != expected
    {
        reader.push(
            Diagnostic::error(
                own.at,
                format!("the id '{}' in the file of '{expected}'", own.value),
            )
            .help("a dish file is named by its id: change one, or leave 'id' out"),
        );
    }
    Some(Spot {
        value: expected.to_owned(),
        at: own.map_or(fields.at, |own| own.at),
    })
}

/// "roast-chicken" as "Roast chicken".
pub(in crate::menu) fn spoken(id: &str) -> String {
    let words = id.replace(['-', '_'], " ");
    let mut chars = words.chars();
    match chars.next() {
        Some(first) => first.to_uppercase().chain(chars).collect(),
        None => String::new(),
    }
}

fn ingredient<'t>(
    reader: &mut Reader,
    entries: &'t DeTable<'t>,
    at: At,
) -> Option<Spot<Ingredient>> {
    let fields = reader.open(&INGREDIENT, entries, at);
    let amount = fields.number_text(reader, "amount").and_then(|amount| {
        match quantity::parse(&amount.value) {
            Ok(_) => Some(amount.value),
            Err(error) => {
                let message = format!("'{}' is not an amount: {error}", amount.value);
                reader.push(
                    Diagnostic::error(amount.at, message)
                        .help("write a number or range with or without a unit, or 'to taste'"),
                );
                None
            }
        }
    });
    let note = fields.text(reader, "note").map(|note| note.value);
    let or = fields.names(reader, "or").unwrap_or_default();
    let item = fields.name(reader, "item")?;
    Some(Spot {
        value: Ingredient {
            item: item.value,
            amount,
            note,
            or: or.into_iter().map(|spot| spot.value).collect(),
        },
        at: item.at,
    })
}

fn steps(reader: &mut Reader, fields: &Fields, raw: &mut RawDish) {
    let Some(tables) = fields.tables(reader, "step") else {
        raw.incomplete = true;
        return;
    };
    if tables.is_empty() {
        reader.push(
            Diagnostic::error(fields.spot("step"), "a dish without steps")
                .help("add [[step]] with id, do and takes"),
        );
    }
    let mut seen: HashMap<String, At> = HashMap::new();
    for (entries, at) in tables {
        reader.steps += 1;
        if reader.steps > MOST_STEPS {
            // One word is enough, and a bound is there to be kept.
            if reader.steps == MOST_STEPS + 1 {
                reader.error(
                    at,
                    format!("more than {MOST_STEPS} steps: no more are read"),
                );
            }
            raw.incomplete = true;
            return;
        }
        let (step, places) = step::step(reader, entries, at);
        let Some(step) = step else {
            raw.incomplete = true;
            continue;
        };
        if let Some(first) = seen.insert(step.id.clone(), places.id) {
            reader.push(
                Diagnostic::error(
                    places.id,
                    format!("a second step '{}' in this dish", step.id),
                )
                .also(first, "the first")
                .help("give each step its own id"),
            );
            raw.incomplete = true;
            continue;
        }
        raw.dish.steps.push(step);
        raw.places.push(places);
    }
}
