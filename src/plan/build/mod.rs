//! From a session and a moment to a [`Problem`] and its [`Frame`].

mod ahead;
mod cookware;
mod length;
mod moment;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use cookware::{Cookware, dishes};
use jiff::{SignedDuration, ZonedDateTime};

use super::{
    frame::{Frame, Part},
    problem::{Course, Mode, Oven, OvenUse, Problem, Segment, Step, TICK_MS, Tick},
};
use crate::{
    measure::{Ratio, hours::ClockFormat},
    menu::{self, Hands, Session, StepRef},
};

/// Longest horizon of a plan in ticks, about nine years: sums of starts, lengths and gaps stay far inside [`Tick`].
const HORIZON: Tick = 10_000_000;

/// A "check every N" under this many seconds keeps the cook at the stove.
const BUSY_CHECK: i128 = 180;

/// How a session is planned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Options {
    /// Where in its range each step's length is taken, 0 to 1; default one half.
    pub quantile: Ratio,
    /// Which part.
    pub part: Part,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            quantile: Ratio::new(1, 2),
            part: Part::Service,
        }
    }
}

/// A problem with its names.
#[derive(Clone, Debug, PartialEq)]
pub struct Built {
    /// What must be scheduled.
    pub problem: Problem,
    /// What its integers stand for.
    pub frame: Frame,
}

/// Why a session has no plan.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum BuildError {
    /// The moment of service or of the start is outside of the calendar, or years from now.
    #[error(
        "the time of the meal is years from now: give 'serve' as a date within nine years, or a clock time"
    )]
    TooFar,
    /// A step lasts, or waits, for years.
    #[error(
        "step '{0}' takes longer than nine years: give 'takes', 'keeps' and 'then' in minutes or hours"
    )]
    TooLong(StepRef),
    /// `batch` needs the volume that the dish makes.
    #[error("step '{0}' goes in batches, but the dish doesn't say what volume it 'makes'")]
    NoVolume(StepRef),
    /// `batch` needs the volume that the vessel holds.
    #[error(
        "step '{step}' goes in batches through '{ware}', but the kitchen doesn't say what volume that 'holds'"
    )]
    NoCapacity {
        /// The step.
        step: StepRef,
        /// The vessel.
        ware: String,
    },
    /// A dish is to be made ahead, but none of its steps keeps.
    #[error("dish '{0}' is in 'ahead', but none of its steps has 'ahead'")]
    NoAheadStep(String),
    /// The make-ahead part was asked for, and there is none.
    #[error("nothing of this meal is made ahead: name dishes in the session's 'ahead'")]
    NothingAhead,
    /// The quantile is not within 0 to 1.
    #[error("the quantile must lie between 0 and 1")]
    Quantile,
}

/// Makes the scheduling problem of a session as of `now`, in the zone of `now`.
///
/// Service: `zero` is the later of the session's start and `now`, rounded up so that `serve` is whole ticks away.
/// Ahead: `zero` is `now`, rounded likewise, and everything is promised at once, so that it's done as soon as possible.
///
/// # Errors
/// Every [`BuildError`] of the session, the first of its dishes first.
pub fn build(
    session: &Session,
    now: &ZonedDateTime,
    options: &Options,
) -> Result<Built, Vec<BuildError>> {
    if options.quantile < Ratio::from_integer(0) || options.quantile > Ratio::from_integer(1) {
        return Err(vec![BuildError::Quantile]);
    }
    let (zero, serve, promised) = clock(session, now, options.part).map_err(|e| vec![e])?;
    let chosen = ahead::choose(session, options.part)?;
    let places: Vec<(usize, usize)> = chosen
        .iter()
        .enumerate()
        .flat_map(|(d, steps)| steps.iter().map(move |&s| (d, s)))
        .collect();
    let index: BTreeMap<(usize, usize), usize> = places
        .iter()
        .enumerate()
        .map(|(i, &place)| (place, i))
        .collect();
    let mut errors = Vec::new();
    let mut steps = Vec::with_capacity(places.len());
    for &(d, s) in &places {
        match step(session, (d, s), &index, options) {
            Ok(made) => steps.push(made),
            Err(error) => errors.push(error),
        }
    }
    if !errors.is_empty() {
        return Err(errors);
    }
    if options.part == Part::Ahead {
        forget_last_keeps(&mut steps);
    }
    let mut wares = Cookware::of(session);
    let dishes = dishes(session, &chosen, &index, options.part, &mut wares);
    let courses = courses(session, promised, options.part).map_err(|e| vec![e])?;
    let frame = Frame {
        zero,
        serve,
        part: options.part,
        quantile: options.quantile,
        courses: match options.part {
            Part::Service => session.courses.iter().map(|c| c.name.clone()).collect(),
            Part::Ahead => vec!["Made ahead".into()],
        },
        steps: places.iter().map(|&place| name(session, place)).collect(),
        places,
        wares: wares.names,
        hours: ClockFormat::default(),
    };
    let problem = Problem {
        cooks: session.kitchen.cooks,
        burners: session.kitchen.burners,
        ovens: session.kitchen.ovens.iter().map(oven).collect(),
        wares: wares.counts,
        courses,
        dishes,
        steps,
        mode: Mode::Before,
    };
    Ok(Built { problem, frame })
}

/// Seconds that a step takes at `quantile` of its range, for the session's servings and batches, exactly.
///
/// # Errors
/// When its batches are not known.
pub(super) fn scaled(
    session: &Session,
    place: (usize, usize),
    quantile: Ratio,
) -> Result<Ratio, BuildError> {
    length::seconds(session, place, quantile)
}

fn name(session: &Session, (d, s): (usize, usize)) -> StepRef {
    let dish = &session.dishes[d];
    StepRef {
        dish: dish.id.clone(),
        step: dish.steps[s].id.clone(),
    }
}

/// Zero, the moment of service, and the tick at which the first course is promised.
fn clock(
    session: &Session,
    now: &ZonedDateTime,
    part: Part,
) -> Result<(ZonedDateTime, ZonedDateTime, Tick), BuildError> {
    let serve = moment::serve(session.serve, now).ok_or(BuildError::TooFar)?;
    let mut earliest = now.clone();
    if part == Part::Service
        && let Some(written) = session.start
    {
        let start = moment::start(written, &serve).ok_or(BuildError::TooFar)?;
        if start > earliest {
            earliest = start;
        }
    }
    let ahead = earliest.duration_until(&serve).as_nanos();
    let ticks = ahead.div_euclid(i128::from(TICK_MS) * 1_000_000);
    let promised = Tick::try_from(ticks)
        .ok()
        .filter(|t| t.abs() <= HORIZON)
        .ok_or(BuildError::TooFar)?;
    let zero = serve
        .timestamp()
        .checked_sub(SignedDuration::from_millis(i64::from(promised) * TICK_MS))
        .map_err(|_| BuildError::TooFar)?
        .to_zoned_datetime(serve.time_zone().clone());
    Ok((zero, serve, promised))
}

/// Whole ticks of a length in seconds, rounded up; `None` beyond the horizon.
fn ticks_up(seconds: Ratio) -> Option<Tick> {
    to_tick((seconds / Ratio::from_integer(30)).ceil())
}

/// Whole ticks of a length in seconds, rounded down; `None` beyond the horizon.
fn ticks_down(seconds: Ratio) -> Option<Tick> {
    to_tick((seconds / Ratio::from_integer(30)).floor())
}

fn to_tick(whole: Ratio) -> Option<Tick> {
    Tick::try_from(whole.to_integer())
        .ok()
        .filter(|&t| t <= HORIZON)
}

fn step(
    session: &Session,
    (d, s): (usize, usize),
    index: &BTreeMap<(usize, usize), usize>,
    options: &Options,
) -> Result<Step, BuildError> {
    let place = (d, s);
    let written = &session.dishes[d].steps[s];
    let too_long = || BuildError::TooLong(name(session, place));
    let seconds = length::seconds(session, place, options.quantile)?;
    let length = ticks_up(seconds).ok_or_else(too_long)?.max(1);
    let mut after: Vec<usize> = written
        .after
        .iter()
        .filter_map(|r| index.get(&find(session, r)?).copied())
        .collect();
    after.sort_unstable();
    after.dedup();
    // A wait longer than the horizon is as good as none.
    let keeps = written.keeps.map(|k| ticks_down(k).unwrap_or(HORIZON));
    Ok(Step {
        dish: d,
        length,
        hands: match written.hands {
            Hands::On => true,
            Hands::Off => false,
            Hands::Check(every) => every < Ratio::from_integer(BUSY_CHECK),
        },
        burners: written
            .needs
            .iter()
            .filter(|n| n.name == "burner")
            .map(|n| n.count)
            .sum(),
        after,
        keeps,
        oven: written.oven.as_ref().map(|need| OvenUse {
            racks: need.racks,
            segments: segments(need, length),
        }),
        begun: None,
    })
}

fn find(session: &Session, step: &StepRef) -> Option<(usize, usize)> {
    let d = session.dishes.iter().position(|d| d.id == step.dish)?;
    let s = session.dishes[d]
        .steps
        .iter()
        .position(|s| s.id == step.step)?;
    Some((d, s))
}

/// The settings of an oven step, less those that aren't reached within its length.
fn segments(need: &menu::OvenNeed, length: Tick) -> Vec<Segment> {
    let mut cuts = vec![(0, need.at.accepts)];
    for then in &need.then {
        match ticks_up(then.after) {
            Some(from) if from < length => cuts.push((from, then.at.accepts)),
            _ => break,
        }
    }
    let ends: Vec<Tick> = cuts.iter().skip(1).map(|c| c.0).chain([length]).collect();
    cuts.into_iter()
        .zip(ends)
        .map(|((from, accepts), to)| Segment { from, to, accepts })
        .collect()
}

/// What is made ahead goes into the refrigerator: nothing waits for it on the table.
fn forget_last_keeps(steps: &mut [Step]) {
    let followed: Vec<usize> = steps.iter().flat_map(|s| s.after.clone()).collect();
    for (i, step) in steps.iter_mut().enumerate() {
        if !followed.contains(&i) {
            step.keeps = None;
        }
    }
}

fn courses(session: &Session, promised: Tick, part: Part) -> Result<Vec<Course>, BuildError> {
    if part == Part::Ahead {
        return Ok(vec![Course {
            promised: 0,
            gap: 0,
            plating: 0,
            dishes: (0..session.dishes.len()).collect(),
            served: None,
        }]);
    }
    // Each gap is rounded up by itself, so that no course is late for the rounding alone.
    let mut next = promised;
    let mut made = Vec::with_capacity(session.courses.len());
    for (k, course) in session.courses.iter().enumerate() {
        let gap = if k == 0 {
            Some(0)
        } else {
            ticks_up(course.gap)
        };
        let gap = gap.ok_or(BuildError::TooFar)?;
        next = next.saturating_add(gap);
        made.push(Course {
            promised: next,
            gap,
            plating: ticks_up(course.plating).ok_or(BuildError::TooFar)?,
            dishes: course
                .dishes
                .iter()
                .filter_map(|id| session.dishes.iter().position(|d| &d.id == id))
                .collect(),
            served: None,
        });
    }
    Ok(made)
}

fn oven(written: &menu::Oven) -> Oven {
    Oven {
        racks: written.racks,
        heats: written.heats,
        cools: written.cools,
        room: written.room,
        from: 0,
        temperature: written.room,
    }
}
