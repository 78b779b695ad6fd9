//! Ovens: which one each step goes to, its racks, and steps whose temperatures exclude each other.

use super::super::core::Lit;
use super::super::disjunctive::Disjunctive;
use super::super::pools::Use;
use super::super::{Learner, energy};
use crate::plan::solver::model::{Arc, Task};

impl Learner<'_, '_> {
    /// Which oven: none to choose, one of two, or one of several.
    pub(super) fn places(&mut self) {
        for &i in &self.model.oven_steps {
            let ovens = &self.model.choices[i];
            if ovens.len() == 1 {
                self.presence[i] = vec![(ovens[0], None)];
                continue;
            }
            let vars: Vec<usize> = if ovens.len() == 2 {
                vec![self.boolean()]
            } else {
                ovens.iter().map(|_| self.boolean()).collect()
            };
            for (k, &oven) in ovens.iter().enumerate() {
                let lit = match (vars.len(), k) {
                    (1, 1) => Lit::no(vars[0]),
                    (1, _) => Lit::yes(vars[0]),
                    _ => Lit::yes(vars[k]),
                };
                self.presence[i].push((oven, Some(lit)));
                let ready = self.model.pairs.ready(oven, i);
                if ready > self.model.lo[i] {
                    self.constraint(Arc::new(self.model.origin, i, ready), &[lit]);
                }
            }
            if vars.len() > 1 {
                let all: Vec<Lit> = vars.iter().map(|&v| Lit::yes(v)).collect();
                self.root_clause(&all);
                for a in 0..vars.len() {
                    for b in 0..a {
                        self.root_clause(&[Lit::no(vars[a]), Lit::no(vars[b])]);
                    }
                }
            }
        }
        self.break_symmetry();
    }

    /// Of ovens that are alike, the longest step takes the first.
    fn break_symmetry(&mut self) {
        let p = self.model.problem;
        let begun = self.model.oven_steps.iter().any(|&i| self.model.fixed[i]);
        if begun || p.ovens.windows(2).any(|w| w[0] != w[1]) {
            return;
        }
        let longest = self
            .model
            .oven_steps
            .iter()
            .copied()
            .max_by_key(|&i| p.steps[i].length);
        if let Some((_, Some(lit))) = longest.and_then(|i| self.presence[i].first().copied()) {
            let _ = self.core.root(lit);
        }
    }

    pub(super) fn racks(&mut self, oven: usize) {
        let p = self.model.problem;
        let mut uses = Vec::new();
        for &i in self
            .model
            .oven_steps
            .iter()
            .filter(|&&i| !self.model.past(i))
        {
            let place = self.presence[i].iter().find(|x| x.0 == oven);
            if let Some(&(_, present)) = place {
                let demand = p.steps[i].oven.as_ref().map_or(0, |o| o.racks);
                let begun = p.steps[i].begun.is_some();
                let task = Task {
                    begin: i,
                    end: i,
                    tail: p.steps[i].length,
                    demand,
                    begun,
                };
                uses.push(Use {
                    task,
                    present,
                    place: Some((i, oven)),
                });
            }
        }
        self.cumulative(p.ovens[oven].racks, uses);
    }

    /// With one oven: steps of which no two can be in it at once, with the least change after each.
    pub(super) fn oven_clique(&mut self) {
        if self.model.problem.ovens.len() != 1 {
            return;
        }
        let clique = energy::oven_clique(self.model);
        let n = clique.steps.len();
        if n < 3 {
            return;
        }
        let mut lit = vec![vec![None; n]; n];
        #[allow(clippy::needless_range_loop)] // Both ways of a pair are set at once.
        for a in 0..n {
            for b in 0..n {
                let (i, j) = (clique.steps[a], clique.steps[b]);
                for c in &self.choices {
                    if c.steps == Some((i, j, 0)) {
                        lit[a][b] = Some(Lit::yes(c.var));
                        lit[b][a] = Some(Lit::no(c.var));
                    }
                }
            }
        }
        self.disjunctives.push(Disjunctive {
            nodes: clique.steps,
            work: clique.work,
            lit,
        });
    }

    /// Oven steps whose temperatures or racks exclude each other.
    pub(super) fn oven_pairs(&mut self) {
        let steps = self.model.oven_steps.clone();
        for (x, &i) in steps.iter().enumerate() {
            for &j in &steps[x + 1..] {
                if !(self.model.fixed[i] && self.model.fixed[j]) {
                    self.oven_pair(i, j);
                }
            }
        }
    }

    fn oven_pair(&mut self, i: usize, j: usize) {
        let common: Vec<usize> = self.model.choices[i]
            .iter()
            .copied()
            .filter(|o| self.model.choices[j].contains(o))
            .collect();
        let spans: Vec<_> = common
            .iter()
            .map(|&o| self.model.pairs.forbidden(o, i, j))
            .collect();
        let lit = |learner: &Self, step: usize, oven: usize| {
            learner.presence[step]
                .iter()
                .find(|x| x.0 == oven)
                .and_then(|x| x.1)
        };
        let alike = spans.windows(2).all(|w| w[0] == w[1]);
        if common.len() > 1 && alike && !spans[0].is_empty() {
            let same = self.boolean();
            for &o in &common {
                let both: Vec<Lit> = [lit(self, i, o), lit(self, j, o)]
                    .into_iter()
                    .flatten()
                    .map(Lit::not)
                    .collect();
                self.root_clause(&[both.as_slice(), &[Lit::yes(same)]].concat());
            }
            for span in spans[0].clone() {
                let (yes, no) = (Arc::new(i, j, span.before), Arc::new(j, i, -span.after));
                self.choice(yes, no, &[Lit::yes(same)], Some((i, j, usize::MAX)));
            }
            return;
        }
        for (&o, list) in common.iter().zip(spans) {
            let guards: Vec<Lit> = [lit(self, i, o), lit(self, j, o)]
                .into_iter()
                .flatten()
                .collect();
            for span in list {
                let (yes, no) = (Arc::new(i, j, span.before), Arc::new(j, i, -span.after));
                self.choice(yes, no, &guards, Some((i, j, o)));
            }
        }
    }
}
