//! Bounds with reasons, difference constraints and clauses over them, and learning from conflicts.
//!
//! Lazy clause generation (O. Ohrimenko, P. J. Stuckey, M. Codish, "Propagation via lazy clause
//! generation", 2009) without Boolean twins of the bounds: a literal is a bound of a variable, and
//! clauses watch bounds. Each variable is two sides: its lower bound, and the lower bound of its
//! negative; a Boolean is a variable from 0 to 1.

/// One side of a variable: `2 * variable` for itself, plus 1 for its negative.
pub type Side = u32;

/// The bound of a side is at least `value`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lit {
    pub side: Side,
    pub value: i64,
}

impl Lit {
    pub const fn at_least(var: usize, value: i64) -> Self {
        Lit {
            side: 2 * var as u32,
            value,
        }
    }

    pub const fn at_most(var: usize, value: i64) -> Self {
        Lit {
            side: 2 * var as u32 + 1,
            value: -value,
        }
    }

    pub const fn yes(var: usize) -> Self {
        Lit::at_least(var, 1)
    }

    pub const fn no(var: usize) -> Self {
        Lit::at_most(var, 0)
    }

    pub const fn not(self) -> Self {
        Lit {
            side: self.side ^ 1,
            value: 1 - self.value,
        }
    }

    pub const fn var(self) -> usize {
        (self.side >> 1) as usize
    }
}

/// Why a bound holds.
#[derive(Clone, Copy, Debug)]
enum Reason {
    /// Decided, or known from the start.
    None,
    /// A difference constraint, from the bound of its other end.
    Arc(u32, bool),
    Clause(u32),
    /// Literals in the store of reasons.
    Lits(u32, u32),
}

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
        self.on.push(false);
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

    fn set(&mut self, lit: Lit, reason: Reason) -> Done {
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
    fn explain(&self, reason: Reason, side: Side, value: i64, buf: &mut Vec<Lit>) {
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
        }
    }

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
                if value > self.bound[target as usize] {
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

    fn check_arc(&mut self, arc: u32, reverse: bool) -> Done {
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
        let a = self.arcs[arc as usize];
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

    fn watch(&mut self, lit: Lit, clause: u32) {
        let n = lit.not();
        self.watches[n.side as usize].push(Watched {
            threshold: n.value,
            clause,
        });
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

    /// Adds a clause; its first two literals are watched.
    fn attach(&mut self, clause: &[Lit], learnt: bool, levels: u32) -> u32 {
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
