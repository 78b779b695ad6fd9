//! Large dinners: the order in which dishes are placed, changed one dish at a time.

use rand_pcg::{
    Pcg32,
    rand_core::{Rng, SeedableRng},
};

use super::first::by_dishes;
use super::generate::{Placing, first_dishes};
use super::model::Model;
use super::score;
use crate::plan::schedule::Schedule;

/// A hill climb over orders of dishes, from a fixed seed.
pub struct Climb<'m, 'p> {
    model: &'m Model<'p>,
    placing: Placing<'m, 'p>,
    dice: Pcg32,
    order: Vec<usize>,
    value: i64,
}

impl<'m, 'p> Climb<'m, 'p> {
    /// Begins with the order of the first schedule.
    pub fn new(model: &'m Model<'p>) -> Self {
        let mut placing = Placing::new(model);
        let order = first_dishes(model);
        let first = by_dishes(&mut placing, model, &order);
        let value = first.map_or(i64::MAX, |s| score::of(model.problem, &s));
        Climb {
            model,
            placing,
            dice: Pcg32::seed_from_u64(8),
            order,
            value,
        }
    }

    fn below(&mut self, n: usize) -> usize {
        self.dice.next_u32() as usize % n.max(1)
    }

    /// Puts one dish elsewhere in the order; the schedule, if that is no worse than before.
    pub fn step(&mut self) -> Option<(i64, Schedule)> {
        let n = self.order.len();
        let (from, to) = (self.below(n), self.below(n));
        let dish = self.order.remove(from);
        self.order.insert(to, dish);
        let found = by_dishes(&mut self.placing, self.model, &self.order);
        let value = found.as_ref().map(|s| score::of(self.model.problem, s));
        match (value, found) {
            (Some(value), Some(schedule)) if value <= self.value => {
                self.value = value;
                Some((value, schedule))
            }
            _ => {
                let dish = self.order.remove(to);
                self.order.insert(from, dish);
                None
            }
        }
    }
}
