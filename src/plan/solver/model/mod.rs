//! The problem as the engine sees it: moments, differences between them, and things that run out.
//!
//! Every quantity of a schedule is a moment: the start of a step, the service of a course, the begin
//! and end of a hold, the first start of all. Order, gaps and `keeps` are lower bounds on differences
//! of two moments; every part of the cost is a weight on what a difference falls short of. What is
//! left, who goes first at a thing that cannot be shared, is what the search decides.

mod costs;
mod pools;

use super::ovens::OvenPairs;
use crate::plan::problem::{Mode, Problem, Tick};

/// Weight of a broken tick of a hard `keeps`: more than any cost it could save.
pub const BROKEN: i64 = 1_000_000_000;

/// Index of a moment.
pub type Node = usize;

/// `t[to] >= t[from] + gap`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Arc {
    pub from: Node,
    pub to: Node,
    pub gap: Tick,
}

impl Arc {
    pub const fn new(from: Node, to: Node, gap: Tick) -> Self {
        Arc { from, to, gap }
    }
}

/// Costs `weight * max(0, t[from] + gap - t[to])`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Soft {
    pub arc: Arc,
    pub weight: i64,
}

/// Something that occupies a pool from `t[begin]` to `t[end] + tail`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Task {
    pub begin: Node,
    pub end: Node,
    pub tail: Tick,
    pub demand: u32,
    /// Its begin lies in the past: it yields to nothing.
    pub begun: bool,
}

/// A thing of which there are so many.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pool {
    pub capacity: u32,
    pub tasks: Vec<Task>,
}

/// One hold of cookware, by the moments it lies between.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HoldSpan {
    pub ware: usize,
    pub count: u32,
    /// Members that are not over.
    pub steps: Vec<usize>,
    /// When it was begun, if it was.
    pub since: Option<Tick>,
    /// It lasts at least to here.
    pub until: Tick,
}

/// The compiled problem. Nodes: steps, then courses, then others, at last the origin (always 0).
#[derive(Clone, Debug)]
pub struct Model<'a> {
    pub problem: &'a Problem,
    pub steps: usize,
    pub courses: usize,
    pub nodes: usize,
    pub origin: Node,
    pub first: Option<Node>,
    pub lo: Vec<Tick>,
    pub hi: Vec<Tick>,
    pub fixed: Vec<bool>,
    pub arcs: Vec<Arc>,
    pub softs: Vec<Soft>,
    pub constant: i64,
    /// Cooks, burners, then each ware; racks are with the oven pairs and `racks`.
    pub pools: Vec<Pool>,
    pub holds: Vec<HoldSpan>,
    pub pairs: OvenPairs,
    /// For each step, the ovens it may use (none for others).
    pub choices: Vec<Vec<usize>>,
    pub oven_steps: Vec<usize>,
    pub followers: Vec<Vec<usize>>,
    pub now: Tick,
    pub horizon: Tick,
    pub live: bool,
}

impl<'a> Model<'a> {
    /// Compiles; constants of what is past are counted in `constant`.
    pub fn new(problem: &'a Problem) -> Self {
        let (n, m) = (problem.steps.len(), problem.courses.len());
        let (live, now) = match problem.mode {
            Mode::Before => (false, 0),
            Mode::Live { now, .. } => (true, now),
        };
        let mut followers = vec![Vec::new(); n];
        for (i, step) in problem.steps.iter().enumerate() {
            for &a in &step.after {
                followers[a].push(i);
            }
        }
        let pairs = OvenPairs::new(problem);
        let mut model = Model {
            problem,
            steps: n,
            courses: m,
            nodes: 0,
            origin: 0,
            first: None,
            lo: vec![now; n + m],
            hi: vec![0; n + m],
            fixed: vec![false; n + m],
            arcs: Vec::new(),
            softs: Vec::new(),
            constant: 0,
            pools: Vec::new(),
            holds: Vec::new(),
            choices: vec![Vec::new(); n],
            oven_steps: Vec::new(),
            followers,
            pairs,
            now,
            horizon: 0,
            live,
        };
        model.moments();
        model.order();
        model.service();
        model.pools();
        model.span();
        model.finish();
        model.costs();
        model
    }

    /// No two moments of a schedule within the horizon are further apart.
    pub fn spread(&self) -> i64 {
        let lo = self.lo.iter().copied().min().unwrap_or(0);
        let hi = self.hi.iter().copied().max().unwrap_or(0);
        i64::from(hi) - i64::from(lo)
    }

    /// The node at which a course is served.
    pub fn course(&self, k: usize) -> Node {
        self.steps + k
    }

    fn moments(&mut self) {
        let p = self.problem;
        for (i, step) in p.steps.iter().enumerate() {
            if let Some(begun) = step.begun {
                self.lo[i] = begun.start;
                self.hi[i] = begun.start;
                self.fixed[i] = true;
                if step.oven.is_some() {
                    self.choices[i] = begun.oven.into_iter().collect();
                }
            } else if step.oven.is_some() {
                self.choices[i] = (0..p.ovens.len())
                    .filter(|&o| self.pairs.admits(o, i))
                    .collect();
                let ready = self.choices[i]
                    .iter()
                    .map(|&o| self.pairs.ready(o, i))
                    .min();
                self.lo[i] = self.lo[i].max(ready.unwrap_or(0));
            }
            if !self.choices[i].is_empty() {
                self.oven_steps.push(i);
            }
        }
        for (k, course) in p.courses.iter().enumerate() {
            let node = self.steps + k;
            if let Some(at) = course.served {
                self.lo[node] = at;
                self.hi[node] = at;
                self.fixed[node] = true;
            } else {
                self.lo[node] = self.now.max(course.promised);
            }
        }
    }

    fn arc(&mut self, from: Node, to: Node, gap: Tick) {
        if !self.fixed[to] {
            self.arcs.push(Arc::new(from, to, gap));
        }
    }

    fn order(&mut self) {
        let p = self.problem;
        for (i, step) in p.steps.iter().enumerate() {
            for &a in &step.after {
                self.arc(a, i, p.steps[a].length);
            }
        }
    }

    fn service(&mut self) {
        let p = self.problem;
        for (k, course) in p.courses.iter().enumerate() {
            let node = self.steps + k;
            if k > 0 {
                self.arc(node - 1, node, course.gap);
            }
            for &d in &course.dishes {
                for &i in &p.dishes[d].steps {
                    self.arc(i, node, p.steps[i].length);
                }
            }
        }
    }

    fn node(&mut self, lo: Tick, fixed: bool) -> Node {
        self.lo.push(lo);
        self.hi.push(lo);
        self.fixed.push(fixed);
        self.lo.len() - 1
    }

    /// It has begun and is over by now.
    pub fn past(&self, i: usize) -> bool {
        let step = &self.problem.steps[i];
        step.begun
            .is_some_and(|b| b.done || b.start + step.length <= self.now)
    }

    /// Before the meal, the first start of all is a moment of its own.
    fn span(&mut self) {
        if self.live || self.steps == 0 {
            return;
        }
        let first = self.node(0, false);
        for i in 0..self.steps {
            if self.problem.steps[i].after.is_empty() {
                self.arcs.push(Arc::new(first, i, 0));
            }
        }
        self.first = Some(first);
    }

    fn finish(&mut self) {
        self.origin = self.node(0, true);
        self.nodes = self.lo.len();
        let p = self.problem;
        let lengths: i64 = p.steps.iter().map(|s| i64::from(s.length)).sum();
        let served: i64 = p
            .courses
            .iter()
            .map(|c| i64::from(c.plating) + i64::from(c.gap))
            .sum();
        let latest = self.lo.iter().copied().max().unwrap_or(0);
        let begun = p
            .steps
            .iter()
            .filter_map(|s| s.begun.map(|b| b.start + s.length))
            .max()
            .unwrap_or(0);
        let change = self.pairs.longest_change();
        let ovens = self.oven_steps.len() as i64 * i64::from(change);
        let horizon = i64::from(latest.max(begun)) + lengths + served + ovens + 2;
        self.horizon = Tick::try_from(horizon.min(1 << 27)).unwrap_or(1 << 27);
        for node in 0..self.nodes {
            if !self.fixed[node] {
                self.hi[node] = self.horizon;
            }
        }
    }
}
