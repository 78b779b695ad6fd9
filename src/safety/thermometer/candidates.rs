//! Candidates for what the readings come from, weighed by how well they explain them.

use std::rc::Rc;

use super::{Medium, Reading, Setup};
use crate::safety::heat::{Shape, series::Solution};

/// One explanation of the readings.
#[derive(Clone, Debug)]
pub(super) struct Candidate {
    /// Its shape.
    pub shape: Shape,
    /// Its Biot number.
    pub biot: f64,
    /// The effective medium, C.
    pub medium: f64,
    /// The core's temperature when it went in, C.
    pub start: f64,
    /// Fourier numbers per second.
    pub rate: f64,
    /// Standard error of the logarithm of the rate.
    pub rate_error: f64,
    solution: Rc<Solution>,
}

impl Candidate {
    /// Seconds from the beginning to `target`; `None` if it never gets there.
    pub fn seconds_to(&self, target: f64) -> Option<f64> {
        let theta = (self.medium - target) / (self.medium - self.start);
        Some(self.solution.fourier_at(theta)? / self.rate)
    }

    /// The time constant of the slowest term, seconds.
    pub fn tau(&self) -> f64 {
        let (lambda, _) = self.solution.first();
        1.0 / (lambda * lambda * self.rate)
    }
}

/// A candidate and its share of the belief (not normalised).
#[derive(Clone, Debug)]
pub(super) struct Weighed {
    pub candidate: Candidate,
    pub weight: f64,
}

/// An average of neighbouring readings.
#[derive(Clone, Copy, Debug)]
pub(super) struct Point {
    seconds: f64,
    celsius: f64,
}

/// Readings averaged in at most `most` bins of equal number. A bin counts once: neighbours share the errors of the model.
pub(super) fn points(readings: &[Reading], begun_ms: i64, most: usize) -> Vec<Point> {
    let per_bin = readings.len().div_ceil(most.max(1)).max(1);
    let bins = readings.chunks(per_bin).map(|bin| {
        let n = bin.len() as f64;
        Point {
            seconds: bin
                .iter()
                .map(|r| (r.at_ms - begun_ms) as f64 / 1000.0)
                .sum::<f64>()
                / n,
            celsius: bin.iter().map(|r| r.celsius).sum::<f64>() / n,
        }
    });
    bins.collect()
}

/// Biot numbers: logarithmic from 0.1 to 50.
const BIOTS: i32 = 12;
/// Distances of the medium beyond the last reading: logarithmic from 0.5 to 240 K.
const DISTANCES: i32 = 26;
/// Candidates between those, around the best.
const FINER: i32 = 3;

fn biot(place: f64) -> f64 {
    0.1 * 500f64.powf(place / f64::from(BIOTS - 1))
}

fn distance(place: f64) -> f64 {
    0.5 * 480f64.powf(place / f64::from(DISTANCES - 1))
}

fn place_of(distance: f64) -> f64 {
    (distance / 0.5).ln() / 480f64.ln() * f64::from(DISTANCES - 1)
}

/// Every candidate, with its weight: a coarse grid over Biot number and medium, and a finer one around the best.
pub(super) fn weigh(points: &[Point], heating: bool, setup: &Setup) -> Vec<Weighed> {
    let grid = Grid::new(points, heating, setup);
    let coarse = |n: i32, offset: f64, step: i32| {
        (0..n).map(move |i| offset + f64::from(i) / f64::from(step))
    };
    let mut fits = grid.fits(
        coarse(BIOTS, 0.0, 1),
        &coarse(DISTANCES, 0.0, 1).collect::<Vec<_>>(),
    );
    let best = fits
        .iter()
        .min_by(|a, b| a.error.total_cmp(&b.error))
        .map(|fit| fit.place);
    if let Some((b, d)) = best {
        let around = |n| coarse(2 * n * FINER + 1, -f64::from(n), FINER);
        let media: Vec<f64> = around(2).map(|o| d + o).collect();
        // The finer candidates stand closer: each counts for less.
        let share = 1.0 / f64::from(FINER * FINER);
        let finer = grid.fits(around(1).map(|o| b + o), &media);
        fits.extend(finer.into_iter().map(|fit| Fit { share, ..fit }));
    }
    into_weights(fits, points)
}

/// What all candidates share.
struct Grid<'a> {
    points: &'a [Point],
    setup: &'a Setup,
    /// 1 heating, -1 cooling.
    sign: f64,
    /// The reading nearest to the medium.
    extreme: f64,
    noise: f64,
}

struct Fit {
    candidate: Candidate,
    error: f64,
    place: (f64, f64),
    share: f64,
}

impl<'a> Grid<'a> {
    fn new(points: &'a [Point], heating: bool, setup: &'a Setup) -> Self {
        let sign = if heating { 1.0 } else { -1.0 };
        let extreme = points
            .iter()
            .map(|p| sign * p.celsius)
            .fold(f64::NEG_INFINITY, f64::max)
            * sign;
        Self {
            points,
            setup,
            sign,
            extreme,
            noise: least_noise(points),
        }
    }

    fn medium(&self, place: f64) -> Option<f64> {
        let medium = self.extreme + self.sign * distance(place);
        let possible = match self.setup.medium {
            Medium::Unknown => medium > COLDEST,
            Medium::AtMost(limit) => medium > COLDEST && self.sign * (medium - limit) <= 5.0,
            Medium::Exactly(_) => false,
        };
        possible.then_some(medium)
    }

    fn fits(&self, biots: impl Iterator<Item = f64>, media: &[f64]) -> Vec<Fit> {
        let shape = self.setup.shape.unwrap_or(Shape::Sphere);
        let mut fits = Vec::new();
        for b in biots {
            let Some(solution) = Solution::new(shape, biot(b)).map(Rc::new) else {
                continue;
            };
            let mut add = |medium: f64, place: f64| {
                let fitted = fit(
                    self.points,
                    self.setup,
                    (shape, biot(b), medium),
                    &solution,
                    self.noise,
                );
                fits.extend(fitted.map(|(candidate, error)| Fit {
                    candidate,
                    error,
                    place: (b, place),
                    share: 1.0,
                }));
            };
            match self.setup.medium {
                Medium::Exactly(medium) => add(medium, 0.0),
                Medium::AtMost(limit) if self.sign * (limit - self.extreme) > 0.5 => {
                    add(limit, place_of(self.sign * (limit - self.extreme)));
                    media.iter().for_each(|&place| {
                        self.medium(place).into_iter().for_each(|m| add(m, place))
                    });
                }
                _ => media
                    .iter()
                    .for_each(|&place| self.medium(place).into_iter().for_each(|m| add(m, place))),
            }
        }
        fits
    }
}

/// The coldest medium, a freezer, C.
const COLDEST: f64 = -25.0;

/// What the readings can't tell of their own noise, C: few readings are explained too well by too many candidates.
fn least_noise(points: &[Point]) -> f64 {
    const FEW: f64 = 0.45;
    (FEW / points.len() as f64).clamp(0.02, 0.15)
}

fn into_weights(fits: Vec<Fit>, points: &[Point]) -> Vec<Weighed> {
    let best = fits
        .iter()
        .map(|fit| fit.error)
        .fold(f64::INFINITY, f64::min);
    let freedom = (points.len() as f64 - 3.0).max(1.0);
    let variance = (best / freedom).max(least_noise(points).powi(2));
    let weighed = fits.into_iter().map(|fit| Weighed {
        weight: fit.share * (-(fit.error - best) / (2.0 * variance)).exp(),
        candidate: fit.candidate,
    });
    weighed.filter(|w| w.weight > 1e-6).collect()
}

/// The best rate for a medium and a Biot number, and its squared error.
fn fit(
    points: &[Point],
    setup: &Setup,
    (shape, biot, medium): (Shape, f64, f64),
    solution: &Rc<Solution>,
    noise: f64,
) -> Option<(Candidate, f64)> {
    let latest = points.last()?.seconds;
    if latest <= 0.0 {
        return None;
    }
    let error =
        |log_rate: f64| squared_error(points, setup, medium, solution, log_rate.exp(), noise);
    // Fourier numbers of the latest reading from 0.01 to 12.
    let (lo, hi) = ((0.01 / latest).ln(), (12.0 / latest).ln());
    let steps = 22;
    let width = (hi - lo) / f64::from(steps);
    let coarse = (0..=steps).map(|i| lo + width * f64::from(i));
    let start = coarse.min_by(|a, b| error(*a).0.total_cmp(&error(*b).0))?;
    let log_rate = golden(start - width, start + width, |x| error(x).0);
    let (sum, start_c) = error(log_rate);
    // Curvature of the squared error gives the uncertainty of the rate.
    let h = 0.02;
    let curvature = (error(log_rate + h).0 - 2.0 * sum + error(log_rate - h).0) / (h * h);
    let rate_error = if curvature > 1e-9 {
        (2.0 * noise * noise / curvature).sqrt().min(0.5)
    } else {
        0.5
    };
    let candidate = Candidate {
        shape,
        biot,
        medium,
        start: start_c,
        rate: log_rate.exp(),
        rate_error,
        solution: Rc::clone(solution),
    };
    Some((candidate, sum))
}

/// Squared error of the readings with the best start temperature, and that temperature. What is known of the start counts as a
/// reading.
fn squared_error(
    points: &[Point],
    setup: &Setup,
    medium: f64,
    solution: &Solution,
    rate: f64,
    noise: f64,
) -> (f64, f64) {
    // Unknown: from the refrigerator or the table, or half done.
    let unknown = if setup.begun_ms.is_some() {
        (10.0, 10.0)
    } else {
        (20.0, 100.0)
    };
    let (start, spread) = setup.start_c.map_or(unknown, |start| (start, 1.0));
    let prior = noise * noise / (spread * spread);
    let (mut yy, mut yt, mut tt) = (0.0, 0.0, 0.0);
    for point in points {
        let theta = solution.theta(rate * point.seconds);
        let below = medium - point.celsius;
        yy += below * below;
        yt += below * theta;
        tt += theta * theta;
    }
    let known = medium - start;
    yy += prior * known * known;
    yt += prior * known;
    tt += prior;
    let drop = yt / tt;
    ((yy - drop * yt).max(0.0), medium - drop)
}

/// Minimum of a function with one minimum between `lo` and `hi`, by the golden section.
fn golden(mut lo: f64, mut hi: f64, f: impl Fn(f64) -> f64) -> f64 {
    const SHARE: f64 = 0.618_033_988_749_895;
    let (mut a, mut b) = (hi - SHARE * (hi - lo), lo + SHARE * (hi - lo));
    let (mut fa, mut fb) = (f(a), f(b));
    for _ in 0..16 {
        if fa < fb {
            (hi, b, fb) = (b, a, fa);
            a = hi - SHARE * (hi - lo);
            fa = f(a);
        } else {
            (lo, a, fa) = (a, b, fb);
            b = lo + SHARE * (hi - lo);
            fb = f(b);
        }
    }
    0.5 * (lo + hi)
}

/// The share of the belief in media that don't get the core there.
pub(super) fn share_never(weighed: &[Weighed], target: f64, heating: bool) -> f64 {
    let total: f64 = weighed.iter().map(|w| w.weight).sum();
    let short = |w: &&Weighed| {
        if heating {
            w.candidate.medium <= target
        } else {
            w.candidate.medium >= target
        }
    };
    let never: f64 = weighed.iter().filter(short).map(|w| w.weight).sum();
    if total > 0.0 { never / total } else { 1.0 }
}
