//! What keeps people safe while the meal runs.

use super::{Call, Ms, State, board::Notice};
use crate::{
    measure::units::Units,
    menu::amounts::{self, Line},
};

impl State {
    pub(super) fn safety_calls(&self, _now: Ms) -> Vec<Call> {
        Vec::new()
    }

    pub(super) fn safety_moments(&self) -> Vec<Ms> {
        Vec::new()
    }

    pub(super) fn safety_notices(&self, _now: Ms) -> Vec<Notice> {
        Vec::new()
    }

    pub(super) fn leftovers(&self) -> Vec<String> {
        vec!["Cool what is left in shallow layers and chill it within two hours".into()]
    }

    pub(super) fn core_words(&self, step: usize) -> Option<String> {
        let core = self.script.steps[step].core?;
        Some(format!("core {} C", core.ceil().to_integer()))
    }

    /// Amounts of what goes into a step, with the substitutes that were chosen.
    pub(super) fn amounts(&self, step: usize, units: Units) -> Vec<String> {
        let (session, script) = (&self.script.session, &self.script.steps[step]);
        let dish = &session.dishes[script.dish];
        let text = |line: &Line| {
            let choice = self.substitutes.get(&(script.dish, line.ingredient));
            let substitute =
                choice.and_then(|&choice| dish.ingredients.get(line.ingredient)?.or.get(choice));
            let words = match substitute {
                Some(text) => amounts::substitute(text, amounts::factor(session, dish), units),
                None => line.text(),
            };
            match &line.hint {
                Some(hint) if substitute.is_none() => format!("{words}: {hint}"),
                _ => words,
            }
        };
        amounts::for_step(session, script.dish, script.place, units)
            .iter()
            .map(text)
            .collect()
    }
}
