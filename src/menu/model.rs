//! A session as understood: every reference resolved, every value in its unit.

use std::iter;

use jiff::civil;
use serde::{Deserialize, Serialize};

use super::StepRef;
use crate::measure::{Ratio, dial::Scale, duration::DurationRange, temperature::OvenTemperature};

/// One meal: courses of dishes, promised at an hour.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Session {
    /// What the meal is called.
    pub title: String,
    /// How many servings.
    pub guests: u32,
    /// When the first course is promised.
    pub serve: Moment,
    /// Before this nobody cooks.
    pub start: Option<Moment>,
    /// Dishes whose make-ahead part is done before the day, by id.
    pub ahead: Vec<String>,
    /// Where it is cooked.
    pub kitchen: Kitchen,
    /// Allergens or foods that a guest must not eat.
    pub avoid: Vec<String>,
    /// The share of dinners that shall be on time, 0 to 1.
    pub sure: Option<Ratio>,
    /// In the order of serving.
    pub courses: Vec<Course>,
    /// Every dish of the courses once, in the order of serving.
    pub dishes: Vec<Dish>,
}

/// A moment as written: with its date, or the clock time alone. Local civil time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Moment {
    /// Date and time.
    At(civil::DateTime),
    /// The next (for `serve`) or last (for `start`) time the clock shows it.
    Clock(civil::Time),
}

/// What is put on the table together.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Course {
    /// "Main".
    pub name: String,
    /// Seconds after the course before it; 0: together with it. Of the first course: 0.
    pub gap: Ratio,
    /// Seconds that one cook is busy from the moment of service.
    pub plating: Ratio,
    /// Ids of its dishes.
    pub dishes: Vec<String>,
}

/// One dish: ingredients and steps.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Dish {
    /// The id by which sessions and other dishes name it.
    pub id: String,
    /// What it is called.
    pub title: String,
    /// Servings it is written for; `None`: for as many as come.
    pub serves: Option<Ratio>,
    /// The volume it makes at `serves`, in litres.
    pub makes: Option<Ratio>,
    /// What goes in.
    pub ingredients: Vec<Ingredient>,
    /// In the order of the file.
    pub steps: Vec<Step>,
}

/// One line of a dish's ingredients.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Ingredient {
    /// "chicken".
    pub item: String,
    /// As written: "2 kg", "1 1/2 tsp", "to taste"; `None` when not given. Parsed by `measure::quantity`.
    pub amount: Option<String>,
    /// "whole".
    pub note: Option<String>,
    /// Substitutes, as written.
    pub or: Vec<String>,
}

/// One step of a dish.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Step {
    /// Unique within the dish, without '/'.
    pub id: String,
    /// What to do, verb first.
    pub instruction: String,
    /// How long it takes at the servings it is written for.
    pub takes: DurationRange,
    /// Whether the cook is busy with it.
    pub hands: Hands,
    /// The steps it comes after; the default (the step before it) is filled in.
    pub after: Vec<StepRef>,
    /// Cookware and burners, by name, with how many of each.
    pub needs: Vec<Need>,
    /// The oven it needs, and how hot.
    pub oven: Option<OvenNeed>,
    /// The cue by which the cook ends the step.
    pub until: Option<String>,
    /// Core temperature to reach, in C, exact.
    pub core: Option<Ratio>,
    /// Its result waits at most this many seconds for what follows it, or for service.
    pub keeps: Option<Ratio>,
    /// Its result keeps this many seconds chilled: the dish may be made ahead up to here.
    pub ahead: Option<Ratio>,
    /// Ingredients that go in here, by item.
    pub uses: Vec<String>,
    /// The duration grows in proportion to the servings.
    pub scales: bool,
    /// The vessel through which what the dish makes passes in batches.
    pub batch: Option<String>,
    /// With `batch`: hot liquid, the vessel is filled to two thirds only.
    pub hot: bool,
    /// Warn this many seconds before its end; 0: no warning. Default 60.
    pub lead: Ratio,
}

/// Whether a step keeps the cook busy.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Hands {
    /// Busy all the while.
    On,
    /// Free.
    Off,
    /// Free but for a look every so many seconds (busy if under 3 minutes).
    Check(Ratio),
}

/// How many of a thing a step needs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Need {
    /// "large tray", or "burner".
    pub name: String,
    /// At least 1.
    pub count: u32,
}

/// What a step asks of an oven.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct OvenNeed {
    /// From the start of the step.
    pub at: OvenTemperature,
    /// Later settings, each counted from the start of the step, increasing.
    pub then: Vec<OvenThen>,
    /// How many racks it takes.
    pub racks: u32,
}

impl OvenNeed {
    /// Its settings in the order of time.
    pub fn settings(&self) -> impl Iterator<Item = &OvenTemperature> {
        iter::once(&self.at).chain(self.then.iter().map(|then| &then.at))
    }
}

/// A later setting of the oven within a step.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct OvenThen {
    /// Seconds from the start of the step.
    pub after: Ratio,
    /// What it is turned to.
    pub at: OvenTemperature,
}

/// Where it is cooked.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Kitchen {
    /// Pairs of hands.
    pub cooks: u32,
    /// Burners of the hob.
    pub burners: u32,
    /// At least one.
    pub ovens: Vec<Oven>,
    /// Cookware by name; a name that is not here exists once.
    pub wares: Vec<Ware>,
}

/// An oven.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Oven {
    /// "oven".
    pub name: String,
    /// How many racks can be used at once.
    pub racks: u32,
    /// Heating rate, C per minute.
    pub heats: Ratio,
    /// Cooling rate, C per minute.
    pub cools: Ratio,
    /// Where it starts from, cold, in C.
    pub room: Ratio,
    /// How its dial is marked; none: temperatures are shown as the author wrote them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dial: Option<Scale>,
}

/// A kind of cookware.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Ware {
    /// "stockpot".
    pub name: String,
    /// How many there are.
    pub count: u32,
    /// Volume of one, in litres.
    pub holds: Option<Ratio>,
}
