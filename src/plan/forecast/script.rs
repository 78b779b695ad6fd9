//! A plan as the simulated cook reads it: in milliseconds, with what each step waits for and takes.

use super::ms;
use crate::{
    measure::{Ratio, temperature::Accepts},
    menu::Session,
    plan::{
        build::{Built, scaled},
        knobs::{self, Reason},
        look, oven,
        problem::Oven,
        schedule::Schedule,
    },
};

/// All that the simulation needs, computed once.
pub(super) struct Script {
    pub steps: Vec<Step>,
    pub courses: Vec<Course>,
    pub cooks: u32,
    /// From a call to the hand at the key it takes evenly up to this long.
    pub reacts: i64,
    pub burners: u32,
    /// Racks of each oven.
    pub racks: Vec<u32>,
    /// How many of each cookware exist.
    pub wares: Vec<u32>,
    /// Cookware held by dishes: what, how many, by how many steps.
    pub holds: Vec<(usize, u32, u32)>,
    /// Steps and courses in the order of the plan.
    pub order: Vec<Task>,
    /// The change from one setting to another, by oven and kind of setting; `None`: they have a temperature in common.
    pub changes: Vec<Vec<Vec<Option<Change>>>>,
}

/// How long an oven takes from one setting to another, in ms.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Change {
    /// From the nearest temperature that the first accepts: the knob is turned so much before its end.
    pub least: i64,
    /// From the temperature that the first asks for.
    pub whole: i64,
}

/// A step or a service.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Task {
    Step(usize),
    Serve(usize),
    /// An oven's knob, for the step that it is turned for.
    Turn(usize),
}

pub(super) struct Step {
    /// When the plan begins it.
    pub start: i64,
    /// Its planned length.
    pub planned: i64,
    pub lo: i64,
    pub hi: i64,
    /// It ends with a cue, which the cook looks for from the shortest length on.
    pub cue: bool,
    pub after: Vec<usize>,
    /// The steps that come after it.
    pub followers: Vec<usize>,
    pub hands: bool,
    pub burners: u32,
    pub oven: Option<Use>,
    /// Indices into [`Script::holds`].
    pub holds: Vec<usize>,
    pub course: usize,
}

impl Step {
    /// The looks before and after the end of a step that takes so long, in ms from its begin: the cook looks when it may
    /// be done, and if it isn't, again when that is proposed.
    pub(super) fn looks(&self, length: i64) -> (i64, i64) {
        let (mut before, mut next) = (0, if self.cue { self.lo } else { self.planned });
        while next < length {
            before = next;
            next += look::again((self.lo, self.hi), next);
        }
        (before, next)
    }
}

pub(super) struct Use {
    pub oven: usize,
    pub racks: u32,
    /// When the plan turns the knob for it; `None`: the oven is as it must be.
    pub turn: Option<i64>,
    /// From cold, in ms.
    pub warm_up: i64,
    /// From when (counted from the start), which kind of setting.
    pub settings: Vec<(i64, usize)>,
}

pub(super) struct Course {
    pub promised: i64,
    /// When the plan serves it.
    pub planned: i64,
    pub gap: i64,
    pub plating: i64,
    /// How many steps its dishes have.
    pub steps: u32,
}

impl Script {
    pub(super) fn new(session: &Session, built: &Built, schedule: &Schedule, reacts: i64) -> Self {
        let problem = &built.problem;
        let mut kinds: Vec<Accepts> = Vec::new();
        let mut steps: Vec<Step> = (0..problem.steps.len())
            .map(|i| step(session, built, schedule, i, &mut kinds))
            .collect();
        for i in 0..steps.len() {
            for a in steps[i].after.clone() {
                steps[a].followers.push(i);
            }
        }
        let mut holds = Vec::new();
        for hold in problem.dishes.iter().flat_map(|d| &d.holds) {
            for &s in &hold.steps {
                steps[s].holds.push(holds.len());
            }
            holds.push((
                hold.ware,
                hold.count,
                u32::try_from(hold.steps.len()).unwrap_or(u32::MAX),
            ));
        }
        let courses: Vec<Course> = problem
            .courses
            .iter()
            .enumerate()
            .map(|(k, c)| Course {
                promised: ms(c.promised),
                planned: ms(schedule.served[k]),
                gap: ms(c.gap),
                plating: ms(c.plating),
                steps: u32::try_from(steps.iter().filter(|s| s.course == k).count())
                    .unwrap_or(u32::MAX),
            })
            .collect();
        let mut order: Vec<Task> = (0..steps.len())
            .map(Task::Step)
            .chain((0..courses.len()).map(Task::Serve))
            .collect();
        for turn in knobs::turns(problem, schedule, &[]) {
            if let Reason::Ready { step, .. } = turn.reason
                && let Some(need) = &mut steps[step].oven
            {
                need.turn = Some(ms(turn.at));
                order.push(Task::Turn(step));
            }
        }
        let turn = |i: usize| steps[i].oven.as_ref().and_then(|need| need.turn);
        order.sort_by_key(|task| match *task {
            Task::Serve(k) => (courses[k].planned, 0, k),
            Task::Turn(i) => (turn(i).unwrap_or(0), 1, i),
            Task::Step(i) => (steps[i].start, 2, i),
        });
        Self {
            cooks: problem.cooks,
            reacts,
            burners: problem.burners,
            racks: problem.ovens.iter().map(|o| o.racks).collect(),
            wares: problem.wares.clone(),
            changes: problem.ovens.iter().map(|o| changes(o, &kinds)).collect(),
            steps,
            courses,
            holds,
            order,
        }
    }
}

fn step(
    session: &Session,
    built: &Built,
    schedule: &Schedule,
    i: usize,
    kinds: &mut Vec<Accepts>,
) -> Step {
    let step = &built.problem.steps[i];
    let place = built.frame.places[i];
    let written = &session.dishes[place.0].steps[place.1];
    let planned = ms(step.length);
    // A range that can't be scaled would not have been built: the planned length stands.
    let bound = |q| scaled(session, place, Ratio::from_integer(q)).map_or(planned, to_ms);
    let mut kind = |accepts: Accepts| {
        kinds.iter().position(|k| *k == accepts).unwrap_or_else(|| {
            kinds.push(accepts);
            kinds.len() - 1
        })
    };
    let oven = written
        .oven
        .as_ref()
        .zip(schedule.ovens[i])
        .map(|(need, oven)| {
            let then = need
                .then
                .iter()
                .map(|t| (to_ms(t.after), kind(t.at.accepts)));
            let later: Vec<(i64, usize)> = then.collect();
            let known = &built.problem.ovens[oven];
            Use {
                oven,
                racks: need.racks,
                turn: None,
                warm_up: ms(oven::change(known, &Accepts::Off, &need.at.accepts)),
                settings: [(0, kind(need.at.accepts))]
                    .into_iter()
                    .chain(later)
                    .collect(),
            }
        });
    Step {
        start: ms(schedule.starts[i]),
        planned,
        lo: bound(0),
        hi: bound(1),
        cue: written.until.is_some(),
        after: step.after.clone(),
        followers: Vec::new(),
        hands: step.hands,
        burners: step.burners,
        oven,
        holds: Vec::new(),
        course: built.problem.dishes[step.dish].course,
    }
}

fn to_ms(seconds: Ratio) -> i64 {
    i64::try_from((seconds * Ratio::from_integer(1000)).ceil().to_integer())
        .unwrap_or(i64::MAX / 1024)
}

fn changes(known: &Oven, kinds: &[Accepts]) -> Vec<Vec<Option<Change>>> {
    let change = |a: &Accepts, b: &Accepts| {
        let (lo, hi) = oven::span(known, a);
        let asked = (lo + hi) / Ratio::from_integer(2);
        let asked = Accepts::Span {
            lo: asked,
            hi: asked,
        };
        (!oven::meet(a, b)).then(|| Change {
            least: ms(oven::change(known, a, b)),
            whole: ms(oven::change(known, &asked, b)),
        })
    };
    kinds
        .iter()
        .map(|a| kinds.iter().map(|b| change(a, b)).collect())
        .collect()
}
