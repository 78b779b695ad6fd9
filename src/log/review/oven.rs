//! How fast an oven heats: what the cook's own words tell.
//!
//! The cook sets the oven, and later puts the first step in. That says that it was hot enough by then, and if the
//! step waited for nothing else, that it was not much sooner. There is no thermometer in this: it is a hint.

use serde::Serialize;

use crate::live::{Event, Ms, State};

/// An oven that was heated, until the first step went in.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Preheat {
    /// The oven, by name.
    pub oven: String,
    /// By how many C.
    pub rise: f64,
    /// How long that was expected to take, in ms.
    pub expected: Ms,
    /// How long it took until something went in, in ms.
    pub took: Ms,
    /// What that says of its heating rate, in C per minute; `None`: nothing, since the step had other things to wait for.
    pub rate: Option<f64>,
}

/// A sample, and the step whose begin confirmed it.
pub(super) struct Heard {
    pub sample: Preheat,
    step: usize,
    at: Ms,
}

impl Heard {
    /// Whether the begin that it rests on was not taken back.
    pub fn stands(&self, state: &State) -> bool {
        state
            .steps
            .get(self.step)
            .is_some_and(|step| step.begun == Some(self.at))
    }
}

/// Listens to ovens while the records are folded.
#[derive(Default)]
pub(super) struct Listener {
    heard: Vec<Heard>,
    /// By oven: was anything in it before this event?
    occupied: Vec<bool>,
}

/// Less than this is no preheating, in C.
const RISE_FROM: f64 = 50.0;

/// A step that goes in within this of the expected moment agrees with it, in ms.
const AGREES: Ms = 120_000;

impl Listener {
    pub fn before(&mut self, state: &State) {
        let inside = |oven| {
            state
                .steps
                .iter()
                .any(|step| step.running() && step.oven == Some(oven))
        };
        self.occupied = (0..state.ovens.len()).map(inside).collect();
    }

    pub fn after(&mut self, state: &State, event: &Event, now: Ms) {
        let Event::Begun {
            step,
            oven: Some(_),
        } = event
        else {
            return;
        };
        let Some(step) = state.script.frame.index(step) else {
            return;
        };
        let Some(oven) = state.steps.get(step).and_then(|step| step.oven) else {
            return;
        };
        let (Some(is), Some(name)) = (state.ovens.get(oven), state.script.ovens.get(oven)) else {
            return;
        };
        let used = self
            .heard
            .iter()
            .any(|heard| heard.sample.oven == *name && heard.at >= is.since && heard.stands(state));
        let rise = is.target() - is.from;
        if rise < RISE_FROM || self.occupied.get(oven) == Some(&true) || used || now <= is.since {
            return;
        }
        let (expected, took) = (is.ready() - is.since, now - is.since);
        let after = state
            .script
            .steps
            .get(step)
            .map_or(&[][..], |step| &step.after);
        let ready = after
            .iter()
            .filter_map(|&i| state.steps.get(i)?.ended)
            .max()
            .unwrap_or(is.since);
        let rate = rise / (took as f64 / 60_000.0);
        let assumed = rise / (expected.max(1) as f64 / 60_000.0);
        let rate = if took < expected - AGREES {
            Some(rate)
        } else if took <= expected + AGREES {
            Some(assumed)
        } else if ready <= is.since + expected {
            Some(rate)
        } else {
            None
        };
        let sample = Preheat {
            oven: name.clone(),
            rise,
            expected,
            took,
            rate,
        };
        self.heard.push(Heard {
            sample,
            step,
            at: now,
        });
    }

    pub fn heard(self) -> Vec<Heard> {
        self.heard
    }
}
