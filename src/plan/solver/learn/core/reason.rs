//! Bounds that follow, and why.

use super::{Conflict, Core, Done, Entry, Lit, Side};

/// Why a bound holds.
#[derive(Clone, Copy, Debug)]
pub(super) enum Reason {
    /// Decided, or known from the start.
    None,
    /// A difference constraint, from the bound of its other end.
    Arc(u32, bool),
    Clause(u32),
    /// Literals in the store of reasons.
    Lits(u32, u32),
    /// Two stretches of the store: begin and length of what several bounds have in common, and of what is their own.
    Joined(u32, u16, u32, u16),
}

/// A stretch of the store of reasons, see [`Core::common`].
#[derive(Clone, Copy, Debug)]
pub struct Common {
    start: u32,
    len: usize,
}

impl Core {
    /// Makes a literal true for a reason given as literals.
    pub fn imply(&mut self, lit: Lit, because: &[Lit]) -> Done {
        if self.is_true(lit) {
            return Ok(());
        }
        debug_assert!(
            because.iter().all(|&l| self.is_true(l)),
            "a reason that does not hold"
        );
        let start = self.store.len() as u32;
        self.store.extend_from_slice(because);
        self.set(lit, Reason::Lits(start, because.len() as u32))
    }

    /// Literals that are the reason of several bounds together with others of their own; they last as long as the level.
    pub fn common(&mut self, because: &[Lit]) -> Common {
        let start = self.store.len() as u32;
        self.store.extend_from_slice(because);
        Common {
            start,
            len: because.len(),
        }
    }

    /// Makes a literal true because of what is common and of `own`.
    pub fn imply_joined(&mut self, lit: Lit, common: Common, own: &[Lit]) -> Done {
        if self.is_true(lit) {
            return Ok(());
        }
        let own_start = self.store.len() as u32;
        let reason = match (u16::try_from(common.len), u16::try_from(own.len())) {
            (Ok(len), Ok(own)) => Reason::Joined(common.start, len, own_start, own),
            _ => {
                let from = common.start as usize;
                self.store.extend_from_within(from..from + common.len);
                Reason::Lits(own_start, (common.len + own.len()) as u32)
            }
        };
        self.store.extend_from_slice(own);
        self.set(lit, reason)
    }

    pub(super) fn set(&mut self, lit: Lit, reason: Reason) -> Done {
        let side = lit.side as usize;
        if lit.value + self.bound[side ^ 1] > 0 {
            self.conflict.clear();
            let mut buf = std::mem::take(&mut self.conflict);
            // The weakest bound that contradicts the other side needs the weakest reasons.
            let other = self.bound[side ^ 1];
            self.explain(reason, lit.side, 1 - other, &mut buf);
            buf.push(Lit {
                side: lit.side ^ 1,
                value: other,
            });
            self.conflict = buf;
            return Err(Conflict);
        }
        let entry = Entry {
            side: lit.side,
            prev: self.last[side],
            old: self.bound[side],
            reason,
        };
        self.last[side] = self.trail.len() as u32;
        self.trail.push(entry);
        self.bound[side] = lit.value;
        Ok(())
    }

    /// Literals that imply `side >= value`.
    pub(super) fn explain(&self, reason: Reason, side: Side, value: i64, buf: &mut Vec<Lit>) {
        match reason {
            Reason::None => {}
            Reason::Arc(id, reverse) => {
                let a = &self.arcs[id as usize];
                let source = if reverse { 2 * a.to + 1 } else { 2 * a.from };
                buf.push(Lit {
                    side: source,
                    value: value - a.gap,
                });
                buf.extend_from_slice(&a.guards[..a.guarded as usize]);
            }
            Reason::Clause(id) => {
                let c = &self.clauses[id as usize];
                let lits = &self.lits[c.start as usize..(c.start + c.len) as usize];
                buf.extend(
                    lits.iter()
                        .filter(|l| l.side != side || l.value < value)
                        .map(|l| l.not()),
                );
            }
            Reason::Lits(start, len) => {
                buf.extend_from_slice(&self.store[start as usize..(start + len) as usize]);
            }
            Reason::Joined(start, len, own, more) => {
                for (from, count) in [
                    (start as usize, len as usize),
                    (own as usize, more as usize),
                ] {
                    buf.extend_from_slice(&self.store[from..from + count]);
                }
            }
        }
    }
}
