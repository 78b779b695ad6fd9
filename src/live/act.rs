//! From what the cook does to what happened.

use super::{Action, Event, Impossible, State, event::Setting};
use crate::menu::text;

impl State {
    /// The event that an action becomes, if it is possible now.
    ///
    /// # Errors
    /// When the action is impossible, with words for the cook.
    pub fn act(&self, action: &Action) -> Result<Event, Impossible> {
        let step_ref = |i: usize| {
            let step = self
                .script
                .steps
                .get(i)
                .ok_or_else(|| Impossible::Unknown(format!("step {i}")))?;
            Ok::<_, Impossible>(step.name.clone())
        };
        Ok(match action {
            Action::Begin(i) => Event::Begun {
                step: step_ref(*i)?,
                oven: self.oven_for(*i),
            },
            Action::Finish(i) => Event::Done {
                step: step_ref(*i)?,
            },
            Action::Extend(i, by) => Event::Extended {
                step: step_ref(*i)?,
                by: *by,
            },
            Action::Skip(i) => Event::Skipped {
                step: step_ref(*i)?,
            },
            Action::SetOven(i, to) => {
                let oven = self
                    .script
                    .ovens
                    .get(*i)
                    .ok_or_else(|| Impossible::Unknown(format!("oven {i}")))?;
                Event::OvenSet {
                    oven: oven.clone(),
                    to: to.clone(),
                }
            }
            Action::Serve(course) => Event::Served { course: *course },
            Action::Answer(call) => Event::Answered { call: call.clone() },
            Action::Undo => Event::Undone,
            Action::Note(text) => Event::Noted {
                text: text::clean(text).into_owned(),
            },
            Action::Measure(i, core) => Event::Measured {
                step: step_ref(*i)?,
                core: *core,
            },
            Action::Substitute(dish, ingredient, choice) => {
                let (dish, item) = self.script.ingredient_name(*dish, *ingredient)?;
                Event::Substituted {
                    dish,
                    item,
                    choice: *choice,
                }
            }
            Action::Heard(yes) => Event::Heard { yes: *yes },
            Action::Close => Event::Closed,
        })
    }

    /// The oven that a step goes into: the planned one, else the first.
    fn oven_for(&self, step: usize) -> Option<String> {
        if !self.script.steps[step].oven {
            return None;
        }
        let planned = self.plan.as_ref().and_then(|plan| plan.ovens[step]);
        self.script.ovens.get(planned.unwrap_or(0)).cloned()
    }

    /// What Space does at `now`: the expected next thing.
    ///
    /// The most urgent call that an action answers; else the hands-on step that ends next; else, when a pair of
    /// hands is free, the next step if it can begin and its time is near.
    pub fn expected(&self, now: super::Ms) -> Option<Action> {
        if self.closed {
            return None;
        }
        if let Some(action) = self.calls(now).into_iter().find_map(|call| call.action) {
            return Some(action);
        }
        if self.finished() {
            return Some(Action::Close);
        }
        let hands = (0..self.steps.len())
            .filter(|&i| self.steps[i].running() && self.script.steps[i].hands);
        if let Some(step) = hands.min_by_key(|&i| self.steps[i].due) {
            return Some(Action::Finish(step));
        }
        self.coming()
            .filter(|&(at, _)| at - now <= EARLY)
            .map(|(_, action)| action)
    }

    /// The next planned thing that could be done already, with its planned time.
    pub(super) fn coming(&self) -> Option<(super::Ms, Action)> {
        let steps = (0..self.steps.len())
            .filter(|&i| self.steps[i].waiting() && self.can_begin(i))
            .filter_map(|i| Some((self.planned_start(i)?, Action::Begin(i))));
        // With something inside a turn has its exact time (turned off early, the oven would have to be lit again for
        // it), and guests have theirs: those are never early.
        let ovens = (0..self.ovens.len()).filter_map(|oven| {
            let turn = self.next_turn(oven)?;
            let inside = self.in_use(oven);
            let action = Action::SetOven(oven, turn.to.clone());
            (!inside).then(|| (self.turn_at(turn), action))
        });
        steps.chain(ovens).min_by_key(|&(at, _)| at)
    }
}

/// How long before its planned time Space begins the next thing.
const EARLY: super::Ms = 2 * 60_000;

impl Setting {
    /// The temperature in whole degrees C, nearest; `None` when off.
    pub fn celsius(&self) -> Option<i32> {
        match self {
            Self::Off => None,
            Self::At(celsius) => i32::try_from(celsius.round().to_integer()).ok(),
        }
    }
}
