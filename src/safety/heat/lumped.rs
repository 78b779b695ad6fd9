//! A body of one temperature throughout: Newton's law of cooling. Valid for Biot numbers (with volume over
//! surface as the length) up to 0.1: thin soup that is stirred, a thermometer's tip; not a roast.

/// The largest Biot number, with volume over surface as its length, for which a body may be lumped.
/// Cengel, Heat Transfer, transient conduction.
pub const LARGEST_BIOT: f64 = 0.1;

/// Newton's law with one rate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lumped {
    /// Per second.
    pub rate: f64,
}

impl Lumped {
    /// From h (W/m2 K), density (kg/m3), specific heat (J/kg K) and volume over surface (m).
    #[must_use]
    pub fn new(h: f64, density: f64, specific_heat: f64, volume_over_surface: f64) -> Self {
        Self {
            rate: h / (density * specific_heat * volume_over_surface),
        }
    }

    /// From two readings in a medium: `None` if the second isn't nearer to the medium, or time stood still.
    #[must_use]
    pub fn from_readings(first: f64, second: f64, seconds: f64, medium: f64) -> Option<Self> {
        let share = (second - medium) / (first - medium);
        (share > 0.0 && share < 1.0 && seconds > 0.0).then(|| Self {
            rate: -share.ln() / seconds,
        })
    }

    /// Temperature after `seconds`.
    #[must_use]
    pub fn after(&self, seconds: f64, start: f64, medium: f64) -> f64 {
        medium + (start - medium) * (-self.rate * seconds).exp()
    }

    /// Seconds from `start` to `end`; `None` if it never gets there.
    #[must_use]
    pub fn seconds_to(&self, start: f64, end: f64, medium: f64) -> Option<f64> {
        let share = (end - medium) / (start - medium);
        (share > 0.0 && share <= 1.0).then(|| -share.ln() / self.rate)
    }
}
