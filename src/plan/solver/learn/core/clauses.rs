//! Clauses: added, watched, and forgotten when they are of little use.

use super::{Clause, Conflict, Core, Done, Lit, NONE, Reason, Watched};

impl Core {
    pub(super) fn watch(&mut self, lit: Lit, clause: u32) {
        let n = lit.not();
        self.watches[n.side as usize].push(Watched {
            threshold: n.value,
            clause,
        });
    }

    /// Adds a clause; its first two literals are watched.
    pub(super) fn attach(&mut self, clause: &[Lit], learnt: bool, levels: u32) -> u32 {
        let id = self.clauses.len() as u32;
        let start = self.lits.len() as u32;
        self.lits.extend_from_slice(clause);
        let activity = self.clause_bump;
        self.clauses.push(Clause {
            start,
            len: clause.len() as u32,
            learnt,
            levels,
            activity,
        });
        self.learnt_count += usize::from(learnt);
        self.watch(clause[0], id);
        self.watch(clause[1], id);
        id
    }

    /// Adds a clause that always holds, whatever is decided now; it speaks at once if it can.
    pub fn clause(&mut self, clause: &[Lit]) -> Done {
        let mut lits: Vec<Lit> = clause.to_vec();
        let rank = |core: &Core, l: &Lit| {
            if core.is_false(*l) {
                core.position(l.not())
            } else {
                NONE
            }
        };
        lits.sort_by_key(|l| std::cmp::Reverse(rank(self, l)));
        let open = lits.iter().filter(|l| !self.is_false(**l)).count();
        let satisfied = lits.iter().any(|l| self.is_true(*l));
        if lits.len() < 2 {
            self.conflict.clear();
            let Some(&only) = lits.first() else {
                return Err(Conflict);
            };
            return if self.level() == 0 {
                self.root(only)
            } else {
                self.imply(only, &[])
            };
        }
        let id = self.attach(&lits, false, 0);
        if open == 0 {
            self.conflict.clear();
            self.conflict.extend(lits.iter().map(|l| l.not()));
            return Err(Conflict);
        }
        if open == 1 && !satisfied {
            return self.set(lits[0], Reason::Clause(id));
        }
        Ok(())
    }

    /// Forgets the less useful half of what was learnt. Only at the root.
    pub fn reduce(&mut self) {
        if self.level() > 0 {
            return;
        }
        for e in &mut self.trail {
            e.reason = Reason::None;
        }
        let mut ranked: Vec<(u32, f32)> = Vec::new();
        for (id, c) in self.clauses.iter().enumerate() {
            if c.learnt && c.levels > 2 {
                ranked.push((id as u32, c.activity));
            }
        }
        ranked.sort_by(|a, b| a.1.total_cmp(&b.1));
        let mut drop = vec![false; self.clauses.len()];
        for &(id, _) in &ranked[..ranked.len() / 2] {
            drop[id as usize] = true;
        }
        for (id, c) in self.clauses.iter().enumerate() {
            let lits = &self.lits[c.start as usize..(c.start + c.len) as usize];
            drop[id] |= lits.iter().any(|l| self.is_true(*l));
        }
        let (old, old_lits) = (
            std::mem::take(&mut self.clauses),
            std::mem::take(&mut self.lits),
        );
        self.watches.iter_mut().for_each(Vec::clear);
        self.learnt_count = 0;
        for (id, c) in old.iter().enumerate().filter(|(id, _)| !drop[*id]) {
            let all = &old_lits[c.start as usize..(c.start + c.len) as usize];
            let lits: Vec<Lit> = all.iter().copied().filter(|l| !self.is_false(*l)).collect();
            if lits.len() < 2 {
                continue;
            }
            let new = self.attach(&lits, c.learnt, c.levels);
            self.clauses[new as usize].activity = old[id].activity;
        }
    }
}
