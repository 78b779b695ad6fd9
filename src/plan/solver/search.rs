//! The engine: a first schedule, made better until proof or until told to stop.

use super::bounds::{Bounds, Least};
use super::learn::{End, Learner};
use super::model::Model;
use super::neighbourhood::Neighbourhoods;
use super::ruin::Ruin;
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

/// Large dinners: rounds of ruin and recreate from the best schedule and from others, and neighbourhoods of the best
/// searched exactly, in turns.
fn large(model: &Model, best: &mut Solution, watch: &mut dyn Watch) {
    let mut ruin = Ruin::new(model, &best.schedule);
    let mut here = best.clone();
    let (mut round, mut epoch) = (Round::new(), 0);
    let mut turns: Option<Turns> = None;
    while !watch.stop() {
        ruin.load(&here.schedule);
        let before = here.total;
        let stopped = round.run(&mut ruin, &mut here, best, watch);
        if stopped && model.steps > TIMED {
            return;
        }
        let timed = timing::improve(model, &here.schedule, &mut || watch.stop());
        better(model.problem, best, timed.clone(), watch);
        if score::of(model.problem, &timed) < score::objective(model.problem, &here.cost) {
            here = solution(model.problem, timed, Known::default());
        }
        round.next(here.total < before - before / 50);
        let short = epoch < STARTS && round.moves > SHORT;
        if stopped || (round.vain < 2 && !short) {
            continue;
        }
        epoch += 1;
        if epoch == 1 {
            best.learn(Bounds::new(model).least(&mut || watch.stop()));
            watch.improved(best);
        }
        if epoch > STARTS && model.steps <= NEAR && !watch.stop() {
            let turns = turns.get_or_insert_with(|| Turns::new(model, best));
            if turns.turn(best, watch) == End::Proven {
                return;
            }
        }
        round = Round::new();
        round.heat = HOT;
        // What is left to gain may lie far from the best: other begins first, and every other time later on.
        here = if epoch < STARTS || epoch % 2 == 1 {
            ruin.scatter();
            solution(model.problem, ruin.schedule(), Known::default())
        } else {
            best.clone()
        };
    }
}

/// Moves from hot to cold.
struct Round {
    moves: u32,
    heat: f64,
    /// Rounds before this one that found nothing.
    vain: u32,
}

impl Round {
    fn new() -> Self {
        Round {
            moves: 300,
            heat: HEAT,
            vain: 0,
        }
    }

    /// Each is longer than the last, and hotter where the last was in vain.
    fn next(&mut self, gained: bool) {
        self.moves = self.moves * 3 / 2;
        (self.heat, self.vain) = if gained {
            (HOT, 0)
        } else {
            ((self.heat * 1.5).min(HOTTEST), self.vain + 1)
        };
    }

    /// Makes `here` better, and `best` with it. `true` when told to stop.
    fn run(
        &self,
        ruin: &mut Ruin,
        here: &mut Solution,
        best: &mut Solution,
        watch: &mut dyn Watch,
    ) -> bool {
        let problem = ruin.problem();
        let mut record = score::objective(problem, &here.cost);
        let mut kept: Option<Schedule> = None;
        for k in 0..=self.moves {
            let left = f64::from(self.moves - k) / f64::from(self.moves);
            ruin.step((self.heat * left * left * left) as i64);
            if ruin.total() < record {
                record = ruin.total();
                kept = Some(ruin.schedule());
            }
            let stopped = k % 8 == 0 && watch.stop();
            if (stopped || k % 64 == 0 || k == self.moves)
                && let Some(schedule) = kept.take()
            {
                *here = solution(problem, schedule.clone(), Known::default());
                better(problem, best, schedule, watch);
            }
            if stopped {
                return true;
            }
        }
        false
    }
}

/// What a move may cost in the begin of the first round, of those after it, and at most after vain ones.
const HEAT: f64 = 3000.0;
const HOT: f64 = 15_000.0;
const HOTTEST: f64 = 100_000.0;
/// Begins that are tried before one is gone on with, and the moves after which each is left.
const STARTS: u32 = 4;
const SHORT: u32 = 1500;

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

/// The exact engine, and how its effort is spent.
struct Turns<'m, 'p> {
    model: &'m Model<'p>,
    learner: Learner<'m, 'p>,
    near: Neighbourhoods,
    /// Conflicts for a turn of the whole.
    allowance: u64,
    /// The part of the gap between bound and best that the next schedule is asked to close.
    share: f64,
}

impl<'m, 'p> Turns<'m, 'p> {
    fn new(model: &'m Model<'p>, best: &Solution) -> Self {
        let mut learner = Learner::new(model);
        learner.adopt(&best.schedule);
        Turns {
            model,
            learner,
            near: Neighbourhoods::new(),
            allowance: 300,
            share: 0.5,
        }
    }

    /// A turn of neighbourhoods after the best schedule came from elsewhere; at the first, what holds without any decision.
    fn turn(&mut self, best: &mut Solution, watch: &mut dyn Watch) -> End {
        self.learner.adopt(&best.schedule);
        if self.learner.nodes == 0 {
            self.learner.open();
            self.tell(best, watch);
        }
        let turn = self.learner.conflicts;
        for _ in 0..40 {
            let end = self.near(best, watch);
            if end == End::Better || end == End::Proven {
                self.tell(best, watch);
            }
            if self.learner.optimal() {
                return End::Proven;
            }
            if end == End::Stopped || watch.stop() || self.learner.conflicts > turn + 1000 {
                break;
            }
        }
        End::Spent
    }

    fn target(&self, share: f64) -> i64 {
        let best = self.learner.best().map_or(i64::MAX / 16, |b| b.0);
        let gap = (best - 1 - self.learner.bound()).max(0);
        best - 1 - (gap as f64 * share) as i64
    }

    /// Asks for a schedule in the lower part of the gap; where that is not to be had cheaply, for less.
    fn whole(&mut self, watch: &mut dyn Watch) -> End {
        let target = self.target(self.share);
        let end = self
            .learner
            .search(target, self.allowance, &mut || watch.stop());
        match end {
            End::Spent => {
                self.share = if self.share < 0.02 {
                    0.0
                } else {
                    self.share * 0.5
                }
            }
            End::Better => self.share = (self.share * 1.5).clamp(0.05, 0.5),
            // What is left may be nothing: closer to the best next time.
            End::Proven => self.share *= 0.5,
            _ => {}
        }
        end
    }

    fn near(&mut self, best: &Solution, watch: &mut dyn Watch) -> End {
        let free = self.near.draw(self.model, &best.schedule);
        let target = self.target(if self.model.steps > LARGE { 0.0 } else { 0.002 });
        let end = self.learner.near(&free, target, 60, &mut || watch.stop());
        match end {
            End::Exhausted => self.near.exhausted(self.model.steps),
            End::Spent => self.near.spent(),
            _ => {}
        }
        end
    }

    /// Passes on what is new.
    fn tell(&self, best: &mut Solution, watch: &mut dyn Watch) {
        let Some((_, schedule)) = self.learner.best() else {
            return;
        };
        *best = solution(self.model.problem, schedule.clone(), best.known());
        best.bound = match (self.learner.optimal(), best.relaxed) {
            (true, _) => best.total,
            (false, false) => self.learner.bound().max(best.bound),
            // How many ticks must be broken is not known yet.
            (false, true) => self.learner.bound().min(best.total - 1),
        };
        watch.improved(best);
    }
}

/// Conflicts after which a problem that no list of dishes solves is given up.
const CROSSWISE: u64 = 20_000;
/// Steps above which orders of dishes and neighbourhoods are searched rather than the whole.
const LARGE: usize = 80;
/// Steps up to which neighbourhoods are searched exactly.
const NEAR: usize = 200;
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
