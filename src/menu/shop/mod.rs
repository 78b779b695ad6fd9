//! One shopping list over all dishes of one or several sessions.
//!
//! Amounts are scaled to each session's guests and merged exactly: the total of an item is the sum of what its
//! dishes need, to the last rational. What cannot be added up (two onions and a cup of chopped onion) stands side
//! by side.

use serde::Serialize;

use super::amounts;
use super::model::Session;
use crate::measure::quantity::{self, Amount, Measure};
use crate::measure::unit::Unit;
use crate::measure::units::{self, Units};
use crate::measure::{Ratio, food, noun, print};

mod merge;
mod names;
pub mod pantry;
pub(super) mod sections;
mod write;

pub use merge::Total;
pub use pantry::Pantry;
pub use write::{json, markdown, text};

/// What to buy.
#[derive(Clone, Debug, PartialEq)]
pub struct List {
    /// The meals it is for.
    pub meals: Vec<Meal>,
    /// By section of the market, in the order in which a shop is walked; none is empty.
    pub sections: Vec<Section>,
    /// What need not be bought: what the pantry covers, and water.
    pub have: Vec<Item>,
    /// How amounts are shown.
    pub units: Units,
}

/// One meal of the list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Meal {
    /// Its title.
    pub title: String,
    /// For how many.
    pub guests: u32,
}

/// A section of the market.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// "Fruit and vegetables".
    pub name: String,
    /// In alphabetical order.
    pub items: Vec<Item>,
}

/// One thing to buy.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// As the first dish names it.
    pub name: String,
    /// How much of it: several where amounts cannot be added up, none where no dish says a number.
    pub totals: Vec<Total>,
    /// Who needs it.
    pub uses: Vec<Use>,
    /// No dish needs it.
    pub optional: bool,
    /// What the pantry has of it that could not be taken off, or that was.
    pub pantry: Option<String>,
}

/// What one dish needs of an item.
#[derive(Clone, Debug, PartialEq)]
pub struct Use {
    /// Which meal of the list, by index.
    pub meal: usize,
    /// The dish's title.
    pub dish: String,
    /// The item as the dish names it.
    pub item: String,
    /// For the guests; `None`: the dish gives none.
    pub amount: Option<Amount>,
    /// "whole".
    pub note: Option<String>,
    /// The dish does without it.
    pub optional: bool,
    /// Substitutes, scaled.
    pub or: Vec<String>,
}

/// The shopping list of the sessions, less what the pantry has.
pub fn list(sessions: &[&Session], pantry: &Pantry, units: Units) -> List {
    let meals = sessions
        .iter()
        .map(|s| Meal {
            title: s.title.clone(),
            guests: s.guests,
        })
        .collect();
    let mut groups: Vec<(String, Vec<Use>)> = Vec::new();
    for (meal, session) in sessions.iter().enumerate() {
        for used in uses(meal, session, units) {
            let key = names::merged(&used.item);
            match groups.iter_mut().find(|(name, _)| *name == key) {
                Some((_, uses)) => uses.push(used),
                None => groups.push((key, vec![used])),
            }
        }
    }
    let mut list = List {
        meals,
        sections: Vec::new(),
        have: Vec::new(),
        units,
    };
    let mut stock = pantry.clone();
    let mut found: Vec<(usize, Item)> = Vec::new();
    for (key, uses) in groups {
        let mut item = Item {
            name: names::shown(&uses),
            totals: merge::totals(&uses),
            optional: uses.iter().all(|u| u.optional),
            uses,
            pantry: None,
        };
        if stock.take(&key, &mut item) || names::from_the_tap(&key) {
            list.have.push(item);
        } else {
            found.push((sections::of(&item.name), item));
        }
    }
    found.sort_by_key(|(section, item)| (*section, item.name.to_lowercase()));
    for (section, item) in found {
        let name = sections::name(section);
        match list.sections.last_mut().filter(|last| last.name == name) {
            Some(last) => last.items.push(item),
            None => list.sections.push(Section {
                name: name.to_owned(),
                items: vec![item],
            }),
        }
    }
    list
}

/// What the dishes of a session need.
fn uses(meal: usize, session: &Session, units: Units) -> Vec<Use> {
    let mut uses = Vec::new();
    for dish in &session.dishes {
        let factor = amounts::factor(session, dish);
        for ingredient in &dish.ingredients {
            let (item, prepared) = names::split(&ingredient.item);
            let written = ingredient.amount.as_deref();
            let note = [ingredient.note.as_deref(), prepared]
                .into_iter()
                .flatten()
                .collect::<Vec<_>>()
                .join(", ");
            let optional = [written.unwrap_or_default(), &note]
                .iter()
                .any(|t| t.to_lowercase().contains("optional"));
            let amount = written.map(|text| scaled(text, factor));
            let (item, amount) = counted(item, amount);
            uses.push(Use {
                meal,
                dish: dish.title.clone(),
                item,
                amount,
                note: (!note.is_empty()).then_some(note),
                optional,
                or: ingredient
                    .or
                    .iter()
                    .map(|text| amounts::substitute(text, factor, units))
                    .collect(),
            });
        }
    }
    uses
}

/// "2" of "garlic clove" are 2 cloves of garlic.
fn counted(item: &str, mut amount: Option<Amount>) -> (String, Option<Amount>) {
    if let Some((name, last)) = item.rsplit_once(' ')
        && noun::is_counted(last)
        && names::merged(item) == names::merged(name)
        && let Some(Amount::Measured(quantity)) = &mut amount
        && let Measure::Pieces(pieces) = &mut quantity.measure
        && pieces.noun.is_none()
    {
        pieces.noun = Some(noun::forms(last));
        return (name.to_owned(), amount);
    }
    (item.to_owned(), amount)
}

/// What cannot be read or scaled is shown as written, and marked.
fn scaled(text: &str, factor: Ratio) -> Amount {
    match quantity::parse(text)
        .ok()
        .and_then(|amount| amount.times(factor))
    {
        Some(amount) => amount,
        None if factor == Ratio::from_integer(1) => Amount::Loose(text.to_owned()),
        None => Amount::Loose(format!("{text} (as the recipe has it, not scaled)")),
    }
}

impl Item {
    /// How much to buy, in words: "1.2 kg", "3 (2 1/2 needed)", "about 175 g (31 g + 1 1/4 sticks)", "to taste"; empty
    /// if no dish says.
    pub fn amount(&self, units: Units) -> String {
        let note = self
            .uses
            .iter()
            .find_map(|u| u.note.as_deref())
            .unwrap_or_default();
        let wanted: Vec<&Total> = self
            .totals
            .iter()
            .filter(|total| total.buy > Ratio::from_integer(0))
            .collect();
        // One amount to buy where what cannot be added can at least be weighed.
        if wanted.len() > 1
            && let Some(grams) = self.grams()
        {
            let parts: Vec<String> = wanted.iter().map(|total| total.needed()).collect();
            return format!("about {grams} ({})", parts.join(" + "));
        }
        if !wanted.is_empty() {
            let parts: Vec<String> = wanted
                .iter()
                .map(|total| total.show(&self.name, note, units))
                .collect();
            return parts.join(" + ");
        }
        let mut words: Vec<String> = Vec::new();
        for used in &self.uses {
            if let Some(Amount::Loose(text)) = &used.amount
                && !words.contains(text)
            {
                words.push(text.clone());
            }
        }
        words.join(", ")
    }
}

impl Item {
    /// What pieces and weights come to in all, rounded up to what a scale is read to, where the table of foods knows what a piece weighs.
    fn grams(&self) -> Option<String> {
        let of = |total: &Total| {
            let grams = food::grams(total.buy, &total.quantity, &self.name, "")?;
            (grams > Ratio::from_integer(0)).then_some(grams)
        };
        let wanted = self
            .totals
            .iter()
            .filter(|total| total.buy > Ratio::from_integer(0));
        let grams: Ratio = wanted.map(of).sum::<Option<Ratio>>()?;
        let step = Ratio::from_integer(if grams < Ratio::from_integer(50) {
            1
        } else {
            5
        });
        Some(print::value((grams / step).ceil() * step, Unit::Gram))
    }
}

impl Use {
    /// "60 g", "2 cloves", "to taste"; empty if the dish gives no amount.
    pub fn amount(&self, units: Units) -> String {
        let note = self.note.as_deref().unwrap_or_default();
        self.amount
            .as_ref()
            .map(|amount| units::show(amount, &self.item, note, units))
            .unwrap_or_default()
    }

    /// The amount without the other system beside it.
    pub fn plain_amount(&self) -> String {
        self.amount.as_ref().map(print::amount).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests;
