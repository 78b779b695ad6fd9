//! What a conflict teaches: the first unique implication point, without what follows from the rest.

use super::{Core, Lit, NONE, Reason, Side, TRUE, UNSET};

impl Core {
    /// Notes that a literal is needed. Its position must be known.
    fn note(&mut self, lit: Lit, at: u32) {
        let side = lit.side as usize;
        if self.need[side] == UNSET {
            self.touched.push(lit.side);
        }
        self.need[side] = lit.value;
        self.need_at[side] = at;
    }

    /// Takes a literal into the set under resolution; `true` if one more of the level is in it.
    fn absorb(&mut self, lit: Lit, level_start: u32, root_end: u32) -> bool {
        let side = lit.side as usize;
        if self.need[side] != UNSET && self.need[side] >= lit.value {
            return false;
        }
        let at = self.position(lit);
        if at == NONE || at < root_end {
            return false;
        }
        let had = self.need[side] != UNSET
            && self.need_at[side] != NONE
            && self.need_at[side] >= level_start;
        self.note(lit, at);
        self.bump_var(lit.var());
        at >= level_start && !had
    }

    fn bump_var(&mut self, var: usize) {
        self.activity[var] += self.bump;
        if self.activity[var] > 1e100 {
            self.activity.iter_mut().for_each(|a| *a *= 1e-100);
            self.bump *= 1e-100;
        }
    }

    /// Learns from [`Core::conflict`]: backtracks, adds the clause and makes it speak.
    /// `false` when the conflict holds without any decision.
    pub fn learn(&mut self) -> bool {
        let conflict = std::mem::take(&mut self.conflict);
        debug_assert!(
            conflict.iter().all(|&l| self.is_true(l)),
            "a reason that does not hold"
        );
        let top = conflict
            .iter()
            .map(|&l| self.position(l))
            .filter(|&p| p != NONE);
        let level = top.map(|p| self.level_of(p)).max().unwrap_or(0);
        if level == 0 {
            self.conflict = conflict;
            self.backtrack(0);
            self.root_failed = true;
            return false;
        }
        // What lies above the conflict's level plays no part; its entries stay until the jump back.
        let clause = self.resolve(&conflict, level);
        self.conflict = conflict;
        self.bump /= 0.95;
        self.clause_bump /= 0.999;
        self.assert(clause)
    }

    /// First unique implication point: the negated literals, the asserting one first.
    fn resolve(&mut self, conflict: &[Lit], level: usize) -> Vec<Lit> {
        let start = self.levels[level - 1].0;
        let root_end = self.root_end();
        let mut open = 0;
        for &l in conflict {
            open += usize::from(self.absorb(l, start, root_end));
        }
        let mut at = self
            .levels
            .get(level)
            .map_or(self.trail.len(), |l| l.0 as usize);
        let mut buf = std::mem::take(&mut self.reason_buf);
        let mut uip = TRUE;
        while at > start as usize {
            at -= 1;
            let e = self.trail[at];
            let side = e.side as usize;
            if self.need[side] == UNSET || self.need_at[side] != at as u32 {
                continue;
            }
            let value = self.need[side];
            self.need[side] = UNSET;
            self.need_at[side] = NONE;
            if open == 1 {
                uip = Lit {
                    side: e.side,
                    value,
                };
                break;
            }
            open -= 1;
            if let Reason::Clause(id) = e.reason {
                self.bump_clause(id);
            }
            buf.clear();
            self.explain(e.reason, e.side, value, &mut buf);
            for &l in &buf {
                open += usize::from(self.absorb(l, start, root_end));
            }
        }
        let mut clause = vec![uip.not()];
        let mut touched = std::mem::take(&mut self.touched);
        touched.sort_unstable();
        touched.dedup();
        for &side in &touched {
            if self.need[side as usize] != UNSET && !self.redundant(side, root_end, &mut buf) {
                clause.push(
                    Lit {
                        side,
                        value: self.need[side as usize],
                    }
                    .not(),
                );
            }
        }
        for &side in &touched {
            self.need[side as usize] = UNSET;
            self.need_at[side as usize] = NONE;
        }
        self.touched = touched;
        self.touched.clear();
        self.reason_buf = buf;
        clause
    }

    /// Whether a needed literal follows from the other needed ones.
    fn redundant(&self, side: Side, root_end: u32, buf: &mut Vec<Lit>) -> bool {
        let e = self.trail[self.need_at[side as usize] as usize];
        if matches!(e.reason, Reason::None) {
            return false;
        }
        buf.clear();
        self.explain(e.reason, side, self.need[side as usize], buf);
        buf.iter().all(|&l| {
            let needed = self.need[l.side as usize];
            // Only what came earlier counts, so that no two drop out for each other's sake.
            let earlier = self.need_at[l.side as usize] < self.need_at[side as usize];
            (needed != UNSET && needed >= l.value && earlier) || {
                let at = self.position(l);
                at == NONE || at < root_end
            }
        })
    }

    fn bump_clause(&mut self, id: u32) {
        let c = &mut self.clauses[id as usize];
        c.activity += self.clause_bump;
        if c.activity > 1e20 {
            self.clauses.iter_mut().for_each(|c| c.activity *= 1e-20);
            self.clause_bump *= 1e-20;
        }
    }

    fn assert(&mut self, mut clause: Vec<Lit>) -> bool {
        if clause.len() == 1 {
            self.backtrack(0);
            let done = self.set(clause[0], Reason::None);
            self.root_failed |= done.is_err();
            return done.is_ok();
        }
        let mut second = 1;
        let (mut best, mut marks) = (0, Vec::with_capacity(clause.len()));
        for (k, lit) in clause.iter().enumerate().skip(1) {
            let level = self.level_of(self.position(lit.not()));
            marks.push(level);
            if level > best {
                best = level;
                second = k;
            }
        }
        marks.sort_unstable();
        marks.dedup();
        clause.swap(1, second);
        self.backtrack(best);
        let id = self.attach(&clause, true, marks.len() as u32 + 1);
        // Its other literals are false: this cannot contradict.
        self.set(clause[0], Reason::Clause(id)).is_ok()
    }
}
