//! The engine: a first schedule, made better until proof or until told to stop.

mod large;
mod turns;

use large::large;
use turns::Turns;

use super::bounds::{Bounds, Least};
use super::learn::{End, Learner};
use super::model::Model;
use super::{Engine, Solution, Unsolvable, Watch, first, score, timing};
use crate::plan::cost;
use crate::plan::problem::Problem;
use crate::plan::schedule::{Cost, Schedule};

/// The planner's own engine.
#[derive(Clone, Debug, Default)]
pub struct Search {}

impl Search {
    /// With no limit but the watch.
    pub fn new() -> Self {
        Search::default()
    }
}

impl Engine for Search {
    fn solve(
        &mut self,
        problem: &Problem,
        hint: Option<&Schedule>,
        watch: &mut dyn Watch,
    ) -> Result<Solution, Unsolvable> {
        check(problem)?;
        let model = Model::new(problem);
        let schedule = match begin(&model, hint) {
            Some(schedule) => schedule,
            None => crosswise(&model)?,
        };
        let mut best = solution(problem, schedule, Known::default());
        watch.improved(&best);
        if problem.steps.len() <= TIMED {
            let timed = timing::improve(&model, &best.schedule, &mut || watch.stop());
            better(problem, &mut best, timed, watch);
        }
        if watch.stop() {
            return Ok(best);
        }
        if problem.steps.len() > LARGE && problem.dishes.len() > 1 && !model.live {
            large(&model, &mut best, watch);
        } else if problem.steps.len() <= EXACT {
            prove(&model, &mut best, watch);
        }
        let settled = timing::settle(&model, &best.schedule);
        best = solution(problem, settled, best.known());
        if !best.proven() && !model.live && best.least == Cost::default() {
            // Small: it takes no time that anybody notices.
            best.learn(Bounds::new(&model).least(&mut || false));
        }
        Ok(best)
    }
}

/// What was planned before, repaired, or a first schedule from nothing.
fn begin(model: &Model, hint: Option<&Schedule>) -> Option<Schedule> {
    let repaired = hint.and_then(|h| first::repaired(model, h));
    if model.live && repaired.is_some() {
        return repaired;
    }
    let both = [repaired, first::first(model)];
    both.into_iter()
        .flatten()
        .min_by_key(|s| score::of(model.problem, s))
}

/// A schedule where cookware is held so that no list of dishes works out; an error where there is none.
fn crosswise(model: &Model) -> Result<Schedule, Unsolvable> {
    let mut learner = Learner::new(model);
    learner.search(i64::MAX / 16, CROSSWISE, &mut || false);
    let found = learner.best().map(|b| b.1.clone());
    found.ok_or_else(|| Unsolvable::Crosswise {
        step: first::stuck(model),
    })
}

fn better(problem: &Problem, best: &mut Solution, schedule: Schedule, watch: &mut dyn Watch) {
    let old = score::objective(problem, &best.cost);
    if score::of(problem, &schedule) < old {
        *best = solution(problem, schedule, best.known());
        watch.improved(best);
    }
}

/// Searches exactly until proof or told to stop: the whole, and neighbourhoods of the best, in turns.
fn prove(model: &Model, best: &mut Solution, watch: &mut dyn Watch) {
    let mut turns = Turns::new(model, best);
    loop {
        let turn = turns.learner.conflicts;
        // The whole of a large dinner is out of reach; its neighbourhoods are not.
        let mut whole = model.steps <= LARGE;
        while turns.learner.conflicts - turn < 2 * turns.allowance {
            let end = if whole {
                turns.whole(watch)
            } else {
                turns.near(best, watch)
            };
            if end == End::Better || end == End::Proven {
                turns.tell(best, watch);
            }
            whole &= end != End::Spent;
            if turns.learner.optimal()
                || end == End::Stopped
                || (end == End::Exhausted && watch.stop())
            {
                return;
            }
        }
        turns.allowance = turns.allowance * 3 / 2;
    }
}

/// Conflicts after which a problem that no list of dishes solves is given up.
const CROSSWISE: u64 = 20_000;
/// Steps above which orders of dishes and neighbourhoods are searched rather than the whole.
const LARGE: usize = 80;
/// Steps up to which the first schedule gets its best moments at once.
const TIMED: usize = 300;
/// Steps up to which the whole problem goes to the exact engine.
const EXACT: usize = 1000;

/// What is known whichever schedule is the best.
#[derive(Clone, Copy, Debug, Default)]
struct Known {
    bound: i64,
    least: Cost,
}

impl Solution {
    fn known(&self) -> Known {
        Known {
            bound: self.bound,
            least: self.least,
        }
    }

    fn learn(&mut self, least: Least) {
        self.least = least.parts;
        // How many ticks must be broken is not known by this.
        let most = self.total - i64::from(self.relaxed);
        self.bound = self.bound.max(least.total.min(most));
    }
}

fn solution(problem: &Problem, schedule: Schedule, known: Known) -> Solution {
    let cost = cost::cost(problem, &schedule);
    let total = cost::total(problem, &cost);
    let relaxed = matches!(problem.mode, crate::plan::problem::Mode::Before) && cost.broken > 0;
    Solution {
        schedule,
        cost,
        total,
        bound: known.bound,
        least: known.least,
        relaxed,
    }
}

/// Finds a step that asks for more than there is.
fn check(problem: &Problem) -> Result<(), Unsolvable> {
    let racks = problem.ovens.iter().map(|o| o.racks).max().unwrap_or(0);
    for (step, s) in problem.steps.iter().enumerate() {
        let begun = s.begun.is_some();
        let oven = s.oven.as_ref().is_some_and(|o| o.racks > racks);
        if !begun && (s.hands && problem.cooks == 0 || s.burners > problem.burners || oven) {
            return Err(Unsolvable::TooMuch { step });
        }
    }
    for hold in problem.dishes.iter().flat_map(|d| &d.holds) {
        let open = hold
            .steps
            .iter()
            .copied()
            .find(|&i| problem.steps[i].begun.is_none());
        if let Some(step) = open.filter(|_| hold.count > problem.wares[hold.ware]) {
            return Err(Unsolvable::TooMuch { step });
        }
    }
    Ok(())
}
