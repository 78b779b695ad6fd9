//! Schedule generation: steps are put one after the other at the latest or the earliest moment that fits.
//!
//! Backward, from the moments of service, gives dishes that are ready when they are eaten. Where that
//! would begin before the plan may, the backward schedule, with its times before zero, is the order in
//! which a forward pass puts everything as early as it can; a last pass moves all that can wait later.

use super::model::Model;
use super::ovens::Forbidden;
use super::profile::{FOREVER, NEVER, Profile};
use crate::plan::problem::Tick;
use crate::plan::schedule::Schedule;

const UNPLACED: Tick = Tick::MIN;
const NO_OVEN: usize = usize::MAX;

/// Where a hold of cookware lies while steps are placed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Extent {
    from: Tick,
    to: Tick,
}

/// Why a step has no place.
enum Blocked {
    /// The cookware of a hold is taken by another dish from here.
    Hold(usize, Tick),
}

/// A partial schedule and what it occupies.
pub struct Placing<'m, 'p> {
    model: &'m Model<'p>,
    at: Vec<Tick>,
    oven: Vec<usize>,
    lines: Vec<Profile>,
    racks: Vec<Profile>,
    inside: Vec<Vec<usize>>,
    extents: Vec<Option<Extent>>,
    holds_of: Vec<Vec<usize>>,
    /// Forward, a hold that lacks steps lasts until further notice.
    open_ended: bool,
    served: Vec<Tick>,
    spans: Vec<Forbidden>,
    /// Forward, no step comes before its entry, and prefers this oven; empty for none.
    floors: Vec<Tick>,
    likes: Vec<Option<usize>>,
}

impl<'m, 'p> Placing<'m, 'p> {
    /// Nothing placed but what has begun.
    pub fn new(model: &'m Model<'p>) -> Self {
        let mut holds_of = vec![Vec::new(); model.steps];
        for (h, hold) in model.holds.iter().enumerate() {
            for &i in &hold.steps {
                holds_of[i].push(h);
            }
        }
        let mut placing = Placing {
            model,
            at: vec![UNPLACED; model.steps],
            oven: vec![NO_OVEN; model.steps],
            lines: vec![Profile::new(); model.pools.len()],
            racks: vec![Profile::new(); model.problem.ovens.len()],
            inside: vec![Vec::new(); model.problem.ovens.len()],
            extents: vec![None; model.holds.len()],
            holds_of,
            open_ended: false,
            served: vec![0; model.courses],
            spans: Vec::new(),
            floors: Vec::new(),
            likes: Vec::new(),
        };
        placing.reset(false);
        placing
    }

    fn length(&self, i: usize) -> Tick {
        self.model.problem.steps[i].length
    }

    fn reset(&mut self, open_ended: bool) {
        self.open_ended = open_ended;
        self.at.fill(UNPLACED);
        self.oven.fill(NO_OVEN);
        self.lines.iter_mut().for_each(Profile::clear);
        self.racks.iter_mut().for_each(Profile::clear);
        self.inside.iter_mut().for_each(Vec::clear);
        self.extents.fill(None);
        for h in 0..self.model.holds.len() {
            self.extend_hold(h);
        }
        for i in 0..self.model.steps {
            if self.model.fixed[i] {
                self.place(
                    i,
                    self.model.lo[i],
                    self.model.choices[i].first().copied().unwrap_or(NO_OVEN),
                );
            }
        }
    }

    /// The stretch that the placed steps of a hold need.
    fn wanted_extent(&self, h: usize) -> Option<Extent> {
        let hold = &self.model.holds[h];
        let mut extent = hold.since.map(|_| Extent {
            from: NEVER,
            to: hold.until,
        });
        let mut missing = false;
        for &i in &hold.steps {
            if self.at[i] == UNPLACED {
                missing = true;
                continue;
            }
            let (from, to) = (self.at[i], self.at[i] + self.length(i));
            extent = Some(extent.map_or(Extent { from, to }, |e| Extent {
                from: e.from.min(from),
                to: e.to.max(to),
            }));
        }
        if self.open_ended && missing {
            extent = extent.map(|e| Extent { to: FOREVER, ..e });
        }
        extent
    }

    fn extend_hold(&mut self, h: usize) {
        let wanted = self.wanted_extent(h);
        if wanted == self.extents[h] {
            return;
        }
        let hold = &self.model.holds[h];
        let line = &mut self.lines[2 + hold.ware];
        if let Some(old) = self.extents[h] {
            line.give(old.from, old.to, hold.count);
        }
        if let Some(new) = wanted {
            line.take(new.from, new.to, hold.count);
        }
        self.extents[h] = wanted;
    }

    fn place(&mut self, i: usize, t: Tick, oven: usize) {
        self.at[i] = t;
        self.oven[i] = oven;
        self.occupy(i, t, oven, true);
    }

    fn unplace(&mut self, i: usize) {
        let (t, oven) = (self.at[i], self.oven[i]);
        self.at[i] = UNPLACED;
        self.oven[i] = NO_OVEN;
        self.occupy(i, t, oven, false);
    }

    fn occupy(&mut self, i: usize, t: Tick, oven: usize, take: bool) {
        let step = &self.model.problem.steps[i];
        let change = if take { Profile::take } else { Profile::give };
        let end = t + step.length;
        if !self.model.past(i) {
            if step.hands {
                change(&mut self.lines[0], t, end, 1);
            }
            change(&mut self.lines[1], t, end, step.burners);
        }
        if let (Some(usage), true) = (&step.oven, oven != NO_OVEN) {
            change(&mut self.racks[oven], t, end, usage.racks);
            if take {
                self.inside[oven].push(i);
            } else {
                self.inside[oven].retain(|&j| j != i);
            }
        }
        for k in 0..self.holds_of[i].len() {
            self.extend_hold(self.holds_of[i][k]);
        }
    }

    fn room(&self, pool: usize, demand: u32) -> u32 {
        self.model.pools[pool].capacity.saturating_sub(demand)
    }

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
        let mut ends = vec![FOREVER; self.model.steps];
        let mut bumps = 4 * self.model.steps + 16;
        while let Some(i) = self.next_backward(order) {
            let (length, ub) = (self.length(i), self.latest_end(i).min(ends[i]));
            match self.latest(i, ub - length) {
                Ok((t, oven)) => {
                    let early = self.too_early_for(i, t);
                    if early.is_empty() || bumps == 0 {
                        self.place(i, t, oven);
                        continue;
                    }
                    bumps -= 1;
                    for (f, start) in early {
                        ends[f] = start + self.length(f);
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
                        ends[j] = ends[j].min(before);
                        self.withdraw(j);
                    }
                }
            }
        }
        true
    }

    fn next_backward(&self, order: &[usize]) -> Option<usize> {
        let ready = |i: &usize| {
            let follows = &self.model.followers[*i];
            self.at[*i] == UNPLACED && follows.iter().all(|&f| self.at[f] != UNPLACED)
        };
        order.iter().copied().find(ready)
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

    /// Whether nothing begins before it may.
    pub fn in_time(&self) -> bool {
        (0..self.model.steps)
            .all(|i| self.model.fixed[i] || self.at[i] >= self.earliest_in(i, self.oven[i]))
    }

    fn earliest_in(&self, i: usize, oven: usize) -> Tick {
        let lo = self.model.lo[i];
        if oven == NO_OVEN {
            lo
        } else {
            lo.max(self.model.pairs.ready(oven, i))
        }
    }

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
                if self.extents[h].is_none() {
                    let hold = &self.model.holds[h];
                    t = self.lines[2 + hold.ware]
                        .earliest_for_good(t, self.room(2 + hold.ware, hold.count))?;
                }
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

    /// The moments of steps, then courses.
    pub fn keys(&self) -> Vec<Tick> {
        self.at.iter().chain(&self.served).copied().collect()
    }

    /// What is placed, as a schedule.
    pub fn schedule(&self) -> Schedule {
        let oven = |&o: &usize| if o == NO_OVEN { None } else { Some(o) };
        Schedule {
            starts: self.at.clone(),
            ovens: self.oven.iter().map(oven).collect(),
            served: self.served.clone(),
        }
    }
}

/// Steps by dish, so that a backward pass finishes one dish after the other.
pub fn dish_order(model: &Model, dishes: &[usize]) -> Vec<usize> {
    let mut order = Vec::with_capacity(model.steps);
    for &d in dishes {
        order.extend(model.problem.dishes[d].steps.iter().rev());
    }
    order
}

/// Dishes that wait least first, then longer ones.
pub fn first_dishes(model: &Model) -> Vec<usize> {
    let p = model.problem;
    let key = |d: &usize| {
        let steps = &p.dishes[*d].steps;
        let last = |i: &&usize| model.followers[**i].is_empty();
        let keeps = steps
            .iter()
            .filter(last)
            .filter_map(|&i| p.steps[i].keeps)
            .min()
            .unwrap_or(FOREVER);
        let work: Tick = steps.iter().map(|&i| p.steps[i].length).sum();
        (keeps, std::cmp::Reverse(work))
    };
    let mut dishes: Vec<usize> = (0..p.dishes.len()).collect();
    dishes.sort_by_key(key);
    dishes
}
