//! The amounts of a dish for the guests of the session, as the cook reads them.

use num_traits::CheckedDiv;

use super::model::{Dish, Ingredient, Session};
use crate::measure::noun;
use crate::measure::quantity::{self, Amount, Measure, Pieces};
use crate::measure::units::{self, Units};
use crate::measure::{Ratio, food};

/// An ingredient with its amount for the guests, in words to show.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// Which of the dish's ingredients, by index.
    pub ingredient: usize,
    /// "1.2 kg", "1 cup (125 g)", "to taste"; empty if none is given.
    pub amount: String,
    /// "potatoes".
    pub item: String,
    /// "whole".
    pub note: Option<String>,
    /// What to do about an amount that can't be measured out: "beat the third, use half of it (about 25 g)".
    pub hint: Option<String>,
    /// Substitutes, scaled where they name an amount.
    pub or: Vec<String>,
    /// Other steps use it too: the amount is for all of them together.
    pub shared: bool,
}

impl Line {
    /// "1.2 kg potatoes", "3 eggs", "salt, to taste".
    pub fn text(&self) -> String {
        let number = self.amount.starts_with(|c: char| c.is_ascii_digit())
            || self.amount.starts_with("about ");
        match (self.amount.is_empty(), number) {
            (true, _) => self.item.clone(),
            (_, true) if self.shared => format!("{} ({} in all)", self.item, self.amount),
            (_, true) => format!("{} {}", self.amount, self.item),
            (_, false)
                if self.amount.starts_with(|c: char| c.is_lowercase())
                    && is_loose(&self.amount) =>
            {
                format!("{}, {}", self.item, self.amount)
            }
            _ => format!("{} {}", self.amount, self.item),
        }
    }
}

fn is_loose(amount: &str) -> bool {
    matches!(quantity::parse(amount), Ok(Amount::Loose(_)) | Err(_))
}

/// How many times the servings it is written for the dish is made.
pub fn factor(session: &Session, dish: &Dish) -> Ratio {
    let guests = Ratio::from_integer(i128::from(session.guests));
    dish.serves
        .and_then(|serves| guests.checked_div(&serves))
        .unwrap_or(Ratio::from_integer(1))
}

/// The amounts that go in at a step: the ingredients that it names in `uses`. Empty for a step that isn't there.
pub fn for_step(session: &Session, dish: usize, step: usize, units: Units) -> Vec<Line> {
    let Some(dish) = session.dishes.get(dish) else {
        return Vec::new();
    };
    let Some(uses) = dish.steps.get(step).map(|s| &s.uses) else {
        return Vec::new();
    };
    let factor = factor(session, dish);
    let mut lines = Vec::new();
    for name in uses {
        for (index, shared) in used(dish, step, name) {
            if let Some(ingredient) = dish.ingredients.get(index) {
                lines.push(Line {
                    shared,
                    ..line(index, ingredient, factor, units)
                });
            }
        }
    }
    lines
}

/// Every ingredient of a dish, in the order of the file.
pub fn for_dish(session: &Session, dish: usize, units: Units) -> Vec<Line> {
    let Some(dish) = session.dishes.get(dish) else {
        return Vec::new();
    };
    let factor = factor(session, dish);
    dish.ingredients
        .iter()
        .enumerate()
        .map(|(index, i)| line(index, i, factor, units))
        .collect()
}

/// The ingredients that a step means by a name, and whether other steps share them. An item that is listed as
/// often as steps use it goes one to a step, in order ("butter, for the pan" and "butter, to finish").
fn used(dish: &Dish, step: usize, name: &str) -> Vec<(usize, bool)> {
    let wanted = food::key(name);
    let listed: Vec<usize> = dish
        .ingredients
        .iter()
        .enumerate()
        .filter(|(_, i)| i.item == name || food::key(&i.item) == wanted)
        .map(|(index, _)| index)
        .collect();
    let users: Vec<usize> = dish
        .steps
        .iter()
        .enumerate()
        .filter(|(_, s)| s.uses.iter().any(|u| food::key(u) == wanted))
        .map(|(index, _)| index)
        .collect();
    let place = users.iter().position(|user| *user == step);
    match (place, listed.len() == users.len()) {
        (Some(place), true) => listed
            .get(place)
            .map(|index| vec![(*index, false)])
            .unwrap_or_default(),
        _ => listed
            .into_iter()
            .map(|index| (index, users.len() > 1))
            .collect(),
    }
}

fn line(index: usize, ingredient: &Ingredient, factor: Ratio, units: Units) -> Line {
    let note = ingredient.note.as_deref().unwrap_or_default();
    let mut line = Line {
        ingredient: index,
        amount: String::new(),
        item: ingredient.item.clone(),
        note: ingredient.note.clone(),
        hint: None,
        or: ingredient
            .or
            .iter()
            .map(|text| substitute(text, factor, units))
            .collect(),
        shared: false,
    };
    let Some(written) = &ingredient.amount else {
        return line;
    };
    let scaled = quantity::parse(written)
        .ok()
        .and_then(|amount| amount.times(factor));
    match scaled {
        Some(amount) => {
            line.amount = units::show(&amount, &ingredient.item, note, units);
            if let Some(quantity) = amount.quantity() {
                line.hint = units::part_of_an_egg(quantity, &ingredient.item);
                let bare = match &quantity.measure {
                    Measure::Pieces(Pieces {
                        noun: Some((one, _)),
                        each: None,
                    }) => noun::is_size(one),
                    Measure::Pieces(Pieces { each, .. }) => each.is_none(),
                    Measure::Unit(_) => false,
                };
                if bare {
                    line.item = counted(&ingredient.item, quantity.hi > Ratio::from_integer(1));
                }
            }
        }
        // What is no amount is shown as written, and said to be for the servings of the file.
        None if factor == Ratio::from_integer(1) => line.amount = written.clone(),
        None => {
            line.amount = written.clone();
            line.hint = Some("as the recipe has it, not scaled".to_owned());
        }
    }
    line
}

/// "onion" or "onions", by how many.
fn counted(item: &str, several: bool) -> String {
    let (head, tail) = item.split_at(item.find(',').unwrap_or(item.len()));
    let one = noun::singular(head);
    let head = if several {
        if one == head {
            noun::plural(&one)
        } else {
            head.to_owned()
        }
    } else {
        one
    };
    format!("{head}{tail}")
}

/// "guinea fowl, 2 kg" for the guests: "guinea fowl, 1.3 kg".
pub fn substitute(text: &str, factor: Ratio, units: Units) -> String {
    let Some((item, amount)) = text.rsplit_once(',') else {
        return text.to_owned();
    };
    let scaled = quantity::parse(amount).ok().and_then(|a| a.times(factor));
    match scaled {
        Some(amount) => format!("{}, {}", item.trim(), units::show(&amount, item, "", units)),
        None => text.to_owned(),
    }
}

#[cfg(test)]
#[path = "amounts_tests.rs"]
mod tests;
