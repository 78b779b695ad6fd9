//! How likely each course is on time: the dinner simulated many times.
//!
//! Each step's length is drawn from its range, triangular with the mode in the middle (a step with one number is
//! fixed). The simulated cook follows the plan as a live session does: nothing begins before the plan says so, what
//! is held up begins at the next tick after what it waits for is there, in the order of the plan; and the cook takes a
//! moment to get there.

mod dinner;
mod script;
#[cfg(test)]
mod tests;

use rayon::prelude::*;

use self::{dinner::Dinner, script::Script};
use super::{build::Built, schedule::Schedule, solver::Solution};
use crate::{
    measure::{Ratio, to_f64},
    menu::Session,
};

/// A course within this many milliseconds of its promise is on time.
pub const TOLERANCE_MS: i64 = 300_000;

/// How a plan will go.
#[derive(Clone, Debug, PartialEq)]
pub struct Forecast {
    /// How many dinners were simulated.
    pub dinners: u32,
    /// The share of them with every course on time.
    pub on_time: f64,
    /// The courses, in order of serving.
    pub courses: Vec<Expected>,
    /// The step whose overruns held up late courses most, and its share of all that did.
    pub blame: Option<(usize, f64)>,
}

/// How a course will go.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expected {
    /// The share of dinners in which it is within [`TOLERANCE_MS`] of its promise.
    pub on_time: f64,
    /// Mean lateness in ms, never below 0.
    pub late_ms: f64,
    /// In nine dinners of ten it is at most this late, in ms.
    pub late_90_ms: i64,
}

/// From a call to the hand at the key a cook takes evenly up to this many milliseconds, as in a rehearsal.
pub const REACTS_MS: i64 = 20_000;

/// Simulates `dinners` dinners that follow `schedule`. Same seed, same answer, whatever the number of threads.
pub fn forecast(
    session: &Session,
    built: &Built,
    schedule: &Schedule,
    dinners: u32,
    seed: u64,
) -> Forecast {
    of(
        &Script::new(session, built, schedule, REACTS_MS),
        dinners,
        seed,
    )
}

/// The forecast of a script.
fn of(script: &Script, dinners: u32, seed: u64) -> Forecast {
    let tally = (0..dinners)
        .into_par_iter()
        .fold(
            || (Dinner::new(script), Tally::new(script)),
            |(mut dinner, mut tally), n| {
                tally.count(&dinner.cook(seed, n));
                (dinner, tally)
            },
        )
        .map(|(_, tally)| tally)
        .reduce(|| Tally::new(script), Tally::with);
    tally.forecast(dinners)
}

/// Dinners, counted: whole numbers, so that the order in which they are added is no matter.
struct Tally {
    /// How late each course was in each dinner, in ms, never below 0.
    late: Vec<Vec<i64>>,
    /// Dinners with every course on time.
    on_time: usize,
    /// By step, the ms that it held late courses up.
    blame: Vec<i64>,
}

impl Tally {
    fn new(script: &Script) -> Self {
        Tally {
            late: vec![Vec::new(); script.courses.len()],
            on_time: 0,
            blame: vec![0; script.steps.len()],
        }
    }

    fn count(&mut self, evening: &dinner::Outcome) {
        for (all, late) in self.late.iter_mut().zip(&evening.late) {
            all.push((*late).max(0));
        }
        self.on_time += usize::from(evening.late.iter().all(|&late| on_time(late)));
        for (step, by) in &evening.blame {
            self.blame[*step] += by;
        }
    }

    fn with(mut self, other: Self) -> Self {
        for (all, more) in self.late.iter_mut().zip(other.late) {
            all.extend(more);
        }
        self.on_time += other.on_time;
        for (all, more) in self.blame.iter_mut().zip(other.blame) {
            *all += more;
        }
        self
    }

    fn forecast(self, dinners: u32) -> Forecast {
        let count = f64::from(dinners.max(1));
        let share = |n: usize| n as f64 / count;
        let courses = self.late.into_iter().map(|mut late| {
            late.sort_unstable();
            let sum: i64 = late.iter().sum();
            // The smallest value that at least nine of ten do not exceed.
            let ninth = (late.len() * 9).div_ceil(10).saturating_sub(1);
            Expected {
                on_time: share(late.iter().filter(|&&late| on_time(late)).count()),
                late_ms: sum as f64 / count,
                late_90_ms: late.get(ninth).copied().unwrap_or(0),
            }
        });
        let blame = &self.blame;
        let all: i64 = blame.iter().sum();
        let most = (0..blame.len()).max_by_key(|&i| (blame[i], std::cmp::Reverse(i)));
        Forecast {
            dinners,
            on_time: share(self.on_time),
            courses: courses.collect(),
            blame: most
                .filter(|&i| blame[i] > 0)
                .map(|i| (i, blame[i] as f64 / all as f64)),
        }
    }
}

fn on_time(late: i64) -> bool {
    late <= TOLERANCE_MS
}

/// A plan that was made to be sure of being on time.
#[derive(Clone, Debug, PartialEq)]
pub struct Sure {
    /// The problem, at the quantile that was chosen.
    pub built: Built,
    /// Its plan.
    pub solution: Solution,
    /// How it will go.
    pub forecast: Forecast,
    /// The share that was asked for is reached; else this is the surest plan, of the smallest quantile.
    pub reached: bool,
}

/// The plan at the smallest quantile of 0.5, 0.6 ... 1.0 of which at least `share` of the simulated dinners have every
/// course on time. `make` builds and solves at a quantile.
///
/// # Errors
/// The first error of `make`.
pub fn sure<E>(
    session: &Session,
    share: Ratio,
    dinners: u32,
    seed: u64,
    mut make: impl FnMut(Ratio) -> Result<(Built, Solution), E>,
) -> Result<Sure, E> {
    let wanted = to_f64(share);
    let mut at = |tenths| -> Result<Sure, E> {
        let (built, solution) = make(Ratio::new(tenths, 10))?;
        let forecast = forecast(session, &built, &solution.schedule, dinners, seed);
        let reached = forecast.on_time >= wanted;
        Ok(Sure {
            built,
            solution,
            forecast,
            reached,
        })
    };
    let mut best = at(5)?;
    for tenths in 6..=10 {
        if best.reached {
            break;
        }
        let next = at(tenths)?;
        if next.reached || next.forecast.on_time > best.forecast.on_time {
            best = next;
        }
    }
    Ok(best)
}

/// Milliseconds of a tick count.
fn ms(ticks: super::problem::Tick) -> i64 {
    i64::from(ticks) * super::problem::TICK_MS
}
