//! What to turn the dial to: an exact temperature in the marks that an oven has.

use num_traits::Zero;

use super::{Accepts, FAN, GAS, OvenTemperature, to_fahrenheit};
use crate::measure::Ratio;

/// The kinds of oven dials.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dial {
    /// Degrees Celsius, marked every 10.
    Celsius,
    /// Degrees Fahrenheit, marked every 25.
    Fahrenheit,
    /// Gas marks 1 to 9.
    Gas,
    /// Degrees Celsius of a fan oven, marked every 10.
    Fan,
}

/// The nearest mark of a dial for a conventional oven's `celsius`: "180 C", "350 F", "gas 4", "fan 160 C".
/// Halves go up.
///
/// Source: Celsius by the oven table of NIST, "The Metric Kitchen" (checks rows N15, N16); steps of 25 F and
/// the nearest gas mark are common practice, no source.
pub fn dial(celsius: Ratio, dial: Dial) -> String {
    match dial {
        Dial::Celsius => format!("{} C", nearest(celsius, 10)),
        Dial::Fan => format!("fan {} C", nearest(celsius - Ratio::from_integer(FAN), 10)),
        Dial::Fahrenheit => format!("{} F", nearest(to_fahrenheit(celsius), 25)),
        Dial::Gas => {
            let away = |mark: &i128| {
                let distance = celsius - Ratio::from_integer(*mark);
                if distance < Ratio::zero() {
                    -distance
                } else {
                    distance
                }
            };
            let mark = (1..).zip(GAS).min_by_key(|(_, mark)| away(mark));
            format!("gas {}", mark.map_or(1, |(number, _)| number))
        }
    }
}

/// An oven setting for another dial: the middle of what it accepts; "off" stays off.
pub fn in_dial(setting: &OvenTemperature, kind: Dial) -> String {
    match setting.accepts {
        Accepts::Span { lo, hi } => dial((lo + hi) / Ratio::from_integer(2), kind),
        Accepts::Off => "off".into(),
    }
}

fn nearest(value: Ratio, step: i128) -> i128 {
    (value / Ratio::from_integer(step) + Ratio::new(1, 2))
        .floor()
        .to_integer()
        * step
}
