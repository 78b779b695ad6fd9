//! When to take it out for the carryover.

use super::candidates::Weighed;
use crate::safety::heat::conduction::Heating;

/// Evaporation holds the surface of a roast near the boiling point: a medium hotter than this is not the surface's.
const HOTTEST_SURFACE: f64 = 100.0;
/// How many times too much carryover dry conduction from a hotter medium gives.
const TOO_MUCH: f64 = 4.0;
/// Trade practice gives up to 14 K for very large roasts (professional-cookery texts and charts, read in copies).
const MOST_RISE: f64 = 14.0;
/// Heat transfer at rest, in still air, against that in the heat: 8 to 20 W/m2 K.
const REST_SHARE: f64 = 0.4;
const ROOM: f64 = 22.0;
/// Steps from cold to the target, and the Fourier number of the shortest: finer ones change no tenth of a degree.
const STEPS: f64 = 500.0;
const FINEST: f64 = 0.0005;
/// Temperatures between the least and the most at which it may be pulled.
const PULLS: u32 = 28;
/// Candidates that are worth a simulation.
const MOST_CANDIDATES: usize = 6;

/// The core temperature at which to take it out, counting on the lower quartile of the rises of the likeliest candidates.
pub(super) fn pull_at(weighed: &[Weighed], target: f64) -> Option<f64> {
    let mut likely: Vec<&Weighed> = weighed
        .iter()
        .filter(|w| w.candidate.medium > target)
        .collect();
    likely.sort_by(|a, b| b.weight.total_cmp(&a.weight));
    likely.truncate(MOST_CANDIDATES);
    let mut rises: Vec<f64> = likely.iter().filter_map(|w| rise_to(w, target)).collect();
    rises.sort_by(f64::total_cmp);
    let careful = rises.get(rises.len() / 4)?.clamp(0.0, MOST_RISE);
    Some(target - careful)
}

/// The rise of a candidate that is pulled so that it peaks at the target: a fixed point, found by a few steps.
fn rise_to(weighed: &Weighed, target: f64) -> Option<f64> {
    let c = &weighed.candidate;
    let steps = (c.seconds_to(target)? * c.rate / STEPS).max(FINEST);
    let mut heating = Heating::new(c.shape, c.start, (c.biot, c.medium), steps);
    // The same food at every temperature that it may be pulled at, heated once.
    let pulls = (0..=PULLS).map(|n| target - MOST_RISE * f64::from(n) / f64::from(PULLS));
    let pulls: Vec<f64> = pulls.map(|pull| pull.max(c.start + 1.0)).collect();
    let mut stages = Vec::with_capacity(pulls.len());
    for &pull in pulls.iter().rev() {
        if !heating.to(pull) {
            return None;
        }
        stages.push((pull, heating.clone()));
    }
    let mut rise = 0.0f64;
    for _ in 0..3 {
        let pull = (target - rise.min(MOST_RISE)).max(c.start + 1.0);
        let (_, stage) = stages.iter().find(|(at, _)| *at >= pull)?;
        rise = stage.rested((c.biot * REST_SHARE, ROOM)).rise;
    }
    Some(if c.medium > HOTTEST_SURFACE {
        rise / TOO_MUCH
    } else {
        rise
    })
}
