//! The exact engine in turns: on the whole problem, and on neighbourhoods of the best schedule.

use super::{LARGE, solution};
use crate::plan::solver::learn::{End, Learner};
use crate::plan::solver::model::Model;
use crate::plan::solver::neighbourhood::Neighbourhoods;
use crate::plan::solver::{Solution, Watch};

/// The exact engine, and how its effort is spent.
pub(super) struct Turns<'m, 'p> {
    model: &'m Model<'p>,
    pub learner: Learner<'m, 'p>,
    near: Neighbourhoods,
    /// Conflicts for a turn of the whole.
    pub allowance: u64,
    /// The part of the gap between bound and best that the next schedule is asked to close.
    share: f64,
}

impl<'m, 'p> Turns<'m, 'p> {
    pub fn new(model: &'m Model<'p>, best: &Solution) -> Self {
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
    pub fn turn(&mut self, best: &mut Solution, watch: &mut dyn Watch) -> End {
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
    pub fn whole(&mut self, watch: &mut dyn Watch) -> End {
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

    pub fn near(&mut self, best: &Solution, watch: &mut dyn Watch) -> End {
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
    pub fn tell(&self, best: &mut Solution, watch: &mut dyn Watch) {
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
