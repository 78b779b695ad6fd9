//! Random choices from a seed.

use rand_pcg::{
    Pcg64,
    rand_core::{Rng, SeedableRng},
};

pub struct Dice(Pcg64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        Dice(Pcg64::seed_from_u64(seed))
    }

    /// Below `n`, which is not 0.
    pub fn below(&mut self, n: usize) -> usize {
        ((u128::from(self.0.next_u64()) * n as u128) >> 64) as usize
    }

    /// From 0 up to, but not with, 1.
    pub fn share(&mut self) -> f64 {
        (self.0.next_u64() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// An index, as likely as its weight.
    pub fn weighted(&mut self, weights: &[f64]) -> usize {
        let mut x = self.share() * weights.iter().sum::<f64>();
        let last = weights.len().saturating_sub(1);
        let mut passed = |w: f64| {
            x -= w;
            x >= 0.0
        };
        weights.iter().take_while(|w| passed(**w)).count().min(last)
    }
}
