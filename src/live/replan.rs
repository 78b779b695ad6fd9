//! When the plan has to be made again, from what, and what then is read.

use super::{
    Event, Ms, State,
    event::{Planned, Setting, Turn},
    words,
};
use crate::{
    measure::Ratio,
    plan::{
        knobs,
        live::{self, Progress, Snapshot},
        problem::{Problem, TICK_MS},
        schedule::Schedule,
        solver::Solution,
    },
};

/// A plan that time has overtaken is made again at most this often.
const AGAIN: Ms = 60_000;

/// The same, when nobody has touched a key for half an hour.
const AGAIN_ALONE: Ms = 300_000;

/// After this long without a key the cook counts as gone.
const ALONE: Ms = 1_800_000;

/// An oven lit longer than this before the next dish isn't heated for that: the plan turns it off till then.
const SOON: Ms = knobs::IDLE as Ms * TICK_MS;

impl State {
    /// Whether the plan that the cook reads is no longer true at `now`.
    pub fn wants_plan(&self, now: Ms) -> bool {
        !self.closed
            && !self.finished()
            && (self.changed || self.overtaken().is_some_and(|at| at <= now))
    }

    pub(super) fn next_replan(&self, now: Ms) -> Option<Ms> {
        self.overtaken()
            .filter(|_| !self.finished())
            .map(|at| at.max(now + 1))
    }

    /// When time will have overtaken the plan: something in it should have happened a minute ago.
    fn overtaken(&self) -> Option<Ms> {
        self.plan.as_ref()?;
        let steps = self.steps.iter().enumerate().filter_map(|(i, state)| {
            if state.waiting() {
                self.planned_start(i)
            } else {
                state.running().then_some(state.due)
            }
        });
        let turns = (0..self.ovens.len())
            .filter_map(|oven| self.next_turn(oven))
            .map(|turn| self.turn_at(turn));
        let serves = self
            .next_course()
            .and_then(|course| self.moments.served.get(course).copied());
        let first = steps.chain(turns).chain(serves).min()?;
        let alone = self.planned_at - self.touched.unwrap_or(0) > ALONE;
        let again = self.planned_at + if alone { AGAIN_ALONE } else { AGAIN };
        Some(again.max(first + AGAIN))
    }

    /// The turns that the plan asks of an oven's knob, less the first ones if the cook has done them already.
    pub(super) fn pending_turns(&self, oven: usize) -> impl Iterator<Item = &Turn> {
        let turns = self
            .plan
            .iter()
            .flat_map(|plan| &plan.turns)
            .filter(move |turn| turn.oven == oven);
        turns.skip_while(move |turn| turn.to == self.ovens[oven].set)
    }

    /// The first turn of an oven's knob that the plan asks for and the cook hasn't done.
    pub fn next_turn(&self, oven: usize) -> Option<&Turn> {
        self.pending_turns(oven).next()
    }

    /// The problem of the rest of the meal at `now`; before anything has begun, of all of it.
    pub fn problem(&self, now: Ms) -> Problem {
        if self.plan.is_none() && !self.under_way() {
            return self.script.problem.clone();
        }
        let zero = self.script.zero;
        let first = live::tick_at_or_after(now - zero);
        let steps = self
            .steps
            .iter()
            .map(|state| match (state.begun, state.ended) {
                (_, Some(at)) if state.skipped => Progress::Skipped { at_ms: at - zero },
                (Some(begun), Some(ended)) => Progress::Done {
                    begun_ms: begun - zero,
                    ended_ms: ended - zero,
                },
                (Some(begun), None) => Progress::Running {
                    begun_ms: begun - zero,
                    ends_ms: state.due - zero,
                    oven: state.oven,
                },
                (None, _) => Progress::Waiting { length_ms: None },
            });
        let snapshot = Snapshot {
            now_ms: now - zero,
            steps: steps.collect(),
            ovens: self
                .ovens
                .iter()
                .map(|oven| tenths(oven.about(self.script.ms(first))))
                .collect(),
            served: self
                .courses
                .iter()
                .map(|course| course.served.map(|at| at - zero))
                .collect(),
            before: match &self.plan {
                Some(plan) => plan.starts.iter().copied().map(Some).collect(),
                None => vec![None; self.steps.len()],
            },
            heated: (0..self.ovens.len())
                .filter_map(|oven| self.heated_for(oven, now))
                .collect(),
        };
        live::problem(&self.script.problem, &snapshot)
    }

    /// The step that the cook has heated an empty oven for: the next in it, where that is soon.
    fn heated_for(&self, oven: usize, now: Ms) -> Option<usize> {
        let plan = self.plan.as_ref()?;
        let here = |i: &usize| plan.ovens[*i] == Some(oven);
        let Setting::At(set) = self.ovens[oven].set else {
            return None;
        };
        let waiting = (0..self.steps.len()).filter(|&i| self.steps[i].waiting());
        let next = waiting.filter(here).min_by_key(|&i| plan.starts[i])?;
        let soon = self.script.ms(plan.starts[next]) - now <= SOON;
        let known = self.script.problem.ovens.get(oven)?;
        let need = self.script.problem.steps[next].oven.as_ref()?;
        let fits = live::ready(known, set, &need.segments.first()?.accepts);
        (!self.in_use(oven) && soon && fits).then_some(next)
    }

    /// The plan that the cook last read, as a schedule to begin a search from.
    pub fn hint(&self) -> Option<Schedule> {
        let plan = self.plan.as_ref()?;
        Some(Schedule {
            starts: plan.starts.clone(),
            ovens: plan.ovens.clone(),
            served: plan.served.clone(),
        })
    }

    fn turn(&self, turn: &knobs::Turn) -> Turn {
        let step = turn.reason.step();
        let dish = step.map_or("", |step| words::dish(&self.script, step));
        Turn {
            oven: turn.oven,
            at: turn.at,
            to: match turn.to {
                knobs::Setting::Off => Setting::Off,
                knobs::Setting::At(celsius) => Setting::At(celsius),
            },
            why: turn.reason.words(dish),
            step,
        }
    }

    /// The event of a plan made for `problem`.
    pub fn plan_event(&self, problem: &Problem, solution: &Solution) -> Event {
        let set: Vec<knobs::Setting> = self.ovens.iter().map(|oven| knob(&oven.set)).collect();
        let turns = knobs::turns(problem, &solution.schedule, &set);
        Event::Planned(Box::new(Planned {
            starts: solution.schedule.starts.clone(),
            lengths: problem.steps.iter().map(|step| step.length).collect(),
            ovens: solution.schedule.ovens.clone(),
            served: solution.schedule.served.clone(),
            turns: turns.into_iter().map(|turn| self.turn(&turn)).collect(),
            cost: solution.total,
            bound: solution.bound,
        }))
    }
}

fn knob(set: &Setting) -> knobs::Setting {
    match set {
        Setting::Off => knobs::Setting::Off,
        Setting::At(celsius) => knobs::Setting::At(*celsius),
    }
}

/// A temperature to a tenth of a degree, exact.
fn tenths(celsius: f64) -> Ratio {
    Ratio::new((celsius * 10.0).round() as i128, 10)
}
