//! The temperatures from which everything later can still be reached.

use super::place::Placed;
use crate::{
    measure::to_f64,
    plan::problem::{Oven, Tick},
};

/// Slack for the rounding of floating-point sums, in C; a millionth of the degree that is allowed.
const SLACK: f64 = 1e-6;

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
        for p in placed {
            // At the tick of its end the oven is still there: it may leave from then on.
            for tick in p.binds.max(begin)..=p.to.min(last) {
                if p.binds >= p.to {
                    break;
                }
                if let Some(bound) = usize::try_from(tick - begin)
                    .ok()
                    .and_then(|t| bounds.get_mut(t))
                {
                    bound.0 = bound.0.max(p.lo);
                    bound.1 = bound.1.min(p.hi);
                }
            }
        }
        let (heats, cools) = (to_f64(oven.heats) / 2.0, to_f64(oven.cools) / 2.0);
        for t in (0..ticks.saturating_sub(1)).rev() {
            let (lo, hi) = bounds[t + 1];
            bounds[t].0 = bounds[t].0.max(lo - heats);
            bounds[t].1 = bounds[t].1.min(hi + cools);
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
