//! Forward: each step at the earliest moment that fits, in the order of given moments.

use super::{NO_OVEN, Placing};
use crate::plan::problem::Tick;
use crate::plan::schedule::Schedule;
use crate::plan::solver::profile::NEVER;

impl Placing<'_, '_> {
    /// Everything in the order of a schedule, no step earlier than there, courses as soon as they can be.
    pub fn repair(&mut self, hint: &Schedule) -> bool {
        self.floors = hint.starts.clone();
        self.likes = hint.ovens.clone();
        let keys: Vec<Tick> = hint.starts.iter().chain(&hint.served).copied().collect();
        let done = self.forward(&keys);
        self.floors.clear();
        self.likes.clear();
        done
    }

    /// Everything as early as it can be, in the order of the given moments (steps, then courses).
    /// `false` when the order does not work out.
    pub fn forward(&mut self, keys: &[Tick]) -> bool {
        let (n, m) = (self.model.steps, self.model.courses);
        self.reset(true);
        let mut items: Vec<usize> = (0..n + m).filter(|&x| !self.model.fixed[x]).collect();
        items.sort_by_key(|&x| (keys[x], x >= n));
        let mut done = vec![false; n + m];
        #[allow(clippy::needless_range_loop)] // Steps and courses share the index.
        for x in 0..n + m {
            done[x] = self.model.fixed[x];
            if x >= n && done[x] {
                let (at, plating) = (self.model.lo[x], self.model.problem.courses[x - n].plating);
                self.served[x - n] = at;
                self.lines[0].take(at, at + plating, 1);
            }
        }
        while !items.is_empty() {
            let Some(k) = (0..items.len()).find(|&k| self.put_forward(items[k], &done)) else {
                return false;
            };
            done[items.remove(k)] = true;
        }
        true
    }

    fn put_forward(&mut self, x: usize, done: &[bool]) -> bool {
        if x >= self.model.steps {
            return self.put_course(x - self.model.steps, done);
        }
        let p = self.model.problem;
        let mut from = self.floors.get(x).copied().unwrap_or(NEVER);
        for &a in &p.steps[x].after {
            if !done[a] {
                return false;
            }
            from = from.max(self.at[a] + self.length(a));
        }
        let ovens = &self.model.choices[x];
        let mut best: Option<(Tick, usize)> = None;
        for k in 0..ovens.len().max(1) {
            let oven = ovens.get(k).copied().unwrap_or(NO_OVEN);
            if let Some(t) = self.earliest_at(x, from.max(self.earliest_in(x, oven)), oven) {
                let liked = self.likes.get(x).copied().flatten() == Some(oven);
                if best.is_none_or(|b| t < b.0 || (t == b.0 && liked)) {
                    best = Some((t, oven));
                }
            }
        }
        if let Some((t, oven)) = best {
            self.place(x, t, oven);
        }
        best.is_some()
    }

    fn put_course(&mut self, k: usize, done: &[bool]) -> bool {
        let p = self.model.problem;
        let mut t = self.model.lo[self.model.course(k)];
        if k > 0 {
            if !done[self.model.course(k - 1)] {
                return false;
            }
            t = t.max(self.served[k - 1] + p.courses[k].gap);
        }
        for &i in p.courses[k].dishes.iter().flat_map(|&d| &p.dishes[d].steps) {
            if !done[i] {
                return false;
            }
            t = t.max(self.at[i] + self.length(i));
        }
        let plating = p.courses[k].plating;
        if plating > 0 && p.cooks > 0 {
            t = self.lines[0].earliest(t, plating, p.cooks - 1).unwrap_or(t);
            self.lines[0].take(t, t + plating, 1);
        }
        self.served[k] = t;
        true
    }

    fn earliest_at(&mut self, i: usize, t: Tick, oven: usize) -> Option<Tick> {
        let step = &self.model.problem.steps[i];
        let mut t = t;
        loop {
            let before = t;
            if step.hands {
                t = self.lines[0].earliest(t, step.length, self.room(0, 1))?;
            }
            if step.burners > 0 {
                t = self.lines[1].earliest(t, step.length, self.room(1, step.burners))?;
            }
            if oven != NO_OVEN {
                t = self.earliest_meeting(i, t, oven)?;
            }
            for &h in &self.holds_of[i] {
                let hold = &self.model.holds[h];
                let (line, room) = (2 + hold.ware, self.room(2 + hold.ware, hold.count));
                t = match self.extents[h] {
                    None => self.lines[line].earliest_for_good(t, room)?,
                    // A step before the others of its hold takes the vessel from there on.
                    Some(taken) if t < taken.from => {
                        let ahead = self.lines[line].earliest(t, taken.from - t, room);
                        if ahead == Some(t) { t } else { taken.from }
                    }
                    Some(_) => t,
                };
            }
            if t == before {
                return Some(t);
            }
        }
    }

    fn earliest_meeting(&mut self, i: usize, t: Tick, oven: usize) -> Option<Tick> {
        let usage = self.model.problem.steps[i]
            .oven
            .as_ref()
            .map_or(0, |o| o.racks);
        let free = self.model.problem.ovens[oven].racks.saturating_sub(usage);
        let mut t = self.racks[oven].earliest(t, self.length(i), free)?;
        for k in 0..self.inside[oven].len() {
            let j = self.inside[oven][k];
            if self.apart(t - self.at[j], j, i) {
                continue;
            }
            self.model.pairs.forbidden_into(oven, j, i, &mut self.spans);
            for span in &self.spans {
                let d = t - self.at[j];
                if span.after < d && d < span.before {
                    t = self.at[j] + span.before;
                }
            }
        }
        Some(t)
    }
}
