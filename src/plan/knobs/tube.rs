//! The temperatures from which everything later can still be reached.

use super::place::Placed;
use crate::{
    measure::to_f64,
    plan::problem::{Oven, Tick},
};

/// Slack for the rounding of floating-point sums, in C; a millionth of the degree that is allowed.
const SLACK: f64 = 1e-6;

/// Of numbers only, which none here isn't: faster than what has an answer for all.
fn higher(a: f64, b: f64) -> f64 {
    if a > b { a } else { b }
}

fn lower(a: f64, b: f64) -> f64 {
    if a < b { a } else { b }
}

/// For each tick the lowest and the highest temperature, in C.
pub(super) struct Tube {
    begin: Tick,
    bounds: Vec<(f64, f64)>,
}

impl Tube {
    /// From `begin` to `last`, both included.
    pub(super) fn new(oven: &Oven, placed: &[Placed], begin: Tick, last: Tick) -> Self {
        let ticks = usize::try_from(last - begin + 1).unwrap_or(0);
        let mut bounds = vec![(f64::NEG_INFINITY, f64::INFINITY); ticks];
        for p in placed.iter().filter(|p| p.binds < p.to) {
            // At the tick of its end the oven is still there: it may leave from then on.
            let place = |tick: Tick| usize::try_from(tick - begin).unwrap_or(0);
            let (from, to) = (place(p.binds), place(p.to.min(last) + 1));
            for bound in bounds.get_mut(from..to).unwrap_or_default() {
                *bound = (higher(bound.0, p.lo), lower(bound.1, p.hi));
            }
        }
        let (heats, cools) = (to_f64(oven.heats) / 2.0, to_f64(oven.cools) / 2.0);
        let (mut lo, mut hi) = (f64::NEG_INFINITY, f64::INFINITY);
        for bound in bounds.iter_mut().rev() {
            (lo, hi) = (higher(bound.0, lo - heats), lower(bound.1, hi + cools));
            *bound = (lo, hi);
        }
        Self { begin, bounds }
    }

    /// The bounds at a tick; beyond the last one there are none.
    pub(super) fn at(&self, tick: Tick) -> (f64, f64) {
        let t = usize::try_from(tick - self.begin).ok();
        let found = t.and_then(|t| self.bounds.get(t)).copied();
        found.unwrap_or((f64::NEG_INFINITY, f64::INFINITY))
    }

    pub(super) fn holds(&self, tick: Tick, temperature: f64) -> bool {
        let (lo, hi) = self.at(tick);
        lo - SLACK <= temperature && temperature <= hi + SLACK
    }
}
