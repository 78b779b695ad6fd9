//! A log held against its plan: what was planned, what happened, what cost the time.
//!
//! Pure: records in, a [`Review`] out. It folds the events with the same function as the live session, so it sees
//! what the cook saw, and what was taken back has not happened here either.

mod cause;
mod chapters;
mod oven;
pub mod show;
#[cfg(test)]
mod tests;

use serde::Serialize;

pub use cause::{Cause, Why};
pub use oven::Preheat;

use super::Record;
use crate::{
    live::{Event, Impossible, Ms, State, event::Planned},
    measure::hours::ClockFormat,
    menu::StepRef,
};

/// An evening, compared with its first plan. Moments are session-clock ms.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Review {
    /// The session's title.
    pub title: String,
    /// Civil time at session-clock 0.
    pub opened: jiff::ZonedDateTime,
    /// The last record.
    pub until: Ms,
    /// Whether the cook ended it.
    pub closed: bool,
    /// In the order of the plan.
    pub steps: Vec<StepReview>,
    /// In the order of serving.
    pub courses: Vec<CourseReview>,
    /// Ovens that were heated up.
    pub preheats: Vec<Preheat>,
    /// How often the plan was made again.
    pub replans: usize,
    /// Sum over courses and new plans: by how much the course was moved, to and fro, in ms.
    pub moved: Ms,
    /// How long nobody was there: the program had ended or the machine slept, in ms.
    pub away: Ms,
    /// How its clock times are told.
    #[serde(skip)]
    pub hours: ClockFormat,
}

/// From when to when.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Span {
    /// Its begin.
    pub from: Ms,
    /// Its end.
    pub to: Ms,
}

impl Span {
    /// How long it is, in ms.
    pub fn length(self) -> Ms {
        self.to - self.from
    }
}

/// One step.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StepReview {
    /// Dish and step, by id.
    pub step: StepRef,
    /// What its dish is called.
    pub dish: String,
    /// What was to be done.
    pub instruction: String,
    /// By the first plan.
    pub planned: Span,
    /// The middle of the recipe's range for the session's servings, in ms.
    pub middle: Ms,
    /// By the log; `None` when it did not begin or did not end.
    pub actual: Option<Span>,
    /// It was left out.
    pub skipped: bool,
    /// Its length says how long the step takes: it was begun and ended by the cook while the session was attended.
    pub measured: bool,
}

/// One course.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CourseReview {
    /// Its name.
    pub name: String,
    /// When it was promised.
    pub promised: Ms,
    /// When the first plan served it.
    pub planned: Ms,
    /// When it was served.
    pub served: Option<Ms>,
    /// How long after its promise it was served, in ms; never negative.
    pub late: Option<Ms>,
    /// How much new plans moved it, to and fro, in ms.
    pub moved: Ms,
    /// What made it later than planned; the sum is `served - planned`.
    pub causes: Vec<Cause>,
}

/// Why a log cannot be reviewed.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
pub enum Unreviewable {
    /// Its records contradict each other.
    #[error("record {seq}: {why}")]
    Impossible {
        /// Which.
        seq: u64,
        /// In what way.
        why: Impossible,
    },
    /// It ended before there was a plan.
    #[error("the session ended before it had a plan: there is nothing to compare")]
    NoPlan,
}

/// Compares a log with the first plan in it.
///
/// # Errors
/// When its records are not those of a session with a plan.
pub fn review(records: &[Record<Event>]) -> Result<Review, Unreviewable> {
    let told = fold(records)?;
    let Told { state, first, .. } = &told;
    let script = &state.script;
    let steps: Vec<StepReview> = (0..script.steps.len())
        .filter_map(|i| step(&told, i))
        .collect();
    let spans = |i: usize| {
        steps
            .get(i)
            .and_then(|step: &StepReview| Some((step.planned, step.actual?)))
    };
    let courses = script.courses.iter().enumerate().filter_map(|(c, course)| {
        let planned = script.ms(*first.served.get(c)?);
        let served = state.courses.get(c)?.served;
        Some(CourseReview {
            name: course.name.clone(),
            promised: course.promised,
            planned,
            served,
            late: served.map(|served| (served - course.promised).max(0)),
            moved: told.moved.get(c).copied().unwrap_or(0),
            causes: served.map_or_else(Vec::new, |served| {
                cause::trace(script, c, planned, served, spans)
            }),
        })
    });
    Ok(Review {
        hours: state.hours,
        title: script.session.title.clone(),
        opened: script.opened.clone(),
        until: records.last().map_or(0, |record| record.ms),
        closed: state.closed,
        courses: courses.collect(),
        preheats: told
            .preheats
            .iter()
            .filter(|heat| heat.stands(state))
            .map(|heat| heat.sample.clone())
            .collect(),
        replans: told.replans,
        moved: told.moved.iter().sum(),
        away: told.unattended.iter().map(|span| span.length()).sum(),
        steps,
    })
}

/// What a walk through the records brings together.
struct Told {
    state: State,
    first: Planned,
    replans: usize,
    moved: Vec<Ms>,
    unattended: Vec<Span>,
    /// Steps that the serving of their course ended.
    swept: Vec<(usize, Ms)>,
    preheats: Vec<oven::Heard>,
}

fn fold(records: &[Record<Event>]) -> Result<Told, Unreviewable> {
    let fault = |record: &Record<Event>, why| Unreviewable::Impossible {
        seq: record.seq,
        why,
    };
    let (opened, rest) = records.split_first().ok_or(Unreviewable::NoPlan)?;
    let Event::Opened(opening) = &opened.event else {
        return Err(fault(opened, Impossible::Opening));
    };
    let mut state = State::open(opening).map_err(|why| fault(opened, why))?;
    let mut first = None;
    let mut replans = 0;
    let mut moved = vec![0; state.courses.len()];
    let mut unattended = Vec::new();
    let mut swept = Vec::new();
    let mut preheats = oven::Listener::default();
    for record in rest {
        let now = record.ms;
        let open: Vec<bool> = state
            .steps
            .iter()
            .map(|step| step.ended.is_none())
            .collect();
        let before = state.plan.as_ref().map(|plan| plan.served.clone());
        preheats.before(&state);
        state
            .after(&record.event, now)
            .map_err(|why| fault(record, why))?;
        preheats.after(&state, &record.event, now);
        match &record.event {
            Event::Planned(plan) => match before {
                None => first = Some(plan.as_ref().clone()),
                Some(before) => {
                    replans += 1;
                    for ((sum, was), is) in moved.iter_mut().zip(before).zip(&plan.served) {
                        *sum += (state.script.ms(*is) - state.script.ms(was)).abs();
                    }
                }
            },
            Event::Resumed { away: gone } => unattended.push(Span {
                from: now - gone,
                to: now,
            }),
            Event::ClockJumped {
                kind: crate::live::event::Jump::Suspend,
                by,
            } => {
                unattended.push(Span {
                    from: now - by,
                    to: now,
                });
            }
            Event::Served { .. } => {
                let ended = state.steps.iter().zip(open).enumerate();
                swept.extend(
                    ended
                        .filter(|(_, (step, open))| *open && step.ended.is_some())
                        .map(|(i, _)| (i, now)),
                );
            }
            _ => {}
        }
    }
    Ok(Told {
        first: first.ok_or(Unreviewable::NoPlan)?,
        state,
        replans,
        moved,
        unattended,
        swept,
        preheats: preheats.heard(),
    })
}

fn step(told: &Told, i: usize) -> Option<StepReview> {
    let Told { state, first, .. } = told;
    let script = state.script.steps.get(i)?;
    let is = state.steps.get(i)?;
    let from = state.script.ms(*first.starts.get(i)?);
    let length = Ms::from(*first.lengths.get(i)?) * crate::plan::problem::TICK_MS;
    let actual = match (is.begun, is.ended, is.skipped) {
        (Some(from), Some(to), false) => Some(Span { from, to }),
        _ => None,
    };
    let seen = |span: Span| {
        let unseen = |gone: &Span| gone.from < span.to && span.from < gone.to;
        span.length() > 0
            && !told.swept.contains(&(i, span.to))
            && !told.unattended.iter().any(unseen)
    };
    Some(StepReview {
        step: script.name.clone(),
        dish: state.script.dishes.get(script.dish)?.title.clone(),
        instruction: script.instruction.clone(),
        planned: Span {
            from,
            to: from + length,
        },
        middle: (script.lo + script.hi) / 2,
        actual,
        skipped: is.skipped,
        measured: actual.is_some_and(seen),
    })
}
