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
    cells: Vec<f64>,
}

impl Profile {
    /// The same temperature throughout.
    #[must_use]
    pub fn uniform(celsius: f64) -> Self {
        Self {
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

    /// Lets one step pass in a medium of that temperature, C.
    pub fn pass(&mut self, step: &Step, medium: f64) {
        // Down to the surface, then back: the second half of Thomas' algorithm.
        let mut from_inner = 0.0;
        for (cell, row) in self.cells.iter_mut().zip(&step.rows) {
            from_inner = row.kept * *cell + row.inward * from_inner + row.fed * medium;
            *cell = from_inner;
        }
        let mut next = 0.0;
        for (cell, row) in self.cells.iter_mut().zip(&step.rows).rev() {
            next = *cell + row.outward * next;
            *cell = next;
        }
    }
}

/// A step in time of always the same length and Biot number (implicit Euler, unconditionally stable), made ready once.
#[derive(Clone, Debug)]
pub struct Step {
    rows: Vec<Row>,
}

/// A row of the tridiagonal system after elimination: what a cell has of itself, of its neighbours and of the medium.
#[derive(Clone, Copy, Debug)]
struct Row {
    kept: f64,
    inward: f64,
    outward: f64,
    fed: f64,
}

impl Step {
    /// A step of `fourier`.
    #[must_use]
    pub fn new(shape: Shape, fourier: f64, biot: f64) -> Self {
        let dr = 1.0 / CELLS as f64;
        let power = match shape {
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
        let surface = face(CELLS) / (1.0 / biot + 0.5 * dr);
        let mut last_outward = 0.0;
        let rows = (0..CELLS).map(|i| {
            let store = volume(i) / fourier;
            let inward = face(i) / dr;
            let (outward, fed) = if i + 1 == CELLS {
                (0.0, surface)
            } else {
                (face(i + 1) / dr, 0.0)
            };
            let pivot = store + inward + outward + fed - inward * last_outward;
            last_outward = outward / pivot;
            Row {
                kept: store / pivot,
                inward: inward / pivot,
                outward: last_outward,
                fed: fed / pivot,
            }
        });
        Self {
            rows: rows.collect(),
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

/// Food that was of one temperature throughout, in a medium that is hotter.
#[derive(Clone, Debug)]
pub struct Heating {
    shape: Shape,
    step: Step,
    /// Fourier number of a step.
    length: f64,
    medium: f64,
    profile: Profile,
}

impl Heating {
    /// Temperatures in C; `length` is the Fourier number of a step: 0.0005 is fine enough for any use.
    #[must_use]
    pub fn new(shape: Shape, start: f64, (biot, medium): (f64, f64), length: f64) -> Self {
        Self {
            shape,
            step: Step::new(shape, length, biot),
            length,
            medium,
            profile: Profile::uniform(start),
        }
    }

    /// Goes on until the centre is at `pull`; `false` if it doesn't get there.
    pub fn to(&mut self, pull: f64) -> bool {
        for _ in 0..LONGEST {
            if self.profile.centre() >= pull {
                return true;
            }
            self.profile.pass(&self.step, self.medium);
        }
        false
    }

    /// What happens when it is taken out now and rests in a room of that Biot number and temperature.
    #[must_use]
    pub fn rested(&self, (biot, room): (f64, f64)) -> Carryover {
        let step = Step::new(self.shape, self.length, biot);
        let mut profile = self.profile.clone();
        let pulled = profile.centre();
        let (mut peak, mut peak_at) = (pulled, 0);
        for passed in 1..LONGEST {
            profile.pass(&step, room);
            let now = profile.centre();
            if now < peak {
                break;
            }
            (peak, peak_at) = (now, passed);
        }
        Carryover {
            rise: peak - pulled,
            after: f64::from(peak_at) * self.length,
        }
    }
}

/// Steps after which nothing more is expected.
const LONGEST: u32 = 40_000;

/// Heats a body in SI units until its centre is at `pull`, then rests it; heat transfer coefficients (W/m2 K) and media
/// of both stages, `after` in seconds. `None` if the centre never gets to `pull`.
#[must_use]
pub fn carryover(
    body: &Body,
    start: f64,
    (h, medium): (f64, f64),
    pull: f64,
    (rest_h, room): (f64, f64),
) -> Option<Carryover> {
    let mut heating = Heating::new(body.shape, start, (body.biot(h), medium), 0.0005);
    if !heating.to(pull) {
        return None;
    }
    let scaled = heating.rested((body.biot(rest_h), room));
    Some(Carryover {
        after: body.seconds(scaled.after),
        ..scaled
    })
}
