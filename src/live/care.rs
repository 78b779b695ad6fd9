//! What keeps people safe while the meal runs.

use super::{Call, Ms, State, board::Notice};

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

    pub(super) fn cautions(&self, _step: usize) -> Vec<String> {
        Vec::new()
    }

    pub(super) fn leftovers(&self) -> Vec<String> {
        vec!["Cool what is left in shallow layers and chill it within two hours".into()]
    }

    pub(super) fn core_words(&self, step: usize) -> Option<String> {
        let core = self.script.steps[step].core?;
        Some(format!("core {} C", core.ceil().to_integer()))
    }

    /// Amounts of the ingredients that go into a step.
    pub(super) fn amounts(&self, step: usize) -> Vec<String> {
        let script = &self.script.steps[step];
        let dish = &self.script.session.dishes[script.dish];
        let used = &dish.steps[script.place].uses;
        dish.ingredients
            .iter()
            .filter(|ingredient| used.contains(&ingredient.item))
            .map(|ingredient| match &ingredient.amount {
                Some(amount) => format!("{amount} {}", ingredient.item),
                None => ingredient.item.clone(),
            })
            .collect()
    }
}
