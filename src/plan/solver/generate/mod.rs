//! Schedule generation: steps are put one after the other at the latest or the earliest moment that fits.
//!
//! Backward, from the moments of service, gives dishes that are ready when they are eaten. Where that
//! would begin before the plan may, the backward schedule, with its times before zero, is the order in
//! which a forward pass puts everything as early as it can; a last pass moves all that can wait later.

mod backward;
mod forward;
mod orders;

pub use orders::{dish_order, first_dishes};

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

/// Steps that can be placed next, by their position in an order; what is not in the order is never next.
#[derive(Clone, Debug, Default)]
struct Queue {
    rank: Vec<usize>,
    order: Vec<usize>,
    ready: Vec<u64>,
}

impl Queue {
    /// Nothing ready, no order.
    fn clear(&mut self) {
        for &i in &self.order {
            self.rank[i] = usize::MAX;
        }
        self.order.clear();
        self.ready.clear();
    }

    /// Takes an order; of its steps those that `open` names are ready.
    fn fill(&mut self, steps: usize, order: &[usize], open: impl Fn(usize) -> bool) {
        self.clear();
        self.rank.resize(steps, usize::MAX);
        self.order.extend_from_slice(order);
        self.ready.resize(order.len().div_ceil(64), 0);
        for (k, &i) in order.iter().enumerate() {
            self.rank[i] = k;
            if open(i) {
                self.add(i);
            }
        }
    }

    fn add(&mut self, i: usize) {
        if let Some(&k) = self.rank.get(i).filter(|&&k| k != usize::MAX) {
            self.ready[k / 64] |= 1 << (k % 64);
        }
    }

    fn remove(&mut self, i: usize) {
        if let Some(&k) = self.rank.get(i).filter(|&&k| k != usize::MAX) {
            self.ready[k / 64] &= !(1 << (k % 64));
        }
    }

    fn next(&self) -> Option<usize> {
        let word = self.ready.iter().position(|&w| w != 0)?;
        let bit = self.ready[word].trailing_zeros() as usize;
        Some(self.order[word * 64 + bit])
    }
}

/// A partial schedule and what it occupies.
pub struct Placing<'m, 'p> {
    model: &'m Model<'p>,
    /// Starts of steps; before zero where that is how it works out backward.
    pub at: Vec<Tick>,
    pub oven: Vec<usize>,
    lines: Vec<Profile>,
    racks: Vec<Profile>,
    inside: Vec<Vec<usize>>,
    extents: Vec<Option<Extent>>,
    holds_of: Vec<Vec<usize>>,
    /// Forward, a hold that lacks steps lasts until further notice.
    open_ended: bool,
    pub served: Vec<Tick>,
    /// For each step, how many of those that follow it have no place yet.
    waiting: Vec<u32>,
    queue: Queue,
    /// Backward, no step ends after its entry.
    ends: Vec<Tick>,
    /// Starts further apart than their lengths and this never disturb each other in an oven.
    change: Tick,
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
            waiting: vec![0; model.steps],
            queue: Queue::default(),
            ends: vec![FOREVER; model.steps],
            change: model.pairs.longest_change(),
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
        self.queue.clear();
        for (waiting, follows) in self.waiting.iter_mut().zip(&self.model.followers) {
            *waiting = follows.len() as u32;
        }
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
        self.queue.remove(i);
        for &a in &self.model.problem.steps[i].after {
            self.waiting[a] -= 1;
            if self.waiting[a] == 0 && self.at[a] == UNPLACED {
                self.queue.add(a);
            }
        }
        self.occupy(i, t, oven, true);
    }

    /// Takes a step out.
    pub fn unplace(&mut self, i: usize) {
        let (t, oven) = (self.at[i], self.oven[i]);
        self.at[i] = UNPLACED;
        self.oven[i] = NO_OVEN;
        for &a in &self.model.problem.steps[i].after {
            self.waiting[a] += 1;
            self.queue.remove(a);
        }
        if self.waiting[i] == 0 {
            self.queue.add(i);
        }
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

    /// Whether a start of `i` at `d` after that of `j` is out of reach of any change between the two.
    fn apart(&self, d: Tick, j: usize, i: usize) -> bool {
        d >= self.length(j) + self.change || -d >= self.length(i) + self.change
    }

    fn room(&self, pool: usize, demand: u32) -> u32 {
        self.model.pools[pool].capacity.saturating_sub(demand)
    }

    /// Puts a whole schedule of a meal that hasn't begun.
    pub fn load(&mut self, schedule: &Schedule) {
        self.reset(false);
        self.served.clone_from(&schedule.served);
        for (course, &t) in self.model.problem.courses.iter().zip(&schedule.served) {
            if self.model.problem.cooks > 0 {
                self.lines[0].take(t, t + course.plating, 1);
            }
        }
        for (i, (&t, oven)) in schedule.starts.iter().zip(&schedule.ovens).enumerate() {
            if self.at[i] == UNPLACED {
                self.place(i, t, oven.unwrap_or(NO_OVEN));
            }
        }
    }

    /// Puts everything back to where it was.
    pub fn restore(&mut self, at: &[Tick], oven: &[usize]) {
        self.queue.clear();
        for i in 0..at.len() {
            if self.at[i] != UNPLACED && (self.at[i], self.oven[i]) != (at[i], oven[i]) {
                self.unplace(i);
            }
        }
        for i in 0..at.len() {
            if self.at[i] == UNPLACED {
                self.place(i, at[i], oven[i]);
            }
        }
    }

    /// Whether every step has a place.
    pub fn complete_everywhere(&self) -> bool {
        self.at.iter().all(|&t| t != UNPLACED)
    }

    /// By how much the step that begins too early does so most.
    pub fn shortfall(&self) -> Tick {
        let open = (0..self.model.steps).filter(|&i| !self.model.fixed[i]);
        open.map(|i| self.earliest_in(i, self.oven[i]) - self.at[i])
            .max()
            .unwrap_or(0)
            .max(0)
    }

    /// The moments of steps, then courses.
    pub fn keys(&self) -> Vec<Tick> {
        self.at.iter().chain(&self.served).copied().collect()
    }

    /// The first step that isn't placed, of those that wait for nothing but cookware if there is one.
    pub fn unplaced(&self) -> Option<usize> {
        let open = || (0..self.model.steps).filter(|&i| self.at[i] == UNPLACED);
        let ready = |i: &usize| {
            let mut before = self.model.problem.steps[*i].after.iter();
            before.all(|&a| self.at[a] != UNPLACED)
        };
        open().find(ready).or_else(|| open().next())
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
