//! The engine: a first schedule, made better until proof or until told to stop.

use super::learn::{End, Learner};
use super::model::Model;
use super::{Engine, Solution, Unsolvable, Watch, first, score, timing};
use crate::plan::cost;
use crate::plan::problem::Problem;
use crate::plan::schedule::Schedule;

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
        let schedule = begin(&model, hint).ok_or(Unsolvable::TooMuch { step: 0 })?;
        let mut best = solution(problem, schedule, 0);
        watch.improved(&best);
        if problem.steps.len() <= TIMED {
            let timed = timing::improve(&model, &best.schedule, false);
            better(problem, &mut best, timed, watch);
        }
        if !watch.stop() && problem.steps.len() <= EXACT {
            prove(&model, &mut best, watch);
            let early = timing::improve(&model, &best.schedule, true);
            let bound = best.bound;
            best = solution(problem, early, bound);
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

fn better(problem: &Problem, best: &mut Solution, schedule: Schedule, watch: &mut dyn Watch) {
    let old = score::objective(problem, &best.cost);
    if score::of(problem, &schedule) < old {
        *best = solution(problem, schedule, best.bound);
        watch.improved(best);
    }
}

/// Searches exactly until proof or told to stop.
fn prove(model: &Model, best: &mut Solution, watch: &mut dyn Watch) {
    let problem = model.problem;
    let mut learner = Learner::new(model);
    learner.adopt(&best.schedule);
    loop {
        let end = learner.search(i64::MAX / 16, u64::MAX, &mut || watch.stop());
        if let Some((_, schedule)) = learner.best() {
            *best = solution(problem, schedule.clone(), learner.bound());
        }
        if end == End::Proven {
            best.bound = best.total;
        }
        watch.improved(best);
        if end != End::Better {
            return;
        }
    }
}

/// Steps up to which the first schedule gets its best moments at once.
const TIMED: usize = 300;
/// Steps up to which the whole problem goes to the exact engine.
const EXACT: usize = 300;

fn solution(problem: &Problem, schedule: Schedule, bound: i64) -> Solution {
    let cost = cost::cost(problem, &schedule);
    let total = cost::total(problem, &cost);
    let relaxed = matches!(problem.mode, crate::plan::problem::Mode::Before) && cost.broken > 0;
    Solution {
        schedule,
        cost,
        total,
        bound,
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
