//! Tasks of which no two can run at once: what sets of them force upon each other.
//!
//! Overload and edge finding by windows (P. Martin, D. B. Shmoys, "A new approach to computing
//! optimal schedules for the job-shop scheduling problem", 1996), and the earliest completion of all
//! that is decided to come before a task. Everything is done forward, then in the mirror of time.

use super::core::{Conflict, Core, Done, Lit};
use super::variable::var;
use crate::plan::solver::model::Node;

/// Pairwise exclusive tasks: each occupies at least `work[k]` ticks from its moment on.
#[derive(Clone, Debug)]
pub struct Disjunctive {
    pub nodes: Vec<Node>,
    pub work: Vec<i64>,
    /// `lit[a][b]`: true when `a` comes before `b`.
    pub lit: Vec<Vec<Option<Lit>>>,
}

/// One direction of time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Way {
    Forward,
    Mirrored,
}

/// Buffers of a run.
#[derive(Clone, Debug, Default)]
pub struct Scratch {
    est: Vec<i64>,
    lct: Vec<i64>,
    by_est: Vec<usize>,
    by_lct: Vec<usize>,
    inside: Vec<bool>,
    steps: Vec<Step>,
    because: Vec<Lit>,
}

/// Tasks of a window from `begin` on: what they take, the best completion of those that begin even later.
#[derive(Clone, Copy, Debug)]
struct Step {
    begin: i64,
    work: i64,
    completion: i64,
    from: i64,
}

impl Disjunctive {
    fn at_least(&self, way: Way, k: usize, t: i64) -> Lit {
        match way {
            Way::Forward => Lit::at_least(var(self.nodes[k]), t),
            // In the mirror a task begins where it ends: -(moment + work) >= t.
            Way::Mirrored => Lit::at_most(var(self.nodes[k]), -t - self.work[k]),
        }
    }

    /// The task is over by `t`.
    fn over_by(&self, way: Way, k: usize, t: i64) -> Lit {
        match way {
            Way::Forward => Lit::at_most(var(self.nodes[k]), t - self.work[k]),
            Way::Mirrored => Lit::at_least(var(self.nodes[k]), -t),
        }
    }

    fn load(&self, core: &Core, way: Way, s: &mut Scratch) {
        let n = self.nodes.len();
        s.est.clear();
        s.lct.clear();
        for k in 0..n {
            let v = var(self.nodes[k]);
            let (lo, hi) = (core.lo(v), core.hi(v) + self.work[k]);
            let (est, lct) = if way == Way::Forward {
                (lo, hi)
            } else {
                (-hi, -lo)
            };
            s.est.push(est);
            s.lct.push(lct);
        }
        s.by_est.clear();
        s.by_est.extend(0..n);
        let est = &s.est;
        s.by_est.sort_unstable_by_key(|&k| est[k]);
        s.by_lct.clear();
        s.by_lct.extend(0..n);
        let lct = &s.lct;
        s.by_lct.sort_unstable_by_key(|&k| lct[k]);
    }

    /// Both directions.
    pub fn propagate(&self, core: &mut Core, s: &mut Scratch) -> Done {
        for way in [Way::Forward, Way::Mirrored] {
            self.load(core, way, s);
            self.precedences(core, way, s)?;
            if core.pending() {
                return Ok(());
            }
            self.windows(core, way, s)?;
            if core.pending() {
                return Ok(());
            }
        }
        Ok(())
    }

    fn precedes(&self, core: &Core, way: Way, a: usize, b: usize) -> Option<Lit> {
        let lit = if way == Way::Forward {
            self.lit[a][b]
        } else {
            self.lit[b][a]
        };
        lit.filter(|&l| core.is_true(l))
    }

    /// A task begins no sooner than all that comes before it can be done.
    fn precedences(&self, core: &mut Core, way: Way, s: &mut Scratch) -> Done {
        for i in 0..self.nodes.len() {
            let (mut done, mut from) = (i64::MIN / 2, i64::MIN / 2);
            for &j in &s.by_est {
                if j != i && self.precedes(core, way, j, i).is_some() {
                    if s.est[j] >= done {
                        done = s.est[j];
                        from = s.est[j];
                    }
                    done += self.work[j];
                }
            }
            if done > s.est[i] {
                s.because.clear();
                for &j in s.by_est.iter().filter(|&&j| j != i && s.est[j] >= from) {
                    if let Some(lit) = self.precedes(core, way, j, i) {
                        s.because.push(lit);
                        s.because.push(self.at_least(way, j, from));
                    }
                }
                core.imply(self.at_least(way, i, done), &s.because)?;
            }
        }
        Ok(())
    }

    fn windows(&self, core: &mut Core, way: Way, s: &mut Scratch) -> Done {
        s.inside.clear();
        s.inside.resize(self.nodes.len(), false);
        let mut x = 0;
        while x < s.by_lct.len() {
            let end = s.lct[s.by_lct[x]];
            while x < s.by_lct.len() && s.lct[s.by_lct[x]] == end {
                s.inside[s.by_lct[x]] = true;
                x += 1;
            }
            self.window(core, way, s, end)?;
        }
        Ok(())
    }

    /// All windows that end at `end`.
    fn window(&self, core: &mut Core, way: Way, s: &mut Scratch, end: i64) -> Done {
        s.steps.clear();
        let (mut work, mut completion, mut from) = (0, i64::MIN / 2, 0);
        for &j in s.by_est.iter().rev().filter(|&&j| s.inside[j]) {
            work += self.work[j];
            if s.est[j] + work > completion {
                completion = s.est[j] + work;
                from = s.est[j];
            }
            if completion > end {
                return self.overload(core, way, s, from, end);
            }
            s.steps.push(Step {
                begin: s.est[j],
                work,
                completion,
                from,
            });
        }
        // Steps have falling begins; a task outside looks at those before and just after its own.
        let (mut at, mut best): (usize, Option<usize>) = (s.steps.len(), None);
        for x in 0..s.by_est.len() {
            let i = s.by_est[x];
            while at > 0 && s.steps[at - 1].begin <= s.est[i] {
                at -= 1;
                let value = s.steps[at].begin + s.steps[at].work;
                if best.is_none_or(|b| value > s.steps[b].begin + s.steps[b].work) {
                    best = Some(at);
                }
            }
            if s.inside[i] {
                continue;
            }
            let within = best.filter(|&b| s.steps[b].begin + s.steps[b].work + self.work[i] > end);
            let around = (at > 0
                && s.est[i] + s.steps[at.saturating_sub(1)].work + self.work[i] > end)
                .then(|| at - 1);
            let Some(k) = within.or(around) else { continue };
            let step = s.steps[k];
            if step.completion > s.est[i] {
                self.last(core, way, s, i, step, end)?;
            }
        }
        Ok(())
    }

    fn overload(&self, core: &mut Core, way: Way, s: &mut Scratch, from: i64, end: i64) -> Done {
        let mut lits = std::mem::take(&mut core.conflict);
        lits.clear();
        for k in 0..self.nodes.len() {
            if s.inside[k] && s.est[k] >= from {
                lits.push(self.at_least(way, k, from));
                lits.push(self.over_by(way, k, end));
            }
        }
        core.conflict = lits;
        Err(Conflict)
    }

    /// A task comes after all of a window.
    fn last(
        &self,
        core: &mut Core,
        way: Way,
        s: &mut Scratch,
        i: usize,
        step: Step,
        end: i64,
    ) -> Done {
        s.because.clear();
        s.because
            .push(self.at_least(way, i, s.est[i].min(step.begin)));
        for k in 0..self.nodes.len() {
            if s.inside[k] && s.est[k] >= step.begin {
                let least = if s.est[k] >= step.from {
                    step.from
                } else {
                    step.begin
                };
                s.because.push(self.at_least(way, k, least));
                s.because.push(self.over_by(way, k, end));
            }
        }
        core.imply(self.at_least(way, i, step.completion), &s.because)
    }
}
