//! Temperatures: Celsius, Fahrenheit, gas marks and fan settings, exact, with the author's own words kept.

use serde::{Deserialize, Serialize};

use super::Ratio;

/// An oven temperature that a recipe asks for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct OvenTemperature {
    /// As the author wrote it: "220 C", "gas 7", "180 to 200 C", "off". Shown to the cook.
    pub text: String,
    /// What it means.
    pub accepts: Accepts,
}

/// The temperatures that an oven segment accepts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Accepts {
    /// Conventional-oven degrees Celsius from `lo` to `hi`, both accepted, `within` applied.
    Span {
        /// The lowest accepted temperature, in C.
        lo: Ratio,
        /// The highest accepted temperature, in C.
        hi: Ratio,
    },
    /// The oven is off: room temperature, and together only with "off".
    Off,
}
