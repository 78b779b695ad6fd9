//! What every schedule of a meal costs at least, as a whole and part by part.
//!
//! How early each moment can be follows from what comes after what, and from all that must pass through one thing
//! before a course ([`Energy`]). With these the flow bounds the cost, and each part of it alone: no schedule has less of
//! that part, whatever it spends on the others.

use super::flow::Flow;
use super::learn::{Energy, heads};
use super::model::{Arc, Model};
use super::waits;
use crate::plan::cost::STALE;
use crate::plan::problem::Tick;
use crate::plan::schedule::Cost;

/// Pivots between two questions whether to stop.
const CHUNK: usize = 250;
/// Pivots, by size, after which a bound is taken as it is.
const PIVOTS: usize = 60;

/// The least of the cost.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Least {
    /// Of the weighted sum.
    pub total: i64,
    /// Of each part alone; none of `broken` and `moved`.
    pub parts: Cost,
}

/// Bounds of a meal that hasn't begun.
pub struct Bounds<'m, 'p> {
    model: &'m Model<'p>,
    /// No schedule has a moment earlier.
    earliest: Vec<Tick>,
    /// Least spans from the first start of all to a course.
    spans: Vec<Arc>,
}

impl<'m, 'p> Bounds<'m, 'p> {
    /// Finds how early everything can be.
    pub fn new(model: &'m Model<'p>) -> Self {
        let mut bounds = Bounds {
            model,
            earliest: model.lo.clone(),
            spans: Vec::new(),
        };
        let energies = Energy::all(model);
        bounds.follow();
        // What one course waits for puts off those after it, which may wait for more.
        for _ in 0..model.courses {
            let mut raised = false;
            for energy in &energies {
                let target = energy.target();
                if let Some(at) = energy.target_from(|n| i64::from(bounds.earliest[n]))
                    && at > bounds.earliest[target]
                {
                    bounds.earliest[target] = at;
                    raised = true;
                }
            }
            if !raised {
                break;
            }
            bounds.follow();
        }
        if let Some(first) = model.first {
            let heads = heads(model, first);
            let span = |e: &Energy| Some(Arc::new(first, e.target(), e.span_from(&heads)?));
            bounds.spans = energies.iter().filter_map(span).collect();
        }
        bounds
    }

    /// Nothing is earlier than what it comes after allows.
    fn follow(&mut self) {
        for _ in 0..self.model.nodes {
            let mut raised = false;
            for a in &self.model.arcs {
                let at = self.earliest[a.from] + a.gap;
                if at > self.earliest[a.to] {
                    self.earliest[a.to] = at;
                    raised = true;
                }
            }
            if !raised {
                return;
            }
        }
    }

    /// How late all courses are together at least.
    pub fn late(&self) -> i64 {
        let courses = self.model.problem.courses.iter().enumerate();
        courses
            .map(|(k, c)| i64::from((self.earliest[self.model.course(k)] - c.promised).max(0)))
            .sum()
    }

    /// All that can be said until `stop` says so.
    pub fn least(&self, stop: &mut dyn FnMut() -> bool) -> Least {
        let mut parts = Cost {
            late: self.late(),
            ..Cost::default()
        };
        if !self.model.live {
            // Before a meal the weight of a cost tells its part.
            parts.over = self
                .flow(Some(300), stop)
                .max(waits::least(self.model, None));
            let short = waits::least(self.model, Some(i64::from(STALE)));
            parts.stale = self.flow(Some(10), stop).max(short);
            parts.span = self.flow(Some(1), stop);
        }
        let apart = 1000 * parts.late + 300 * parts.over + 10 * parts.stale + parts.span;
        Least {
            total: self.flow(None, stop).max(apart),
            parts,
        }
    }

    /// The bound of the costs of one weight, in ticks, or of all of them, weighted.
    fn flow(&self, weight: Option<i64>, stop: &mut dyn FnMut() -> bool) -> i64 {
        let model = self.model;
        let latest: Vec<i64> = model.hi.iter().map(|&h| i64::from(h)).collect();
        let mut flow = Flow::new(model.origin, &latest, model.spread());
        for node in 0..model.nodes {
            flow.hard(model.origin, node, i64::from(self.earliest[node]));
        }
        for a in model.arcs.iter().chain(&self.spans) {
            flow.hard(a.from, a.to, i64::from(a.gap));
        }
        for s in &model.softs {
            let weighs = match weight {
                Some(weight) => i64::from(s.weight == weight),
                None => s.weight,
            };
            if weighs > 0 {
                flow.soft(s.arc.from, s.arc.to, i64::from(s.arc.gap), weighs);
            }
        }
        // Any of its flows is a bound.
        flow.run_until(PIVOTS * model.nodes + 1000, CHUNK, stop);
        let constant = if weight.is_none() { model.constant } else { 0 };
        (flow.value() + constant).max(0)
    }
}
