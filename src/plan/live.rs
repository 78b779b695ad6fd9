//! The problem in the midst of a meal: what has happened is fixed, the rest may move.

use super::{
    oven,
    problem::{Begun, Mode, Oven, OvenUse, Problem, Segment, TICK_MS, Tick},
};
use crate::measure::{Ratio, temperature::Accepts};

/// How things stand in the kitchen. Moments are milliseconds from the plan's zero and may be negative.
#[derive(Clone, Debug, PartialEq)]
pub struct Snapshot {
    /// The moment.
    pub now_ms: i64,
    /// For each step of the problem, how far it is.
    pub steps: Vec<Progress>,
    /// For each oven, its temperature at the first tick from now on, in C, as far as it is known (see [`temperature_after`]).
    pub ovens: Vec<Ratio>,
    /// For each course, when it was served.
    pub served: Vec<Option<i64>>,
    /// For each step, its start in the plan that the cook last read.
    pub before: Vec<Option<Tick>>,
    /// Steps that an empty oven has been heated for.
    pub heated: Vec<usize>,
}

/// How far a step is. Moments in milliseconds from zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Progress {
    /// Not begun.
    Waiting {
        /// How long it will take, where the cook has said so, in ms; `None`: as planned.
        length_ms: Option<i64>,
    },
    /// Begun, not done.
    Running {
        /// When it began.
        begun_ms: i64,
        /// When it is expected to end; a moment that has passed counts as now.
        ends_ms: i64,
        /// In which oven.
        oven: Option<usize>,
    },
    /// Done.
    Done {
        /// When it began.
        begun_ms: i64,
        /// When it was done.
        ended_ms: i64,
    },
    /// Left out: what comes after it comes after what it came after.
    Skipped {
        /// When the cook left it out.
        at_ms: i64,
    },
}

/// The first tick that is not before a moment.
pub fn tick_at_or_after(ms: i64) -> Tick {
    to_tick(ms.div_euclid(TICK_MS) + i64::from(ms.rem_euclid(TICK_MS) > 0))
}

/// The last tick that is not after a moment.
pub fn tick_at_or_before(ms: i64) -> Tick {
    to_tick(ms.div_euclid(TICK_MS))
}

/// A quarter of the range: sums of a few moments and lengths stay inside.
fn to_tick(ticks: i64) -> Tick {
    let limit = i64::from(Tick::MAX / 4);
    Tick::try_from(ticks.clamp(-limit, limit)).unwrap_or(0)
}

/// An oven's temperature, in C, `ms` after it was at `temperature` and its knob was set to `target`
/// (`None`: off, it tends to the room).
pub fn temperature_after(oven: &Oven, temperature: Ratio, target: Option<Ratio>, ms: i64) -> Ratio {
    let target = target.unwrap_or(oven.room);
    let minutes = Ratio::new(i128::from(ms.max(0)), 60_000);
    if target > temperature {
        (temperature + oven.heats * minutes).min(target)
    } else {
        (temperature - oven.cools * minutes).max(target)
    }
}

/// The rest of a meal as a problem in [`Mode::Live`], with the same indices as the plan's problem `base`.
///
/// Begins are rounded down to their tick, expected ends up; nothing that waits starts before the first tick from now
/// on. Done and skipped steps take nothing any more. Of a running oven step only the setting of this moment and
/// later ones count: what the oven was before is in its known temperature.
/// Steps and courses that the snapshot doesn't name count as waiting and not served.
pub fn problem(base: &Problem, snapshot: &Snapshot) -> Problem {
    let now = tick_at_or_after(snapshot.now_ms);
    let mut made = base.clone();
    let mut left_out = vec![false; made.steps.len()];
    for (i, step) in made.steps.iter_mut().enumerate() {
        let progress = snapshot.steps.get(i).copied();
        match progress.unwrap_or(Progress::Waiting { length_ms: None }) {
            Progress::Waiting { length_ms } => {
                if let Some(ms) = length_ms {
                    step.length = tick_at_or_after(ms).max(1);
                    refit(step.oven.as_mut(), step.length);
                }
            }
            Progress::Running {
                begun_ms,
                ends_ms,
                oven,
            } => {
                let start = tick_at_or_before(begun_ms);
                step.length = (tick_at_or_after(ends_ms).max(now) - start).max(1);
                refit(step.oven.as_mut(), step.length);
                forget_past(step.oven.as_mut(), now - start);
                step.begun = Some(Begun {
                    start,
                    oven: oven.or(step.oven.as_ref().map(|_| 0)),
                    done: false,
                });
            }
            Progress::Done { begun_ms, ended_ms } => {
                let start = tick_at_or_before(begun_ms);
                step.length = (tick_at_or_before(ended_ms) - start).max(0);
                past(step, start);
            }
            Progress::Skipped { at_ms } => {
                left_out[i] = true;
                step.length = 0;
                step.keeps = None;
                past(step, tick_at_or_before(at_ms));
            }
        }
    }
    bridge(&mut made, &left_out);
    for dish in &mut made.dishes {
        for hold in &mut dish.holds {
            hold.steps.retain(|&s| !left_out[s]);
        }
        dish.holds.retain(|h| !h.steps.is_empty());
    }
    for (course, served) in made.courses.iter_mut().zip(&snapshot.served) {
        course.served = served.map(tick_at_or_before);
    }
    for (oven, &temperature) in made.ovens.iter_mut().zip(&snapshot.ovens) {
        oven.from = now;
        oven.temperature = temperature;
    }
    let mut before = snapshot.before.clone();
    before.resize(made.steps.len(), None);
    made.mode = Mode::Live {
        now,
        before,
        heated: snapshot.heated.clone(),
    };
    made
}

/// Makes a step a fact that takes nothing any more.
fn past(step: &mut super::problem::Step, start: Tick) {
    step.begun = Some(Begun {
        start,
        oven: None,
        done: true,
    });
    step.oven = None;
    step.hands = false;
    step.burners = 0;
}

/// Cuts or stretches the settings of an oven step to its new length.
fn refit(oven: Option<&mut OvenUse>, length: Tick) {
    let Some(need) = oven else { return };
    let first = need.segments.first().cloned();
    need.segments.retain(|s| s.from < length);
    if need.segments.is_empty() {
        need.segments.extend(first);
    }
    if let Some(last) = need.segments.last_mut() {
        last.to = length;
    }
}

/// Lets the setting of this moment count from the begin of the step. `elapsed` is the time since then.
fn forget_past(oven: Option<&mut OvenUse>, elapsed: Tick) {
    let Some(need) = oven else { return };
    let current = need
        .segments
        .iter()
        .rposition(|s| s.from <= elapsed)
        .unwrap_or(0);
    need.segments.drain(..current);
    if let Some(first) = need.segments.first_mut() {
        first.from = 0;
    }
}

/// What comes after a step that was left out comes after what that came after; nothing counts as followed by it.
fn bridge(problem: &mut Problem, left_out: &[bool]) {
    let mut written: Vec<Vec<usize>> = vec![Vec::new(); left_out.len()];
    for (i, step) in problem.steps.iter_mut().enumerate() {
        if left_out[i] {
            written[i] = std::mem::take(&mut step.after);
        }
    }
    for step in &mut problem.steps {
        if step.after.iter().any(|&a| left_out[a]) {
            let mut open = std::mem::take(&mut step.after);
            let mut seen = vec![false; left_out.len()];
            while let Some(a) = open.pop() {
                if std::mem::replace(&mut seen[a], true) {
                    continue;
                }
                if left_out[a] {
                    open.extend(&written[a]);
                } else {
                    step.after.push(a);
                }
            }
        }
        step.after.sort_unstable();
        step.after.dedup();
    }
}

/// Whether an oven at `temperature` is within 1 C of what a setting accepts.
pub fn ready(oven: &Oven, temperature: Ratio, accepts: &Accepts) -> bool {
    let (lo, hi) = oven::span(oven, accepts);
    let one = Ratio::from_integer(1);
    temperature >= lo - one && temperature <= hi + one
}

/// The setting that a running step needs at a moment, `elapsed` ticks after its begin.
pub fn setting(need: &OvenUse, elapsed: Tick) -> Option<&Segment> {
    let now = need.segments.iter().rev().find(|s| s.from <= elapsed);
    now.or(need.segments.first())
}

#[cfg(test)]
mod tests;
