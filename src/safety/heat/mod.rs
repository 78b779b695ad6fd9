//! How heat gets into food and out of it: lumped bodies, series solutions, conduction in one dimension,
//! thermal properties, the boiling point, lethality.
//!
//! All of it is plain conduction with constant properties: it predicts well what a probe already shows
//! the shape of, and badly what a recipe promises. Units are SI, temperatures degrees Celsius.

pub mod boiling;
pub mod conduction;
pub mod lethality;
pub mod lumped;
pub mod properties;
pub mod series;

/// The body whose centre is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Shape {
    /// Heated on both faces; its size is half the thickness. A layer on an insulated floor: all of it.
    Slab,
    /// A long roast; its size is the radius.
    Cylinder,
    /// A bird, a ball, an egg; its size is the radius.
    Sphere,
}

/// A body with constant properties in a medium of constant temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Body {
    /// Its shape.
    pub shape: Shape,
    /// Half thickness or radius, m.
    pub size: f64,
    /// Thermal conductivity, W/m K.
    pub conductivity: f64,
    /// Thermal diffusivity, m2/s.
    pub diffusivity: f64,
}

impl Body {
    /// The Biot number in a medium with heat transfer coefficient `h`, W/m2 K. Its length is the radius or
    /// half thickness, not volume over surface.
    #[must_use]
    pub fn biot(&self, h: f64) -> f64 {
        h * self.size / self.conductivity
    }

    /// The Fourier number after `seconds`.
    #[must_use]
    pub fn fourier(&self, seconds: f64) -> f64 {
        self.diffusivity * seconds / (self.size * self.size)
    }

    /// Seconds to a Fourier number.
    #[must_use]
    pub fn seconds(&self, fourier: f64) -> f64 {
        fourier * self.size * self.size / self.diffusivity
    }

    /// Seconds until the centre, uniformly at `from` at first, is at `to` in a medium at `medium`; `None`
    /// if it never gets there. Full series.
    #[must_use]
    pub fn seconds_to(&self, h: f64, from: f64, to: f64, medium: f64) -> Option<f64> {
        let theta = (medium - to) / (medium - from);
        let solution = series::Solution::new(self.shape, self.biot(h))?;
        Some(self.seconds(solution.fourier_at(theta)?))
    }
}

#[cfg(test)]
#[path = "tests.rs"]
mod tests;
