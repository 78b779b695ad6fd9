//! Backward: each step at the latest moment that fits.

use super::{Blocked, NO_OVEN, Placing, UNPLACED};
use crate::plan::problem::Tick;
use crate::plan::solver::profile::{FOREVER, NEVER};

impl Placing<'_, '_> {
    /// The latest start at or before `t`, and its oven.
    fn latest(&mut self, i: usize, t: Tick) -> Result<(Tick, usize), Blocked> {
        if self.model.choices[i].is_empty() {
            return Ok((self.latest_in(i, t, NO_OVEN)?, NO_OVEN));
        }
        let mut best: Option<(Tick, usize)> = None;
        let mut blocked = None;
        for k in 0..self.model.choices[i].len() {
            let oven = self.model.choices[i][k];
            match self.latest_in(i, t, oven) {
                Ok(at) if best.is_none_or(|b| at > b.0) => best = Some((at, oven)),
                Ok(_) => {}
                Err(b) => blocked = Some(b),
            }
        }
        match (best, blocked) {
            (Some(found), _) => Ok(found),
            (None, Some(b)) => Err(b),
            (None, None) => Ok((t, NO_OVEN)),
        }
    }

    fn latest_in(&mut self, i: usize, t: Tick, oven: usize) -> Result<Tick, Blocked> {
        let step = &self.model.problem.steps[i];
        let mut t = t;
        loop {
            let before = t;
            if step.hands {
                t = self.lines[0].latest(t, step.length, self.room(0, 1));
            }
            if step.burners > 0 {
                t = self.lines[1].latest(t, step.length, self.room(1, step.burners));
            }
            if oven != NO_OVEN {
                t = self.latest_meeting(i, t, oven);
            }
            for &h in &self.holds_of[i] {
                t = self.latest_held(h, t, step.length)?;
            }
            if t == before {
                return Ok(t);
            }
        }
    }

    fn latest_meeting(&mut self, i: usize, t: Tick, oven: usize) -> Tick {
        let usage = self.model.problem.steps[i]
            .oven
            .as_ref()
            .map_or(0, |o| o.racks);
        let free = self.model.problem.ovens[oven].racks.saturating_sub(usage);
        let mut t = self.racks[oven].latest(t, self.length(i), free);
        for k in 0..self.inside[oven].len() {
            let j = self.inside[oven][k];
            if self.apart(t - self.at[j], j, i) {
                continue;
            }
            // Forbidden values of t - at[j].
            self.model.pairs.forbidden_into(oven, j, i, &mut self.spans);
            for span in self.spans.iter().rev() {
                let d = t - self.at[j];
                if span.after < d && d < span.before {
                    t = self.at[j] + span.after;
                }
            }
        }
        t
    }

    fn latest_held(&self, h: usize, t: Tick, length: Tick) -> Result<Tick, Blocked> {
        let hold = &self.model.holds[h];
        let (line, room) = (
            &self.lines[2 + hold.ware],
            self.room(2 + hold.ware, hold.count),
        );
        let Some(extent) = self.extents[h] else {
            return Ok(line.latest(t, length, room));
        };
        if let Some((from, _)) = line.last_over(t, extent.from, room) {
            return Err(Blocked::Hold(h, from));
        }
        match line.last_over(extent.to, t + length, room) {
            Some((from, _)) => Ok(from.min(t + length - 1) - length),
            None => Ok(t),
        }
    }

    /// Courses from their promised moments on, one plating after the other.
    fn serve(&mut self, at_least: &[Tick]) {
        let p = self.model.problem;
        for (k, course) in p.courses.iter().enumerate() {
            let node = self.model.course(k);
            let mut t = self.model.lo[node].max(at_least.get(k).copied().unwrap_or(NEVER));
            if self.model.fixed[node] {
                t = self.model.lo[node];
            } else if k > 0 {
                t = t.max(self.served[k - 1] + course.gap);
            }
            if course.plating > 0 && p.cooks > 0 {
                if !self.model.fixed[node] {
                    t = self.lines[0]
                        .earliest(t, course.plating, p.cooks - 1)
                        .unwrap_or(t);
                }
                self.lines[0].take(t, t + course.plating, 1);
            }
            self.served[k] = t;
        }
    }

    /// From the moments of service back, in the order given where followers allow it.
    /// Times may lie before zero. `false` when the cookware did not work out.
    pub fn backward(&mut self, order: &[usize], served: &[Tick]) -> bool {
        self.reset(false);
        self.serve(served);
        self.ends.fill(FOREVER);
        self.complete(order, 4 * self.model.steps + 16)
    }

    /// Puts the steps of `order`, none of which has a place, as late as they can be, followers before what they follow.
    /// `false` when one is without a place in the end, after so many withdrawals.
    pub fn complete(&mut self, order: &[usize], bumps: usize) -> bool {
        let mut bumps = bumps;
        let mut queue = std::mem::take(&mut self.queue);
        queue.fill(self.model.steps, order, |i| {
            self.at[i] == UNPLACED && self.waiting[i] == 0
        });
        self.queue = queue;
        while let Some(i) = self.queue.next() {
            let (length, ub) = (self.length(i), self.latest_end(i).min(self.ends[i]));
            match self.latest(i, ub - length) {
                Ok((t, oven)) => {
                    let early = self.too_early_for(i, t);
                    if early.is_empty() || bumps == 0 {
                        self.place(i, t, oven);
                        continue;
                    }
                    bumps -= 1;
                    for (f, start) in early {
                        self.ends[f] = start + self.length(f);
                        self.withdraw(f);
                    }
                }
                Err(Blocked::Hold(h, before)) => {
                    if bumps == 0 {
                        return false;
                    }
                    bumps -= 1;
                    for k in 0..self.model.holds[h].steps.len() {
                        let j = self.model.holds[h].steps[k];
                        self.ends[j] = self.ends[j].min(before);
                        self.withdraw(j);
                    }
                }
            }
        }
        true
    }

    fn latest_end(&self, i: usize) -> Tick {
        let course = self.model.problem.dishes[self.model.problem.steps[i].dish].course;
        let movable = |f: &&usize| !self.model.fixed[**f];
        let follows = self.model.followers[i]
            .iter()
            .filter(movable)
            .map(|&f| self.at[f])
            .min();
        let until = if self.model.fixed[self.model.course(course)] {
            FOREVER
        } else {
            self.served[course]
        };
        follows
            .map_or(until, |f| f.min(until))
            .min(self.model.horizon)
    }

    /// Followers that would have to come earlier for the `keeps` of `i` at `t`, and their latest start.
    fn too_early_for(&self, i: usize, t: Tick) -> Vec<(usize, Tick)> {
        let step = &self.model.problem.steps[i];
        let Some(keeps) = step.keeps else {
            return Vec::new();
        };
        let limit = t + step.length + keeps;
        let follows = self.model.followers[i].iter().copied();
        follows
            .filter(|&f| !self.model.fixed[f] && self.at[f] > limit)
            .map(|f| (f, limit))
            .collect()
    }

    /// Takes a step out again, and what is placed before it.
    fn withdraw(&mut self, i: usize) {
        let mut stack = vec![i];
        while let Some(j) = stack.pop() {
            if self.at[j] != UNPLACED && !self.model.fixed[j] {
                self.unplace(j);
            }
            let before = self.model.problem.steps[j].after.iter();
            stack.extend(before.filter(|&&a| self.at[a] != UNPLACED && !self.model.fixed[a]));
        }
    }

    /// The step may end when its followers and its course allow it.
    pub fn free_end(&mut self, i: usize) {
        self.ends[i] = FOREVER;
    }

    /// The step ends at least `wait` before its course is served.
    pub fn end_before(&mut self, i: usize, wait: Tick) {
        let course = self.model.problem.dishes[self.model.problem.steps[i].dish].course;
        self.ends[i] = self.served[course] - wait;
    }

    /// Whether nothing begins before it may.
    pub fn in_time(&self) -> bool {
        self.shortfall() == 0
    }

    pub(super) fn earliest_in(&self, i: usize, oven: usize) -> Tick {
        let lo = self.model.lo[i];
        if oven == NO_OVEN {
            lo
        } else {
            lo.max(self.model.pairs.ready(oven, i))
        }
    }

    /// Moves all that can wait later, last ends first; courses stay.
    pub fn justify(&mut self) {
        self.open_ended = false;
        for h in 0..self.extents.len() {
            self.extend_hold(h);
        }
        let mut order: Vec<usize> = (0..self.model.steps)
            .filter(|&i| !self.model.fixed[i])
            .collect();
        order.sort_by_key(|&i| std::cmp::Reverse((self.at[i] + self.length(i), self.at[i])));
        for i in order {
            let (t, oven) = (self.at[i], self.oven[i]);
            self.unplace(i);
            let ub = self.latest_end(i) - self.length(i);
            match self.latest_in(i, ub, oven) {
                Ok(later) if later > t => self.place(i, later, oven),
                _ => self.place(i, t, oven),
            }
        }
    }
}
