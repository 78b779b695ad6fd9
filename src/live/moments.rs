//! When the plan means its ticks to be.

use super::{Ms, State, event::Turn};
use crate::plan::{live::tick_at_or_after, problem::Tick};

/// The moments at which a plan wants things to happen.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Moments {
    /// By position of the steps.
    pub starts: Vec<Ms>,
    /// By position of the courses.
    pub served: Vec<Ms>,
    /// The tick that means at once, and when that is.
    at_once: Option<(Tick, Ms)>,
}

impl State {
    /// The moments of the plan that was made at `at`. In the midst of the meal its first tick means at once: who has
    /// just put the last thing down isn't kept waiting for the clock to come round to half a minute.
    pub(super) fn moments(&self, at: Ms) -> Moments {
        let Some(plan) = &self.plan else {
            return Moments::default();
        };
        let at_once = self
            .under_way()
            .then(|| (tick_at_or_after(at - self.script.zero), at));
        let first = at_once.map(|(tick, _)| tick);
        let starts = plan.starts.iter().enumerate().map(|(i, &tick)| {
            let planned = self.script.ms(tick);
            let now = Some(tick) == first && self.steps[i].waiting() && self.could_begin(i, at);
            if now { at.min(planned) } else { planned }
        });
        let served = plan.served.iter().enumerate().map(|(k, &tick)| {
            let planned = self.script.ms(tick);
            if Some(tick) == first {
                at.max(self.script.courses[k].promised).min(planned)
            } else {
                planned
            }
        });
        Moments {
            starts: starts.collect(),
            served: served.collect(),
            at_once,
        }
    }

    /// When the plan wants a knob to be turned. An empty oven begins to heat at once; what is inside has its exact time.
    pub(super) fn turn_at(&self, turn: &Turn) -> Ms {
        let planned = self.script.ms(turn.at);
        let at_once = self.moments.at_once.filter(|(tick, _)| *tick == turn.at);
        match at_once {
            Some((_, at)) if !self.in_use(turn.oven) => at.min(planned),
            _ => planned,
        }
    }

    /// Nothing is in the way of a step, and its oven is as hot as its knob says.
    fn could_begin(&self, step: usize, now: Ms) -> bool {
        let oven = self.plan.as_ref().and_then(|plan| plan.ovens[step]);
        let ready = |oven: usize| {
            self.next_turn(oven)
                .is_none_or(|turn| self.turn_at(turn) > now)
                && self.ovens[oven].ready() <= now
        };
        oven.is_none_or(ready) && self.hindrance(step, now).is_none()
    }
}
