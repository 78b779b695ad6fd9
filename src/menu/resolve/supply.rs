//! What a dish needs, against what there is.

use std::collections::HashMap;

use crate::measure::Ratio;
use crate::menu::diagnostic::{At, Diagnostic};
use crate::menu::model::{Kitchen, Step};
use crate::menu::read::{RawDish, Reader, StepPlaces};

/// A vessel is not filled more often in one step.
const MOST_BATCHES: i128 = 1000;

/// What goes in must be listed.
pub(super) fn uses(reader: &mut Reader, raw: &RawDish) {
    let items = || {
        raw.dish
            .ingredients
            .iter()
            .map(|ingredient| ingredient.item.as_str())
    };
    for places in &raw.places {
        for name in &places.uses {
            if !items().any(|item| item == name.value) {
                let message = format!("'{}' is not an ingredient of '{}'", name.value, raw.dish.id);
                reader.undefined(name.at, message, &name.value, items());
            }
        }
    }
}

/// More of a thing at once than exists is an error.
pub(super) fn enough(reader: &mut Reader, raw: &RawDish, kitchen: &Kitchen, guests: Option<u32>) {
    let counts: HashMap<&str, u32> = kitchen
        .wares
        .iter()
        .map(|w| (w.name.as_str(), w.count))
        .collect();
    let racks = kitchen
        .ovens
        .iter()
        .map(|oven| oven.racks)
        .max()
        .unwrap_or(0);
    for (step, places) in raw.dish.steps.iter().zip(&raw.places) {
        for need in &step.needs {
            let burner = need.name == "burner";
            let there = match counts.get(need.name.as_str()) {
                _ if burner => kitchen.burners,
                Some(count) => *count,
                None => 1,
            };
            if need.count <= there {
                continue;
            }
            let message = format!(
                "the step '{}' needs {} of '{}' at once, and the kitchen has {there}",
                step.id, need.count, need.name
            );
            let help = if burner {
                "change 'burners' in the kitchen, or the step".to_owned()
            } else {
                format!(
                    "add [[ware]] with name = \"{}\" and its count to the kitchen, or change the step",
                    need.name
                )
            };
            reader.push(Diagnostic::error(where_needed(places, &need.name), message).help(help));
        }
        if let Some(oven) = &step.oven
            && oven.racks > racks
        {
            let at = places.racks.or(places.oven).unwrap_or(places.id);
            let message = format!(
                "the step '{}' takes {} racks, and no oven has more than {racks}",
                step.id, oven.racks
            );
            reader.push(
                Diagnostic::error(at, message)
                    .help("change 'racks' of the oven in the kitchen, or the step"),
            );
        }
        batch(reader, raw, step, places, kitchen, guests);
    }
}

/// The last mention is the one too many.
fn where_needed(places: &StepPlaces, name: &str) -> At {
    let last = places.needs.iter().rev().find(|need| need.value == name);
    last.map_or(places.id, |need| need.at)
}

fn batch(
    reader: &mut Reader,
    raw: &RawDish,
    step: &Step,
    places: &StepPlaces,
    kitchen: &Kitchen,
    guests: Option<u32>,
) {
    let (Some(vessel), Some(at)) = (&step.batch, places.batch) else {
        return;
    };
    let holds = match kitchen.wares.iter().find(|ware| ware.name == *vessel) {
        None => {
            let names = kitchen.wares.iter().map(|ware| ware.name.as_str());
            let near = crate::menu::read::nearest(vessel, names);
            let mut diagnostic = Diagnostic::error(
                at,
                format!("the kitchen has no cookware '{vessel}' to fill in batches"),
            );
            diagnostic = match near {
                Some(near) => diagnostic.help(format!("did you mean '{near}'?")),
                None => diagnostic.help(format!(
                    "add [[ware]] with name = \"{vessel}\" and what it holds to the kitchen"
                )),
            };
            reader.absence(diagnostic);
            None
        }
        Some(ware) if ware.holds.is_none() => {
            reader.push(
                Diagnostic::error(at, format!("the kitchen doesn't say what '{vessel}' holds"))
                    .help(format!("add holds = \"2 L\" to the cookware '{vessel}'")),
            );
            None
        }
        Some(ware) => ware.holds,
    };
    if raw.dish.makes.is_none() {
        reader.absence(
            Diagnostic::error(
                at,
                format!("'batch' needs to know what '{}' makes", raw.dish.id),
            )
            .help("add makes = \"2.4 L\" to the dish"),
        );
    }
    let (Some(holds), Some(makes), Some(guests)) = (holds, raw.dish.makes, guests) else {
        return;
    };
    let factor = match raw.dish.serves {
        Some(serves) => Ratio::from_integer(i128::from(guests)) / serves,
        None => Ratio::from_integer(1),
    };
    let filled = if step.hot {
        holds * Ratio::new(2, 3)
    } else {
        holds
    };
    let batches = (makes * factor / filled).ceil().to_integer();
    if batches > MOST_BATCHES {
        let message = format!("'{vessel}' would be filled {batches} times");
        reader.push(
            Diagnostic::error(at, message)
                .help(format!("at most {MOST_BATCHES} batches are planned")),
        );
    }
}
