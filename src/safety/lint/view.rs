//! A session as the rules read it: what each step says, which foods are in it, how it treats them.

mod told;

use std::collections::{BTreeSet, HashMap};

use self::told::{classes_of, heats, own_foods, relate, said};
use super::spoken::{core_in, temperatures_in};
use super::vocabulary::{
    COLD, FRIDGE, HELD_HOT, LIVE_CULTURE, LUKEWARM, MOIST, MOIST_BAKES, OUT_OF_THE_COLD,
    PERISHABLE, RAW_FLESH, SOUS_VIDE, STABLE,
};
use crate::{
    measure::{Ratio, temperature::Accepts},
    menu::{Dish, Session, Step},
    safety::{
        Tables,
        words::{says, tokens},
    },
};

/// How a step leaves its food.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::safety) enum Left {
    /// It says that it is cold.
    Cold,
    /// It says that it is kept hot.
    HeldHot,
    /// It says that it stands at room temperature, or warm.
    Lukewarm,
    /// It came off the heat, and nothing more is said.
    OffHeat,
    /// Nothing is said.
    Unsaid,
}

/// One step.
pub(in crate::safety) struct StepView<'a> {
    pub dish: &'a Dish,
    pub step: &'a Step,
    /// Instruction and cue.
    pub said: Vec<String>,
    /// The foods that it uses or names.
    pub own: BTreeSet<String>,
    /// Those of the steps before it in its dish too.
    pub upstream: BTreeSet<String>,
    /// It heats.
    pub hot: bool,
    /// It or a step before it in its dish heats.
    pub cooked: bool,
    /// It or a step before it in its dish is in the oven.
    pub baked: bool,
    /// It or a step before it in its dish kneads dough.
    pub dough: bool,
    /// Cream or the like has gone in, and nothing has heated it since.
    pub fresh_dairy: bool,
    /// Positions of the steps before it in its dish.
    pub before: BTreeSet<usize>,
}

impl StepView<'_> {
    pub fn says(&self, phrases: &[&str]) -> bool {
        says(&self.said, phrases)
    }

    pub fn has_any(&self, classes: &[&str]) -> bool {
        classes.iter().any(|class| self.own.contains(*class))
    }

    pub fn needs(&self, phrases: &[&str]) -> bool {
        let batch = self.step.batch.iter().map(String::as_str);
        self.step
            .needs
            .iter()
            .map(|need| need.name.as_str())
            .chain(batch)
            .any(|name| says(&tokens(name), phrases))
    }

    /// Its food is dry, sweet or sour enough to stand: told by its own words and its dish's title.
    pub fn is_stable(&self) -> bool {
        let flesh = RAW_FLESH.iter().chain(&[
            "cooked poultry",
            "cooked ham",
            "rice",
            "pulse",
            "kidney bean",
        ]);
        if flesh.clone().any(|class| self.upstream.contains(*class)) {
            return false;
        }
        let title = tokens(&self.dish.title);
        (self.says(STABLE) || says(&title, STABLE) || self.dough)
            && !self.says(MOIST)
            && (!self.fresh_dairy || self.dough)
            && !says(&title, &["creme caramel", "custard"])
    }

    /// Food that spoils fast is in it.
    pub fn is_perishable(&self) -> bool {
        let classes = RAW_FLESH.iter().chain(PERISHABLE);
        let any = classes.clone().any(|class| self.upstream.contains(*class));
        // Grain and pulses spoil once they are wet.
        let dry = ["rice", "pulse", "kidney bean", "pasta"];
        let dry_grain_or_pulse = !self.cooked
            && classes
                .clone()
                .all(|class| dry.contains(class) || !self.upstream.contains(*class));
        let brothy = self.cooked
            && says(
                &tokens(&self.dish.title),
                &[
                    "soup",
                    "stew",
                    "stock",
                    "broth",
                    "gravy",
                    "bisque",
                    "chowder",
                    "chilli con carne",
                    "curry",
                ],
            );
        (any && !dry_grain_or_pulse || brothy) && !self.is_stable() && !self.says(LIVE_CULTURE)
    }

    /// Baked, with no more in it to spoil than egg and milk, and no moist filling: slow to spoil, and no rule of its own.
    pub fn is_dry_bake(&self) -> bool {
        let others = RAW_FLESH
            .iter()
            .chain(PERISHABLE)
            .filter(|class| !matches!(**class, "egg" | "dairy"));
        let title = tokens(&self.dish.title);
        let moist = |words: &[String]| says(words, MOIST) || says(words, MOIST_BAKES);
        self.baked
            && !others.clone().any(|class| self.upstream.contains(*class))
            && !moist(&title)
            && !moist(&self.said)
    }

    pub fn left(&self) -> Left {
        if self.is_cold() {
            Left::Cold
        } else if self.says(LUKEWARM) {
            Left::Lukewarm
        } else if self.says(HELD_HOT) || keeps_hot(&self.said) {
            Left::HeldHot
        } else if self.hot {
            Left::OffHeat
        } else {
            Left::Unsaid
        }
    }

    /// Its words put it into the cold, or leave it there: "take the frozen prawns out of the fridge" doesn't.
    pub fn is_cold(&self) -> bool {
        self.says(COLD)
            || self.says(FRIDGE) && !self.says(OUT_OF_THE_COLD)
            || self.says(&["frozen"]) && !self.says(&["thaw*", "defrost*"])
    }

    /// Hottest oven temperature that it names, C: the middle of what is accepted.
    pub fn hottest_oven(&self) -> Option<Ratio> {
        let need = self.step.oven.as_ref()?;
        need.settings()
            .filter_map(|setting| match setting.accepts {
                Accepts::Span { lo, hi } => Some((lo + hi) * Ratio::new(1, 2)),
                Accepts::Off => None,
            })
            .max()
    }

    /// Core temperature that it asks for: by `core`, or by words as "until the centre reads 63 C", "reheat to 75 C".
    pub fn core(&self) -> Option<Ratio> {
        let texts = [
            Some(self.step.instruction.as_str()),
            self.step.until.as_deref(),
        ];
        let spoken = texts.into_iter().flatten().flat_map(core_in).min();
        self.step.core.or(spoken).or_else(|| self.bath())
    }

    /// The bath that flesh lies in, C: its core gets no hotter.
    fn bath(&self) -> Option<Ratio> {
        let flesh = RAW_FLESH.iter().any(|class| self.upstream.contains(*class));
        let bath = self.says(SOUS_VIDE) || self.needs(SOUS_VIDE);
        let below_the_boil = |celsius: &Ratio| *celsius < Ratio::from_integer(100);
        if !flesh || !bath || self.step.oven.is_some() {
            return None;
        }
        temperatures_in(&self.step.instruction)
            .into_iter()
            .filter(below_the_boil)
            .max()
    }

    /// Seconds that it may take at most.
    pub fn longest(&self) -> Ratio {
        self.step.takes.hi
    }
}

/// "Keep the meat warm", "hold the sauce at 45 C": the food stands between.
fn keeps_hot(said: &[String]) -> bool {
    const BETWEEN: usize = 4;
    let number = |word: &String| word.starts_with(|c: char| c.is_ascii_digit());
    said.iter().enumerate().any(|(at, word)| {
        let rest = said.get(at + 1..).unwrap_or_default();
        let mut near = rest
            .iter()
            .take(BETWEEN)
            .take_while(|word| *word != "serve")
            .enumerate();
        matches!(word.as_str(), "keep" | "kept" | "hold" | "held")
            && near.any(|(i, word)| {
                matches!(word.as_str(), "warm" | "hot")
                    || word == "at" && rest.get(i + 1).is_some_and(number)
            })
    })
}

/// Every step of a session.
pub(in crate::safety) struct View<'a> {
    pub session: &'a Session,
    pub steps: Vec<StepView<'a>>,
    /// Classes of a dish's ingredients, by the dish's id.
    pub dish_classes: HashMap<&'a str, BTreeSet<String>>,
}

impl<'a> View<'a> {
    pub fn new(session: &'a Session) -> Self {
        let foods = &Tables::get().foods;
        let mut steps: Vec<StepView<'a>> = Vec::new();
        let mut dish_classes = HashMap::new();
        for dish in &session.dishes {
            let mut listed = BTreeSet::new();
            for ingredient in &dish.ingredients {
                listed.extend(classes_of(dish, &ingredient.item));
            }
            let first = steps.len();
            let position: HashMap<&str, usize> = dish
                .steps
                .iter()
                .enumerate()
                .map(|(i, s)| (s.id.as_str(), first + i))
                .collect();
            for step in &dish.steps {
                steps.push(StepView {
                    dish,
                    step,
                    said: said(step),
                    own: own_foods(dish, step, &listed),
                    upstream: BTreeSet::new(),
                    hot: heats(step),
                    cooked: false,
                    baked: false,
                    dough: false,
                    fresh_dairy: false,
                    before: BTreeSet::new(),
                });
            }
            relate(&mut steps, first, dish, &position);
            // What no step uses or names may be in any of them.
            let placed: BTreeSet<&String> = steps
                .iter()
                .skip(first)
                .flat_map(|view| &view.own)
                .collect();
            let unplaced: Vec<String> = listed
                .iter()
                .filter(|class| !placed.contains(class))
                .cloned()
                .collect();
            for view in steps.iter_mut().skip(first) {
                view.upstream.extend(unplaced.iter().cloned());
            }
            listed.extend(
                foods
                    .classes_in(&dish.title)
                    .into_iter()
                    .filter(|_| dish.ingredients.is_empty()),
            );
            dish_classes.insert(dish.id.as_str(), listed);
        }
        Self {
            session,
            steps,
            dish_classes,
        }
    }

    /// The steps of a dish that nothing of it comes after. Empty for a dish without steps.
    pub fn ends(&self, dish: &str) -> Vec<&StepView<'a>> {
        let own = |step: &&StepView<'_>| step.dish.id == dish;
        let followed: BTreeSet<usize> = self
            .steps
            .iter()
            .filter(own)
            .flat_map(|step| step.before.iter().copied())
            .collect();
        let steps = self.steps.iter().enumerate();
        steps
            .filter(|(i, step)| own(step) && !followed.contains(i))
            .map(|(_, step)| step)
            .collect()
    }

    /// Servings wanted by servings written for.
    pub fn growth(&self, dish: &Dish) -> Ratio {
        let guests = Ratio::from_integer(i128::from(self.session.guests));
        dish.serves
            .filter(|serves| *serves > Ratio::from_integer(0))
            .map_or(Ratio::from_integer(1), |serves| guests / serves)
    }

    /// Litres that a dish makes for the guests.
    pub fn litres(&self, dish: &Dish) -> Option<Ratio> {
        dish.makes.map(|makes| makes * self.growth(dish))
    }
}
