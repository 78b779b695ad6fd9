//! How much of a thing is taken over time, as a step function.

use crate::plan::problem::Tick;

/// Far before and far after everything, with room for sums.
pub const NEVER: Tick = Tick::MIN / 4;
/// See [`NEVER`].
pub const FOREVER: Tick = Tick::MAX / 4;

/// Levels by time: each point holds from its tick to the next point.
#[derive(Clone, Debug)]
pub struct Profile {
    points: Vec<(Tick, u32)>,
}

impl Profile {
    /// Nothing taken.
    pub fn new() -> Self {
        Profile {
            points: vec![(NEVER, 0)],
        }
    }

    /// Nothing taken again.
    pub fn clear(&mut self) {
        self.points.clear();
        self.points.push((NEVER, 0));
    }

    /// The point that holds at `t`.
    fn index(&self, t: Tick) -> usize {
        self.points.partition_point(|p| p.0 <= t).saturating_sub(1)
    }

    fn split(&mut self, t: Tick) -> usize {
        let k = self.index(t);
        if self.points[k].0 == t {
            return k;
        }
        self.points.insert(k + 1, (t, self.points[k].1));
        k + 1
    }

    /// Drops points that change nothing around `[from, to]`.
    fn tidy(&mut self, from: usize, to: usize) {
        for k in (from.max(1)..=to.min(self.points.len() - 1)).rev() {
            if self.points[k].1 == self.points[k - 1].1 {
                self.points.remove(k);
            }
        }
    }

    /// Takes `demand` from `from` to `to`.
    pub fn take(&mut self, from: Tick, to: Tick, demand: u32) {
        if from >= to || demand == 0 {
            return;
        }
        let a = self.split(from);
        let b = self.split(to);
        for p in &mut self.points[a..b] {
            p.1 += demand;
        }
        self.tidy(a, b);
    }

    /// Gives back what was taken.
    pub fn give(&mut self, from: Tick, to: Tick, demand: u32) {
        if from >= to || demand == 0 {
            return;
        }
        let a = self.split(from);
        let b = self.split(to);
        for p in &mut self.points[a..b] {
            p.1 = p.1.saturating_sub(demand);
        }
        self.tidy(a, b);
    }

    /// The latest start at or before `t` of a stretch of `length` over which at most `room` is taken.
    pub fn latest(&self, t: Tick, length: Tick, room: u32) -> Tick {
        let mut t = t;
        let mut k = self.index(t + length - 1);
        loop {
            let (start, level) = self.points[k];
            if level > room {
                t = start - length;
            } else if start <= t {
                return t;
            }
            if k == 0 {
                return t;
            }
            k -= 1;
        }
    }

    /// The earliest start at or after `t` of a stretch of `length` over which at most `room` is taken.
    /// `None` when that is never.
    pub fn earliest(&self, t: Tick, length: Tick, room: u32) -> Option<Tick> {
        let mut t = t;
        let mut k = self.index(t);
        loop {
            let end = self.points.get(k + 1).map_or(FOREVER, |p| p.0);
            if self.points[k].1 > room {
                if end >= FOREVER {
                    return None;
                }
                t = end;
            } else if end >= t + length || end >= FOREVER {
                return Some(t);
            }
            k += 1;
            if k >= self.points.len() {
                return Some(t);
            }
        }
    }

    /// The first tick at or after `t` from which on never more than `room` is taken.
    pub fn earliest_for_good(&self, t: Tick, room: u32) -> Option<Tick> {
        for k in (0..self.points.len()).rev() {
            if self.points[k].1 > room {
                let end = self.points.get(k + 1).map_or(FOREVER, |p| p.0);
                return (end < FOREVER).then(|| end.max(t));
            }
        }
        Some(t)
    }

    /// The last stretch within `[from, to)` over which more than `room` is taken.
    pub fn last_over(&self, from: Tick, to: Tick, room: u32) -> Option<(Tick, Tick)> {
        if from >= to {
            return None;
        }
        let mut k = self.index(to - 1);
        loop {
            let end = self.points.get(k + 1).map_or(FOREVER, |p| p.0);
            if end <= from {
                return None;
            }
            if self.points[k].1 > room {
                return Some((self.points[k].0, end));
            }
            if k == 0 {
                return None;
            }
            k -= 1;
        }
    }
}
