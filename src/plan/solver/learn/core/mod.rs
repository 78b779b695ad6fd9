//! Bounds with reasons, difference constraints and clauses over them, and learning from conflicts.
//!
//! Lazy clause generation (O. Ohrimenko, P. J. Stuckey, M. Codish, "Propagation via lazy clause
//! generation", 2009) without Boolean twins of the bounds: a literal is a bound of a variable, and
//! clauses watch bounds. Each variable is two sides: its lower bound, and the lower bound of its
//! negative; a Boolean is a variable from 0 to 1.

mod analyse;
mod clauses;
mod literal;
mod propagate;
mod reason;

use reason::Reason;

pub use literal::{Lit, Side};

#[derive(Clone, Copy, Debug)]
struct Entry {
    side: Side,
    prev: u32,
    old: i64,
    reason: Reason,
}

/// `t[to] >= t[from] + gap` while all guards are true.
#[derive(Clone, Copy, Debug)]
pub struct Difference {
    pub from: u32,
    pub to: u32,
    pub gap: i64,
    pub guards: [Lit; 3],
    pub guarded: u8,
}

#[derive(Clone, Copy, Debug)]
struct Watched {
    threshold: i64,
    clause: u32,
}

#[derive(Clone, Copy, Debug)]
struct Clause {
    start: u32,
    len: u32,
    learnt: bool,
    levels: u32,
    activity: f32,
}

#[derive(Clone, Copy, Debug)]
struct Out {
    target: Side,
    gap: i64,
    arc: u32,
}

const NONE: u32 = u32::MAX;
const UNSET: i64 = i64::MIN;
/// No arc guard.
const TRUE: Lit = Lit {
    side: 0,
    value: -(1 << 60),
};

/// The literals in conflict are in [`Core::conflict`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Conflict;

/// Shorthand of a propagation.
pub type Done = Result<(), Conflict>;

/// The state of the search: bounds, why they hold, and what was learnt.
pub struct Core {
    bound: Vec<i64>,
    last: Vec<u32>,
    trail: Vec<Entry>,
    levels: Vec<(u32, u32, u32)>,
    store: Vec<Lit>,
    pub arcs: Vec<Difference>,
    out: Vec<Vec<Out>>,
    guarding: Vec<Vec<(i64, u32)>>,
    watches: Vec<Vec<Watched>>,
    clauses: Vec<Clause>,
    lits: Vec<Lit>,
    head: usize,
    /// Arcs in force that have guards, in the order in which they came in force.
    pub active: Vec<u32>,
    /// How many of these are as they were when this was last set.
    pub settled: usize,
    /// Arcs that went out of force.
    pub asleep: Vec<u32>,
    on: Vec<bool>,
    pub conflict: Vec<Lit>,
    pub activity: Vec<f64>,
    bump: f64,
    clause_bump: f32,
    need: Vec<i64>,
    need_at: Vec<u32>,
    touched: Vec<Side>,
    reason_buf: Vec<Lit>,
    pub learnt_count: usize,
    root_failed: bool,
}

impl Core {
    /// No variables yet; variable 0 is the constant 0.
    pub fn new() -> Self {
        let mut core = Core {
            bound: Vec::new(),
            last: Vec::new(),
            trail: Vec::new(),
            levels: Vec::new(),
            store: Vec::new(),
            arcs: Vec::new(),
            out: Vec::new(),
            guarding: Vec::new(),
            watches: Vec::new(),
            clauses: Vec::new(),
            lits: Vec::new(),
            head: 0,
            active: Vec::new(),
            settled: 0,
            asleep: Vec::new(),
            on: Vec::new(),
            conflict: Vec::new(),
            activity: Vec::new(),
            bump: 1.0,
            clause_bump: 1.0,
            need: Vec::new(),
            need_at: Vec::new(),
            touched: Vec::new(),
            reason_buf: Vec::new(),
            learnt_count: 0,
            root_failed: false,
        };
        core.var(0, 0);
        core
    }

    /// A new variable from `lo` to `hi`.
    pub fn var(&mut self, lo: i64, hi: i64) -> usize {
        for bound in [lo, -hi] {
            self.bound.push(bound);
            self.last.push(NONE);
            self.out.push(Vec::new());
            self.guarding.push(Vec::new());
            self.watches.push(Vec::new());
            self.need.push(UNSET);
            self.need_at.push(NONE);
        }
        self.activity.push(0.0);
        self.activity.len() - 1
    }

    pub fn lo(&self, var: usize) -> i64 {
        self.bound[2 * var]
    }

    pub fn hi(&self, var: usize) -> i64 {
        -self.bound[2 * var + 1]
    }

    /// The bound of a side before any decision.
    fn root_bound(&self, side: usize) -> i64 {
        let end = self.root_end();
        let (mut at, mut value) = (self.last[side], self.bound[side]);
        while at != NONE && at >= end {
            value = self.trail[at as usize].old;
            at = self.trail[at as usize].prev;
        }
        value
    }

    pub fn root_lo(&self, var: usize) -> i64 {
        self.root_bound(2 * var)
    }

    pub fn root_hi(&self, var: usize) -> i64 {
        -self.root_bound(2 * var + 1)
    }

    pub fn fixed(&self, var: usize) -> bool {
        self.lo(var) == self.hi(var)
    }

    pub fn is_true(&self, lit: Lit) -> bool {
        self.bound[lit.side as usize] >= lit.value
    }

    pub fn is_false(&self, lit: Lit) -> bool {
        self.bound[(lit.side ^ 1) as usize] > -lit.value
    }

    pub fn level(&self) -> usize {
        self.levels.len()
    }

    /// A contradiction without any decision was found.
    pub fn failed(&self) -> bool {
        self.root_failed
    }

    /// What was found holds without any decision.
    pub fn fail(&mut self) {
        self.root_failed = true;
    }

    /// Adds a difference constraint; guards are literals that must all be true for it to bind.
    pub fn difference(&mut self, from: usize, to: usize, gap: i64, guards: &[Lit]) -> usize {
        let mut kept = [TRUE; 3];
        let mut count = 0;
        for &g in guards.iter().take(3) {
            kept[count] = g;
            count += 1;
        }
        let id = self.arcs.len() as u32;
        let arc = Difference {
            from: from as u32,
            to: to as u32,
            gap,
            guards: kept,
            guarded: count as u8,
        };
        self.arcs.push(arc);
        self.on.push(guards.is_empty());
        self.out[2 * from].push(Out {
            target: 2 * to as u32,
            gap,
            arc: id,
        });
        self.out[2 * to + 1].push(Out {
            target: 2 * from as u32 + 1,
            gap,
            arc: id,
        });
        for g in &kept[..count] {
            self.guarding[g.side as usize].push((g.value, id));
        }
        id as usize
    }

    /// Applies a constraint that was just added to the bounds as they are.
    pub fn wake(&mut self, arc: usize) -> Done {
        if self.in_force(arc) && self.arcs[arc].guarded > 0 {
            self.activate(arc as u32);
        }
        self.check_arc(arc as u32, false)?;
        self.check_arc(arc as u32, true)
    }

    fn activate(&mut self, arc: u32) {
        if !std::mem::replace(&mut self.on[arc as usize], true) {
            self.active.push(arc);
        }
    }

    /// Whether bounds wait to be propagated.
    pub fn pending(&self) -> bool {
        self.head < self.trail.len()
    }

    pub fn in_force(&self, arc: usize) -> bool {
        let a = &self.arcs[arc];
        a.guards[..a.guarded as usize]
            .iter()
            .all(|&g| self.is_true(g))
    }

    /// Opens a level with a decision.
    pub fn decide(&mut self, lit: Lit) -> Done {
        self.levels.push((
            self.trail.len() as u32,
            self.store.len() as u32,
            self.active.len() as u32,
        ));
        self.set(lit, Reason::None)
    }

    /// Makes a literal true at the root.
    pub fn root(&mut self, lit: Lit) -> Done {
        self.backtrack(0);
        let done = if self.is_true(lit) {
            Ok(())
        } else {
            self.set(lit, Reason::None)
        };
        self.root_failed |= done.is_err();
        done
    }

    /// Undoes everything above a level; arcs no longer in force go to `asleep`.
    pub fn backtrack(&mut self, level: usize) {
        if level >= self.levels.len() {
            return;
        }
        let (trail, store, active) = self.levels[level];
        for k in (trail as usize..self.trail.len()).rev() {
            let e = self.trail[k];
            self.bound[e.side as usize] = e.old;
            self.last[e.side as usize] = e.prev;
        }
        self.trail.truncate(trail as usize);
        self.store.truncate(store as usize);
        for &arc in &self.active[active as usize..] {
            self.on[arc as usize] = false;
        }
        let settled = (active as usize).min(self.settled);
        self.asleep
            .extend_from_slice(&self.active[settled..self.settled.max(settled)]);
        self.settled = settled;
        self.active.truncate(active as usize);
        self.levels.truncate(level);
        self.head = self.head.min(trail as usize);
    }

    /// The trail position that made a literal true; `NONE` if it was so from the start.
    fn position(&self, lit: Lit) -> u32 {
        let mut at = self.last[lit.side as usize];
        while at != NONE {
            let e = &self.trail[at as usize];
            if e.old < lit.value {
                return at;
            }
            at = e.prev;
        }
        NONE
    }

    fn level_of(&self, position: u32) -> usize {
        self.levels.partition_point(|l| l.0 <= position)
    }

    fn root_end(&self) -> u32 {
        self.levels.first().map_or(self.trail.len() as u32, |l| l.0)
    }
}
