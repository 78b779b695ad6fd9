//! What to decide next: a conflict between things that cannot be shared, in the moments of the flow.

use super::core::{Conflict, Lit};
use super::{Choice, Learner, Next};
use crate::plan::solver::model::{Arc, Task};

/// A possible decision, by how often its variable was in conflicts, then by how much is at stake.
struct Candidate {
    lit: Lit,
    activity: f64,
    stake: i64,
}

impl Learner<'_, '_> {
    fn shortfall(&self, arc: &Arc) -> i64 {
        self.flow.moment(arc.from) + i64::from(arc.gap) - self.flow.moment(arc.to)
    }

    /// Finds what the moments of the flow violate.
    pub(super) fn next(&mut self) -> Result<Next, Conflict> {
        self.guess_ovens();
        let mut best: Option<Candidate> = None;
        let better = |c: &Candidate, best: &Option<Candidate>| {
            best.as_ref()
                .is_none_or(|b| (c.activity, c.stake) > (b.activity, b.stake))
        };
        for k in 0..self.choices.len() {
            if let Some(mut found) = self.violated(&self.choices[k]) {
                if found.lit.var() == self.choices[k].var
                    && self.choices[k].guards.iter().all(|&g| self.core.is_true(g))
                {
                    let stakes = self.probe(k)?;
                    if self.core.pending() {
                        return Ok(Next::Again);
                    }
                    found.stake = stakes.yes.min(stakes.no);
                }
                if better(&found, &best) {
                    best = Some(found);
                }
            }
        }
        if let Some(found) = self.unready()
            && better(&found, &best)
        {
            best = Some(found);
        }
        if best.is_none() {
            for k in 0..self.pools.len() {
                if let Some(set) = self.overfull(k) {
                    return self.separate(k, set);
                }
            }
        }
        Ok(best.map_or(Next::Solved, |c| Next::Decide(c.lit)))
    }

    /// The oven of each step: the one decided, or the one it would go to.
    fn guess_ovens(&mut self) {
        for x in 0..self.model.oven_steps.len() {
            let i = self.model.oven_steps[x];
            let places = &self.presence[i];
            let decided = places
                .iter()
                .find(|(_, lit)| lit.is_none_or(|l| self.core.is_true(l)));
            let open = || {
                places
                    .iter()
                    .filter(|(_, lit)| lit.is_none_or(|l| !self.core.is_false(l)))
            };
            let liked = || open().find(|(_, lit)| lit.is_some_and(|l| self.likes(l)));
            let chosen = decided.or_else(liked).or_else(|| open().next());
            self.in_oven[i] = chosen.map_or(usize::MAX, |p| p.0);
        }
    }

    fn likes(&self, lit: Lit) -> bool {
        let yes = lit == Lit::yes(lit.var());
        self.saved[lit.var()] == Some(yes)
    }

    fn undecided_place(&self, i: usize) -> Option<Lit> {
        let place = self.presence[i].iter().find(|p| p.0 == self.in_oven[i])?;
        place.1.filter(|&l| !self.core.is_true(l))
    }

    fn candidate(&self, lit: Lit, stake: i64) -> Candidate {
        Candidate {
            lit,
            activity: self.core.activity[lit.var()],
            stake,
        }
    }

    fn violated(&self, c: &Choice) -> Option<Candidate> {
        if let Some((i, j, oven)) = c.steps {
            let (a, b) = (self.in_oven[i], self.in_oven[j]);
            if a != b || (oven != usize::MAX && oven != a) {
                return None;
            }
        }
        let decided = self.core.fixed(c.var);
        if decided && c.guards.iter().all(|&g| self.core.is_true(g)) {
            return None;
        }
        let (yes, no) = (self.shortfall(&c.yes), self.shortfall(&c.no));
        let short = match (decided, self.core.lo(c.var)) {
            (true, 1) => yes,
            (true, _) => no,
            _ => yes.min(no),
        };
        if short <= 0 {
            return None;
        }
        if let Some((i, j, _)) = c.steps
            && let Some(lit) = self.undecided_place(i).or_else(|| self.undecided_place(j))
        {
            return Some(self.candidate(lit, short));
        }
        let yes_first = self.saved[c.var].unwrap_or(yes <= no);
        let lit = if yes_first {
            Lit::yes(c.var)
        } else {
            Lit::no(c.var)
        };
        Some(self.candidate(lit, short))
    }

    /// An oven step that would begin before its oven is warm enough.
    fn unready(&self) -> Option<Candidate> {
        let early = |&&i: &&usize| {
            let oven = self.in_oven[i];
            oven != usize::MAX
                && !self.model.fixed[i]
                && self.flow.moment(i) < i64::from(self.model.pairs.ready(oven, i))
        };
        let i = *self.model.oven_steps.iter().find(early)?;
        self.undecided_place(i).map(|lit| self.candidate(lit, 1))
    }

    fn stretch(&self, task: &Task) -> (i64, i64) {
        (
            self.flow.moment(task.begin),
            self.flow.moment(task.end) + i64::from(task.tail),
        )
    }

    /// Tasks of a pool that run at once although there is not enough for all; as few as possible.
    fn overfull(&self, pool: usize) -> Option<Vec<usize>> {
        let p = &self.pools[pool];
        let here = |k: &usize| {
            p.uses[*k]
                .place
                .is_none_or(|(i, oven)| self.in_oven[i] == oven)
        };
        let mut events: Vec<(i64, bool, usize)> = Vec::with_capacity(2 * p.uses.len());
        for k in (0..p.uses.len()).filter(here) {
            let (from, to) = self.stretch(&p.uses[k].task);
            if from < to {
                events.push((from, true, k));
                events.push((to, false, k));
            }
        }
        events.sort_unstable();
        let mut running: Vec<usize> = Vec::new();
        let mut level = 0;
        for (_, begins, k) in events {
            let task = &p.uses[k].task;
            if !begins {
                running.retain(|&r| r != k);
                level -= task.demand;
                continue;
            }
            running.push(k);
            level += task.demand;
            if level > p.capacity && running.iter().any(|&r| !p.uses[r].task.begun) {
                if task.begun {
                    continue;
                }
                return Some(self.few(pool, &running, k));
            }
        }
        None
    }

    /// As few of the running tasks as exceed the pool, with the one that began last.
    fn few(&self, pool: usize, running: &[usize], last: usize) -> Vec<usize> {
        let p = &self.pools[pool];
        let mut rest: Vec<usize> = running.iter().copied().filter(|&r| r != last).collect();
        rest.sort_by_key(|&r| std::cmp::Reverse(p.uses[r].task.demand));
        let mut set = vec![last];
        let mut level = p.uses[last].task.demand;
        for r in rest {
            if level > p.capacity {
                break;
            }
            set.push(r);
            level += p.uses[r].task.demand;
        }
        set.sort_unstable();
        set
    }

    /// The Boolean of `a` ending before `b` begins.
    pub(super) fn before(&mut self, a: &Task, b: &Task) -> usize {
        let key = (a.end, b.begin, a.tail);
        if let Some(&v) = self.before.get(&key) {
            return v;
        }
        let v = self.boolean();
        let yes = self.constraint(Arc::new(a.end, b.begin, a.tail), &[Lit::yes(v)]);
        let no = self.constraint(Arc::new(b.begin, a.end, 1 - a.tail), &[Lit::no(v)]);
        // Both guards are open: this can only decide the Boolean, never contradict.
        let _ = self.core.wake(yes);
        let _ = self.core.wake(no);
        self.before.insert(key, v);
        v
    }

    /// Of tasks that cannot all run at once, one ends before another begins.
    fn separate(&mut self, pool: usize, set: Vec<usize>) -> Result<Next, Conflict> {
        let uses: Vec<_> = set.iter().map(|&k| self.pools[pool].uses[k]).collect();
        for u in &uses {
            if let (Some(lit), Some((i, _))) = (u.present, u.place)
                && !self.core.is_true(lit)
            {
                return Ok(Next::Decide(self.undecided_place(i).unwrap_or(lit)));
            }
        }
        let mut lits: Vec<Lit> = uses
            .iter()
            .filter_map(|u| u.present)
            .map(Lit::not)
            .collect();
        let mut open: Vec<(Lit, i64)> = Vec::new();
        for (x, a) in uses.iter().enumerate() {
            for (y, b) in uses.iter().enumerate() {
                if x != y && !b.task.begun {
                    let lit = Lit::yes(self.before(&a.task, &b.task));
                    lits.push(lit);
                    if !self.core.is_false(lit) {
                        let arc = Arc::new(a.task.end, b.task.begin, a.task.tail);
                        open.push((lit, self.shortfall(&arc)));
                    }
                }
            }
        }
        if self.sets.insert((pool, set), ()).is_none() {
            self.core.clause(&lits)?;
        }
        if self.core.pending() {
            return Ok(Next::Again);
        }
        match open.as_slice() {
            [] => {
                self.core.conflict = lits.iter().map(|l| l.not()).collect();
                Err(Conflict)
            }
            [(only, _)] => {
                let because: Vec<Lit> = lits
                    .iter()
                    .filter(|l| *l != only)
                    .map(|l| l.not())
                    .collect();
                self.core.imply(*only, &because)?;
                Ok(Next::Again)
            }
            _ => Ok(Next::Decide(self.best_of(&open))),
        }
    }

    /// The literal that was most in conflicts; among equals the one that moves least.
    fn best_of(&self, open: &[(Lit, i64)]) -> Lit {
        let rank = |&(l, stake): &(Lit, i64)| {
            let liked = self.saved[l.var()] == Some(true);
            (self.core.activity[l.var()], liked, -stake)
        };
        let mut best = open[0];
        for o in &open[1..] {
            if rank(o) > rank(&best) {
                best = *o;
            }
        }
        best.0
    }
}
