//! Quantities of a kitchen: amounts, durations and temperatures, parsed, converted, scaled and printed.
//!
//! Everything is exact: values are rationals from the text the cook wrote to the text the cook reads.

pub mod dial;
pub mod duration;
pub mod food;
mod grammar;
pub mod hours;
pub mod noun;
mod number;
pub mod pan;
pub mod print;
pub mod quantity;
pub mod temperature;
pub mod unit;
pub mod units;

/// An exact rational number. Bounded inputs keep every product of the program far inside `i128`.
pub type Ratio = num_rational::Ratio<i128>;

/// The nearest floating-point number: for physics and for the screen, where exactness ends.
pub fn to_f64(ratio: Ratio) -> f64 {
    *ratio.numer() as f64 / *ratio.denom() as f64
}
