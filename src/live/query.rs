//! What a state knows, asked for by position.

use super::{
    Ms, State,
    event::{Setting, Turn},
    words,
};
use crate::{
    measure::{dial, temperature::OvenTemperature},
    plan::Part,
};

impl State {
    /// When the plan wants a step to start.
    pub fn planned_start(&self, step: usize) -> Option<Ms> {
        self.moments.starts.get(step).copied()
    }

    /// When a step is expected to end, or ended.
    pub fn expected_end(&self, step: usize, now: Ms) -> Option<Ms> {
        let state = &self.steps[step];
        match (state.ended, state.begun) {
            (Some(ended), _) => Some(ended),
            (None, Some(_)) => Some(state.due.max(now)),
            (None, None) => Some(self.planned_start(step)? + self.script.steps[step].length),
        }
    }

    /// The first course that is not on the table.
    pub fn next_course(&self) -> Option<usize> {
        self.courses
            .iter()
            .position(|course| course.served.is_none())
    }

    /// When a course can be and is to be served: all of its steps are over.
    pub(super) fn serve_at(&self, course: usize) -> Option<Ms> {
        let mut ready = self.moments.served.get(course).copied()?;
        // The plan's promise stands even if all was ready before it.
        for &dish in &self.script.courses[course].dishes {
            for &step in &self.script.dishes[dish].steps {
                ready = ready.max(self.steps[step].ended?);
            }
        }
        Some(ready)
    }

    /// A turn of an oven's knob, in words.
    pub(super) fn turn_words(&self, oven: usize, turn: &Turn) -> String {
        self.turn_words_from(oven, &self.ovens[oven].set, turn)
    }

    /// A turn as words, for an oven that is set so before it.
    pub(super) fn turn_words_from(&self, oven: usize, from: &Setting, turn: &Turn) -> String {
        let dish = turn.step.map(|step| words::dish(&self.script, step));
        words::turn(
            &self.script.ovens[oven],
            from,
            &turn.to,
            &self.dial(oven, &turn.to, turn.step),
            dish,
        )
    }

    /// What an oven's dial is to show: as it is marked, if the kitchen says how; else in the author's words where a step
    /// names that temperature, since "fan 170 C" is not "190 C" on the dial.
    pub(super) fn dial(&self, oven: usize, to: &Setting, step: Option<usize>) -> String {
        let heat = self.heat(oven, to, step);
        let known = self.script.session.kitchen.ovens.get(oven);
        let marked = known
            .and_then(|known| known.dial)
            .and_then(|scale| match to {
                Setting::At(celsius) => dial::turned_to(*celsius, heat, scale),
                Setting::Off => None,
            });
        marked
            .or_else(|| heat.map(|heat| heat.text.clone()))
            .unwrap_or_else(|| words::setting(to))
    }

    /// The heat that an oven is set to as a step names it: above all the step that it is for, and those inside.
    pub(super) fn heat(
        &self,
        oven: usize,
        to: &Setting,
        step: Option<usize>,
    ) -> Option<&OvenTemperature> {
        let Setting::At(celsius) = to else {
            return None;
        };
        let inside = |&i: &usize| self.steps[i].running() && self.steps[i].oven == Some(oven);
        let all = 0..self.steps.len();
        step.into_iter()
            .chain(all.clone().filter(inside))
            .chain(all)
            .flat_map(|i| &self.script.steps[i].heats)
            .find(|heat| heat.names(*celsius))
    }

    /// The titles of a course's dishes.
    pub(super) fn course_titles(&self, course: usize) -> Vec<&str> {
        self.script.courses[course]
            .dishes
            .iter()
            .map(|&dish| self.script.dishes[dish].title.as_str())
            .collect()
    }

    /// What to do with a course that is done.
    pub(super) fn serve_words(&self, course: usize) -> String {
        let titles = self.course_titles(course);
        match self.script.part {
            Part::Service => words::serve(&self.script.courses[course].name, &titles),
            Part::Ahead => words::put_away(&titles),
        }
    }

    /// Whether anything has begun.
    pub fn under_way(&self) -> bool {
        self.steps.iter().any(|step| step.begun.is_some())
            || self.ovens.iter().any(|oven| oven.since > 0)
    }

    /// Whether every course is on the table, or, where none is, every step is over.
    pub fn finished(&self) -> bool {
        self.next_course().is_none() && self.steps.iter().all(super::kitchen::StepState::over)
    }

    /// Whether something is in an oven.
    pub(super) fn in_use(&self, oven: usize) -> bool {
        self.steps
            .iter()
            .any(|step| step.running() && step.oven == Some(oven))
    }

    /// Pairs of hands that are busy now.
    pub fn busy_hands(&self) -> u32 {
        let busy = self
            .steps
            .iter()
            .zip(&self.script.steps)
            .filter(|(state, step)| state.running() && step.hands);
        u32::try_from(busy.count()).unwrap_or(u32::MAX)
    }

    /// The next moment after `now` at which anything that is called or planned changes by itself.
    pub fn next_deadline(&self, now: Ms) -> Option<Ms> {
        if self.closed {
            return None;
        }
        [self.next_call(now), self.next_replan(now)]
            .into_iter()
            .flatten()
            .min()
    }
}
