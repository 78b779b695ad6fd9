//! Which steps to set free next when a good schedule is to become better.

use rand_pcg::{
    Pcg32,
    rand_core::{Rng, SeedableRng},
};

use super::model::Model;
use crate::plan::schedule::Schedule;

/// Draws neighbourhoods from a fixed seed; their size follows what is found.
pub struct Neighbourhoods {
    dice: Pcg32,
    size: f64,
}

impl Neighbourhoods {
    /// The same problem always gets the same ones.
    pub fn new() -> Self {
        Neighbourhoods {
            dice: Pcg32::seed_from_u64(30),
            size: 12.0,
        }
    }

    fn below(&mut self, n: usize) -> usize {
        self.dice.next_u32() as usize % n.max(1)
    }

    /// The whole neighbourhood was searched in vain: larger ones.
    pub fn exhausted(&mut self, steps: usize) {
        self.size = (self.size * 1.05).min(steps as f64);
    }

    /// Too large to search: smaller ones.
    pub fn spent(&mut self) {
        self.size = (self.size * 0.95).max(5.0);
    }

    /// The steps to set free.
    pub fn draw(&mut self, model: &Model, s: &Schedule) -> Vec<bool> {
        let size = self.size as usize;
        let mut free = vec![false; model.steps];
        let mut count = 0;
        match self.below(4) {
            0 => while count < size && self.dish(model, None, &mut free, &mut count) {},
            1 => {
                let course = self.below(model.courses);
                while count < size && self.dish(model, Some(course), &mut free, &mut count) {}
            }
            2 => {
                self.worst(model, s, &mut free, &mut count);
                self.around(model, s, size, &mut free, &mut count);
            }
            _ => self.around(model, s, size, &mut free, &mut count),
        }
        free
    }

    /// Sets a random dish free, of a course if one is given. `false` when none is left.
    fn dish(
        &mut self,
        model: &Model,
        course: Option<usize>,
        free: &mut [bool],
        count: &mut usize,
    ) -> bool {
        let p = model.problem;
        let open = |d: &usize| {
            course.is_none_or(|c| p.dishes[*d].course == c)
                && p.dishes[*d]
                    .steps
                    .iter()
                    .any(|&i| !model.fixed[i] && !free[i])
        };
        let dishes: Vec<usize> = (0..p.dishes.len()).filter(open).collect();
        if dishes.is_empty() {
            return false;
        }
        let d = dishes[self.below(dishes.len())];
        set_free(model, d, free, count);
        true
    }

    /// Sets one of the dishes that wait too long free.
    fn worst(&mut self, model: &Model, s: &Schedule, free: &mut [bool], count: &mut usize) {
        let p = model.problem;
        let waits = |d: usize| {
            let last = p.dishes[d]
                .steps
                .iter()
                .filter(|&&i| model.followers[i].is_empty());
            let served = s.served[p.dishes[d].course];
            let over = last.filter_map(|&i| {
                p.steps[i]
                    .keeps
                    .map(|k| served - s.starts[i] - p.steps[i].length - k)
            });
            i64::from(over.max().unwrap_or(0).max(0))
        };
        let list: Vec<usize> = (0..p.dishes.len()).filter(|&d| waits(d) > 0).collect();
        if !list.is_empty() {
            let d = list[self.below(list.len())];
            set_free(model, d, free, count);
        }
    }

    /// Sets free what runs nearest in time to a random step (or to what is free already).
    fn around(
        &mut self,
        model: &Model,
        s: &Schedule,
        size: usize,
        free: &mut [bool],
        count: &mut usize,
    ) {
        let open: Vec<usize> = (0..model.steps).filter(|&i| !model.fixed[i]).collect();
        if open.is_empty() {
            return;
        }
        let seeds: Vec<usize> = open.iter().copied().filter(|&i| free[i]).collect();
        let from = if seeds.is_empty() { &open } else { &seeds };
        let centre = s.starts[from[self.below(from.len())]];
        let mut near = open.clone();
        near.sort_by_key(|&i| {
            let (a, b) = (s.starts[i], s.starts[i] + model.problem.steps[i].length);
            (a - centre).max(centre - b).max(0) + (a - centre).abs() / 8
        });
        for i in near {
            if *count >= size {
                return;
            }
            if !std::mem::replace(&mut free[i], true) {
                *count += 1;
            }
        }
    }
}

fn set_free(model: &Model, d: usize, free: &mut [bool], count: &mut usize) {
    for &i in &model.problem.dishes[d].steps {
        if !model.fixed[i] && !std::mem::replace(&mut free[i], true) {
            *count += 1;
        }
    }
}
