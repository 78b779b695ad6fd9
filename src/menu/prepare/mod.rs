//! What to do before the first step: what to get out and when, cookware by first use, mise en place by dish, and
//! the order at the cutting board.
//!
//! Times are in seconds on the caller's own clock: when a step starts is the plan's to say.

mod board;
mod get_out;
mod text;
mod wares;

use super::amounts::{self, Line};
use super::model::{Dish, Ingredient, Session};
use crate::measure::food;
use crate::measure::units::Units;

pub use text::text;

/// When a step starts, by dish and step index, in seconds; `None` if it isn't in the plan.
pub type Starts<'a> = &'a dyn Fn(usize, usize) -> Option<i64>;

/// Everything to prepare.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// What to get out or begin long before it is used, in order of time.
    pub get_out: Vec<GetOut>,
    /// Cookware in order of first use.
    pub cookware: Vec<Cookware>,
    /// Ingredients by dish, in the order of serving.
    pub mise: Vec<Mise>,
    /// What is cut, in the order that keeps raw meat and fish from what is eaten raw.
    pub board: Vec<Board>,
}

/// Something to get out of the fridge, or to put to soak, in good time.
#[derive(Clone, Debug, PartialEq)]
pub struct GetOut {
    /// The moment, in seconds; `None` without a plan.
    pub at: Option<i64>,
    /// How long before its first use, in seconds.
    pub lead: i64,
    /// "butter, 100 g".
    pub what: String,
    /// "to soften".
    pub why: &'static str,
    /// The dish's title.
    pub dish: String,
}

/// A vessel or tool.
#[derive(Clone, Debug, PartialEq)]
pub struct Cookware {
    /// "stockpot".
    pub name: String,
    /// The most that one step needs.
    pub count: u32,
    /// The first step that needs it, in seconds; `None` without a plan.
    pub first: Option<i64>,
    /// The titles of the dishes that need it, in the order of serving.
    pub dishes: Vec<String>,
    /// The tin for the guests, if the dish grows or shrinks out of this one: "33 cm across".
    pub size: Option<String>,
}

/// The ingredients of a dish.
#[derive(Clone, Debug, PartialEq)]
pub struct Mise {
    /// The dish's title.
    pub dish: String,
    /// Its ingredients for the guests.
    pub lines: Vec<Line>,
}

/// What is cut together, before the board and the knife are washed.
#[derive(Clone, Debug, PartialEq)]
pub struct Board {
    /// What it is.
    pub group: Group,
    /// "carrots, diced (Soup)".
    pub items: Vec<String>,
}

/// The order at the board: what is eaten raw before what must be cooked, poultry last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// Vegetables, fruit, herbs, bread, cheese and cured meat.
    ReadyToEat,
    /// Raw fish and seafood.
    Fish,
    /// Raw meat.
    Meat,
    /// Raw poultry.
    Poultry,
}

impl Group {
    /// "Raw poultry".
    pub fn name(self) -> &'static str {
        match self {
            Group::ReadyToEat => "Vegetables, fruit, herbs and what is eaten as it is",
            Group::Fish => "Raw fish and seafood",
            Group::Meat => "Raw meat",
            Group::Poultry => "Raw poultry",
        }
    }
}

/// The sheet of a session. With a plan it is that of the plan's part: what is made ahead, or what is done on the day.
pub fn sheet(session: &Session, starts: Starts<'_>, units: Units) -> Sheet {
    let part = Part::new(session, starts);
    Sheet {
        get_out: get_out::get_out(session, &part, units),
        cookware: wares::cookware(session, &part),
        mise: mise(session, &part, units),
        board: board::board(session, &part),
    }
}

/// Which steps are to be done.
struct Part<'a> {
    starts: Starts<'a>,
    /// A plan says so; without one it is all of them.
    planned: bool,
}

impl<'a> Part<'a> {
    fn new(session: &Session, starts: Starts<'a>) -> Part<'a> {
        let planned = session
            .dishes
            .iter()
            .enumerate()
            .any(|(dish, d)| (0..d.steps.len()).any(|step| starts(dish, step).is_some()));
        Part { starts, planned }
    }

    fn start(&self, dish: usize, step: usize) -> Option<i64> {
        (self.starts)(dish, step)
    }

    fn has_step(&self, dish: usize, step: usize) -> bool {
        !self.planned || self.start(dish, step).is_some()
    }

    /// Whether an ingredient is used in it; one that no step names goes with its dish.
    fn has(&self, index: usize, dish: &Dish, ingredient: &Ingredient) -> bool {
        let mut users = users(dish, ingredient).peekable();
        match users.peek() {
            Some(_) => users.any(|step| self.has_step(index, step)),
            None => (0..dish.steps.len()).any(|step| self.has_step(index, step)),
        }
    }
}

/// The steps that use an ingredient.
fn users<'a>(dish: &'a Dish, ingredient: &Ingredient) -> impl Iterator<Item = usize> + 'a {
    let key = food::key(&ingredient.item);
    dish.steps
        .iter()
        .enumerate()
        .filter(move |(_, s)| s.uses.iter().any(|u| food::key(u) == key))
        .map(|(i, _)| i)
}

fn mise(session: &Session, part: &Part<'_>, units: Units) -> Vec<Mise> {
    let one = |(index, dish): (usize, &Dish)| {
        let mine = |line: &Line| {
            let ingredient = dish.ingredients.get(line.ingredient);
            ingredient.is_some_and(|i| part.has(index, dish, i))
        };
        Mise {
            dish: dish.title.clone(),
            lines: amounts::for_dish(session, index, units)
                .into_iter()
                .filter(mine)
                .collect(),
        }
    };
    let all = session.dishes.iter().enumerate().map(one);
    all.filter(|mise| !mise.lines.is_empty()).collect()
}

#[cfg(test)]
#[path = "../prepare_tests.rs"]
mod tests;
