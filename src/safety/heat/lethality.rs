//! Lethality: how much a time at a temperature does, against a reference temperature.
//!
//! t(T) = t_ref 10^((T_ref - T)/z); F = integral of 10^((T - T_ref)/z) dt. A colder reading never adds more than
//! its own rate, and under a floor nothing is added at all: at 54.4 C one study did not find what a
//! printed table promised.

/// Below this nothing is counted, C.
pub const FLOOR: f64 = 52.0;

/// A reference temperature and the Kelvins that make a factor of ten.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reference {
    /// C.
    pub temperature: f64,
    /// K for a factor of ten.
    pub z: f64,
}

impl Reference {
    /// Minutes at the reference temperature that one minute at `celsius` is worth.
    #[must_use]
    pub fn rate(&self, celsius: f64) -> f64 {
        if celsius < FLOOR {
            0.0
        } else {
            10f64.powf((celsius - self.temperature) / self.z)
        }
    }

    /// Time at `celsius` worth `time` at the reference temperature.
    #[must_use]
    pub fn time_at(&self, celsius: f64, time: f64) -> f64 {
        time * 10f64.powf((self.temperature - celsius) / self.z)
    }

    /// Accumulated lethality of readings (time, C), straight lines between them; in the unit of the
    /// times. Exact for the straight lines: the rate is an exponential.
    #[must_use]
    pub fn of(&self, readings: &[(f64, f64)]) -> f64 {
        readings
            .windows(2)
            .map(|pair| match pair {
                [a, b] => self.between(*a, *b),
                _ => 0.0,
            })
            .sum()
    }

    fn between(&self, (mut t0, mut c0): (f64, f64), (mut t1, mut c1): (f64, f64)) -> f64 {
        if t1 <= t0 || c0.max(c1) < FLOOR {
            return 0.0;
        }
        // Cut off what lies below the floor.
        let floor_at = t0 + (FLOOR - c0) / (c1 - c0) * (t1 - t0);
        if c0 < FLOOR {
            (t0, c0) = (floor_at, FLOOR);
        } else if c1 < FLOOR {
            (t1, c1) = (floor_at, FLOOR);
        }
        let (r0, r1) = (self.rate(c0), self.rate(c1));
        let log = (c1 - c0) / self.z * std::f64::consts::LN_10;
        if log.abs() < 1e-9 {
            (t1 - t0) * r0
        } else {
            (t1 - t0) * (r1 - r0) / log
        }
    }
}

/// Seconds at `celsius` from a printed table of (C, seconds), rising in C: interpolated in the logarithm of the time,
/// rounded up to the whole second. `None` below the table; 0 where the table says so.
#[must_use]
pub fn interpolated(table: &[(f64, f64)], celsius: f64) -> Option<f64> {
    let above = table.iter().position(|&(c, _)| c >= celsius);
    let (c1, s1) = match above {
        None => return table.last().map(|&(_, seconds)| seconds),
        Some(i) => *table.get(i)?,
    };
    if c1 <= celsius {
        return Some(s1);
    }
    let (c0, s0) = *table.get(above?.checked_sub(1)?)?;
    if s1 <= 0.0 {
        // "No time needed" has no logarithm: the colder row's time stands.
        return Some(s0);
    }
    let share = (celsius - c0) / (c1 - c0);
    Some((s0.ln() + share * (s1.ln() - s0.ln())).exp().ceil())
}
