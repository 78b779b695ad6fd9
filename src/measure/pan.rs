//! Tins and trays by area: when a dish grows, the tin grows with it so that the layer stays as deep and bakes as long.

use super::number::{self, Read};
use super::print::{decimal, to_step, whole};
use super::unit::{Dimension, Unit};
use super::{Ratio, quantity};

/// The shape of a tin, its sides in centimetres.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pan {
    /// By its diameter.
    Round(Ratio),
    /// By its two sides.
    Rectangle(Ratio, Ratio),
}

/// The tin that a name measures: "23 cm round tin", "9 inch springform", "20 x 30 cm tray", "20 cm square tin".
pub fn of(name: &str) -> Option<Pan> {
    let lower = name.to_lowercase().replace('\u{d7}', "x").replace('-', " ");
    let start = lower.find(|c: char| c.is_ascii_digit())?;
    let Read::Number {
        value: first, rest, ..
    } = number::read(lower.get(start..)?)
    else {
        return None;
    };
    let (first_unit, after) = unit(rest);
    if let Some(behind) = after
        .trim_start()
        .strip_prefix("x ")
        .or(after.trim_start().strip_prefix('x'))
        && let Read::Number {
            value: second,
            rest,
            ..
        } = number::read(behind)
    {
        let unit = unit(rest).0?;
        return Some(Pan::Rectangle(
            centimetres(first, first_unit.unwrap_or(unit))?,
            centimetres(second, unit)?,
        ));
    }
    let side = centimetres(first, first_unit?)?;
    Some(if lower.contains("square") {
        Pan::Rectangle(side, side)
    } else {
        Pan::Round(side)
    })
}

fn unit(text: &str) -> (Option<Unit>, &str) {
    let start = text.trim_start();
    let end = start
        .find(|c: char| c.is_whitespace())
        .unwrap_or(start.len());
    let (word, rest) = start.split_at(end);
    match Unit::named(word).filter(|u| u.dimension() == Dimension::Length) {
        Some(unit) => (Some(unit), rest),
        None => (None, text),
    }
}

/// Sides of a kitchen: 4 cm to 1 m.
fn centimetres(value: Ratio, unit: Unit) -> Option<Ratio> {
    let side = quantity::convert(value, unit, Unit::Centimetre)?;
    (side >= whole(4) && side <= whole(100)).then_some(side)
}

impl Pan {
    /// The tin for `factor` times as much, the layer as deep as before, to the centimetre: its sides grow by the
    /// square root of the factor. `None` if the tin at hand will do (less than a centimetre apart).
    pub fn grown(self, factor: Ratio) -> Option<String> {
        let root = root(factor)?;
        let grow = |side: Ratio| to_step(side * root, whole(1));
        let told = match self {
            Pan::Round(side) if grow(side) != to_step(side, whole(1)) => {
                format!("{} cm across", decimal(grow(side), 0))
            }
            Pan::Rectangle(a, b)
                if grow(a) != to_step(a, whole(1)) || grow(b) != to_step(b, whole(1)) =>
            {
                format!("{} x {} cm", decimal(grow(a), 0), decimal(grow(b), 0))
            }
            _ => return None,
        };
        Some(told)
    }
}

/// The square root to a thousandth, by halving; 1/100 to 100.
fn root(value: Ratio) -> Option<Ratio> {
    let scale = whole(1_000_000);
    if value < Ratio::new(1, 100) || value > whole(100) {
        return None;
    }
    let target = (value * scale).round().to_integer();
    let (mut lo, mut hi) = (0_i128, 10_001);
    while hi - lo > 1 {
        let middle = (lo + hi) / 2;
        if middle * middle <= target {
            lo = middle
        } else {
            hi = middle
        }
    }
    Some(Ratio::new(lo, 1000))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Plane geometry: area goes with the square of the sides.
    #[test]
    fn tins_grow_by_area() {
        let grown = |name: &str, n, d| of(name).and_then(|pan| pan.grown(Ratio::new(n, d)));
        assert_eq!(
            grown("23 cm round tin", 2, 1).as_deref(),
            Some("33 cm across")
        );
        assert_eq!(
            grown("20 x 30 cm tray", 3, 2).as_deref(),
            Some("24 x 37 cm")
        );
        assert_eq!(
            grown("20 cm square tin", 1, 2).as_deref(),
            Some("14 x 14 cm")
        );
        assert_eq!(grown("9-inch springform tin", 1, 1), None);
        assert_eq!(
            grown("9-inch springform tin", 2, 1).as_deref(),
            Some("32 cm across")
        );
        assert_eq!(grown("large tray", 2, 1), None);
        assert_eq!(grown("6 L stockpot", 2, 1), None);
    }
}
