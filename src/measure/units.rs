//! The other system beside the author's: grams beside cups, cups beside grams.
//!
//! For display only: 5 ml a teaspoon, 15 a tablespoon, 30 a fluid ounce, 240 a cup, 480 a pint, 950 a quart,
//! 3840 a gallon, 28 g an ounce, 454 a pound (NIST Office of Weights and Measures, "Cooking Measurement
//! Equivalencies"). Mass and volume are changed into each other by the ingredient's own weight where it is known
//! ([`super::food`]), else not at all.

use num_traits::CheckedMul;
use serde::{Deserialize, Serialize};

use super::print::{self, whole};
use super::quantity::{Amount, Measure, Quantity, convert};
use super::unit::{Dimension, System, Unit};
use super::{Ratio, food};

/// Which units an amount is shown in. The author's own are always shown first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, clap::ValueEnum)]
#[serde(rename_all = "lowercase")]
pub enum Units {
    /// As the author wrote it.
    #[default]
    Author,
    /// Metric beside what is not metric.
    Metric,
    /// US customary beside what is metric.
    Us,
    /// The other system beside each amount.
    Both,
}

/// The amount as the cook reads it, the other system in brackets if `units` asks for it and it is known:
/// "1 cup (125 g)". `item` and `note` name the ingredient and its state.
pub fn show(amount: &Amount, item: &str, note: &str, units: Units) -> String {
    let text = print::amount(amount);
    match amount.quantity().and_then(|q| beside(q, item, note, units)) {
        Some(other) => format!("{text} ({other})"),
        None => text,
    }
}

/// The quantity in the other system, if `units` asks for it and it is known.
pub fn beside(quantity: &Quantity, item: &str, note: &str, units: Units) -> Option<String> {
    let Measure::Unit(unit) = quantity.measure else {
        return None;
    };
    let metric = unit.system() == System::Metric;
    let wanted = match units {
        Units::Author => false,
        Units::Metric => !metric,
        Units::Us => metric,
        Units::Both => true,
    };
    if !wanted
        || quantity
            .remark
            .as_deref()
            .is_some_and(|r| r.contains(|c: char| c.is_ascii_digit()))
    {
        return None;
    }
    let one = |value| {
        if metric {
            in_us(value, quantity, unit, item, note)
        } else {
            in_metric(value, quantity, unit, item, note)
        }
    };
    let (lo, hi) = (one(quantity.lo)?, one(quantity.hi)?);
    Some(if lo == hi { lo } else { ranged(&lo, &hi) })
}

/// "110 g" and "130 g" as "110 to 130 g".
fn ranged(lo: &str, hi: &str) -> String {
    match (lo.rsplit_once(' '), hi.rsplit_once(' ')) {
        (Some((a, unit)), Some((_, other))) if unit == other && !lo.contains('+') => {
            format!("{a} to {hi}")
        }
        _ => format!("{lo} to {hi}"),
    }
}

fn in_metric(
    value: Ratio,
    quantity: &Quantity,
    unit: Unit,
    item: &str,
    note: &str,
) -> Option<String> {
    match unit.dimension() {
        Dimension::Mass => Some(grams(value.checked_mul(&display_size(unit))?)),
        Dimension::Volume => {
            let poured = food::find(item).is_none_or(|food| food.liquid);
            if !poured && let Some(weight) = food::grams(value, quantity, item, note) {
                return Some(grams(weight));
            }
            (poured || quantity.manner.is_none()).then_some(())?;
            Some(millilitres(value.checked_mul(&display_size(unit))?))
        }
        Dimension::Length => Some(print::value(
            convert(value, unit, Unit::Centimetre)?,
            Unit::Centimetre,
        )),
    }
}

fn in_us(value: Ratio, quantity: &Quantity, unit: Unit, item: &str, note: &str) -> Option<String> {
    match unit.dimension() {
        Dimension::Mass => {
            // Spoons and cups where the ingredient's weight is known, else the scale.
            let by_spoon = || {
                let food = food::find(item)?;
                let weight = food::grams(value, quantity, item, note)?;
                let guess = if weight < whole(60) {
                    Unit::Tablespoon
                } else {
                    Unit::Cup
                };
                let volume = weight / food.density(whole(1), guess, &format!("{note} {item}"))?;
                Some(us_volume(volume))
            };
            by_spoon().or_else(|| {
                Some(print::value(
                    convert(value, unit, Unit::Pound)?,
                    Unit::Pound,
                ))
            })
        }
        Dimension::Volume => Some(us_volume(convert(value, unit, Unit::Millilitre)?)),
        Dimension::Length => Some(print::value(convert(value, unit, Unit::Inch)?, Unit::Inch)),
    }
}

/// Millilitres in the spoon, cup or quart that measures them.
fn us_volume(millilitres: Ratio) -> String {
    let unit = if millilitres < Unit::Tablespoon.size() {
        Unit::Teaspoon
    } else if millilitres < Unit::Cup.size() / whole(4) {
        Unit::Tablespoon
    } else if millilitres < Unit::Quart.size() * whole(2) {
        Unit::Cup
    } else {
        Unit::Quart
    };
    print::value(millilitres / unit.size(), unit)
}

/// What the unit is shown as, in ml or g: the published kitchen equivalents, never calculated with.
fn display_size(unit: Unit) -> Ratio {
    match unit {
        Unit::Teaspoon => whole(5),
        Unit::Tablespoon => whole(15),
        Unit::FluidOunce => whole(30),
        Unit::Cup => whole(240),
        Unit::Pint => whole(480),
        Unit::Quart => whole(950),
        Unit::Gallon => whole(3840),
        Unit::Ounce => whole(28),
        Unit::Pound => whole(454),
        other => other.size(),
    }
}

fn grams(value: Ratio) -> String {
    print::value(print::sensible(value), Unit::Gram)
}

fn millilitres(value: Ratio) -> String {
    print::value(print::sensible(value), Unit::Millilitre)
}

/// What to do about the part of an egg: "beat the third, use half of it (about 25 g)". `None` if the number is
/// whole or the ingredient is no egg.
///
/// Source: eggs without shell, USDA SR28 NDB 01123 (large: 50 g), 01124 (white 33 g), 01125 (yolk 17 g).
pub fn part_of_an_egg(quantity: &Quantity, item: &str) -> Option<String> {
    let Measure::Pieces(pieces) = &quantity.measure else {
        return None;
    };
    let food = food::find(item).filter(|f| f.name.starts_with("egg"))?;
    let value = quantity.hi;
    let part = value - value.floor();
    if part == whole(0) || quantity.lo != quantity.hi || *part.denom() > 12 {
        return None;
    }
    let each = food.piece(pieces.noun.as_ref().map(|(one, _)| one.as_str()))?;
    let share = match (*part.numer(), *part.denom()) {
        (1, 2) => "half".to_owned(),
        (1, 3) => "a third".to_owned(),
        (2, 3) => "two thirds".to_owned(),
        (1, 4) => "a quarter".to_owned(),
        (3, 4) => "three quarters".to_owned(),
        (numer, denom) => format!("{numer}/{denom}"),
    };
    let which = match value.floor().to_integer() {
        0 => "it".to_owned(),
        1 => "the second".to_owned(),
        2 => "the third".to_owned(),
        3 => "the fourth".to_owned(),
        4 => "the fifth".to_owned(),
        5 => "the sixth".to_owned(),
        _ => "the last".to_owned(),
    };
    Some(format!(
        "beat {which}, use {share} of it (about {})",
        grams((part * each).round())
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::quantity::parse;

    /// NIST Office of Weights and Measures, "Cooking Measurement Equivalencies", as printed there.
    #[test]
    fn shown_beside_as_the_published_table_prints_it() {
        for (us, metric) in [
            ("1/4 tsp", "1.25 ml"),
            ("1/2 tsp", "2.5 ml"),
            ("1 tsp", "5 ml"),
            ("1 tbsp", "15 ml"),
            ("1 fl oz", "30 ml"),
            ("1/4 cup", "60 ml"),
            ("1/3 cup", "80 ml"),
            ("1/2 cup", "120 ml"),
            ("3/4 cup", "180 ml"),
            ("1 cup", "240 ml"),
            ("1 pint", "480 ml"),
            ("1 quart", "950 ml"),
            ("1 gallon", "3.84 L"),
            ("1 oz", "28 g"),
            ("1/4 lb", "114 g"),
            ("1 lb", "454 g"),
        ] {
            let amount = parse(us).unwrap();
            let got = beside(amount.quantity().unwrap(), "something", "", Units::Metric).unwrap();
            assert_eq!(got, metric, "{us}");
        }
    }

    #[test]
    fn the_other_system_stands_beside() {
        for (text, item, note, units, want) in [
            ("1 cup", "plain flour", "", Units::Metric, "1 cup (125 g)"),
            ("1 cup", "plain flour", "", Units::Us, "1 cup"),
            ("1 cup", "whole milk", "", Units::Both, "1 cup (240 ml)"),
            ("250 g", "plain flour", "", Units::Us, "250 g (2 cups)"),
            ("250 g", "plain flour", "", Units::Author, "250 g"),
            (
                "60 g",
                "butter",
                "",
                Units::Both,
                "60 g (1/4 cup + 3/4 tsp)",
            ),
            ("1.5 kg", "chicken", "", Units::Us, "1.5 kg (3 lb 5 oz)"),
            ("500 ml", "stock", "", Units::Us, "500 ml (2 cups + 2 tbsp)"),
            (
                "2 to 3 cups",
                "plain flour",
                "",
                Units::Metric,
                "2 to 3 cups (250 to 375 g)",
            ),
            ("2 cloves", "garlic", "", Units::Both, "2 cloves"),
            ("1 tsp", "coarse salt", "", Units::Metric, "1 tsp (5 ml)"),
            ("2 heaped tbsp", "flour", "", Units::Metric, "2 heaped tbsp"),
        ] {
            assert_eq!(
                show(&parse(text).unwrap(), item, note, units),
                want,
                "{text} {item}"
            );
        }
    }

    #[test]
    fn parts_of_eggs() {
        let said = |amount: &str, item: &str| {
            part_of_an_egg(parse(amount).unwrap().quantity().unwrap(), item)
        };
        assert_eq!(
            said("2 1/2", "eggs").unwrap(),
            "beat the third, use half of it (about 25 g)"
        );
        assert_eq!(
            said("1/3", "egg").unwrap(),
            "beat it, use a third of it (about 17 g)"
        );
        assert_eq!(
            said("2 1/2 large", "egg yolks").unwrap(),
            "beat the third, use half of it (about 9 g)"
        );
        assert_eq!(said("3", "eggs"), None);
        assert_eq!(said("2 1/2", "onions"), None);
    }
}
