//! The flow beside the bounds: what it learns from them, and the bound and the contradictions that it tells.

use super::Learner;
use super::core::{Conflict, Done, Lit};
use super::variable::var;
use crate::plan::solver::flow::{Flow, Outcome};

impl Learner<'_, '_> {
    /// Lets the flow know what the root knows.
    pub(super) fn tighten(&mut self) {
        for node in 0..self.model.nodes {
            self.flow
                .set(self.earliest[node], Some(self.core.lo(var(node))));
            if node != self.model.origin {
                self.flow
                    .set(Flow::latest_of(node), Some(-self.core.hi(var(node))));
            }
        }
    }

    pub(super) fn limits(&self) -> (i64, Option<Lit>) {
        let hi = self.core.hi(self.goal);
        if hi < self.limit {
            (hi, Some(Lit::at_most(self.goal, hi)))
        } else {
            (self.limit, None)
        }
    }

    /// Brings the flow up to date and its bound into force.
    pub(super) fn price(&mut self) -> Done {
        for arc in std::mem::take(&mut self.core.asleep) {
            self.flow.set(self.flow_of[arc as usize], None);
        }
        for k in self.core.settled..self.core.active.len() {
            let arc = self.core.active[k] as usize;
            self.flow
                .set(self.flow_of[arc], Some(self.core.arcs[arc].gap));
        }
        self.core.settled = self.core.active.len();
        self.take_back();
        let (limit, _) = self.limits();
        let least = self.core.lo(self.goal);
        if least > self.limit {
            // What was learnt says that this branch costs more than the best schedule.
            self.core.conflict.clear();
            self.core
                .conflict
                .push(Lit::at_least(self.goal, self.limit + 1));
            return Err(Conflict);
        }
        loop {
            match self.flow.run(limit - self.model.constant, 100_000) {
                Outcome::Infeasible => {
                    let mut lits = std::mem::take(&mut self.core.conflict);
                    lits.clear();
                    for &f in &self.flow.cycle {
                        self.guards_of(f, &mut lits);
                    }
                    self.core.conflict = lits;
                    return Err(Conflict);
                }
                Outcome::Optimal if self.lend() => {}
                _ => return self.raise(),
            }
        }
    }

    /// Bounds lent to the flow that no longer hold are taken back.
    fn take_back(&mut self) {
        let mut lent = std::mem::take(&mut self.lent);
        lent.retain(|&(node, latest)| {
            let v = var(node);
            let (arc, now, root) = if latest {
                (
                    Flow::latest_of(node),
                    -self.core.hi(v),
                    -self.core.root_hi(v),
                )
            } else {
                (self.earliest[node], self.core.lo(v), self.core.root_lo(v))
            };
            let holds = self.flow.gap(arc) <= now;
            if !holds {
                self.flow.set(arc, Some(root));
            }
            holds
        });
        self.lent = lent;
    }

    /// Where the moments of the flow violate bounds, the flow gets these. `false` when none do.
    fn lend(&mut self) -> bool {
        let mut any = false;
        for node in 0..self.model.nodes {
            let (v, at) = (var(node), self.flow.moment(node));
            for (latest, arc, gap) in [
                (false, self.earliest[node], self.core.lo(v)),
                (true, Flow::latest_of(node), -self.core.hi(v)),
            ] {
                let short = if latest { gap > -at } else { gap > at };
                if short && node != self.model.origin {
                    self.flow.set(arc, Some(gap));
                    if !self.lent.contains(&(node, latest)) {
                        self.lent.push((node, latest));
                    }
                    any = true;
                }
            }
        }
        any
    }

    pub(super) fn guards_of(&self, flow_arc: usize, lits: &mut Vec<Lit>) {
        if flow_arc < 2 * self.model.nodes - 1 {
            let nodes = self.model.nodes - 1;
            let gap = self.flow.gap(flow_arc);
            lits.push(if flow_arc < nodes {
                Lit {
                    side: 2 * var(flow_arc) as u32 + 1,
                    value: gap,
                }
            } else {
                Lit::at_least(var(flow_arc - nodes), gap)
            });
            return;
        }
        if let Some(&arc) = self.arc_of.get(flow_arc).filter(|&&a| a != u32::MAX) {
            let a = &self.core.arcs[arc as usize];
            lits.extend_from_slice(&a.guards[..a.guarded as usize]);
        }
    }

    /// The value of the flow is a lower bound of the cost, because of the arcs that carry it.
    fn raise(&mut self) -> Done {
        let value = self.flow.value() + self.model.constant;
        let (limit, because) = self.limits();
        if value <= limit && self.core.level() > 0 {
            return Ok(());
        }
        if value <= limit && value <= self.core.lo(self.goal) {
            return Ok(());
        }
        let mut lits = Vec::new();
        self.carriers(&mut lits);
        if value > limit {
            if because.is_some() {
                lits.push(Lit::at_most(self.goal, value - 1));
            }
            self.core.conflict.clear();
            self.core.conflict.extend_from_slice(&lits);
            return Err(Conflict);
        }
        self.core.imply(Lit::at_least(self.goal, value), &lits)
    }
}
