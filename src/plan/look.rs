//! When the cook looks again after something that isn't done.

const MINUTE: i64 = 60_000;

/// How much longer a step of a range may take that has taken `spent` and isn't done, all in ms: a third of the range, but
/// not beyond its end; when that is over, a sixth of it. In whole minutes, one at least.
pub fn again((lo, hi): (i64, i64), spent: i64) -> i64 {
    let (third, left) = ((hi - lo) / 3, hi - spent);
    let more = if left > 0 { third.min(left) } else { third / 2 };
    (more + MINUTE / 2).div_euclid(MINUTE).max(1) * MINUTE
}
