//! Clauses, differences and guards until nothing changes.

use super::{Core, Done, Entry, Lit, Out, Reason, Side};

impl Core {
    /// Clauses, differences and guards until nothing changes; sides that moved go to `moved`.
    pub fn propagate(&mut self, moved: &mut Vec<Side>) -> Done {
        while self.head < self.trail.len() {
            let Entry { side, old, .. } = self.trail[self.head];
            self.head += 1;
            moved.push(side);
            self.clauses_of(side, old)?;
            for k in 0..self.out[side as usize].len() {
                let Out { target, gap, arc } = self.out[side as usize][k];
                let value = self.bound[side as usize] + gap;
                if value <= self.bound[target as usize] {
                    continue;
                }
                // One that isn't in force speaks only where it can't hold; when it comes in force it is looked at anew.
                if self.on[arc as usize] || value + self.bound[(target ^ 1) as usize] > 0 {
                    self.follow(arc, side, target, value)?;
                }
            }
            for k in 0..self.guarding[side as usize].len() {
                let (value, arc) = self.guarding[side as usize][k];
                if value > old && value <= self.bound[side as usize] {
                    if self.in_force(arc as usize) {
                        self.activate(arc);
                    }
                    self.check_arc(arc, false)?;
                    self.check_arc(arc, true)?;
                }
            }
        }
        Ok(())
    }

    pub(super) fn check_arc(&mut self, arc: u32, reverse: bool) -> Done {
        let a = &self.arcs[arc as usize];
        let (source, target) = if reverse {
            (2 * a.to + 1, 2 * a.from + 1)
        } else {
            (2 * a.from, 2 * a.to)
        };
        let value = self.bound[source as usize] + a.gap;
        if value > self.bound[target as usize] {
            return self.follow(arc, source, target, value);
        }
        Ok(())
    }

    /// The arc wants `target >= value`: done if it is in force; a last open guard is false if that cannot be.
    fn follow(&mut self, arc: u32, source: Side, target: Side, value: i64) -> Done {
        let a = &self.arcs[arc as usize];
        let mut open = None;
        for &g in &a.guards[..a.guarded as usize] {
            if !self.is_true(g) {
                if open.is_some() || self.is_false(g) {
                    return Ok(());
                }
                open = Some(g);
            }
        }
        let Some(guard) = open else {
            return self.set(
                Lit {
                    side: target,
                    value,
                },
                Reason::Arc(arc, source & 1 == 1),
            );
        };
        let other = self.bound[(target ^ 1) as usize];
        if value + other <= 0 {
            return Ok(());
        }
        let start = self.store.len() as u32;
        let a = *a;
        self.store.push(Lit {
            side: source,
            value: 1 - a.gap - other,
        });
        self.store.push(Lit {
            side: target ^ 1,
            value: other,
        });
        for &g in a.guards[..a.guarded as usize]
            .iter()
            .filter(|&&g| g != guard)
        {
            self.store.push(g);
        }
        let len = self.store.len() as u32 - start;
        self.set(guard.not(), Reason::Lits(start, len))
    }

    fn clauses_of(&mut self, side: Side, old: i64) -> Done {
        let mut list = std::mem::take(&mut self.watches[side as usize]);
        let bound = self.bound[side as usize];
        let (mut kept, mut k) = (0, 0);
        let mut result = Ok(());
        while k < list.len() {
            let w = list[k];
            k += 1;
            if w.threshold <= old
                || w.threshold > bound
                || !self.visit(w.clause, side, w.threshold, &mut result)
            {
                list[kept] = w;
                kept += 1;
            }
            if result.is_err() {
                break;
            }
        }
        while k < list.len() {
            list[kept] = list[k];
            kept += 1;
            k += 1;
        }
        list.truncate(kept);
        // Visits may have put watches on this very side.
        list.append(&mut self.watches[side as usize]);
        self.watches[side as usize] = list;
        result
    }

    /// A watched literal of a clause became false. `true` when the watch moved elsewhere.
    fn visit(&mut self, id: u32, side: Side, threshold: i64, result: &mut Done) -> bool {
        let c = self.clauses[id as usize];
        let (a, z) = (c.start as usize, (c.start + c.len) as usize);
        let fallen = Lit {
            side,
            value: threshold,
        }
        .not();
        if self.lits[a] == fallen {
            self.lits.swap(a, a + 1);
        }
        if self.is_true(self.lits[a]) {
            return false;
        }
        for k in a + 2..z {
            if !self.is_false(self.lits[k]) {
                self.lits.swap(a + 1, k);
                self.watch(self.lits[a + 1], id);
                return true;
            }
        }
        *result = self.set(self.lits[a], Reason::Clause(id));
        false
    }
}
