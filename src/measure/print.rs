//! Amounts as a cook reads them: kitchen fractions of spoons and cups, grams and millilitres sensibly rounded.
//!
//! What is printed is rounded for the hand that measures it and is never calculated with. The roundings stay
//! within 5 % (of pieces and of less than 1/8 tsp: the nearest fraction that can be cut or measured).

use num_traits::{Signed, Zero};

use super::Ratio;
use super::quantity::{Amount, Measure, Quantity};
use super::unit::{System, Unit};

/// A number with its unit, both as printed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Part {
    pub number: String,
    pub unit: String,
}

/// The amount in the author's own unit: "1 1/2 cups", "2 to 3 cloves", "to taste".
pub fn amount(amount: &Amount) -> String {
    match amount {
        Amount::Measured(quantity) => self::quantity(quantity),
        Amount::Loose(words) => words.clone(),
    }
}

/// The quantity in the author's own unit.
pub fn quantity(quantity: &Quantity) -> String {
    let mut text = String::new();
    if let Some(prefix) = &quantity.prefix {
        text.push_str(prefix);
        text.push(' ');
    }
    let (lo, hi) = match &quantity.measure {
        Measure::Unit(unit) => (parts(quantity.lo, *unit), parts(quantity.hi, *unit)),
        Measure::Pieces(_) => (pieces(quantity.lo, quantity), pieces(quantity.hi, quantity)),
    };
    text.push_str(&joined(&lo, &hi, quantity.manner.as_deref()));
    if let Some(remark) = &quantity.remark {
        text.push_str(
            if remark.starts_with(['(', '/']) || matches!(quantity.measure, Measure::Unit(_)) {
                " "
            } else {
                ", "
            },
        );
        text.push_str(remark);
    }
    text
}

/// A value in a unit, without range or remark.
pub fn value(value: Ratio, unit: Unit) -> String {
    let parts = parts(value, unit);
    joined(&parts, &parts, None)
}

/// "2 to 3 tbsp" if both ends have the same unit, else "2 tbsp to 1/4 cup".
fn joined(lo: &[Part], hi: &[Part], manner: Option<&str>) -> String {
    if lo == hi {
        return written(lo, manner);
    }
    match (lo, hi) {
        ([a], [b]) if a.unit == b.unit || (!a.unit.is_empty() && b.unit.starts_with(&a.unit)) => {
            let spaced = Part {
                number: format!("{} to {}", a.number, b.number),
                unit: b.unit.clone(),
            };
            written(&[spaced], manner)
        }
        _ => format!("{} to {}", written(lo, manner), written(hi, None)),
    }
}

fn written(parts: &[Part], manner: Option<&str>) -> String {
    let link = if parts.iter().any(|p| p.unit == "lb") {
        " "
    } else {
        " + "
    };
    let mut texts = Vec::with_capacity(parts.len());
    for (index, part) in parts.iter().enumerate() {
        let manner = manner
            .filter(|_| index == 0)
            .map(|m| format!(" {m}"))
            .unwrap_or_default();
        let gap = if part.unit.is_empty() { "" } else { " " };
        texts.push(format!("{}{manner}{gap}{}", part.number, part.unit));
    }
    texts.join(link)
}

/// A number of pieces: to the half from 4 on, whole from 20 on, else in the fractions that can be cut.
fn pieces(value: Ratio, quantity: &Quantity) -> Vec<Part> {
    let Measure::Pieces(pieces) = &quantity.measure else {
        return Vec::new();
    };
    let shown = if is_cut(value) || value.is_zero() {
        value
    } else if value >= whole(20) {
        value.round()
    } else if value >= whole(4) {
        to_step(value, Ratio::new(1, 2))
    } else {
        nearest_cut(value)
    };
    let number = mixed(shown);
    let one = shown <= whole(1);
    let noun = pieces
        .noun
        .as_ref()
        .map(|(single, several)| if one { single } else { several });
    let unit = match (&pieces.each, noun) {
        (Some((size, unit)), Some(noun)) => format!("x {} {noun}", self::value(*size, *unit)),
        (_, Some(noun)) => noun.clone(),
        (_, None) => String::new(),
    };
    vec![Part { number, unit }]
}

/// A value in a unit as the parts that measure it out: "1/3 cup" and "1 tbsp".
pub(super) fn parts(value: Ratio, unit: Unit) -> Vec<Part> {
    match unit {
        Unit::Teaspoon | Unit::Tablespoon | Unit::Cup => spoons(value, unit),
        Unit::Pound => pounds(value),
        _ if unit.is_spoon_or_cup() || unit.system() != System::Metric => {
            vec![part(fractional(value), unit)]
        }
        _ => vec![metric(value, unit)],
    }
}

fn part(value: Ratio, unit: Unit) -> Part {
    Part {
        number: mixed(value),
        unit: unit.name(value <= whole(1)).to_owned(),
    }
}

/// US spoons and cups. The author's unit is kept where it measures the amount out; else the smaller spoons help.
fn spoons(value: Ratio, unit: Unit) -> Vec<Part> {
    let value = value.abs();
    if value.is_zero() || (is_spoon_fraction(value) && !steps_up(value, unit)) {
        return vec![part(value, unit)];
    }
    match unit {
        Unit::Cup => cups(value),
        Unit::Tablespoon => tablespoons(value),
        _ if value >= whole(3) => tablespoons(value / whole(3)),
        _ => teaspoons(value),
    }
}

/// Three or more teaspoons are measured with the tablespoon.
fn steps_up(value: Ratio, unit: Unit) -> bool {
    unit == Unit::Teaspoon && value >= whole(3)
}

fn teaspoons(value: Ratio) -> Vec<Part> {
    let eighth = Ratio::new(1, 8);
    if value < Ratio::new(3, 32) {
        return vec![Part {
            number: "less than 1/8".to_owned(),
            unit: Unit::Teaspoon.name(true).to_owned(),
        }];
    }
    let shown = if value < Ratio::new(5, 2) {
        to_step(value, eighth)
    } else {
        to_step(value, Ratio::new(1, 4))
    };
    vec![part(shown.max(eighth), Unit::Teaspoon)]
}

/// Tablespoons, whole or half, and what is left over in teaspoons.
fn tablespoons(value: Ratio) -> Vec<Part> {
    if value < whole(1) && !close(to_step(value, Ratio::new(1, 2)), value) {
        return teaspoons(value * whole(3));
    }
    let step = if value >= whole(10) {
        whole(1)
    } else {
        Ratio::new(1, 2)
    };
    let near = to_step(value, step);
    if close(near, value) {
        return vec![part(near, Unit::Tablespoon)];
    }
    let rest = to_step((value - value.floor()) * whole(3), Ratio::new(1, 4));
    split(part(value.floor(), Unit::Tablespoon), rest, Unit::Teaspoon)
}

/// Cups in quarters and thirds, and what is left over in tablespoons.
fn cups(value: Ratio) -> Vec<Part> {
    if value < Ratio::new(1, 4) {
        return tablespoons(value * whole(16));
    }
    let near = nearest(value, CUP_PARTS);
    if close(near, value) {
        return vec![part(near, Unit::Cup)];
    }
    let below = CUP_PARTS
        .iter()
        .map(|(n, d)| value.floor() + Ratio::new(*n, *d))
        .filter(|c| *c <= value)
        .max()
        .unwrap_or(value.floor());
    let rest = (value - below) * whole(16);
    let cups = part(below, Unit::Cup);
    if rest < whole(1) {
        let spoons = to_step(rest * whole(3), Ratio::new(1, 4));
        return split(cups, spoons, Unit::Teaspoon);
    }
    split(cups, to_step(rest, Ratio::new(1, 2)), Unit::Tablespoon)
}

fn split(first: Part, rest: Ratio, unit: Unit) -> Vec<Part> {
    if rest.is_zero() {
        vec![first]
    } else {
        vec![first, part(rest, unit)]
    }
}

/// Pounds in quarters and thirds, else pounds and ounces.
fn pounds(value: Ratio) -> Vec<Part> {
    if is_spoon_fraction(value) && value >= Ratio::new(1, 4) {
        return vec![part(value, Unit::Pound)];
    }
    let ounces = value * whole(16);
    if value < whole(1) {
        return vec![part(fractional(ounces), Unit::Ounce)];
    }
    let step = if value < whole(5) {
        Ratio::new(1, 2)
    } else {
        whole(1)
    };
    let shown = to_step(ounces, step);
    let pounds = (shown / whole(16)).floor();
    split(
        part(pounds, Unit::Pound),
        shown - pounds * whole(16),
        Unit::Ounce,
    )
}

/// A value in the fractions of a scale or jug: halved until a step is a tenth of the value at most.
fn fractional(value: Ratio) -> Ratio {
    if is_spoon_fraction(value) {
        return value;
    }
    let half = Ratio::new(1, 2);
    let mut step = whole(1);
    while step * whole(10) > value && step > Ratio::new(1, 64) {
        step *= half;
    }
    to_step(value, step).max(step.min(value))
}

/// Grams, millilitres and their multiples: 1000 g and more as kilograms, 1000 ml and more as litres.
fn metric(value: Ratio, unit: Unit) -> Part {
    let base = value * unit.size();
    let thousand = whole(1000);
    let (shown, unit) = match unit {
        Unit::Gram | Unit::Millilitre if base >= thousand => {
            let unit = if unit == Unit::Gram {
                Unit::Kilogram
            } else {
                Unit::Litre
            };
            (sensible(base) / thousand, unit)
        }
        Unit::Kilogram | Unit::Litre if base < thousand && !is_short(value, 2) => (
            sensible(base),
            if unit == Unit::Kilogram {
                Unit::Gram
            } else {
                Unit::Millilitre
            },
        ),
        _ if is_short(value, 3) && (unit.size() > whole(1) || value.is_integer()) => (value, unit),
        _ => (sensible(base) / unit.size(), unit),
    };
    Part {
        number: decimal(shown, 3),
        unit: unit.name(shown <= whole(1)).to_owned(),
    }
}

/// Grams or millilitres as a scale or jug is read.
pub(super) fn sensible(base: Ratio) -> Ratio {
    let quarters = base < whole(5) && (base * whole(4)).is_integer();
    if quarters || base.is_integer() && base < whole(1000) {
        return base;
    }
    let step = if base < whole(1) {
        Ratio::new(1, 100)
    } else if base < whole(5) {
        Ratio::new(1, 10)
    } else if base < whole(20) {
        Ratio::new(1, 2)
    } else if base < whole(200) {
        whole(1)
    } else if base < whole(1000) {
        whole(5)
    } else {
        whole(10)
    };
    to_step(base, step).max(step.min(base))
}

/// Quarters, thirds and halves of a cup, 0 and 1 with them.
const CUP_PARTS: &[(i128, i128)] = &[(0, 1), (1, 4), (1, 3), (1, 2), (2, 3), (3, 4), (1, 1)];

/// Whether spoons and cups of this fraction exist, or are easily put together.
fn is_spoon_fraction(value: Ratio) -> bool {
    matches!(value.denom(), 1..=4 | 8)
}

/// Whether a piece is easily cut so.
fn is_cut(value: Ratio) -> bool {
    matches!(value.denom(), 1..=4)
}

fn nearest_cut(value: Ratio) -> Ratio {
    let near = nearest(value, CUP_PARTS);
    if near.is_zero() {
        Ratio::new(1, 4)
    } else {
        near
    }
}

/// The whole number with one of the parts added that is nearest to the value.
fn nearest(value: Ratio, parts: &[(i128, i128)]) -> Ratio {
    let floor = value.floor();
    parts
        .iter()
        .map(|(n, d)| floor + Ratio::new(*n, *d))
        .min_by_key(|candidate| (*candidate - value).abs())
        .unwrap_or(value)
}

/// Whether a rounding stays within 2 %.
fn close(shown: Ratio, value: Ratio) -> bool {
    (shown - value).abs() * whole(50) <= value
}

pub(super) fn to_step(value: Ratio, step: Ratio) -> Ratio {
    (value / step).round() * step
}

pub(super) fn whole(value: i128) -> Ratio {
    Ratio::from_integer(value)
}

/// Whether the value is written out with so many decimal places.
fn is_short(value: Ratio, places: u32) -> bool {
    (value * whole(10_i128.pow(places))).is_integer()
}

/// "2", "1 1/2", "3/4".
pub fn mixed(value: Ratio) -> String {
    let floor = value.floor();
    let part = value - floor;
    if part.is_zero() {
        format!("{}", floor.to_integer())
    } else if floor.is_zero() {
        format!("{}/{}", part.numer(), part.denom())
    } else {
        format!("{} {}/{}", floor.to_integer(), part.numer(), part.denom())
    }
}

/// At most so many decimal places, no zeros at the end.
pub fn decimal(value: Ratio, places: usize) -> String {
    let scale = 10_i128.pow(places as u32);
    let scaled = (value * whole(scale)).round().to_integer();
    let sign = if scaled < 0 { "-" } else { "" };
    let scaled = scaled.abs();
    let text = format!(
        "{sign}{}.{:0width$}",
        scaled / scale,
        scaled % scale,
        width = places
    );
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
