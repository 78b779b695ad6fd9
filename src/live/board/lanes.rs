//! The timeline: one lane a dish, its steps as they were, are and will be.

use super::{Bar, Lane, Progress};
use crate::live::{Ms, State};

impl State {
    pub(super) fn lanes(&self, now: Ms) -> Vec<Lane> {
        let dishes = self
            .script
            .dishes
            .iter()
            .filter(|dish| !dish.steps.is_empty());
        let lane = |dish: &crate::live::script::ScriptDish| {
            let mut bars: Vec<Bar> = dish
                .steps
                .iter()
                .filter_map(|&step| self.bar(step, now))
                .collect();
            bars.sort_by_key(|bar| (bar.from, bar.step));
            Lane {
                name: dish.title.clone(),
                bars,
            }
        };
        dishes.map(lane).collect()
    }

    fn bar(&self, i: usize, now: Ms) -> Option<Bar> {
        let (step, state) = (&self.script.steps[i], &self.steps[i]);
        let (from, to) = match (state.begun, state.ended) {
            (None, Some(at)) => (at, at),
            (Some(begun), _) => (begun, self.expected_end(i, now)?),
            (None, None) => (self.planned_start(i)?, self.expected_end(i, now)?),
        };
        Some(Bar {
            step: i,
            from,
            to,
            label: step.name.step.clone(),
            hands: step.hands,
            oven: state
                .oven
                .or_else(|| self.plan.as_ref().and_then(|plan| plan.ovens[i])),
            burners: step.burners,
            progress: match (state.skipped, state.ended, state.begun) {
                (true, ..) => Progress::Skipped,
                (_, Some(_), _) => Progress::Done,
                (_, None, Some(_)) => Progress::Running,
                (_, None, None) => Progress::Waiting,
            },
        })
    }
}
