//! The best moments for a fixed order, and why they cannot be better.
//!
//! Minimising weighted shortfalls of differences is the dual of a flow of least cost: the moments
//! are its potentials, the difference constraints its arcs. A network simplex with a strongly
//! feasible tree (after W. H. Cunningham, "A network simplex method", 1976) keeps its flow when a
//! constraint comes or goes, so that along a search each step costs a few pivots. Any of its flows
//! is a lower bound, and the arcs that carry flow are the reason for it.

/// Capacity of a hard constraint.
const HARD: i64 = i64::MAX / 4;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum State {
    Lower,
    Tree,
    Upper,
}

/// What is looked at to find an arc that is violated: together in memory, because all are looked at all the time.
#[derive(Clone, Copy, Debug)]
struct Arc {
    from: u32,
    to: u32,
    gap: i64,
    state: State,
}

/// What became of a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// The potentials are the best moments.
    Optimal,
    /// The bound is above the limit already.
    AboveLimit,
    /// The constraints contradict each other; the arcs are in [`Flow::cycle`].
    Infeasible,
    /// The pivots ran out.
    Unfinished,
}

/// A flow network over moments; node `root` is at 0.
#[derive(Clone, Debug)]
pub struct Flow {
    root: usize,
    /// Gap of a constraint that is switched off: less than any two moments can be apart.
    off: i64,
    arcs: Vec<Arc>,
    capacity: Vec<i64>,
    flow: Vec<i64>,
    potential: Vec<i64>,
    parent: Vec<u32>,
    pred: Vec<u32>,
    depth: Vec<u32>,
    child: Vec<u32>,
    next: Vec<u32>,
    prev: Vec<u32>,
    value: i64,
    stale: bool,
    cursor: usize,
    /// Arcs that are switched on, and where each is in this list.
    on: Vec<u32>,
    place: Vec<u32>,
    /// Arcs of a contradiction.
    pub cycle: Vec<usize>,
    stack: Vec<u32>,
}

const NONE: u32 = u32::MAX;

impl Flow {
    /// A network of `nodes`, each at most at its entry of `latest`.
    /// No two moments are further apart than `spread`.
    pub fn new(root: usize, latest: &[i64], spread: i64) -> Self {
        let nodes = latest.len();
        // Room for those of a dinner: to grow many times is what making a small one costs.
        let arcs = 8 * nodes;
        let mut flow = Flow {
            root,
            off: -spread - 1,
            arcs: Vec::with_capacity(arcs),
            capacity: Vec::with_capacity(arcs),
            flow: Vec::with_capacity(arcs),
            potential: vec![0; nodes],
            parent: vec![root as u32; nodes],
            pred: vec![NONE; nodes],
            depth: vec![1; nodes],
            child: vec![NONE; nodes],
            next: vec![NONE; nodes],
            prev: vec![NONE; nodes],
            value: 0,
            stale: false,
            cursor: 0,
            on: Vec::with_capacity(arcs),
            place: Vec::with_capacity(arcs),
            cycle: Vec::new(),
            stack: Vec::new(),
        };
        flow.parent[root] = NONE;
        flow.depth[root] = 0;
        for (node, &hi) in latest.iter().enumerate() {
            if node != root {
                let arc = flow.hard(node, root, -hi);
                flow.arcs[arc].state = State::Tree;
                flow.pred[node] = arc as u32;
                flow.potential[node] = hi;
                flow.link(node as u32, root as u32);
            }
        }
        flow
    }

    /// The arc that holds a node's latest moment; the root must be the last node.
    pub const fn latest_of(node: usize) -> usize {
        node
    }

    /// Adds `t[to] >= t[from] + gap`.
    pub fn hard(&mut self, from: usize, to: usize, gap: i64) -> usize {
        self.push(from, to, gap, HARD)
    }

    /// Adds a constraint that is off.
    pub fn sleeping(&mut self, from: usize, to: usize) -> usize {
        self.push(from, to, self.off, HARD)
    }

    /// Adds a cost of `weight` for each unit by which `t[to]` falls short of `t[from] + gap`.
    pub fn soft(&mut self, from: usize, to: usize, gap: i64, weight: i64) -> usize {
        self.push(from, to, gap, weight)
    }

    fn push(&mut self, from: usize, to: usize, gap: i64, capacity: i64) -> usize {
        self.arcs.push(Arc {
            from: from as u32,
            to: to as u32,
            gap,
            state: State::Lower,
        });
        self.capacity.push(capacity);
        self.flow.push(0);
        self.place.push(NONE);
        let arc = self.arcs.len() - 1;
        if gap != self.off {
            self.switch(arc, true);
        }
        arc
    }

    /// Puts an arc on the list of those that are on, or takes it off.
    fn switch(&mut self, arc: usize, on: bool) {
        if on {
            self.place[arc] = self.on.len() as u32;
            self.on.push(arc as u32);
            return;
        }
        let at = std::mem::replace(&mut self.place[arc], NONE) as usize;
        self.on.swap_remove(at);
        if let Some(&moved) = self.on.get(at) {
            self.place[moved as usize] = at as u32;
        }
    }

    /// Sets the gap of an arc; `None` switches it off.
    pub fn set(&mut self, arc: usize, gap: Option<i64>) {
        let gap = gap.unwrap_or(self.off);
        let change = gap - self.arcs[arc].gap;
        if change != 0 {
            self.value += self.flow[arc] * change;
            if gap == self.off || self.arcs[arc].gap == self.off {
                self.switch(arc, gap != self.off);
            }
            self.arcs[arc].gap = gap;
            self.stale |= self.arcs[arc].state == State::Tree;
        }
    }

    /// The lower bound that the flow proves.
    pub fn value(&self) -> i64 {
        self.value
    }

    /// The moment of a node, after an optimal run.
    pub fn moment(&self, node: usize) -> i64 {
        self.potential[node]
    }

    /// Whether an arc is part of the reason for the bound.
    pub fn carries(&self, arc: usize) -> bool {
        // What is switched off always holds: it needs no reason.
        self.flow[arc] > 0 && self.is_on(arc)
    }

    /// Whether an arc is switched on.
    pub fn is_on(&self, arc: usize) -> bool {
        self.arcs[arc].gap != self.off
    }

    /// The gap of an arc as it is set.
    pub fn gap(&self, arc: usize) -> i64 {
        self.arcs[arc].gap
    }

    /// The arcs that are switched on.
    pub fn on(&self) -> impl Iterator<Item = usize> {
        self.on.iter().map(|&arc| arc as usize)
    }

    fn link(&mut self, node: u32, parent: u32) {
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

    #[inline]
    fn violation(&self, arc: usize) -> i64 {
        let arc = &self.arcs[arc];
        self.potential[arc.from as usize] + arc.gap - self.potential[arc.to as usize]
    }

    /// Pivots until optimal, above `limit`, contradictory, or `pivots` are spent.
    pub fn run(&mut self, limit: i64, pivots: usize) -> Outcome {
        if self.stale {
            self.refresh(self.root as u32, 0);
            self.stale = false;
        }
        for _ in 0..pivots {
            if self.value > limit {
                return Outcome::AboveLimit;
            }
            let Some(arc) = self.entering() else {
                return Outcome::Optimal;
            };
            if !self.pivot(arc) {
                return Outcome::Infeasible;
            }
        }
        Outcome::Unfinished
    }

    /// As [`Flow::run`] without a limit, `stop` being asked every `chunk` pivots.
    pub fn run_until(
        &mut self,
        pivots: usize,
        chunk: usize,
        stop: &mut dyn FnMut() -> bool,
    ) -> Outcome {
        let mut left = pivots;
        loop {
            let outcome = self.run(i64::MAX, chunk.min(left));
            left = left.saturating_sub(chunk);
            if outcome != Outcome::Unfinished || left == 0 || stop() {
                return outcome;
            }
        }
    }

    /// The most violated arc of the next block that has one.
    fn entering(&mut self) -> Option<usize> {
        // What is switched off always holds.
        let arcs = self.on.len();
        let block = 16 + (arcs as f64).sqrt() as usize;
        let mut best: Option<(i64, usize)> = None;
        let (mut seen, mut at) = (0, self.cursor);
        while seen < arcs {
            if at >= arcs {
                at = 0;
            }
            let arc = self.on[at] as usize;
            let gain = match self.arcs[arc].state {
                State::Lower => self.violation(arc),
                State::Upper => -self.violation(arc),
                State::Tree => 0,
            };
            if gain > 0 && best.is_none_or(|b| gain > b.0) {
                best = Some((gain, arc));
            }
            at += 1;
            seen += 1;
            if seen % block == 0 && best.is_some() {
                break;
            }
        }
        self.cursor = at;
        best.map(|b| b.1)
    }

    fn rises(&self, node: u32) -> bool {
        self.arcs[self.pred[node as usize] as usize].from == node
    }

    /// Sends what fits around the cycle that the arc closes. `false` if that has no end.
    fn pivot(&mut self, arc: usize) -> bool {
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
    fn refresh(&mut self, root: u32, at: i64) {
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
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_late_dish_costs_its_shortfall() {
        // Root 0; a step of 7 before a service promised at 5, at 3 a tick.
        let mut flow = Flow::new(0, &[0, 100, 100], 200);
        flow.hard(0, 1, 0);
        flow.hard(0, 2, 5);
        flow.hard(1, 2, 7);
        flow.soft(2, 0, -5, 3);
        assert_eq!(flow.run(i64::MAX, 100), Outcome::Optimal);
        assert_eq!((flow.value(), flow.moment(1), flow.moment(2)), (6, 0, 7));
    }

    #[test]
    fn switching_a_constraint_off_gives_the_old_bound_back() {
        let mut flow = Flow::new(0, &[0, 100, 100], 200);
        flow.hard(0, 1, 0);
        flow.hard(0, 2, 0);
        flow.soft(1, 0, 0, 1);
        flow.soft(2, 0, 0, 2);
        let order = flow.sleeping(1, 2);
        assert_eq!(
            (flow.run(i64::MAX, 100), flow.value()),
            (Outcome::Optimal, 0)
        );
        flow.set(order, Some(4));
        assert_eq!(
            (flow.run(i64::MAX, 100), flow.value()),
            (Outcome::Optimal, 8)
        );
        assert!(flow.carries(order));
        flow.set(order, None);
        assert_eq!(
            (flow.run(i64::MAX, 100), flow.value()),
            (Outcome::Optimal, 0)
        );
    }

    #[test]
    fn a_contradiction_is_named() {
        let mut flow = Flow::new(0, &[0, 100, 100], 200);
        let a = flow.hard(1, 2, 3);
        let b = flow.hard(2, 1, -2);
        assert_eq!(flow.run(i64::MAX, 100), Outcome::Infeasible);
        flow.cycle.sort_unstable();
        assert_eq!(flow.cycle, [a, b]);
    }
}
