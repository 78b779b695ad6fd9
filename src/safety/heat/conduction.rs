//! Conduction in one dimension by finite volumes: for what a series can't say, as the rest of a roast that
//! was taken out with a hot rim and a cold heart.
//!
//! Lengths are in radii (or half thicknesses) and times in Fourier numbers.

use super::{Body, Shape};

/// Cells from the centre to the surface.
const CELLS: usize = 80;

/// Temperatures from the centre outwards.
#[derive(Clone, Debug)]
pub struct Profile {
    shape: Shape,
    cells: Vec<f64>,
}

impl Profile {
    /// The same temperature throughout.
    #[must_use]
    pub fn uniform(shape: Shape, celsius: f64) -> Self {
        Self {
            shape,
            cells: vec![celsius; CELLS],
        }
    }

    /// The centre's temperature.
    #[must_use]
    pub fn centre(&self) -> f64 {
        match self.cells.as_slice() {
            // The profile is flat at the centre: a parabola through the two innermost cells.
            [first, second, ..] => first - (second - first) / 8.0,
            _ => f64::NAN,
        }
    }

    /// Lets `fourier` pass in a medium (implicit Euler, unconditionally stable).
    pub fn pass(&mut self, fourier: f64, biot: f64, medium: f64) {
        let n = self.cells.len();
        let dr = 1.0 / n as f64;
        let power = match self.shape {
            Shape::Slab => 0,
            Shape::Cylinder => 1,
            Shape::Sphere => 2,
        };
        // No heat passes the centre, whose face a slab has all the same.
        let face = |i: usize| {
            if i == 0 {
                0.0
            } else {
                (i as f64 * dr).powi(power)
            }
        };
        let volume = |i: usize| {
            let (inner, outer) = (i as f64 * dr, (i + 1) as f64 * dr);
            (outer.powi(power + 1) - inner.powi(power + 1)) / f64::from(power + 1)
        };
        let surface = face(n) / (1.0 / biot + 0.5 * dr);
        // Thomas' algorithm for the tridiagonal system, rows from the centre outwards.
        let mut upper = Vec::with_capacity(n);
        let mut right = Vec::with_capacity(n);
        let (mut last_upper, mut last_right) = (0.0, 0.0);
        for (i, &cell) in self.cells.iter().enumerate() {
            let store = volume(i) / fourier;
            let inward = face(i) / dr;
            let (outward, fed) = if i + 1 == n {
                (0.0, surface)
            } else {
                (face(i + 1) / dr, 0.0)
            };
            let pivot = store + inward + outward + fed - inward * last_upper;
            last_upper = outward / pivot;
            last_right = (store * cell + fed * medium + inward * last_right) / pivot;
            upper.push(last_upper);
            right.push(last_right);
        }
        let mut next = 0.0;
        for ((cell, upper), right) in self.cells.iter_mut().zip(&upper).zip(&right).rev() {
            next = right + upper * next;
            *cell = next;
        }
    }
}

/// How far and how long the centre rises after the food left the heat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Carryover {
    /// Kelvin above the temperature at which it was taken out.
    pub rise: f64,
    /// Fourier number (or seconds, see [`carryover`]) from there to the peak.
    pub after: f64,
}

/// Heats a uniform profile until its centre is at `pull`, then rests it. Biot numbers and media of both stages; times in
/// Fourier numbers. `None` if the centre never gets to `pull`.
#[must_use]
pub fn carryover_scaled(
    shape: Shape,
    start: f64,
    (biot, medium): (f64, f64),
    pull: f64,
    (rest_biot, room): (f64, f64),
) -> Option<Carryover> {
    const STEP: f64 = 0.0005;
    const LONGEST: usize = 40_000;
    let mut profile = Profile::uniform(shape, start);
    let mut steps = 0;
    while profile.centre() < pull {
        profile.pass(STEP, biot, medium);
        steps += 1;
        if steps > LONGEST {
            return None;
        }
    }
    let pulled = profile.centre();
    let (mut peak, mut peak_at, mut steps) = (pulled, 0, 0);
    while steps < LONGEST {
        profile.pass(STEP, rest_biot, room);
        steps += 1;
        let now = profile.centre();
        if now < peak {
            break;
        }
        (peak, peak_at) = (now, steps);
    }
    Some(Carryover {
        rise: peak - pulled,
        after: f64::from(peak_at as u32) * STEP,
    })
}

/// The same for a body in SI units; `after` in seconds.
#[must_use]
pub fn carryover(
    body: &Body,
    start: f64,
    (h, medium): (f64, f64),
    pull: f64,
    (rest_h, room): (f64, f64),
) -> Option<Carryover> {
    let scaled = carryover_scaled(
        body.shape,
        start,
        (body.biot(h), medium),
        pull,
        (body.biot(rest_h), room),
    )?;
    Some(Carryover {
        after: body.seconds(scaled.after),
        ..scaled
    })
}
