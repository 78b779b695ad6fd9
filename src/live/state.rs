//! A session in mid-meal: a fold over events, and nothing else.

use std::{
    collections::{BTreeMap, VecDeque},
    sync::Arc,
};

use super::{
    CallKey, Impossible, Ms,
    event::{Event, Opening, Planned, Setting, Trouble},
    kitchen::{CourseState, OvenState, StepState, Unseen},
    moments::Moments,
    script::Script,
    undo::{Change, Image},
};
use crate::{
    measure::{Ratio, hours::ClockFormat, to_f64},
    menu::StepRef,
};

/// The session as it is after all that happened.
#[derive(Clone, Debug, PartialEq)]
pub struct State {
    /// What the session asks; never changes.
    pub script: Arc<Script>,
    /// By position of the script's steps.
    pub steps: Vec<StepState>,
    /// By position of the kitchen's ovens.
    pub ovens: Vec<OvenState>,
    /// By position of the session's courses.
    pub courses: Vec<CourseState>,
    /// The plan that the cook reads; `None` until the first is made.
    pub plan: Option<Planned>,
    /// When it wants things to happen.
    pub(super) moments: Moments,
    /// When it was made.
    pub planned_at: Ms,
    /// Something happened since that the plan doesn't know of.
    pub changed: bool,
    /// Calls that were answered by being heard, and when.
    pub answered: BTreeMap<CallKey, Ms>,
    /// What the cook wrote down, and when.
    pub notes: Vec<(Ms, String)>,
    /// Chosen substitutes: by (dish, ingredient), positions.
    pub substitutes: BTreeMap<(usize, usize), usize>,
    /// Standing troubles, in words, and since when.
    pub troubles: BTreeMap<Trouble, (Ms, String)>,
    /// The last time that passed unseen: when it was found, how long.
    pub jump: Option<(Ms, Unseen)>,
    /// How far the civil clock was set since the session was opened, in ms.
    pub civil_shift: Ms,
    /// By which ways a test sound was made.
    pub sound_tried: Option<String>,
    /// Whether the test sound was heard; `None`: not answered yet.
    pub heard: Option<bool>,
    /// The last thing the cook did, and when.
    pub touched: Option<Ms>,
    /// The session was ended.
    pub closed: bool,
    /// How clock times are told; the one thing here that no event says.
    pub hours: ClockFormat,
    /// What can be taken back, last at the end.
    pub(super) changes: VecDeque<Change>,
}

impl State {
    /// The state after the first event.
    ///
    /// # Errors
    /// When the session can't be used.
    pub fn open(opening: &Opening) -> Result<Self, Impossible> {
        let script = Script::new(opening)?;
        let ovens = opening.session.kitchen.ovens.iter().map(|oven| OvenState {
            set: Setting::Off,
            since: 0,
            past: Vec::new(),
            from: to_f64(oven.room),
            heats: to_f64(oven.heats) / 60_000.0,
            cools: to_f64(oven.cools) / 60_000.0,
            room: to_f64(oven.room),
        });
        Ok(Self {
            steps: vec![StepState::default(); script.steps.len()],
            ovens: ovens.collect(),
            courses: vec![CourseState::default(); script.courses.len()],
            script: Arc::new(script),
            plan: None,
            moments: Moments::default(),
            planned_at: 0,
            changed: true,
            answered: BTreeMap::new(),
            notes: Vec::new(),
            substitutes: BTreeMap::new(),
            troubles: BTreeMap::new(),
            jump: None,
            civil_shift: 0,
            sound_tried: None,
            heard: None,
            touched: None,
            closed: false,
            hours: ClockFormat::default(),
            changes: VecDeque::new(),
        })
    }

    /// Folds an event in that happened at `at`.
    ///
    /// # Errors
    /// When it cannot have happened; the state is then as before.
    pub fn after(&mut self, event: &Event, at: Ms) -> Result<(), Impossible> {
        match event {
            Event::Opened(_) => return Err(Impossible::Opening),
            Event::Planned(plan) => self.planned(plan, at)?,
            Event::Begun { step, oven } => self.begun(step, oven.as_deref(), at)?,
            Event::Done { step } => self.done(step, at)?,
            Event::Extended { step, by } => self.extended(step, *by, at)?,
            Event::Skipped { step } => self.skipped(step, at)?,
            Event::OvenSet { oven, to } => self.oven_set(oven, to, at)?,
            Event::Served { course } => self.served(*course, at)?,
            Event::Answered { call } => {
                self.note_change(at, vec![Image::Unanswered(call.clone())]);
                self.answered.insert(call.clone(), at);
            }
            Event::Undone => self.undone(at)?,
            Event::Noted { text } => {
                self.note_change(at, vec![Image::Unwritten]);
                self.notes.push((at, text.clone()));
            }
            Event::Measured { step, core } => self.measured(step, *core, at)?,
            Event::Substituted { dish, item, choice } => {
                self.substituted(dish, item, *choice, at)?
            }
            Event::ClockJumped { kind, by } => self.jumped(*kind, *by, at),
            Event::Resumed { away } => {
                self.jump = Some((at, Unseen::SinceEntry(*away)));
                self.changed = true;
            }
            Event::ClocksDisagreed { by, .. } => {
                self.civil_shift = self.civil_shift.saturating_add(*by);
                self.changed = true;
            }
            Event::Trouble { about, words } if words.is_empty() => {
                self.troubles.remove(about);
            }
            Event::Trouble { about, words } => {
                self.troubles.entry(*about).or_insert((at, String::new())).1 = words.clone();
            }
            Event::SoundTried { ways } => {
                self.sound_tried = Some(ways.clone());
                self.heard = None;
            }
            Event::Heard { yes } => self.heard = Some(*yes),
            Event::Closed => self.closed = true,
        }
        Ok(())
    }

    fn planned(&mut self, plan: &Planned, at: Ms) -> Result<(), Impossible> {
        let fits = plan.starts.len() == self.steps.len()
            && plan.lengths.len() == self.steps.len()
            && plan.ovens.len() == self.steps.len()
            && plan
                .ovens
                .iter()
                .flatten()
                .all(|&oven| oven < self.ovens.len())
            && plan.served.len() == self.courses.len()
            && plan.turns.iter().all(|turn| {
                turn.oven < self.ovens.len() && turn.step.is_none_or(|step| step < self.steps.len())
            });
        if !fits {
            return Err(Impossible::Misfit);
        }
        if let Some(before) = &self.plan {
            for (course, (&was, &is)) in before.served.iter().zip(&plan.served).enumerate() {
                if was != is {
                    let moved = self.script.ms(is) - self.script.ms(was);
                    self.courses[course].moved = Some((moved, at));
                }
            }
        }
        self.plan = Some(plan.clone());
        self.moments = self.moments(at);
        self.planned_at = at;
        self.changed = false;
        Ok(())
    }

    fn begun(&mut self, step: &StepRef, oven: Option<&str>, at: Ms) -> Result<(), Impossible> {
        let i = self.script.step(step)?;
        if !self.steps[i].waiting() {
            return Err(Impossible::Step {
                step: step.clone(),
                why: "has begun already",
            });
        }
        let oven = oven.map(|name| self.script.oven(name)).transpose()?;
        self.note_change(at, vec![Image::Step(i, self.steps[i].clone())]);
        let script = &self.script.steps[i];
        let due = at + script.length;
        let ask = if script.until.is_some() {
            at + script.lo
        } else {
            due
        };
        self.steps[i] = StepState {
            begun: Some(at),
            due,
            ask: ask.min(due),
            oven,
            ..StepState::default()
        };
        Ok(())
    }

    fn done(&mut self, step: &StepRef, at: Ms) -> Result<(), Impossible> {
        let i = self.script.step(step)?;
        if self.steps[i].over() {
            return Err(Impossible::Step {
                step: step.clone(),
                why: "is over already",
            });
        }
        self.note_change(at, vec![Image::Step(i, self.steps[i].clone())]);
        self.end(i, at);
        Ok(())
    }

    /// A step that ends without having been begun was done unseen: it began and ended now.
    fn end(&mut self, i: usize, at: Ms) {
        self.steps[i].begun.get_or_insert(at);
        self.steps[i].ended = Some(at);
    }

    fn extended(&mut self, step: &StepRef, by: Ms, at: Ms) -> Result<(), Impossible> {
        let i = self.script.step(step)?;
        if !self.steps[i].running() {
            return Err(Impossible::Step {
                step: step.clone(),
                why: "is not running",
            });
        }
        self.note_change(at, vec![Image::Step(i, self.steps[i].clone())]);
        let state = &mut self.steps[i];
        if at >= state.ask && by > 0 {
            // It was looked at, and needs so much longer from now.
            state.ask = at + by;
            state.due = state.ask;
        } else {
            state.ask = (state.ask + by).max(at);
            state.due = (state.due + by).max(state.ask);
        }
        Ok(())
    }

    fn skipped(&mut self, step: &StepRef, at: Ms) -> Result<(), Impossible> {
        let i = self.script.step(step)?;
        if self.steps[i].over() {
            return Err(Impossible::Step {
                step: step.clone(),
                why: "is over already",
            });
        }
        self.note_change(at, vec![Image::Step(i, self.steps[i].clone())]);
        self.steps[i].skipped = true;
        self.steps[i].ended = Some(at);
        Ok(())
    }

    fn oven_set(&mut self, oven: &str, to: &Setting, at: Ms) -> Result<(), Impossible> {
        let i = self.script.oven(oven)?;
        self.note_change(at, vec![Image::Oven(i, self.ovens[i].clone())]);
        self.ovens[i] = self.ovens[i].turned(to.clone(), at);
        Ok(())
    }

    /// What is on the table is done: steps of its dishes that still run end here.
    fn served(&mut self, course: usize, at: Ms) -> Result<(), Impossible> {
        let state = self
            .courses
            .get(course)
            .ok_or_else(|| Impossible::Unknown(format!("course {course}")))?;
        if state.served.is_some() {
            return Err(Impossible::Served);
        }
        let open: Vec<usize> = self.script.courses[course]
            .dishes
            .iter()
            .flat_map(|&dish| self.script.dishes[dish].steps.iter().copied())
            .filter(|&step| !self.steps[step].over())
            .collect();
        let mut images = vec![Image::Course(course, state.clone())];
        images.extend(
            open.iter()
                .map(|&step| Image::Step(step, self.steps[step].clone())),
        );
        self.note_change(at, images);
        for step in open {
            self.end(step, at);
        }
        self.courses[course].served = Some(at);
        Ok(())
    }

    fn measured(&mut self, step: &StepRef, core: Ratio, at: Ms) -> Result<(), Impossible> {
        let i = self.script.step(step)?;
        self.note_change(at, vec![Image::Step(i, self.steps[i].clone())]);
        self.steps[i].readings.push((at, core));
        self.forecast_core(i, at);
        Ok(())
    }

    fn substituted(
        &mut self,
        dish: &str,
        item: &str,
        choice: Option<usize>,
        at: Ms,
    ) -> Result<(), Impossible> {
        let key = self.script.ingredient(dish, item, choice)?;
        self.note_change(
            at,
            vec![Image::Substitute(key, self.substitutes.get(&key).copied())],
        );
        match choice {
            Some(choice) => self.substitutes.insert(key, choice),
            None => self.substitutes.remove(&key),
        };
        Ok(())
    }

    fn jumped(&mut self, kind: super::event::Jump, by: Ms, at: Ms) {
        match kind {
            super::event::Jump::Suspend => self.jump = Some((at, Unseen::Exactly(by))),
            super::event::Jump::Civil => self.civil_shift += by,
        }
        self.changed = true;
    }
}
