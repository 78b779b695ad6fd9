//! The end of a dish: lengths shared out, and how long what is hot may wait.

use super::{How, Maker, aside, length, propose};
use crate::exchange::import::phrases::Work;
use crate::exchange::import::recipe::Recipe;

impl Maker<'_> {
    /// Shares the recipe's own times out to the steps that say none, and closes the dish.
    pub(super) fn finish(&mut self, recipe: &Recipe) {
        length::share(&mut self.steps, recipe.cook, true);
        length::share(&mut self.steps, recipe.prep, false);
        let mut ends = self.ends();
        if let Some(last) = self.steps.last_mut()
            && last.keeps.is_none()
            && aside::AT_ONCE
                .iter()
                .any(|w| last.instruction.to_lowercase().contains(w))
        {
            last.keeps = Some(propose("5 min", How::Likely, "it is served at once"));
        }
        for step in &mut self.steps {
            let hot = matches!(step.work, Work::Oven | Work::Simmer | Work::Hob);
            if ends.next().unwrap_or(false) && hot && step.keeps.is_none() {
                step.keeps = Some(propose(
                    "15 min",
                    How::Guess,
                    "a hot dish does not wait for ever; the recipe does not say",
                ));
            }
        }
        for (index, used) in self.used.iter().enumerate() {
            if let Some(ingredient) = self.ingredients.get(index).filter(|_| !used) {
                self.unused
                    .push(format!("no step names {}", ingredient.item));
            }
        }
    }

    /// Whether nothing comes after each step.
    fn ends(&self) -> std::vec::IntoIter<bool> {
        let followed = |index: usize, id: &str| match self.steps.get(index + 1) {
            Some(next) if next.after.is_none() => true,
            _ => self
                .steps
                .iter()
                .filter_map(|s| s.after.as_ref())
                .any(|after| after.ids.iter().any(|i| i == id)),
        };
        self.steps
            .iter()
            .enumerate()
            .map(|(index, step)| !followed(index, &step.id))
            .collect::<Vec<_>>()
            .into_iter()
    }
}
