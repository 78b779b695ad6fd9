//! Amounts as a cook writes them: "2 kg", "1 1/2 tsp", "2-3 cloves", "2 x 400 g tins", "to taste".
//!
//! How the doubtful ones are read:
//! - "1,5 l" is one and a half. Three digits after a comma are thousands before grams, millilitres and pieces
//!   ("1,500 g"), decimals before larger units ("1,500 kg"), for nobody writes a recipe for 1500 kg. A point is
//!   always a decimal point.
//! - Spoons, cups, pints and fluid ounces are US customary unless the author names another ("imperial pint",
//!   "metric cup"); "oz" is a mass, "fl oz" a volume.
//! - A word that is no unit is a noun that is counted: "2 cloves", "1 bunch".

use num_traits::CheckedMul;
use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::Ratio;
pub use super::grammar::parse;
pub(crate) use super::grammar::read;
use super::unit::{Dimension, Unit};
use super::{number, print};

/// How much of an ingredient.
#[allow(clippy::large_enum_variant)] // nearly all are measured
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Amount {
    /// A number of something.
    Measured(Quantity),
    /// Words without a number: "to taste", "some". They do not scale.
    Loose(String),
}

/// A number, or a range of numbers, of a unit or of pieces.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Quantity {
    /// "about", "up to": said before the number.
    pub prefix: Option<String>,
    /// The least.
    pub lo: Ratio,
    /// The most; equal to `lo` if it is no range.
    pub hi: Ratio,
    /// "heaped", "scant": said between number and unit. Not a measure that converts to grams.
    pub manner: Option<String>,
    /// Of what.
    pub measure: Measure,
    /// What follows: "drained", "(14 oz)".
    pub remark: Option<String>,
}

/// What is counted or measured out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Measure {
    /// A standard unit.
    Unit(Unit),
    /// Pieces.
    Pieces(Pieces),
}

/// Pieces: bare ("3"), with a noun ("cloves"), or packed ("400 g tins").
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Pieces {
    /// The noun for one and for several.
    pub noun: Option<(String, String)>,
    /// How much is in each.
    pub each: Option<(Ratio, Unit)>,
}

/// Why a text is not an amount.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("{why}")]
pub struct NotAnAmount {
    pub(super) why: &'static str,
}

/// `value` of the unit `from` in the unit `to`, exactly; `None` if they do not measure the same, or the numbers
/// are beyond any kitchen.
pub fn convert(value: Ratio, from: Unit, to: Unit) -> Option<Ratio> {
    if from == to {
        return Some(value);
    }
    (from.dimension() == to.dimension()).then_some(())?;
    value.checked_mul(&(from.size() / to.size()))
}

impl Amount {
    /// The amount for `factor` times as many servings, exactly; `None` if the numbers are beyond any kitchen.
    pub fn times(&self, factor: Ratio) -> Option<Amount> {
        match self {
            Amount::Measured(quantity) => quantity.times(factor).map(Amount::Measured),
            Amount::Loose(_) => Some(self.clone()),
        }
    }

    /// The quantity, if there is a number.
    pub fn quantity(&self) -> Option<&Quantity> {
        match self {
            Amount::Measured(quantity) => Some(quantity),
            Amount::Loose(_) => None,
        }
    }
}

impl Quantity {
    /// The quantity for `factor` times as many servings, exactly; `None` if the numbers are beyond any kitchen.
    /// A remark that says the same in another unit ("/ 280 g") follows; any other with a number in it is true of
    /// the amount as written only, and falls away.
    pub fn times(&self, factor: Ratio) -> Option<Quantity> {
        let remark = match &self.remark {
            Some(text) if factor != Ratio::from_integer(1) && has_number(text) => {
                self.twin().and_then(|(open, twin, close)| {
                    Some(format!(
                        "{open}{}{close}",
                        print::quantity(&twin.times(factor)?)
                    ))
                })
            }
            remark => remark.clone(),
        };
        Some(Quantity {
            lo: self.lo.checked_mul(&factor)?,
            hi: self.hi.checked_mul(&factor)?,
            remark,
            ..self.clone()
        })
    }

    /// The remark, if it says the amount again in another unit ("/ 280 g", "(120 ml)"), with the signs around it.
    /// What is counted has none: "2 (200 g)" may be so much each, or in all.
    pub fn twin(&self) -> Option<(&'static str, Quantity, &'static str)> {
        let poured =
            |q: &Quantity| matches!(q.dimension(), Some(Dimension::Mass | Dimension::Volume));
        let remark = self.remark.as_deref().filter(|_| poured(self))?.trim();
        let (open, inner, close) = match remark.strip_prefix('(') {
            Some(inner) => ("(", inner.strip_suffix(')')?, ")"),
            None => ("/ ", remark.strip_prefix('/')?, ""),
        };
        let (twin, rest) = read(inner.trim()).ok()??;
        (poured(&twin) && rest.trim().is_empty()).then_some((open, twin, close))
    }

    /// The unit, if it is a standard one.
    pub fn unit(&self) -> Option<Unit> {
        match self.measure {
            Measure::Unit(unit) => Some(unit),
            Measure::Pieces(_) => None,
        }
    }

    /// What it measures, if it has a standard unit.
    pub fn dimension(&self) -> Option<Dimension> {
        self.unit().map(Unit::dimension)
    }
}

fn has_number(text: &str) -> bool {
    text.chars()
        .any(|c| c.is_ascii_digit() || number::vulgar_fraction(c).is_some())
}

#[cfg(test)]
#[path = "quantity_tests.rs"]
mod tests;
