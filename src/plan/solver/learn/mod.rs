//! The exact engine: order decisions, learnt no-goods, and the flow as bound.
//!
//! At every node of the search the flow gives the best moments for what is decided so far. If they
//! respect everything that cannot be shared, they are the best schedule of this branch; if not, a
//! conflict between two tasks is decided one way or the other. Where the bound exceeds the best
//! known schedule, the decisions that carry the flow are the reason, and are learnt from.

mod branch;
mod build;
mod core;
mod disjunctive;
mod energy;
mod goal;
mod keep;
mod pools;
mod price;
mod probe;
mod restarts;
mod variable;

pub use energy::{Energy, heads};

use std::collections::HashMap;

use self::core::{Conflict, Core, Done, Lit, Side};
use self::disjunctive::{Disjunctive, Scratch};
use self::pools::Cumulative;
use self::restarts::Restarts;
use super::flow::Flow;
use super::model::{Arc, Model, Node};
use super::score;
use crate::plan::problem::Tick;
use crate::plan::schedule::Schedule;

/// Decisions up to which the costly rules are applied: what they find there serves the whole branch.
const SHALLOW: usize = 3;

/// One of two constraints must hold.
#[derive(Clone, Debug)]
struct Choice {
    var: usize,
    yes: Arc,
    no: Arc,
    guards: Vec<Lit>,
    /// Two oven steps, and the oven (`usize::MAX`: whichever both are in).
    steps: Option<(usize, usize, usize)>,
}

type ArcPair = (Node, Node, Tick, Node, Node, Tick);

/// How a search ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// Nothing better exists (below the limit).
    Proven,
    /// A better schedule was found and recorded.
    Better,
    /// Told to stop.
    Stopped,
    /// The conflicts allowed are spent.
    Spent,
    /// Nothing better exists that keeps what was to be kept.
    Exhausted,
}

/// What a node of the search asks for next.
enum Next {
    Decide(Lit),
    /// A literal follows; propagate again.
    Again,
    /// The moments of the flow are a schedule.
    Solved,
}

/// The exact engine on one model.
pub struct Learner<'m, 'p> {
    model: &'m Model<'p>,
    core: Core,
    flow: Flow,
    goal: usize,
    earliest: Vec<usize>,
    /// Flow arc of each difference constraint.
    flow_of: Vec<usize>,
    /// Difference constraint of each flow arc.
    arc_of: Vec<u32>,
    choices: Vec<Choice>,
    presence: Vec<Vec<(usize, Option<Lit>)>>,
    pools: Vec<Cumulative>,
    pools_of: Vec<Vec<usize>>,
    energies: Vec<Energy>,
    disjunctives: Vec<Disjunctive>,
    scratch: Scratch,
    priced: goal::Scratch,
    /// Disjunctives and energies that speak of a variable, and whether one of theirs has moved.
    sets_of: Vec<Vec<usize>>,
    stirred: Vec<bool>,
    /// Flow arcs that hold bounds of the moment, not of the root: node, whether its latest.
    lent: Vec<(Node, bool)>,
    before: HashMap<(Node, Node, Tick), usize>,
    sets: HashMap<(usize, Vec<usize>), ()>,
    moved: Vec<Side>,
    saved: Vec<Option<bool>>,
    best: Option<(i64, Schedule)>,
    /// Only costs up to here are of interest.
    limit: i64,
    in_oven: Vec<usize>,
    /// The literal of an unguarded order of two tasks.
    order_of: HashMap<(Node, Node, Tick), Lit>,
    /// What is kept of the best schedule while its neighbourhood is searched.
    assumed: Vec<Lit>,
    pub conflicts: u64,
    pub nodes: u64,
    /// Nodes between two questions whether to stop: fewer where a node takes longer.
    asks: u64,
    seen: HashMap<ArcPair, usize>,
}

impl Learner<'_, '_> {
    /// The best schedule and its objective.
    pub fn best(&self) -> Option<&(i64, Schedule)> {
        self.best.as_ref()
    }

    /// Nothing is better than the best schedule.
    pub fn optimal(&self) -> bool {
        self.core.failed() || self.bound() > self.limit
    }

    /// What is proven at the root: nothing costs less, unless it costs no more than `limit` says.
    pub fn bound(&self) -> i64 {
        self.core.root_lo(self.goal)
    }

    /// Takes over a schedule as the one to beat, and its order as the one to try first.
    pub fn adopt(&mut self, schedule: &Schedule) {
        let value = score::of(self.model.problem, schedule);
        if self.best.as_ref().is_none_or(|b| value < b.0) {
            self.best = Some((value, schedule.clone()));
            self.limit = value - 1;
        }
        self.remember(schedule);
    }

    /// Finds out what holds without any decision; [`Learner::bound`] knows it then.
    pub fn open(&mut self) {
        self.core.backtrack(0);
        self.nodes += 1;
        if self.start().is_err() {
            self.core.fail();
        }
    }

    /// Searches for a schedule of at most `target`, or a proof that there is none.
    pub fn search(&mut self, target: i64, conflicts: u64, stop: &mut dyn FnMut() -> bool) -> End {
        let mut restarts = Restarts::new();
        let mut spent = 0;
        self.core.backtrack(0);
        if self.core.failed() || self.start().is_err() {
            return self.fail();
        }
        if self.bound() > target.min(self.limit) {
            return End::Proven;
        }
        loop {
            if self.nodes.is_multiple_of(self.asks) && stop() {
                return End::Stopped;
            }
            self.nodes += 1;
            match self.node(target) {
                Ok(None) => continue,
                Ok(Some(end)) => return end,
                Err(Conflict) => {}
            }
            self.conflicts += 1;
            spent += 1;
            if !self.core.learn() {
                return self.fail();
            }
            if self.core.level() == 0 {
                self.tighten();
            }
            if self.bound() > target.min(self.limit) {
                return End::Proven;
            }
            if spent >= conflicts {
                return End::Spent;
            }
            if restarts.due() {
                self.core.backtrack(0);
                if self.core.learnt_count > 4000 + self.choices.len() {
                    self.core.reduce();
                }
            }
        }
    }

    fn fail(&mut self) -> End {
        self.core.fail();
        End::Proven
    }

    /// One propagation and decision, or how the search ends.
    fn node(&mut self, target: i64) -> Result<Option<End>, Conflict> {
        if self.core.level() == 0 {
            // What the root implies must not be undone with the first decision.
            self.propagate()?;
        }
        if self.core.level() == 0 && target < self.limit {
            if self.core.lo(self.goal) > target {
                return Ok(Some(End::Proven));
            }
            self.core.decide(Lit::at_most(self.goal, target))?;
        }
        if !self.assumed.is_empty() && !self.keep()? {
            return Ok(Some(End::Exhausted));
        }
        self.propagate()?;
        match self.next()? {
            Next::Again => Ok(None),
            Next::Decide(lit) => {
                self.core.decide(lit)?;
                Ok(None)
            }
            Next::Solved => {
                self.record();
                Ok(Some(End::Better))
            }
        }
    }

    /// Decides what is to be kept. `false` when it cannot all be.
    fn keep(&mut self) -> Result<bool, Conflict> {
        for k in 0..self.assumed.len() {
            let lit = self.assumed[k];
            if self.core.is_true(lit) {
                continue;
            }
            self.infer()?;
            if self.core.is_false(lit) {
                return Ok(false);
            }
            if !self.core.is_true(lit) {
                self.core.decide(lit)?;
            }
        }
        Ok(true)
    }

    fn start(&mut self) -> Done {
        for arc in 0..self.core.arcs.len() {
            self.core.wake(arc)?;
        }
        self.pools.iter_mut().for_each(|p| p.dirty = true);
        self.stirred.iter_mut().for_each(|s| *s = true);
        self.propagate()?;
        self.tighten();
        Ok(())
    }

    fn propagate(&mut self) -> Done {
        loop {
            self.infer()?;
            self.price()?;
            if self.core.level() <= SHALLOW {
                self.narrow()?;
            }
            if !self.core.pending() {
                return Ok(());
            }
        }
    }

    /// Everything but the flow.
    fn infer(&mut self) -> Done {
        loop {
            let mut moved = std::mem::take(&mut self.moved);
            moved.clear();
            let done = self.core.propagate(&mut moved);
            for side in &moved {
                for &k in self
                    .pools_of
                    .get((side >> 1) as usize)
                    .map_or(&[][..], |v| v)
                {
                    self.pools[k].dirty = true;
                }
                for &k in self
                    .sets_of
                    .get((side >> 1) as usize)
                    .map_or(&[][..], |v| v)
                {
                    self.stirred[k] = true;
                }
            }
            self.moved = moved;
            done?;
            if let Some(k) = self.pools.iter().position(|p| p.dirty) {
                self.pools[k].dirty = false;
                self.pools[k].propagate(&mut self.core)?;
                continue;
            }
            let (limit, because) = self.limits();
            goal::propagate(
                &mut self.core,
                &self.model.softs,
                self.model.constant,
                limit,
                because,
                &mut self.priced,
            )?;
            if self.core.pending() {
                continue;
            }
            self.together()?;
            if !self.core.pending() {
                return Ok(());
            }
        }
    }

    /// What sets of tasks force upon each other, where one of theirs has moved; until the first that speaks.
    fn together(&mut self) -> Done {
        let (first, all) = (self.disjunctives.len(), self.stirred.len());
        for k in 0..all {
            if !self.stirred[k] {
                continue;
            }
            self.stirred[k] = false;
            if k < first {
                self.disjunctives[k].propagate(&mut self.core, &mut self.scratch)?;
            } else if self.core.level() <= SHALLOW {
                self.energies[k - first].propagate(&mut self.core)?;
            }
            if self.core.pending() {
                break;
            }
        }
        Ok(())
    }

    /// Keeps the moments of the flow as the best schedule.
    fn record(&mut self) {
        let m = self.model;
        let at = |n: usize| self.flow.moment(n) as Tick;
        let oven = |i: usize| (!m.choices[i].is_empty()).then_some(self.in_oven[i]);
        let schedule = Schedule {
            starts: (0..m.steps).map(at).collect(),
            ovens: (0..m.steps).map(oven).collect(),
            served: (0..m.courses).map(|k| at(m.course(k))).collect(),
        };
        let value = score::of(m.problem, &schedule);
        debug_assert_eq!(value, self.flow.value() + m.constant);
        self.remember(&schedule);
        self.best = Some((value, schedule));
        self.limit = value - 1;
    }

    /// The order of a schedule becomes the one to try first.
    fn remember(&mut self, s: &Schedule) {
        let m = self.model;
        let at = |n: usize| match n {
            n if n < m.steps => Some(s.starts[n]),
            n if n < m.steps + m.courses => Some(s.served[n - m.steps]),
            _ => None,
        };
        for c in &self.choices {
            if let (Some(a), Some(b)) = (at(c.yes.from), at(c.yes.to)) {
                self.saved[c.var] = Some(b >= a + c.yes.gap);
            }
        }
        for i in 0..m.steps {
            for &(oven, lit) in &self.presence[i] {
                if let Some(lit) = lit {
                    let chosen = s.ovens[i] == Some(oven);
                    if lit == Lit::yes(lit.var()) {
                        self.saved[lit.var()] = Some(chosen);
                    }
                }
            }
        }
    }
}
