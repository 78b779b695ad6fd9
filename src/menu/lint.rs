//! What is probably not what the cook means: warnings, each at its place.

mod heat;
mod names;
mod vessel;

use std::collections::HashSet;

use super::StepRef;
use super::diagnostic::Diagnostic;
use super::model::Kitchen;
use super::read::{RawDish, Reader};
use super::resolve::Resolved;

/// Warnings about a session.
pub(super) fn session(reader: &mut Reader, resolved: &Resolved) {
    let kitchen = &resolved.session.kitchen;
    names::cookware(reader, &resolved.dishes, kitchen);
    let followed: HashSet<&StepRef> = resolved
        .dishes
        .iter()
        .flat_map(|raw| &raw.dish.steps)
        .flat_map(|step| &step.after)
        .collect();
    for raw in &resolved.dishes {
        single(reader, raw, &followed);
        vessel::too_small(reader, raw, kitchen, resolved.session.guests);
    }
}

/// Warnings about a dish by itself.
pub(super) fn dish(reader: &mut Reader, raw: &RawDish) {
    let steps = raw.dish.steps.iter();
    let followed: HashSet<&StepRef> = steps.flat_map(|step| &step.after).collect();
    names::cookware(reader, std::slice::from_ref(raw), &Kitchen::default());
    single(reader, raw, &followed);
}

fn single(reader: &mut Reader, raw: &RawDish, followed: &HashSet<&StepRef>) {
    unused(reader, raw);
    heat::last_step(reader, raw, followed);
    heat::one_step(reader, raw);
    heat::unreached(reader, raw);
}

/// What is listed and goes in nowhere.
fn unused(reader: &mut Reader, raw: &RawDish) {
    let used: HashSet<&str> = raw
        .dish
        .steps
        .iter()
        .flat_map(|step| &step.uses)
        .map(String::as_str)
        .collect();
    for (ingredient, at) in raw.dish.ingredients.iter().zip(&raw.ingredients) {
        let item = ingredient.item.as_str();
        if !used.contains(item) && !raw.incomplete {
            reader.push(
                Diagnostic::warning(
                    *at,
                    format!("the ingredient '{item}' of '{}' is never used", raw.dish.id),
                )
                .help(format!(
                    "add uses = [\"{item}\"] to the step in which it goes in"
                )),
            );
        }
    }
}
