//! The kitchen as the cook said it is: steps, ovens and courses in mid-meal.

use super::{Ms, event::Setting};
use crate::{
    measure::{Ratio, to_f64},
    safety::thermometer::Prediction,
};

/// One step in mid-meal.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StepState {
    /// When it was begun.
    pub begun: Option<Ms>,
    /// When it came to its end.
    pub ended: Option<Ms>,
    /// It was left out.
    pub skipped: bool,
    /// Running: when it is expected to end.
    pub due: Ms,
    /// Running: when its cue is to be looked at; `due` if it has none.
    pub ask: Ms,
    /// The oven it is in, by position.
    pub oven: Option<usize>,
    /// Thermometer readings: when, and core temperature in C.
    pub readings: Vec<(Ms, Ratio)>,
    /// When the core gets there, as the readings say.
    pub forecast: Option<Prediction>,
}

impl StepState {
    /// Begun and not ended.
    pub fn running(&self) -> bool {
        self.begun.is_some() && self.ended.is_none()
    }

    /// Ended, or left out.
    pub fn over(&self) -> bool {
        self.ended.is_some()
    }

    /// Neither begun nor left out.
    pub fn waiting(&self) -> bool {
        self.begun.is_none() && self.ended.is_none()
    }
}

/// One oven in mid-meal: what the cook said, and what follows from it.
#[derive(Clone, Debug, PartialEq)]
pub struct OvenState {
    /// What it is set to.
    pub set: Setting,
    /// When it was set to that.
    pub since: Ms,
    /// What it was set to before, each with when it was set to that.
    pub past: Vec<(Ms, Setting)>,
    /// Its temperature then, in C, as estimated.
    pub from: f64,
    /// Heating rate, C per ms.
    pub heats: f64,
    /// Cooling rate, C per ms.
    pub cools: f64,
    /// Room temperature, in C.
    pub room: f64,
}

impl OvenState {
    /// What it tends to, in C.
    pub fn target(&self) -> f64 {
        match &self.set {
            Setting::Off => self.room,
            Setting::At(celsius) => to_f64(*celsius),
        }
    }

    /// Its estimated temperature at `now`, in C: a straight line at the kitchen's rates.
    pub fn about(&self, now: Ms) -> f64 {
        let passed = (now - self.since).max(0) as f64;
        let target = self.target();
        if target >= self.from {
            (self.from + passed * self.heats).min(target)
        } else {
            (self.from - passed * self.cools).max(target)
        }
    }

    /// When it reaches what it is set to.
    pub fn ready(&self) -> Ms {
        let distance = self.target() - self.from;
        let rate = if distance > 0.0 {
            self.heats
        } else {
            self.cools
        };
        self.since + (distance.abs() / rate).ceil() as Ms
    }

    /// The same oven after its knob was turned.
    pub fn turned(&self, to: Setting, at: Ms) -> Self {
        let mut past = self.past.clone();
        past.push((self.since, self.set.clone()));
        Self {
            set: to,
            since: at,
            past,
            from: self.about(at),
            ..self.clone()
        }
    }
}

/// One course in mid-meal.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CourseState {
    /// When it was put on the table.
    pub served: Option<Ms>,
    /// By how much the plan last moved it, in ms, and when.
    pub moved: Option<(Ms, Ms)>,
}

/// Time that passed unseen, in ms.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unseen {
    /// So much, by the clocks: the machine slept.
    Exactly(Ms),
    /// So much since the last entry of the log, which is as near as a restart knows: somebody may have been here a while
    /// after it.
    SinceEntry(Ms),
}
