//! Units of mass, volume and length, each exact, with the words that cooks use for them.
//!
//! Volumes are in millilitres, masses in grams, lengths in millimetres.
//!
//! Sources: US customary volumes from the gallon of 231 cubic inches, NIST Handbook 44 appendix C; imperial
//! volumes from the gallon of 4.54609 litres, UK Weights and Measures Act 1985; the avoirdupois pound of
//! 453.59237 g, NIST Handbook 44 appendix C. Metric cups and spoons are national practice (the Australian
//! tablespoon after AS 1325, from memory).

use serde::{Deserialize, Serialize};

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

/// One row of the table of units.
struct Row {
    unit: Unit,
    /// As printed for one, and for any other number.
    names: (&'static str, &'static str),
    dimension: Dimension,
    system: System,
    /// How many grams, millilitres or millimetres it is: numerator and denominator.
    size: (i128, i128),
    /// Words for it, lower case, without a final full stop.
    words: &'static [&'static str],
}

const TABLE: &[Row] = &{
    use Dimension::{Length, Mass, Volume};
    use System::{Imperial, Metric, Us};
    const fn row(
        unit: Unit,
        names: (&'static str, &'static str),
        dimension: Dimension,
        system: System,
        size: (i128, i128),
        words: &'static [&'static str],
    ) -> Row {
        Row {
            unit,
            names,
            dimension,
            system,
            size,
            words,
        }
    }
    [
        row(
            Unit::Milligram,
            ("mg", "mg"),
            Mass,
            Metric,
            (1, 1000),
            &["mg", "milligram", "milligrams"],
        ),
        row(
            Unit::Gram,
            ("g", "g"),
            Mass,
            Metric,
            (1, 1),
            &["g", "gr", "gm", "gms", "gram", "grams", "gramme", "grammes"],
        ),
        row(
            Unit::Kilogram,
            ("kg", "kg"),
            Mass,
            Metric,
            (1000, 1),
            &[
                "kg",
                "kgs",
                "kilo",
                "kilos",
                "kilogram",
                "kilograms",
                "kilogramme",
                "kilogrammes",
            ],
        ),
        row(
            Unit::Ounce,
            ("oz", "oz"),
            Mass,
            Us,
            (45_359_237, 1_600_000),
            &["oz", "ozs", "ounce", "ounces"],
        ),
        row(
            Unit::Pound,
            ("lb", "lb"),
            Mass,
            Us,
            (45_359_237, 100_000),
            &["lb", "lbs", "pound", "pounds", "lb avoirdupois"],
        ),
        row(
            Unit::Millilitre,
            ("ml", "ml"),
            Volume,
            Metric,
            (1, 1),
            &[
                "ml",
                "mls",
                "millilitre",
                "millilitres",
                "milliliter",
                "milliliters",
                "cc",
                "cm3",
                "cm³",
            ],
        ),
        row(
            Unit::Centilitre,
            ("cl", "cl"),
            Volume,
            Metric,
            (10, 1),
            &[
                "cl",
                "centilitre",
                "centilitres",
                "centiliter",
                "centiliters",
            ],
        ),
        row(
            Unit::Decilitre,
            ("dl", "dl"),
            Volume,
            Metric,
            (100, 1),
            &["dl", "decilitre", "decilitres", "deciliter", "deciliters"],
        ),
        row(
            Unit::Litre,
            ("L", "L"),
            Volume,
            Metric,
            (1000, 1),
            &[
                "l", "ltr", "ltrs", "lt", "litre", "litres", "liter", "liters",
            ],
        ),
        row(
            Unit::Teaspoon,
            ("tsp", "tsp"),
            Volume,
            Us,
            (492_892_159_375, 100_000_000_000),
            &[
                "tsp",
                "tsps",
                "ts",
                "t",
                "teaspoon",
                "teaspoons",
                "teaspoonful",
                "teaspoonfuls",
            ],
        ),
        row(
            Unit::Tablespoon,
            ("tbsp", "tbsp"),
            Volume,
            Us,
            (1_478_676_478_125, 100_000_000_000),
            &[
                "tbsp",
                "tbsps",
                "tbs",
                "tbl",
                "tblsp",
                "tb",
                "tablespoon",
                "tablespoons",
                "tablespoonful",
                "tablespoonfuls",
            ],
        ),
        row(
            Unit::FluidOunce,
            ("fl oz", "fl oz"),
            Volume,
            Us,
            (295_735_295_625, 10_000_000_000),
            &[
                "fl oz",
                "fl. oz",
                "floz",
                "fluid ounce",
                "fluid ounces",
                "fluid oz",
                "us fl oz",
                "us fluid ounce",
                "us fluid ounces",
            ],
        ),
        row(
            Unit::Cup,
            ("cup", "cups"),
            Volume,
            Us,
            (2_365_882_365, 10_000_000),
            &["cup", "cups", "c", "cupful", "cupfuls", "us cup", "us cups"],
        ),
        row(
            Unit::Pint,
            ("pint", "pints"),
            Volume,
            Us,
            (473_176_473, 1_000_000),
            &["pint", "pints", "pt", "pts", "us pint", "us pints"],
        ),
        row(
            Unit::DryPint,
            ("dry pint", "dry pints"),
            Volume,
            Us,
            (5_506_104_713_575, 10_000_000_000),
            &[
                "dry pint",
                "dry pints",
                "dry pt",
                "us dry pint",
                "us dry pints",
            ],
        ),
        row(
            Unit::Quart,
            ("quart", "quarts"),
            Volume,
            Us,
            (946_352_946, 1_000_000),
            &["quart", "quarts", "qt", "qts", "us quart", "us quarts"],
        ),
        row(
            Unit::Gallon,
            ("gallon", "gallons"),
            Volume,
            Us,
            (3_785_411_784, 1_000_000),
            &[
                "gallon",
                "gallons",
                "gal",
                "gals",
                "us gallon",
                "us gallons",
            ],
        ),
        row(
            Unit::ImperialFluidOunce,
            ("imperial fl oz", "imperial fl oz"),
            Volume,
            Imperial,
            (284_130_625, 10_000_000),
            &[
                "imperial fl oz",
                "imp fl oz",
                "imp. fl oz",
                "uk fl oz",
                "imperial fluid ounce",
                "imperial fluid ounces",
                "uk fluid ounce",
                "uk fluid ounces",
            ],
        ),
        row(
            Unit::ImperialPint,
            ("imperial pint", "imperial pints"),
            Volume,
            Imperial,
            (56_826_125, 100_000),
            &[
                "imperial pint",
                "imperial pints",
                "imp pint",
                "imp. pint",
                "imp pints",
                "uk pint",
                "uk pints",
            ],
        ),
        row(
            Unit::ImperialQuart,
            ("imperial quart", "imperial quarts"),
            Volume,
            Imperial,
            (11_365_225, 10_000),
            &[
                "imperial quart",
                "imperial quarts",
                "imp quart",
                "imp. quart",
                "uk quart",
                "uk quarts",
            ],
        ),
        row(
            Unit::ImperialGallon,
            ("imperial gallon", "imperial gallons"),
            Volume,
            Imperial,
            (454_609, 100),
            &[
                "imperial gallon",
                "imperial gallons",
                "imp gallon",
                "imp. gallon",
                "uk gallon",
                "uk gallons",
            ],
        ),
        row(
            Unit::MetricTeaspoon,
            ("metric tsp", "metric tsp"),
            Volume,
            Metric,
            (5, 1),
            &["metric tsp", "metric teaspoon", "metric teaspoons"],
        ),
        row(
            Unit::MetricTablespoon,
            ("metric tbsp", "metric tbsp"),
            Volume,
            Metric,
            (15, 1),
            &["metric tbsp", "metric tablespoon", "metric tablespoons"],
        ),
        row(
            Unit::MetricCup,
            ("metric cup", "metric cups"),
            Volume,
            Metric,
            (250, 1),
            &[
                "metric cup",
                "metric cups",
                "australian cup",
                "australian cups",
            ],
        ),
        row(
            Unit::AustralianTablespoon,
            ("Australian tbsp", "Australian tbsp"),
            Volume,
            Metric,
            (20, 1),
            &[
                "australian tbsp",
                "australian tablespoon",
                "australian tablespoons",
            ],
        ),
        row(
            Unit::JapaneseCup,
            ("Japanese cup", "Japanese cups"),
            Volume,
            Metric,
            (200, 1),
            &["japanese cup", "japanese cups"],
        ),
        row(
            Unit::Millimetre,
            ("mm", "mm"),
            Length,
            Metric,
            (1, 1),
            &[
                "mm",
                "millimetre",
                "millimetres",
                "millimeter",
                "millimeters",
            ],
        ),
        row(
            Unit::Centimetre,
            ("cm", "cm"),
            Length,
            Metric,
            (10, 1),
            &[
                "cm",
                "cms",
                "centimetre",
                "centimetres",
                "centimeter",
                "centimeters",
            ],
        ),
        row(
            Unit::Inch,
            ("inch", "inches"),
            Length,
            Us,
            (254, 10),
            &["inch", "inches", "in", "\"", "″"],
        ),
    ]
};

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
