//! A temperature limit in the unit in which an authority made it.
//!
//! 57.0 C passes a printed "57 C (135 F)" and is under 135 F: so limits are never compared by a rounded
//! print, only exactly.

use std::{fmt, str::FromStr};

use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error};

use crate::measure::{Ratio, dial::fahrenheit, temperature::from_fahrenheit};

/// The scale a limit was made in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Unit {
    /// Degrees Celsius.
    Celsius,
    /// Degrees Fahrenheit.
    Fahrenheit,
}

/// A limit in its primary unit, whole degrees.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Limit {
    /// Degrees in `unit`.
    pub degrees: i32,
    /// The scale.
    pub unit: Unit,
}

impl Limit {
    /// Exact degrees Celsius: C = (F - 32) / 1.8 by definition.
    #[must_use]
    pub fn celsius(self) -> Ratio {
        let degrees = Ratio::from_integer(i128::from(self.degrees));
        match self.unit {
            Unit::Celsius => degrees,
            Unit::Fahrenheit => from_fahrenheit(degrees),
        }
    }

    /// Exact degrees Celsius as a float, for physics.
    #[must_use]
    pub fn celsius_f64(self) -> f64 {
        let degrees = f64::from(self.degrees);
        match self.unit {
            Unit::Celsius => degrees,
            Unit::Fahrenheit => (degrees - 32.0) / 1.8,
        }
    }

    /// Whether `celsius` is at or above the limit, compared exactly.
    #[must_use]
    pub fn reached_by(self, celsius: Ratio) -> bool {
        celsius >= self.celsius()
    }
}

/// Degrees with at most one decimal, rounded half away from zero: for reading, never for comparing.
#[must_use]
pub(crate) fn degrees(value: Ratio) -> String {
    let tenths = (value * Ratio::from_integer(10)).round().to_integer();
    let (sign, tenths) = (if tenths < 0 { "-" } else { "" }, tenths.abs());
    match tenths % 10 {
        0 => format!("{sign}{}", tenths / 10),
        rest => format!("{sign}{}.{rest}", tenths / 10),
    }
}

impl fmt::Display for Limit {
    /// The primary unit first: "165 F (73.9 C)".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.unit {
            Unit::Celsius => write!(
                f,
                "{} C ({} F)",
                self.degrees,
                degrees(fahrenheit(self.celsius()))
            ),
            Unit::Fahrenheit => write!(f, "{} F ({} C)", self.degrees, degrees(self.celsius())),
        }
    }
}

impl FromStr for Limit {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let fault = || format!("'{text}' is not whole degrees and C or F, as in '165 F'");
        let (number, unit) = text.trim().rsplit_once(' ').ok_or_else(fault)?;
        let unit = match unit {
            "C" => Unit::Celsius,
            "F" => Unit::Fahrenheit,
            _ => return Err(fault()),
        };
        let degrees = number.trim().parse().map_err(|_| fault())?;
        Ok(Self { degrees, unit })
    }
}

impl Serialize for Limit {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let unit = match self.unit {
            Unit::Celsius => 'C',
            Unit::Fahrenheit => 'F',
        };
        serializer.collect_str(&format_args!("{} {unit}", self.degrees))
    }
}

impl<'de> Deserialize<'de> for Limit {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?
            .parse()
            .map_err(D::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn f(degrees: i32) -> Limit {
        Limit {
            degrees,
            unit: Unit::Fahrenheit,
        }
    }

    /// C = (F - 32) / 1.8 to three decimals, by definition of the scales.
    #[test]
    fn fahrenheit_is_exact() {
        let known = [
            (41, 5.0),
            (70, 21.111),
            (130, 54.444),
            (135, 57.222),
            (140, 60.0),
            (145, 62.778),
            (155, 68.333),
            (158, 70.0),
            (165, 73.889),
        ];
        for (fahrenheit, celsius) in known {
            assert!(
                (f(fahrenheit).celsius_f64() - celsius).abs() < 0.001,
                "{fahrenheit} F"
            );
        }
        assert_eq!(f(41).celsius(), Ratio::from_integer(5));
    }

    /// The printed "57 C" of a rule made as 135 F does not reach it.
    #[test]
    fn a_rounded_print_does_not_pass() {
        assert!(!f(135).reached_by(Ratio::from_integer(57)));
        assert!(f(135).reached_by(f(135).celsius()));
        assert!(f(165).reached_by(Ratio::from_integer(74)));
        assert!(!f(160).reached_by(Ratio::from_integer(71)));
    }

    #[test]
    fn reads_and_prints() {
        assert_eq!("165 F".parse(), Ok(f(165)));
        assert_eq!(f(165).to_string(), "165 F (73.9 C)");
        assert_eq!(
            "63 C".parse::<Limit>().map(|l| l.to_string()),
            Ok("63 C (145.4 F)".into())
        );
        assert!("165".parse::<Limit>().is_err());
        assert!("hot C".parse::<Limit>().is_err());
    }
}
