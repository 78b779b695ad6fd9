//! When a person turns each oven's knob.
//!
//! An oven moves towards what its knob is set to, at its heating or cooling rate, and stays there. The turns found
//! here bring it to what each step accepts when the step starts, and keep it within what every running step accepts.
//! When a step's own setting changes, the oven is on its way for a while: the recipe accounts for that.
//!
//! Method: the temperatures from which everything later can still be reached form a tube (`tube`), computed
//! backwards. A pass forwards turns the knob as the recipe's author would (nominal temperatures, preheating as late as
//! needed, off when it isn't needed for a while), and earlier where the oven would otherwise leave the tube.

mod pass;
mod place;
#[cfg(test)]
mod tests;
mod tube;

use self::{pass::Pass, place::placed};
use super::{
    problem::{Oven, Problem, Tick},
    schedule::Schedule,
};
use crate::measure::{Ratio, to_f64};

/// An empty oven is turned off when its next use is more than this many ticks (30 minutes) away.
pub const IDLE: Tick = 60;

/// Longest plan, in ticks, for which turns are found: about a year.
const LONGEST: Tick = 1_000_000;

/// What a knob is set to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Setting {
    /// Off: the oven tends to the room's temperature.
    Off,
    /// To this many C of a conventional oven.
    At(Ratio),
}

/// A moment at which a person turns a knob.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Turn {
    /// The oven.
    pub oven: usize,
    /// When.
    pub at: Tick,
    /// To what.
    pub to: Setting,
    /// Why.
    pub reason: Reason,
}

impl Turn {
    /// Why, in words, given the name of the dish it is for: "preheat for the roast".
    pub fn words(&self, dish: &str) -> String {
        match (self.to, &self.reason) {
            (Setting::Off, Reason::Ready { .. } | Reason::Next { .. }) => {
                format!("it cools down for {dish}")
            }
            (_, reason) => reason.words(dish),
        }
    }
}

/// Why a knob is turned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reason {
    /// A step will start, and needs the oven hotter or (from a hotter setting) cooler than it is.
    Ready {
        /// The step.
        step: usize,
        /// The oven was off.
        cold: bool,
        /// It gets hotter.
        hotter: bool,
    },
    /// A step that is in the oven goes on at another setting.
    Next {
        /// The step.
        step: usize,
        /// Position of the setting among the step's segments.
        segment: usize,
        /// It gets hotter.
        hotter: bool,
    },
    /// Nothing needs the oven, for a good while or any more.
    Unneeded,
}

impl Reason {
    /// The step that the turn is for.
    pub fn step(&self) -> Option<usize> {
        match *self {
            Self::Ready { step, .. } | Self::Next { step, .. } => Some(step),
            Self::Unneeded => None,
        }
    }

    /// In words, given the name of the step's dish: "preheat for the roast".
    pub fn words(&self, dish: &str) -> String {
        match self {
            Self::Ready { cold: true, .. } => format!("preheat for {dish}"),
            Self::Ready { hotter: true, .. } | Self::Next { hotter: true, .. } => {
                format!("turn up for {dish}")
            }
            Self::Ready { .. } | Self::Next { .. } => format!("turn down for {dish}"),
            Self::Unneeded => "nothing needs it now".into(),
        }
    }
}

/// All turns of all knobs, in order of time. `knobs` is what they are set to when the plan begins: before the meal
/// all are off (an oven that is not named is off).
pub fn turns(problem: &Problem, schedule: &Schedule, knobs: &[Setting]) -> Vec<Turn> {
    let mut all = Vec::new();
    for oven in 0..problem.ovens.len() {
        let knob = knobs.get(oven).copied().unwrap_or(Setting::Off);
        let placed = placed(problem, schedule, oven);
        if let Some(pass) = Pass::new(problem, oven, placed, knob) {
            all.extend(pass.run());
        } else if knob != Setting::Off {
            let at = problem.ovens[oven].from;
            all.push(Turn {
                oven,
                at,
                to: Setting::Off,
                reason: Reason::Unneeded,
            });
        }
    }
    all.sort_by_key(|t| (t.at, t.oven));
    all
}

/// What an oven tends to with its knob at `setting`, in C.
fn value(known: &Oven, setting: Setting) -> f64 {
    match setting {
        Setting::Off => to_f64(known.room),
        Setting::At(c) => to_f64(c),
    }
}

/// An oven's temperature in C at each tick from `from` to `to`, with its knob turned as listed.
/// Before the known moment of the oven it is taken to be as it is then.
pub fn temperatures(
    problem: &Problem,
    oven: usize,
    turns: &[Turn],
    from: Tick,
    to: Tick,
) -> Vec<f64> {
    let Some(known) = problem.ovens.get(oven) else {
        return Vec::new();
    };
    let (heats, cools) = (to_f64(known.heats) / 2.0, to_f64(known.cools) / 2.0);
    let mut turns = turns.iter().filter(|t| t.oven == oven).peekable();
    let mut now = to_f64(known.temperature);
    let mut target = now;
    let mut curve = Vec::new();
    for tick in known.from.min(from)..=to.min(known.from.min(from).saturating_add(LONGEST)) {
        while let Some(turn) = turns.next_if(|t| t.at <= tick) {
            target = value(known, turn.to);
        }
        if tick >= from {
            curve.push(now);
        }
        now = if target > now {
            (now + heats).min(target)
        } else {
            (now - cools).max(target)
        };
    }
    curve
}
