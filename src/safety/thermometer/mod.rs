//! From readings of a core thermometer: when the core gets to its target, how sure that is, and when to
//! take the food out for the carryover.
//!
//! The readings are fitted by the series solution of a body in an effective medium: three unknowns (the medium's
//! temperature, the body's time constant, its Biot number) and the temperature it started from. A few readings don't settle
//! three unknowns, so none is picked: every candidate is weighed by how well it explains the readings, and the forecast is the
//! median of what they say, with the tenth and the ninetieth percentile beside it.
//!
//! The medium is *effective*: evaporation holds the surface of a roast near 100 C, and conduction fed with the air of the oven
//! over-predicts the carryover three to four times.

mod candidates;
mod carry;

use candidates::{Candidate, Weighed};

use super::heat::Shape;

/// A reading of the core.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// When, in milliseconds on the session's clock.
    pub at_ms: i64,
    /// Degrees Celsius.
    pub celsius: f64,
}

/// What is known besides the readings. `Setup::default()` knows nothing.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Setup {
    /// When it went into the heat (or the cold); unknown: at the first reading.
    pub begun_ms: Option<i64>,
    /// Its core temperature then, C.
    pub start_c: Option<f64>,
    /// What is known of the medium.
    pub medium: Medium,
    /// Its shape; unknown: between a slab and a sphere.
    pub shape: Option<Shape>,
}

/// What is known of the medium that heats (or cools) it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Medium {
    /// Nothing.
    #[default]
    Unknown,
    /// An oven's or a refrigerator's setting, C: evaporation keeps the effective medium this side of it.
    AtMost(f64),
    /// A stirred bath or boiling water, C.
    Exactly(f64),
}

/// When the core will be there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Prediction {
    /// The median forecast. In the past if a reading is already there.
    pub at_ms: i64,
    /// One forecast in ten is earlier.
    pub early_ms: i64,
    /// One forecast in ten is later.
    pub late_ms: i64,
    /// The effective medium, C.
    pub medium_c: f64,
    /// The time constant, seconds.
    pub tau_s: f64,
    /// It may well never get there in this heat (or cold).
    pub may_never: bool,
    /// Taken out at this core temperature, carryover brings it to the target. On the careful side: it
    /// counts on less rise than is likely. `None` while cooling, or where there is nothing to count on. A core
    /// temperature that safety asks for is to be *measured*, never counted on.
    pub pull_at_c: Option<f64>,
}

/// Readings that are used: later ones are averaged in bins.
const MOST_POINTS: usize = 24;
/// Forecasts when the core is at `target` (C). `None` with fewer than two usable readings at different moments, or if
/// no candidate gets there.
#[must_use]
pub fn predict(readings: &[Reading], target: f64, setup: &Setup) -> Option<Prediction> {
    let mut sorted: Vec<Reading> = readings
        .iter()
        .copied()
        .filter(|r| r.celsius.is_finite())
        .collect();
    sorted.sort_by_key(|reading| reading.at_ms);
    let first = *sorted.first()?;
    let last = *sorted.last()?;
    if last.at_ms <= first.at_ms || !target.is_finite() {
        return None;
    }
    let begun = setup.begun_ms.unwrap_or(first.at_ms).min(first.at_ms);
    let heating = target
        >= sorted
            .iter()
            .map(|r| r.celsius)
            .fold(f64::INFINITY, f64::min);
    if let Some(at_ms) = crossing(&sorted, target, heating) {
        return Some(arrived(at_ms, last.celsius));
    }
    let points = candidates::points(&sorted, begun, MOST_POINTS);
    let weighed = candidates::weigh(&points, heating, setup);
    let share_never = candidates::share_never(&weighed, target, heating);
    let times = finish_times(&weighed, target, (last.at_ms - begun) as f64 / 1000.0);
    let quantile = |share: f64| {
        weighted_quantile(&times, share).map(|seconds| begun + (seconds * 1000.0) as i64)
    };
    let at_ms = quantile(0.5)?.max(last.at_ms);
    let medium = weighted_quantile(&values(&weighed, |c| c.medium), 0.5)?;
    let tau_s = weighted_quantile(&values(&weighed, Candidate::tau), 0.5)?;
    Some(Prediction {
        at_ms,
        early_ms: quantile(0.1)?.clamp(last.at_ms, at_ms),
        late_ms: quantile(0.9)?.max(at_ms),
        medium_c: medium,
        tau_s,
        may_never: share_never > 0.2,
        pull_at_c: if heating {
            carry::pull_at(&weighed, target)
        } else {
            None
        },
    })
}

/// When the readings themselves crossed the target, on a straight line between two of them.
fn crossing(readings: &[Reading], target: f64, heating: bool) -> Option<i64> {
    let there = |r: &Reading| {
        if heating {
            r.celsius >= target
        } else {
            r.celsius <= target
        }
    };
    let i = readings.iter().position(there)?;
    let now = readings.get(i)?;
    let Some(before) = i.checked_sub(1).and_then(|i| readings.get(i)) else {
        return Some(now.at_ms);
    };
    let share = (target - before.celsius) / (now.celsius - before.celsius);
    Some(before.at_ms + ((now.at_ms - before.at_ms) as f64 * share) as i64)
}

fn arrived(at_ms: i64, celsius: f64) -> Prediction {
    Prediction {
        at_ms,
        early_ms: at_ms,
        late_ms: at_ms,
        medium_c: celsius,
        tau_s: 0.0,
        may_never: false,
        pull_at_c: None,
    }
}

/// Seconds from the beginning, with weights; a candidate stands for three, by the uncertainty of its rate. No
/// forecast is surer than a twelfth of the time that is left: a roast is neither round nor uniform.
fn finish_times(weighed: &[Weighed], target: f64, last: f64) -> Vec<(f64, f64)> {
    const SPREAD: [(f64, f64); 3] = [(-1.22, 0.3), (0.0, 0.4), (1.22, 0.3)];
    const LEAST_ERROR: f64 = 1.0 / 12.0;
    let mut times = Vec::with_capacity(3 * weighed.len());
    for Weighed { candidate, weight } in weighed {
        let Some(seconds) = candidate.seconds_to(target) else {
            continue;
        };
        for (sigmas, share) in SPREAD {
            let left = (seconds - last).max(0.0);
            let error = sigmas * candidate.rate_error.max(LEAST_ERROR);
            times.push((last + left * error.exp(), weight * share));
        }
    }
    times
}

fn values(weighed: &[Weighed], of: impl Fn(&Candidate) -> f64) -> Vec<(f64, f64)> {
    weighed
        .iter()
        .map(|w| (of(&w.candidate), w.weight))
        .collect()
}

/// The value below which `share` of the weight lies, between neighbours on a straight line.
fn weighted_quantile(values: &[(f64, f64)], share: f64) -> Option<f64> {
    let mut sorted: Vec<(f64, f64)> = values
        .iter()
        .copied()
        .filter(|v| v.0.is_finite() && v.1 > 0.0)
        .collect();
    sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
    let total: f64 = sorted.iter().map(|v| v.1).sum();
    let mut below = 0.0;
    let mut last: Option<(f64, f64)> = None;
    for &(value, weight) in &sorted {
        let middle = (below + 0.5 * weight) / total;
        if middle >= share {
            return Some(match last {
                Some((value0, middle0)) if middle > middle0 => {
                    value0 + (share - middle0) / (middle - middle0) * (value - value0)
                }
                _ => value,
            });
        }
        below += weight;
        last = Some((value, middle));
    }
    last.map(|(value, _)| value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantiles_of_weights() {
        let values = [(1.0, 1.0), (2.0, 2.0), (3.0, 1.0)];
        assert_eq!(weighted_quantile(&values, 0.5), Some(2.0));
        assert_eq!(weighted_quantile(&values, 0.0), Some(1.0));
        assert_eq!(weighted_quantile(&values, 1.0), Some(3.0));
        assert_eq!(weighted_quantile(&[], 0.5), None);
    }

    #[test]
    fn what_is_there_is_there() {
        let at = |at_ms, celsius| Reading { at_ms, celsius };
        let readings = [at(0, 50.0), at(60_000, 60.0), at(120_000, 64.0)];
        let prediction = predict(&readings, 62.0, &Setup::default()).unwrap();
        assert_eq!(prediction.at_ms, 90_000);
        assert!(predict(&readings[..1], 62.0, &Setup::default()).is_none());
        assert!(predict(&[at(0, 50.0), at(0, 51.0)], 62.0, &Setup::default()).is_none());
        assert!(predict(&[at(0, f64::NAN), at(5, 51.0)], 62.0, &Setup::default()).is_none());
    }
}
