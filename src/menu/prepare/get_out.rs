//! What to get out of the fridge, or to put to soak, and when.

use super::{GetOut, Part, users};
use crate::measure::food;
use crate::measure::units::Units;
use crate::menu::amounts;
use crate::menu::model::{Dish, Ingredient, Session};

/// What an ingredient's note or a step asks for, and how long it takes. Common practice, no source; what is
/// perishable stays under the two hours of the USDA for food out of the fridge.
const LEADS: &[(&[&str], i64, &str)] = &[
    (
        &["soaked overnight", "soak overnight"],
        12 * 3600,
        "to soak overnight",
    ),
    (&["soaked", "to soak"], 3600, "to soak"),
    (
        &["thawed", "defrosted"],
        24 * 3600,
        "to thaw in the fridge (24 h for each 2 kg)",
    ),
    (&["softened", "very soft", "to soften"], 3600, "to soften"),
    (
        &[
            "room temperature",
            "tempered",
            "out of the fridge",
            "not fridge-cold",
        ],
        1800,
        "to lose its chill",
    ),
];

/// What is still in good time out of the fridge.
fn asked(text: &str, item: &str) -> Option<(i64, &'static str)> {
    let lower = text.to_lowercase();
    let (_, lead, why) = LEADS
        .iter()
        .find(|(words, ..)| words.iter().any(|w| lower.contains(w)))?;
    // Vegetables are softened in the pan, not on the worktop.
    if *why == "to soften"
        && !["butter", "cheese", "margarine", "ice cream", "lard"]
            .iter()
            .any(|w| item.to_lowercase().contains(w))
    {
        return None;
    }
    Some((*lead, why))
}

pub(super) fn get_out(session: &Session, part: &Part<'_>, units: Units) -> Vec<GetOut> {
    let mut found: Vec<GetOut> = Vec::new();
    for (dish_index, dish) in session.dishes.iter().enumerate() {
        for line in amounts::for_dish(session, dish_index, units) {
            let Some(ingredient) = dish.ingredients.get(line.ingredient) else {
                continue;
            };
            let Some((lead, why)) = lead_of(dish, ingredient) else {
                continue;
            };
            if !part.has(dish_index, dish, ingredient) {
                continue;
            }
            let first = users(dish, ingredient)
                .filter_map(|step| part.start(dish_index, step))
                .min();
            let any = || {
                (0..dish.steps.len())
                    .filter_map(|step| part.start(dish_index, step))
                    .min()
            };
            found.push(GetOut {
                at: first.or_else(any).map(|at| at - lead),
                lead,
                what: line.text(),
                why,
                dish: dish.title.clone(),
            });
        }
    }
    found.sort_by_key(|g| (g.at.is_none(), g.at, std::cmp::Reverse(g.lead)));
    found
}

/// What the ingredient itself says, else a step that uses it and names it.
fn lead_of(dish: &Dish, ingredient: &Ingredient) -> Option<(i64, &'static str)> {
    let own = format!(
        "{} {}",
        ingredient.item,
        ingredient.note.as_deref().unwrap_or_default()
    );
    asked(&own, &ingredient.item).or_else(|| {
        let word = food::key(&ingredient.item);
        let last = word.rsplit(' ').next().unwrap_or_default().to_owned();
        users(dish, ingredient)
            .filter_map(|step| dish.steps.get(step))
            .filter(|step| step.instruction.to_lowercase().contains(&last))
            .find_map(|step| asked(&step.instruction, &ingredient.item))
            // A step that soaks or thaws does it by itself.
            .filter(|(lead, _)| *lead == 1800)
    })
}
