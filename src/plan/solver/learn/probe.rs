//! What a decision would cost at least, without making it: the first pivot of the flow tells.
//!
//! Where that exceeds the limit, the other way follows (as with the reduced costs of a linear program).

use super::core::{Done, Lit};
use super::variable::var;
use super::{Choice, Learner};
use crate::plan::solver::model::Arc;

/// What the two ways of a choice would add to the bound.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stakes {
    pub yes: i64,
    pub no: i64,
}

impl Learner<'_, '_> {
    /// What both ways of an open choice would cost, and what follows if one would cost too much.
    pub(super) fn probe(&mut self, k: usize) -> Result<Stakes, super::Conflict> {
        let Choice { var, yes, no, .. } = self.choices[k];
        Ok(Stakes {
            yes: self.try_way(k, Lit::yes(var), &yes)?,
            no: self.try_way(k, Lit::no(var), &no)?,
        })
    }

    fn try_way(&mut self, k: usize, lit: Lit, arc: &Arc) -> Result<i64, super::Conflict> {
        let gain = self.flow.gain(arc.from, arc.to, i64::from(arc.gap));
        if gain == Some(0) {
            return Ok(0);
        }
        let value = self.flow.value() + self.model.constant;
        let (limit, because) = self.limits();
        match gain {
            Some(gain) if value.saturating_add(gain) <= limit => return Ok(gain),
            gain => self.exclude(k, lit, gain.is_none(), because)?,
        }
        Ok(i64::MAX / 4)
    }

    /// How far each moment can be from where the flow has it before that alone costs too much.
    pub(super) fn narrow(&mut self) -> Done {
        let value = self.flow.value() + self.model.constant;
        let (limit, because) = self.limits();
        let slack = limit - value;
        let origin = self.model.origin;
        let mut common = None;
        for node in 0..self.model.nodes {
            let (v, at) = (var(node), self.flow.moment(node));
            if self.core.fixed(v) || slack < 0 {
                continue;
            }
            for (from, to) in [(origin, node), (node, origin)] {
                let later = to == node;
                let Some(slope) = self.flow.slope(from, to).filter(|&s| s > 0) else {
                    continue;
                };
                let reach = slack / slope;
                let lit = if later {
                    Lit::at_most(v, at + reach)
                } else {
                    Lit::at_least(v, at - reach)
                };
                if !self.core.is_true(lit) {
                    let shared = match common {
                        Some(shared) => shared,
                        None => {
                            let mut lits = Vec::from_iter(because);
                            self.carriers(&mut lits);
                            *common.insert(self.core.common(&lits))
                        }
                    };
                    let mut own = Vec::new();
                    self.around(&mut own);
                    self.core.imply_joined(lit, shared, &own)?;
                }
            }
        }
        Ok(())
    }

    /// Why the bound of the flow holds.
    pub(super) fn carriers(&self, lits: &mut Vec<Lit>) {
        for f in self.flow.on() {
            if self.flow.carries(f) {
                self.guards_of(f, lits);
            }
        }
    }

    /// The arcs of the flow's cycle.
    pub(super) fn around(&self, lits: &mut Vec<Lit>) {
        for &f in &self.flow.cycle {
            if self.flow.is_on(f) {
                self.guards_of(f, lits);
            }
        }
    }

    /// The other way of a choice follows from the flow as it would be, or from a contradiction.
    fn exclude(&mut self, k: usize, lit: Lit, contradicts: bool, because: Option<Lit>) -> Done {
        let mut lits = self.choices[k].guards.clone();
        self.around(&mut lits);
        if !contradicts {
            lits.extend(because);
            self.carriers(&mut lits);
        }
        self.core.imply(lit.not(), &lits)
    }
}
