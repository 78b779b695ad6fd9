//! What is too large to prove: better and better orders.

use super::{Known, TIMED, Turns, better, solution};
use crate::plan::schedule::Schedule;
use crate::plan::solver::bounds::Bounds;
use crate::plan::solver::learn::End;
use crate::plan::solver::model::Model;
use crate::plan::solver::ruin::Ruin;
use crate::plan::solver::{Solution, Watch, score, timing};

/// Large dinners: rounds of ruin and recreate from the best schedule and from others, and neighbourhoods of the best
/// searched exactly, in turns.
pub(super) fn large(model: &Model, best: &mut Solution, watch: &mut dyn Watch) {
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
/// Steps up to which neighbourhoods are searched exactly.
const NEAR: usize = 200;
