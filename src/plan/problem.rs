//! A session as a scheduling problem in ticks of 30 seconds.
//!
//! Everything that a rule of a correct plan speaks of is here as integers; names stay in the session.
//! Indices are positions in the vectors of [`Problem`].

use crate::measure::Ratio;

/// A moment or a length in ticks of 30 seconds. Moments count from the plan's `zero`; live, they may lie before it.
pub type Tick = i32;

/// Milliseconds in a tick.
pub const TICK_MS: i64 = 30_000;

/// Live, what each tick costs by which a step comes later than the cook read, if an oven has been heated for it: to
/// turn the knob back for another dish pays only when it saves a tenth of that in lateness.
pub const HEATED: i64 = 100;

/// What must be scheduled, and by which objective.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// Pairs of hands.
    pub cooks: u32,
    /// Burners of the hob.
    pub burners: u32,
    /// Ovens; an oven step may use any that has the racks.
    pub ovens: Vec<Oven>,
    /// How many of each kind of cookware exist.
    pub wares: Vec<u32>,
    /// In the order of serving.
    pub courses: Vec<Course>,
    /// Which of a dish's steps are in this plan, and what it holds.
    pub dishes: Vec<Dish>,
    /// All steps; a step comes after others by [`Step::after`], without cycles.
    pub steps: Vec<Step>,
    /// Before the meal, or in the midst of it.
    pub mode: Mode,
}

/// Which rules are hard and what costs how much.
#[derive(Clone, Debug, PartialEq)]
pub enum Mode {
    /// `keeps` between steps is hard.
    /// cost = 1000 late + 300 over + 10 stale + 1 span, in ticks.
    Before,
    /// The meal is running: steps that have begun are fixed, the others start at `now` or later, `keeps` is soft.
    /// cost = 1000 late + 50 broken keeps + 30 over + 1 stale + 1 sum |start - start before|,
    /// and [`HEATED`] for each tick later of a step that an oven has been heated for.
    Live {
        /// The current tick; nothing that has not begun starts before it.
        now: Tick,
        /// For each step, its start in the plan that the cook last read; `None` adds no cost.
        before: Vec<Option<Tick>>,
        /// Steps that an empty oven has been heated for.
        heated: Vec<usize>,
    },
}

/// An oven and what is known of its temperature.
#[derive(Clone, Debug, PartialEq)]
pub struct Oven {
    /// Racks that can be used at once.
    pub racks: u32,
    /// Heating rate, C per minute, above 0.
    pub heats: Ratio,
    /// Cooling rate, C per minute, above 0.
    pub cools: Ratio,
    /// Room temperature, in C: what "off" tends to.
    pub room: Ratio,
    /// From this tick its temperature is free to change; 0 before the meal, now in the midst of it.
    pub from: Tick,
    /// Its temperature at `from`, in C; `room` before the meal.
    pub temperature: Ratio,
}

/// What is put on the table together.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    /// When it is promised.
    pub promised: Tick,
    /// Served no sooner than this long after the course before it. Of the first course: 0.
    pub gap: Tick,
    /// One cook is busy this long from the moment of service.
    pub plating: Tick,
    /// Its dishes.
    pub dishes: Vec<usize>,
    /// Live: when it was served.
    pub served: Option<Tick>,
}

/// One dish of the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Dish {
    /// The course it belongs to.
    pub course: usize,
    /// Its steps in this plan; empty if all of it is made ahead.
    pub steps: Vec<usize>,
    /// Cookware held from the start of the first to the end of the last step that names it.
    pub holds: Vec<Hold>,
}

/// Cookware held by a dish over several of its steps.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hold {
    /// Which cookware.
    pub ware: usize,
    /// How many, all the while.
    pub count: u32,
    /// The steps that name it; at least one.
    pub steps: Vec<usize>,
}

/// One step to be scheduled.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Its dish.
    pub dish: usize,
    /// Planned length, at least 1; of a step that is done: its real one, which may be 0.
    pub length: Tick,
    /// Whether it takes a cook from start to end.
    pub hands: bool,
    /// Burners it takes.
    pub burners: u32,
    /// Steps that end before it starts (all in this plan).
    pub after: Vec<usize>,
    /// How long its result waits, at most, for each step that comes after it, or for service if none does.
    pub keeps: Option<Tick>,
    /// What it asks of an oven.
    pub oven: Option<OvenUse>,
    /// Live: it has begun, and cannot be moved.
    pub begun: Option<Begun>,
}

/// How a step uses an oven.
#[derive(Clone, Debug, PartialEq)]
pub struct OvenUse {
    /// Racks it takes from start to end.
    pub racks: u32,
    /// Contiguous from 0 to the step's length, in order; at least one.
    pub segments: Vec<Segment>,
}

/// A stretch of a step for which the oven must be within a span.
#[derive(Clone, Debug, PartialEq)]
pub struct Segment {
    /// Its begin, counted from the step's start.
    pub from: Tick,
    /// Its end, counted from the step's start; `from < to`, or equal for a setting that is turned down at once.
    pub to: Tick,
    /// What it accepts, in C.
    pub accepts: crate::measure::temperature::Accepts,
}

/// A step that has begun.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Begun {
    /// When.
    pub start: Tick,
    /// In which oven.
    pub oven: Option<usize>,
    /// Whether it has ended (at `start + length`).
    pub done: bool,
}
