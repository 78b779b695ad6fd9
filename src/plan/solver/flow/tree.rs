//! The tree of the network simplex: pivots, and what a pivot would gain.

use super::{Flow, HARD, NONE, State};

impl Flow {
    fn rises(&self, node: u32) -> bool {
        self.arcs[self.pred[node as usize] as usize].from == node
    }

    /// Sends what fits around the cycle that the arc closes. `false` if that has no end.
    pub(super) fn pivot(&mut self, arc: usize) -> bool {
        let forward = self.arcs[arc].state == State::Lower;
        let (first, second) = match forward {
            true => (self.arcs[arc].from, self.arcs[arc].to),
            false => (self.arcs[arc].to, self.arcs[arc].from),
        };
        let join = self.join(first, second);
        let mut delta = self.capacity[arc];
        let mut out: Option<(u32, bool)> = None;
        let mut u = first;
        while u != join {
            let room = self.room(u, !self.rises(u));
            if room < delta {
                delta = room;
                out = Some((u, true));
            }
            u = self.parent[u as usize];
        }
        u = second;
        while u != join {
            let room = self.room(u, self.rises(u));
            if room <= delta {
                delta = room;
                out = Some((u, false));
            }
            u = self.parent[u as usize];
        }
        if delta >= HARD / 2 {
            self.name_cycle(arc, first, second, join);
            return false;
        }
        self.augment(
            arc,
            first,
            second,
            join,
            if forward { delta } else { -delta },
        );
        match out {
            None => self.arcs[arc].state = if forward { State::Upper } else { State::Lower },
            Some((node, on_first)) => {
                let (inner, outer) = if on_first {
                    (first, second)
                } else {
                    (second, first)
                };
                self.exchange(arc, node, inner, outer);
            }
        }
        true
    }

    fn join(&self, a: u32, b: u32) -> u32 {
        let (mut a, mut b) = (a, b);
        while a != b {
            if self.depth[a as usize] >= self.depth[b as usize] {
                a = self.parent[a as usize];
            } else {
                b = self.parent[b as usize];
            }
        }
        a
    }

    /// How much the arc above a node can gain or lose.
    fn room(&self, node: u32, gains: bool) -> i64 {
        let arc = self.pred[node as usize] as usize;
        match (gains, self.capacity[arc] >= HARD) {
            (true, true) => HARD,
            (true, false) => self.capacity[arc] - self.flow[arc],
            (false, _) => self.flow[arc],
        }
    }

    fn name_cycle(&mut self, arc: usize, first: u32, second: u32, join: u32) {
        self.cycle.clear();
        self.cycle.push(arc);
        for mut u in [first, second] {
            while u != join {
                self.cycle.push(self.pred[u as usize] as usize);
                u = self.parent[u as usize];
            }
        }
    }

    fn augment(&mut self, arc: usize, first: u32, second: u32, join: u32, signed: i64) {
        if signed == 0 {
            return;
        }
        let delta = signed.abs();
        self.value += signed * self.violation(arc);
        self.flow[arc] += signed;
        for (start, up_gains) in [(first, false), (second, true)] {
            let mut u = start;
            while u != join {
                let e = self.pred[u as usize] as usize;
                self.flow[e] += if self.rises(u) == up_gains {
                    delta
                } else {
                    -delta
                };
                u = self.parent[u as usize];
            }
        }
    }

    /// The arc enters the tree, the one above `cut` leaves; the part below hangs from `inner` anew.
    fn exchange(&mut self, arc: usize, cut: u32, inner: u32, outer: u32) {
        let leaving = self.pred[cut as usize] as usize;
        self.arcs[leaving].state = if self.flow[leaving] == 0 {
            State::Lower
        } else {
            State::Upper
        };
        self.arcs[arc].state = State::Tree;
        let (mut node, mut above, mut pred) = (inner, outer, arc as u32);
        loop {
            let (old_parent, old_pred) = (self.parent[node as usize], self.pred[node as usize]);
            self.unlink(node);
            self.link(node, above);
            self.pred[node as usize] = pred;
            if node == cut {
                break;
            }
            (above, pred, node) = (node, old_pred, old_parent);
        }
        let shift = match self.arcs[arc].from == inner {
            // t[outer] = t[inner] + gap
            true => {
                self.potential[outer as usize] - self.arcs[arc].gap - self.potential[inner as usize]
            }
            false => {
                self.potential[outer as usize] + self.arcs[arc].gap - self.potential[inner as usize]
            }
        };
        self.shift(inner, shift);
    }

    /// Moves a subtree by a constant and counts its depths again.
    fn shift(&mut self, top: u32, by: i64) {
        self.stack.clear();
        self.stack.push(top);
        while let Some(node) = self.stack.pop() {
            let k = node as usize;
            self.potential[k] += by;
            self.depth[k] = self.depth[self.parent[k] as usize] + 1;
            let mut c = self.child[k];
            while c != NONE {
                self.stack.push(c);
                c = self.next[c as usize];
            }
        }
    }

    /// Potentials of all nodes anew, after gaps of tree arcs have changed.
    pub(super) fn refresh(&mut self, root: u32, at: i64) {
        self.potential[root as usize] = at;
        self.stack.clear();
        self.stack.push(root);
        while let Some(node) = self.stack.pop() {
            let mut c = self.child[node as usize];
            while c != NONE {
                let arc = self.pred[c as usize] as usize;
                let base = self.potential[node as usize];
                self.potential[c as usize] = if self.arcs[arc].from == c {
                    base - self.arcs[arc].gap
                } else {
                    base + self.arcs[arc].gap
                };
                self.stack.push(c);
                c = self.next[c as usize];
            }
        }
    }

    /// By how much the bound rises at least if `t[to] >= t[from] + gap` came to hold: what the first pivot would gain.
    /// The arcs that would carry flow then, besides those that carry it now, go to [`Flow::cycle`]; `None` when the
    /// constraint contradicts these arcs alone.
    pub fn gain(&mut self, from: usize, to: usize, gap: i64) -> Option<i64> {
        let violation = self.potential[from] + gap - self.potential[to];
        if violation <= 0 {
            self.cycle.clear();
            return Some(0);
        }
        let delta = self.slope(from, to)?;
        Some(delta.saturating_mul(violation))
    }

    /// What the bound gains for each unit by which `t[to] - t[from]` came to exceed what it is, at least. The arcs that
    /// would carry flow then, besides those that carry it now, go to [`Flow::cycle`]; `None` when it cannot exceed it.
    pub fn slope(&mut self, from: usize, to: usize) -> Option<i64> {
        self.cycle.clear();
        let (first, second) = (from as u32, to as u32);
        let join = self.join(first, second);
        let mut delta = HARD;
        for (start, up_gains) in [(first, false), (second, true)] {
            let mut u = start;
            while u != join && delta > 0 {
                let gains = self.rises(u) == up_gains;
                delta = delta.min(self.room(u, gains));
                if gains {
                    self.cycle.push(self.pred[u as usize] as usize);
                }
                u = self.parent[u as usize];
            }
        }
        (delta < HARD / 2).then_some(delta)
    }

    pub(super) fn link(&mut self, node: u32, parent: u32) {
        let head = self.child[parent as usize];
        self.next[node as usize] = head;
        self.prev[node as usize] = NONE;
        if head != NONE {
            self.prev[head as usize] = node;
        }
        self.child[parent as usize] = node;
        self.parent[node as usize] = parent;
    }

    fn unlink(&mut self, node: u32) {
        let (prev, next) = (self.prev[node as usize], self.next[node as usize]);
        if prev == NONE {
            self.child[self.parent[node as usize] as usize] = next;
        } else {
            self.next[prev as usize] = next;
        }
        if next != NONE {
            self.prev[next as usize] = prev;
        }
    }
}
