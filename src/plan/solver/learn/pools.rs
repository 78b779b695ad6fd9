//! Time tables: what is certainly taken of a thing, and what that forbids to others.

use super::core::{Conflict, Core, Done, Lit};
use crate::plan::solver::model::Task;

/// A task of a pool, in an oven only if the literal is true.
#[derive(Clone, Copy, Debug)]
pub struct Use {
    pub task: Task,
    pub present: Option<Lit>,
    /// The step and the oven that the literal stands for.
    pub place: Option<(usize, usize)>,
}

/// A pool of more than one, whose tasks cannot all run together.
#[derive(Clone, Debug)]
pub struct Cumulative {
    pub capacity: u32,
    pub uses: Vec<Use>,
    pub dirty: bool,
}

/// A stretch of the certain profile.
struct Block {
    from: i64,
    to: i64,
    level: u32,
}

impl Cumulative {
    fn begin(&self, core: &Core, k: usize) -> (i64, i64) {
        let var = self.uses[k].task.begin + 1;
        (core.lo(var), core.hi(var))
    }

    fn end(&self, core: &Core, k: usize) -> (i64, i64) {
        let (var, tail) = (self.uses[k].task.end + 1, i64::from(self.uses[k].task.tail));
        (core.lo(var) + tail, core.hi(var) + tail)
    }

    /// Where a task certainly runs.
    fn core_part(&self, core: &Core, k: usize) -> Option<(i64, i64)> {
        if self.uses[k].present.is_some_and(|p| !core.is_true(p)) {
            return None;
        }
        let (from, to) = (self.begin(core, k).1, self.end(core, k).0);
        (from < to).then_some((from, to))
    }

    fn blocks(&self, core: &Core) -> Vec<Block> {
        let mut events: Vec<(i64, i64)> = Vec::with_capacity(2 * self.uses.len());
        for k in 0..self.uses.len() {
            if let Some((from, to)) = self.core_part(core, k) {
                let demand = i64::from(self.uses[k].task.demand);
                events.push((from, demand));
                events.push((to, -demand));
            }
        }
        events.sort_unstable();
        let mut blocks: Vec<Block> = Vec::with_capacity(events.len());
        let mut level = 0;
        for (k, &(at, change)) in events.iter().enumerate() {
            level += change;
            let to = events.get(k + 1).map_or(at, |e| e.0);
            if to > at && level > 0 {
                blocks.push(Block {
                    from: at,
                    to,
                    level: level as u32,
                });
            }
        }
        blocks
    }

    /// Literals by which tasks other than `except` certainly take what they do at `tick`,
    /// as many as are needed to exceed `room`.
    fn reason(&self, core: &Core, tick: i64, except: Option<usize>, room: u32, buf: &mut Vec<Lit>) {
        let mut level = 0;
        for k in 0..self.uses.len() {
            if level > room {
                break;
            }
            if Some(k) == except {
                continue;
            }
            if self
                .core_part(core, k)
                .is_some_and(|(from, to)| from <= tick && tick < to)
            {
                let t = self.uses[k].task;
                buf.push(Lit::at_most(t.begin + 1, tick));
                buf.push(Lit::at_least(t.end + 1, tick + 1 - i64::from(t.tail)));
                buf.extend(self.uses[k].present);
                level += t.demand;
            }
        }
    }

    /// Whether something that is not past takes part at `tick`.
    fn ours(&self, core: &Core, tick: i64) -> bool {
        (0..self.uses.len()).any(|k| {
            !self.uses[k].task.begun
                && self
                    .core_part(core, k)
                    .is_some_and(|(from, to)| from <= tick && tick < to)
        })
    }

    /// Raises begins and lowers ends past what is certainly taken.
    pub fn propagate(&self, core: &mut Core) -> Done {
        let mut blocks = self.blocks(core);
        for b in blocks.iter().filter(|b| b.level > self.capacity) {
            if self.ours(core, b.from) {
                let mut lits = std::mem::take(&mut core.conflict);
                lits.clear();
                self.reason(core, b.from, None, self.capacity, &mut lits);
                core.conflict = lits;
                return Err(Conflict);
            }
        }
        let largest = self.uses.iter().map(|u| u.task.demand).max().unwrap_or(0);
        blocks.retain(|b| b.level > self.capacity.saturating_sub(largest));
        let mut buf = Vec::new();
        for k in 0..self.uses.len() {
            let u = self.uses[k];
            if blocks.is_empty() || u.task.begun || u.present.is_some_and(|p| !core.is_true(p)) {
                continue;
            }
            let ((from, last), (first, to)) = (self.begin(core, k), self.end(core, k));
            if from == last && first == to {
                // It is part of the profile as it stands.
                continue;
            }
            let room = self.capacity.saturating_sub(u.task.demand);
            let near = |b: &&Block| b.level > room && b.from < to && from < b.to;
            for b in blocks.iter().filter(near) {
                self.later(core, k, b, room, &mut buf)?;
            }
            for b in blocks.iter().rev().filter(near) {
                self.sooner(core, k, b, room, &mut buf)?;
            }
        }
        Ok(())
    }

    fn inside(&self, core: &Core, k: usize, b: &Block) -> bool {
        self.core_part(core, k)
            .is_some_and(|(from, to)| from < b.to && b.from < to)
    }

    fn later(&self, core: &mut Core, k: usize, b: &Block, room: u32, buf: &mut Vec<Lit>) -> Done {
        loop {
            let (begin, end) = (self.begin(core, k).0, self.end(core, k).0);
            if begin >= b.to || end <= b.from || self.inside(core, k, b) {
                return Ok(());
            }
            let tick = (b.to - 1).min(end - 1);
            let task = self.uses[k].task;
            buf.clear();
            buf.push(Lit::at_least(task.end + 1, tick + 1 - i64::from(task.tail)));
            buf.extend(self.uses[k].present);
            self.reason(core, tick, Some(k), room, buf);
            core.imply(Lit::at_least(task.begin + 1, tick + 1), buf)?;
            if task.begin != task.end {
                return Ok(());
            }
        }
    }

    fn sooner(&self, core: &mut Core, k: usize, b: &Block, room: u32, buf: &mut Vec<Lit>) -> Done {
        loop {
            let (begin, end) = (self.begin(core, k).1, self.end(core, k).1);
            if begin >= b.to || end <= b.from || self.inside(core, k, b) {
                return Ok(());
            }
            let tick = b.from.max(begin);
            let task = self.uses[k].task;
            buf.clear();
            buf.push(Lit::at_most(task.begin + 1, tick));
            buf.extend(self.uses[k].present);
            self.reason(core, tick, Some(k), room, buf);
            core.imply(Lit::at_most(task.end + 1, tick - i64::from(task.tail)), buf)?;
            if task.begin != task.end {
                return Ok(());
            }
        }
    }
}
