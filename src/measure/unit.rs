//! Units of mass, volume and length, each exact, with the words that cooks use for them.
//!
//! Volumes are in millilitres, masses in grams, lengths in millimetres.
//!
//! Sources: US customary volumes from the gallon of 231 cubic inches, NIST Handbook 44 appendix C; imperial
//! volumes from the gallon of 4.54609 litres, UK Weights and Measures Act 1985; the avoirdupois pound of
//! 453.59237 g, NIST Handbook 44 appendix C. Metric cups and spoons are national practice (the Australian
//! tablespoon after AS 1325, from memory).

mod table;

use serde::{Deserialize, Serialize};

use self::table::{Row, TABLE};
use super::Ratio;

/// What a unit measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Dimension {
    /// In grams.
    Mass,
    /// In millilitres.
    Volume,
    /// In millimetres.
    Length,
}

/// The system a unit belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum System {
    /// Metric, with the metric cups and spoons of some countries.
    Metric,
    /// US customary, and what it shares with imperial: pound, ounce, inch.
    Us,
    /// Imperial, where the author names it.
    Imperial,
}

/// A standard unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[allow(missing_docs)] // each is its own word
pub enum Unit {
    Milligram,
    Gram,
    Kilogram,
    Ounce,
    Pound,
    Millilitre,
    Centilitre,
    Decilitre,
    Litre,
    Teaspoon,
    Tablespoon,
    FluidOunce,
    Cup,
    Pint,
    DryPint,
    Quart,
    Gallon,
    ImperialFluidOunce,
    ImperialPint,
    ImperialQuart,
    ImperialGallon,
    MetricTeaspoon,
    MetricTablespoon,
    MetricCup,
    AustralianTablespoon,
    JapaneseCup,
    Millimetre,
    Centimetre,
    Inch,
}

impl Unit {
    /// Every unit of the table.
    pub fn all() -> impl Iterator<Item = Unit> {
        TABLE.iter().map(|row| row.unit)
    }

    fn row(self) -> &'static Row {
        // The table holds every unit (tested); the first row is only the type's fallback.
        TABLE
            .iter()
            .find(|row| row.unit == self)
            .unwrap_or(&TABLE[0])
    }

    /// The unit that a word or pair of words names, in either case; a final full stop is ignored. The single
    /// letters T and t are told apart, as recipes do: "T" is the tablespoon.
    pub fn named(word: &str) -> Option<Unit> {
        let word = word.strip_suffix('.').unwrap_or(word);
        if word == "T" || word == "Tbs" {
            return Some(Unit::Tablespoon);
        }
        let word = word.to_lowercase();
        TABLE
            .iter()
            .find(|row| row.words.contains(&word.as_str()))
            .map(|row| row.unit)
    }

    /// What it measures.
    pub fn dimension(self) -> Dimension {
        self.row().dimension
    }

    /// The system it belongs to.
    pub fn system(self) -> System {
        self.row().system
    }

    /// How many grams, millilitres or millimetres it is, exactly.
    pub fn size(self) -> Ratio {
        let (numer, denom) = self.row().size;
        Ratio::new(numer, denom)
    }

    /// As printed after a number; `one`: after a number that is not more than one.
    pub fn name(self, one: bool) -> &'static str {
        if one {
            self.row().names.0
        } else {
            self.row().names.1
        }
    }

    /// Whether it is measured with spoons and cups, in kitchen fractions.
    pub fn is_spoon_or_cup(self) -> bool {
        matches!(
            self,
            Unit::Teaspoon
                | Unit::Tablespoon
                | Unit::Cup
                | Unit::MetricTeaspoon
                | Unit::MetricTablespoon
                | Unit::MetricCup
                | Unit::AustralianTablespoon
                | Unit::JapaneseCup
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_unit_has_its_own_row_and_words() {
        let mut words: Vec<_> = TABLE.iter().flat_map(|row| row.words).collect();
        let count = words.len();
        words.sort();
        words.dedup();
        assert_eq!(words.len(), count, "a word names two units");
        for unit in Unit::all() {
            assert_eq!(unit.row().unit, unit);
            for name in [unit.name(true), unit.name(false)] {
                assert_eq!(Unit::named(name), Some(unit), "{name} reads back");
            }
        }
    }
}
