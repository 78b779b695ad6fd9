//! Searching near a schedule: some steps are free, the order of all others is kept.

use super::core::Lit;
use super::{End, Learner};
use crate::plan::schedule::Schedule;
use crate::plan::solver::model::Task;
use crate::plan::solver::timing;

impl Learner<'_, '_> {
    /// Searches for a better schedule in which all steps but the free ones keep their order and ovens.
    pub fn near(
        &mut self,
        free: &[bool],
        target: i64,
        conflicts: u64,
        stop: &mut dyn FnMut() -> bool,
    ) -> End {
        let Some((_, schedule)) = self.best.clone() else {
            return End::Exhausted;
        };
        self.core.backtrack(0);
        self.assumed = self.kept(&schedule, free);
        let end = if self.assumed.is_empty() {
            End::Exhausted
        } else {
            self.search(target, conflicts, stop)
        };
        self.assumed.clear();
        end
    }

    /// Literals that hold the steps that are not free to their order.
    fn kept(&mut self, s: &Schedule, free: &[bool]) -> Vec<Lit> {
        let m = self.model;
        let mut lits = Vec::new();
        for &i in m.oven_steps.iter().filter(|&&i| !free[i]) {
            let place = self.presence[i].iter().find(|p| Some(p.0) == s.ovens[i]);
            lits.extend(place.and_then(|p| p.1));
        }
        for c in &self.choices {
            let Some((i, j, oven)) = c.steps else {
                continue;
            };
            let here = oven == usize::MAX || s.ovens[i] == Some(oven);
            if here && !free[i] && !free[j] && s.ovens[i] == s.ovens[j] {
                let yes = s.starts[j] >= s.starts[i] + c.yes.gap;
                lits.push(if yes { Lit::yes(c.var) } else { Lit::no(c.var) });
            }
        }
        let at = timing::moments(m, s);
        let loose = |n: usize| n >= m.steps + m.courses || (n < m.steps && free[n]);
        let mut arcs = Vec::new();
        for pool in &m.pools {
            let tasks: Vec<Task> = pool
                .tasks
                .iter()
                .copied()
                .filter(|t| !loose(t.begin) && !loose(t.end))
                .collect();
            // The chains of what is kept only; what is free may go between.
            if pool.tasks.iter().map(|t| t.demand).sum::<u32>() > pool.capacity {
                timing::chains(pool.capacity, &tasks, &at, &mut arcs);
            }
        }
        for a in arcs {
            let key = (a.from, a.to, a.gap);
            let lit = self
                .order_of
                .get(&key)
                .copied()
                .or_else(|| self.before.get(&key).map(|&v| Lit::yes(v)));
            lits.extend(lit);
        }
        lits
    }
}
