//! Serial schedule generation: each job of a list at its earliest moment (J. E. Kelley, "The critical-path method:
//! resources planning and scheduling", 1963).

use super::model::{GUARD, Model};

/// Places jobs, and counts them.
pub struct Scheme<'m> {
    model: &'m Model,
    /// Units free in each period.
    free: Vec<u64>,
    /// Periods that the last schedule touched.
    touched: usize,
    /// Begins of the last schedule, in its own direction.
    pub starts: Vec<u32>,
    /// Jobs placed so far: what the search is charged for.
    pub placed: u64,
}

impl<'m> Scheme<'m> {
    pub fn new(model: &'m Model) -> Self {
        Scheme {
            model,
            free: vec![model.capacity; model.horizon as usize + 1],
            touched: 0,
            starts: vec![0; model.jobs],
            placed: 0,
        }
    }

    /// The makespan of a list in which every job comes after those before it. Given up, with `None`, at the first job
    /// that shows that it will be more than `limit`.
    pub fn run(&mut self, direction: usize, list: &[u16], limit: u32) -> Option<u32> {
        let (m, d) = (self.model, &self.model.directions[direction]);
        self.free[..self.touched].fill(m.capacity);
        self.touched = 0;
        let mut makespan = 0;
        for &job in list {
            let j = usize::from(job);
            let ends = d.before[j].iter().map(|&b| {
                let b = usize::from(b);
                self.starts[b] + m.durations[b]
            });
            let start = self.earliest(j, ends.max().unwrap_or(0));
            let end = start + m.durations[j];
            for free in &mut self.free[start as usize..end as usize] {
                *free -= m.demands[j];
            }
            self.starts[j] = start;
            self.placed += 1;
            makespan = makespan.max(end);
            self.touched = makespan as usize;
            if end + d.rest[j] > limit {
                return None;
            }
        }
        Some(makespan)
    }

    /// The first moment from `start` on with enough of everything, all the time.
    fn earliest(&self, j: usize, start: u32) -> u32 {
        let (demand, length) = (self.model.demands[j], self.model.durations[j] as usize);
        let mut start = start as usize;
        loop {
            let periods = &self.free[start..start + length];
            let overdrawn = |&free: &u64| (free - demand) & GUARD != GUARD;
            match periods.iter().rposition(overdrawn) {
                Some(k) => start += k + 1,
                None => return start as u32,
            }
        }
    }
}
