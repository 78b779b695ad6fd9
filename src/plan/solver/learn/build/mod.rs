//! From the model to variables, constraints and choices.

mod ovens;

use std::collections::HashMap;

use super::core::{Core, Lit};
use super::disjunctive::{Disjunctive, Scratch};
use super::energy::{self, Energy};
use super::pools::{Cumulative, Use};
use super::variable::var;
use super::{Choice, Learner};
use crate::plan::solver::flow::Flow;
use crate::plan::solver::model::{Arc, Model, Task};

impl<'m, 'p> Learner<'m, 'p> {
    /// Builds everything; contradictions show when the search begins.
    pub fn new(model: &'m Model<'p>) -> Self {
        let mut core = Core::new();
        for node in 0..model.nodes {
            core.var(i64::from(model.lo[node]), i64::from(model.hi[node]));
        }
        let latest: Vec<i64> = model.hi.iter().map(|&h| i64::from(h)).collect();
        let mut flow = Flow::new(model.origin, &latest, model.spread());
        let earliest = (0..model.nodes)
            .map(|n| flow.hard(model.origin, n, i64::from(model.lo[n])))
            .collect();
        let goal = core.var(0, i64::MAX / 8);
        let mut learner = Learner {
            model,
            core,
            flow,
            goal,
            earliest,
            flow_of: Vec::new(),
            arc_of: Vec::new(),
            choices: Vec::new(),
            presence: vec![Vec::new(); model.steps],
            pools: Vec::new(),
            pools_of: Vec::new(),
            energies: Vec::new(),
            disjunctives: Vec::new(),
            scratch: Scratch::default(),
            priced: super::goal::Scratch::default(),
            sets_of: Vec::new(),
            stirred: Vec::new(),
            lent: Vec::new(),
            before: HashMap::new(),
            sets: HashMap::new(),
            moved: Vec::new(),
            saved: Vec::new(),
            best: None,
            limit: i64::MAX / 8,
            in_oven: vec![usize::MAX; model.steps],
            order_of: HashMap::new(),
            assumed: Vec::new(),
            conflicts: 0,
            nodes: 0,
            asks: if model.steps > 80 { 1 } else { 16 },
            seen: HashMap::new(),
        };
        learner.build();
        learner
    }

    fn build(&mut self) {
        for arc in &self.model.arcs {
            self.core
                .difference(var(arc.from), var(arc.to), i64::from(arc.gap), &[]);
            self.flow.hard(arc.from, arc.to, i64::from(arc.gap));
        }
        self.flow_of.resize(self.core.arcs.len(), usize::MAX);
        for s in &self.model.softs {
            self.flow
                .soft(s.arc.from, s.arc.to, i64::from(s.arc.gap), s.weight);
        }
        self.places();
        for k in 0..self.model.pools.len() {
            let pool = self.model.pools[k].clone();
            let uses = pool
                .tasks
                .iter()
                .map(|&task| Use {
                    task,
                    present: None,
                    place: None,
                })
                .collect();
            self.pool(pool.capacity, uses);
        }
        for oven in 0..self.model.problem.ovens.len() {
            self.racks(oven);
        }
        self.oven_pairs();
        self.oven_clique();
        self.energies();
        self.pools_of = vec![Vec::new(); self.model.nodes + 1];
        for (k, pool) in self.pools.iter().enumerate() {
            for u in &pool.uses {
                self.pools_of[var(u.task.begin)].push(k);
                self.pools_of[var(u.task.end)].push(k);
            }
        }
        self.watch_sets();
        self.saved.resize(self.core.activity.len(), None);
    }

    /// Notes which disjunctives, then energies, speak of a variable.
    fn watch_sets(&mut self) {
        self.sets_of = vec![Vec::new(); self.core.activity.len()];
        for (k, d) in self.disjunctives.iter().enumerate() {
            let lits = d.lit.iter().flatten().flatten().map(|l| l.var());
            for v in d.nodes.iter().map(|&n| var(n)).chain(lits) {
                self.sets_of[v].push(k);
            }
        }
        for (k, e) in self.energies.iter().enumerate() {
            for node in e.nodes() {
                self.sets_of[var(node)].push(self.disjunctives.len() + k);
            }
        }
        self.sets_of.iter_mut().for_each(Vec::dedup);
        self.stirred = vec![true; self.disjunctives.len() + self.energies.len()];
    }

    /// What must pass through one thing bounds when courses can be served, and the span of all.
    fn energies(&mut self) {
        self.energies = Energy::all(self.model);
        let Some(first) = self.model.first else {
            return;
        };
        let heads = energy::heads(self.model, first);
        for k in 0..self.energies.len() {
            if let Some(gap) = self.energies[k].span_from(&heads) {
                let target = self.energies[k].target();
                self.constraint(Arc::new(first, target, gap), &[]);
            }
        }
    }

    /// A difference constraint in both the bounds and the flow.
    pub(super) fn constraint(&mut self, arc: Arc, guards: &[Lit]) -> usize {
        let id = self
            .core
            .difference(var(arc.from), var(arc.to), i64::from(arc.gap), guards);
        let f = if guards.is_empty() {
            self.flow.hard(arc.from, arc.to, i64::from(arc.gap))
        } else {
            self.flow.sleeping(arc.from, arc.to)
        };
        self.flow_of.resize(id + 1, usize::MAX);
        self.flow_of[id] = f;
        self.arc_of.resize(f + 1, u32::MAX);
        self.arc_of[f] = id as u32;
        id
    }

    pub(super) fn boolean(&mut self) -> usize {
        let v = self.core.var(0, 1);
        self.saved.resize(v + 1, None);
        v
    }

    fn root_clause(&mut self, lits: &[Lit]) {
        // A contradiction is remembered by the core and shows at the first propagation.
        let _ = self.core.clause(lits);
    }

    /// Pairs that exclude each other become choices, what is left a time table.
    fn pool(&mut self, capacity: u32, uses: Vec<Use>) {
        let mut lit = vec![vec![None; uses.len()]; uses.len()];
        for a in 0..uses.len() {
            for b in a + 1..uses.len() {
                if uses[a].task.demand + uses[b].task.demand > capacity {
                    lit[a][b] = self.exclusive(uses[a].task, uses[b].task);
                    lit[b][a] = lit[a][b].map(Lit::not);
                }
            }
        }
        let plain =
            |u: &Use| u.task.begin == u.task.end && !u.task.begun && 2 * u.task.demand > capacity;
        let kept: Vec<usize> = (0..uses.len()).filter(|&k| plain(&uses[k])).collect();
        if kept.len() > 2 {
            self.disjunctives.push(Disjunctive {
                nodes: kept.iter().map(|&k| uses[k].task.begin).collect(),
                work: kept.iter().map(|&k| i64::from(uses[k].task.tail)).collect(),
                lit: kept
                    .iter()
                    .map(|&a| kept.iter().map(|&b| lit[a][b]).collect())
                    .collect(),
            });
        }
        if capacity > 1 {
            self.cumulative(capacity, uses);
        }
    }

    fn cumulative(&mut self, capacity: u32, uses: Vec<Use>) {
        let total: u32 = uses.iter().map(|u| u.task.demand).sum();
        if total > capacity {
            self.pools.push(Cumulative {
                capacity,
                uses,
                dirty: true,
            });
        }
    }

    /// The literal of `a` before `b`, if there is anything to decide.
    fn exclusive(&mut self, a: Task, b: Task) -> Option<Lit> {
        if a.begun && b.begun {
            return None;
        }
        let yes = Arc::new(a.end, b.begin, a.tail);
        let no = Arc::new(b.end, a.begin, b.tail);
        Some(Lit::yes(self.choice(yes, no, &[], None)))
    }

    /// One of two constraints must hold, if the guards do.
    fn choice(
        &mut self,
        yes: Arc,
        no: Arc,
        guards: &[Lit],
        steps: Option<(usize, usize, usize)>,
    ) -> usize {
        let key = (yes.from, yes.to, yes.gap, no.from, no.to, no.gap);
        if let (true, Some(&v)) = (guards.is_empty(), self.seen.get(&key)) {
            return v;
        }
        let v = self.boolean();
        if guards.is_empty() {
            self.seen.insert(key, v);
            self.order_of
                .insert((yes.from, yes.to, yes.gap), Lit::yes(v));
            self.order_of.insert((no.from, no.to, no.gap), Lit::no(v));
        }
        let with = |lit: Lit| [&[lit], guards].concat();
        self.constraint(yes, &with(Lit::yes(v)));
        self.constraint(no, &with(Lit::no(v)));
        self.choices.push(Choice {
            var: v,
            yes,
            no,
            guards: guards.to_vec(),
            steps,
        });
        v
    }
}
