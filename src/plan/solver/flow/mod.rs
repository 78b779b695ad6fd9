//! The best moments for a fixed order, and why they cannot be better.
//!
//! Minimising weighted shortfalls of differences is the dual of a flow of least cost: the moments
//! are its potentials, the difference constraints its arcs. A network simplex with a strongly
//! feasible tree (after W. H. Cunningham, "A network simplex method", 1976) keeps its flow when a
//! constraint comes or goes, so that along a search each step costs a few pivots. Any of its flows
//! is a lower bound, and the arcs that carry flow are the reason for it.

#[cfg(test)]
mod tests;
mod tree;

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
}
