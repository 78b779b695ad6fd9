//! The parts of the cost, as weights on what differences of moments fall short of.

use super::{Arc, BROKEN, Model, Node, Soft};
use crate::plan::problem::{HEATED, Mode, Tick};

impl Model<'_> {
    /// Adds `weight * max(0, t[late] - t[early] - allowed)`; of what is fixed, to the constant.
    fn cost(&mut self, early: Node, late: Node, allowed: Tick, weight: i64) {
        if self.fixed[early] && self.fixed[late] {
            self.constant += weight * i64::from((self.lo[late] - self.lo[early] - allowed).max(0));
        } else {
            let arc = Arc::new(late, early, -allowed);
            self.softs.push(Soft { arc, weight });
        }
    }

    pub(super) fn costs(&mut self) {
        let p = self.problem;
        let (broken, over, stale) = if self.live {
            (50, 30, 1)
        } else {
            (BROKEN, 300, 10)
        };
        for k in 0..self.courses {
            self.cost(self.origin, self.steps + k, p.courses[k].promised, 1000);
        }
        for i in 0..self.steps {
            let step = &p.steps[i];
            let Some(keeps) = step.keeps else { continue };
            let short = keeps <= 60;
            for f in self.followers[i].clone() {
                self.cost(i, f, step.length + keeps, broken);
                if short {
                    self.cost(i, f, step.length, stale);
                }
            }
            if self.followers[i].is_empty() {
                let course = self.steps + p.dishes[step.dish].course;
                self.cost(i, course, step.length + keeps, over);
                if short {
                    self.cost(i, course, step.length, stale);
                }
            }
        }
        if let (Some(first), true) = (self.first, self.courses > 0) {
            self.cost(first, self.steps + self.courses - 1, 0, 1);
        }
        if let Mode::Live { before, heated, .. } = &p.mode {
            for (i, at) in before.iter().enumerate().take(self.steps) {
                if let (Some(at), false) = (at, self.fixed[i]) {
                    let later = if heated.contains(&i) { 1 + HEATED } else { 1 };
                    self.cost(self.origin, i, *at, later);
                    self.cost(i, self.origin, -*at, 1);
                }
            }
        }
    }
}
