//! What the integers of a problem stand for: clock times, dishes, steps, cookware.

use jiff::{SignedDuration, ZonedDateTime};
use serde::{Deserialize, Serialize};

use super::problem::{TICK_MS, Tick};
use crate::{
    measure::{Ratio, hours::ClockFormat},
    menu::StepRef,
};

/// Which part of a session is planned.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Part {
    /// The meal, less what is made ahead.
    #[default]
    Service,
    /// What is made ahead, as soon as possible.
    Ahead,
}

/// The names and the clock of a [`Problem`](super::problem::Problem).
///
/// Dishes, and in the service part courses, have the indices of the session; ovens those of its kitchen.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Frame {
    /// Tick 0.
    pub zero: ZonedDateTime,
    /// When the first course is promised.
    pub serve: ZonedDateTime,
    /// What is planned.
    pub part: Part,
    /// Where in its range each step's length is taken, 0 to 1.
    pub quantile: Ratio,
    /// The courses of the problem, by name.
    pub courses: Vec<String>,
    /// The steps of the problem: by index, its name.
    pub steps: Vec<StepRef>,
    /// Where each step is in the session: indices of the dish and of the step in the dish.
    pub places: Vec<(usize, usize)>,
    /// The cookware of the problem, by name.
    pub wares: Vec<String>,
    /// How its clock times are told.
    #[serde(skip)]
    pub hours: ClockFormat,
}

impl Frame {
    /// The clock time of a tick.
    pub fn at(&self, tick: Tick) -> ZonedDateTime {
        self.at_ms(i64::from(tick) * TICK_MS)
    }

    /// The clock time of a moment given in milliseconds from zero.
    pub fn at_ms(&self, ms: i64) -> ZonedDateTime {
        let zone = self.zero.time_zone().clone();
        let moment = self.zero.timestamp();
        moment
            .saturating_add(SignedDuration::from_millis(ms))
            .unwrap_or(moment)
            .to_zoned_datetime(zone)
    }

    /// The same in words: "18:05", "18:05:30", and on another day than that of service "Sun 18:05".
    pub fn clock(&self, moment: &ZonedDateTime) -> String {
        let time = self.hours.exact(moment.time());
        if moment.date() == self.serve.date() {
            time
        } else {
            format!("{} {time}", moment.strftime("%a"))
        }
    }

    /// Milliseconds from zero to a moment.
    pub fn ms(&self, moment: &ZonedDateTime) -> i64 {
        let ms = self.zero.duration_until(moment).as_millis();
        i64::try_from(ms).unwrap_or(if ms < 0 { i64::MIN } else { i64::MAX })
    }

    /// The index of a step, if it is in this plan.
    pub fn index(&self, step: &StepRef) -> Option<usize> {
        self.steps.iter().position(|s| s == step)
    }
}
