//! Schedules of one direction of time.

use super::dice::Dice;
use super::model::Model;

/// A schedule whose jobs are all as early as they can be in its direction.
#[derive(Clone)]
pub struct Individual {
    /// Begins in its direction, in periods.
    pub starts: Vec<u32>,
    /// The jobs by decreasing ends: a list for the other direction, in which it is justified.
    pub list: Vec<u16>,
    /// In periods.
    pub makespan: u32,
    /// The makespan, and below one period how much work lies in its last part.
    pub fitness: f64,
}

impl Individual {
    /// `part` of the makespan counts as its last part.
    pub fn new(model: &Model, starts: &[u32], makespan: u32, part: f64) -> Self {
        let mut list: Vec<u16> = (0..model.jobs as u16).collect();
        list.sort_unstable_by_key(|&j| {
            let j = usize::from(j);
            let end = starts[j] + model.durations[j];
            std::cmp::Reverse((end, starts[j], model.ranks[j]))
        });
        Individual {
            starts: starts.to_vec(),
            list,
            makespan,
            fitness: f64::from(makespan) + late_work(model, starts, makespan, part),
        }
    }

    /// When a job ends.
    pub fn end(&self, model: &Model, job: u16) -> u32 {
        self.starts[usize::from(job)] + model.durations[usize::from(job)]
    }
}

/// Work in the last part of a schedule, the later the more, below 1: of two schedules of one length, the one with less
/// is closer to a shorter one.
fn late_work(model: &Model, starts: &[u32], makespan: u32, part: f64) -> f64 {
    let length = (f64::from(makespan) * part).max(1.0);
    let from = f64::from(makespan) - length;
    let (mut late, mut all) = (0.0, 0.0);
    for ((&start, &duration), weight) in starts.iter().zip(&model.durations).zip(&model.weights) {
        all += weight * f64::from(duration);
        let begin = f64::from(start).max(from);
        let end = f64::from(start + duration);
        if end > begin {
            late += weight * (end - begin) * ((end + begin) / 2.0 - from) / length;
        }
    }
    (late / (all * part).max(1e-9)).min(0.999)
}

/// The schedules of a direction that are bred from.
#[derive(Default)]
pub struct Population(pub Vec<Individual>);

impl Population {
    /// The fittest of so many at random.
    pub fn tournament(&self, rounds: usize, dice: &mut Dice) -> usize {
        let mut best = dice.below(self.0.len());
        for _ in 1..rounds {
            let other = dice.below(self.0.len());
            if self.0[other].fitness < self.0[best].fitness {
                best = other;
            }
        }
        best
    }

    /// The least fit.
    pub fn worst(&self) -> Option<usize> {
        let fitness = |k: &usize| self.0[*k].fitness;
        (0..self.0.len()).max_by(|a, b| fitness(a).total_cmp(&fitness(b)))
    }

    /// Takes the place of the least fit, if it is not there yet and fit enough.
    pub fn admit(&mut self, child: Individual) -> bool {
        let Some(worst) = self.worst() else {
            return false;
        };
        let fits = child.fitness <= self.0[worst].fitness;
        let known = |x: &Individual| x.makespan == child.makespan && x.starts == child.starts;
        if !fits || self.0.iter().any(known) {
            return false;
        }
        self.0[worst] = child;
        true
    }
}
