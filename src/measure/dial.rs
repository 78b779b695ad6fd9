//! Oven temperatures as a dial is marked: Celsius in tens, Fahrenheit in twenty-fives, gas marks, fan settings.
//!
//! For display beside the author's own words only: 180 C is 356 F, and what is planned with stays exact.
//!
//! Sources: Celsius to the nearest 10 and the names of ovens from NIST, "The Metric Kitchen", oven table. Gas marks
//! and the fan's 20 C less are common practice, no primary standard found.

use serde::{Deserialize, Serialize};

use super::print::{to_step, whole};
use super::temperature::{Accepts, FAN, GAS, OvenTemperature, from_fahrenheit};
use super::units::Units;
use super::{Ratio, print};

/// How an oven's dial is marked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Scale {
    /// Degrees Celsius, conventional heat.
    Celsius,
    /// Degrees Fahrenheit, conventional heat.
    Fahrenheit,
    /// Gas marks.
    Gas,
    /// Degrees Celsius with the fan on.
    Fan,
}

impl Scale {
    /// As a kitchen file has it.
    pub const WORDS: [&str; 4] = ["C", "F", "gas", "fan"];

    /// Reads one of [`Self::WORDS`].
    pub fn named(word: &str) -> Option<Self> {
        Some(match word {
            "C" => Self::Celsius,
            "F" => Self::Fahrenheit,
            "gas" => Self::Gas,
            "fan" => Self::Fan,
            _ => return None,
        })
    }
}

/// Exact Fahrenheit of exact Celsius.
pub fn fahrenheit(celsius: Ratio) -> Ratio {
    celsius * Ratio::new(9, 5) + whole(32)
}

/// Conventional C (exact) as a dial in Celsius shows it: the nearest 10.
pub fn celsius_mark(celsius: Ratio) -> i128 {
    to_step(celsius, whole(10)).to_integer()
}

/// Conventional C (exact) as a dial in Fahrenheit shows it: the nearest 25.
pub fn fahrenheit_mark(celsius: Ratio) -> i128 {
    to_step(fahrenheit(celsius), whole(25)).to_integer()
}

/// Conventional C (exact) with the fan on, to the nearest 10.
pub fn fan_mark(celsius: Ratio) -> i128 {
    celsius_mark(celsius - whole(FAN))
}

/// The gas mark nearest to conventional C (exact); `None` more than 10 C outside the marks 1 to 9.
pub fn gas_mark(celsius: Ratio) -> Option<usize> {
    let off = |mark: i128| {
        let distance = celsius - whole(mark);
        distance.max(-distance)
    };
    let (index, mark) = GAS.iter().enumerate().min_by_key(|(_, mark)| off(**mark))?;
    (off(*mark) <= whole(10)).then_some(index + 1)
}

/// What cooks call an oven of that Fahrenheit: "moderate" (NIST, "The Metric Kitchen"; the hotter name where two meet).
pub fn name(fahrenheit: Ratio) -> Option<&'static str> {
    let names = [
        (450, "very hot"),
        (400, "hot"),
        (375, "moderately hot"),
        (350, "moderate"),
        (325, "moderately slow"),
        (300, "slow"),
        (250, "very slow"),
        (200, "cool"),
    ];
    if fahrenheit > whole(500) {
        return None;
    }
    names
        .iter()
        .find(|(from, _)| fahrenheit >= whole(*from))
        .map(|(_, name)| *name)
}

/// What the oven is set to, in conventional C: the middle of what the segment accepts. `None` for off.
pub fn setting(temperature: &OvenTemperature) -> Option<Ratio> {
    match temperature.accepts {
        Accepts::Span { lo, hi } => Some((lo + hi) / whole(2)),
        Accepts::Off => None,
    }
}

/// The temperature on a dial of that scale, rounded as the dial is: "220 C", "425 F", "gas 7", "fan 200 C". `None`
/// for off, or for what the scale does not have.
pub fn mark(celsius: Ratio, scale: Scale) -> Option<String> {
    Some(match scale {
        Scale::Celsius => format!("{} C", celsius_mark(celsius)),
        Scale::Fahrenheit => format!("{} F", fahrenheit_mark(celsius)),
        Scale::Gas => format!("gas {}", gas_mark(celsius)?),
        Scale::Fan => format!("fan {} C", fan_mark(celsius)),
    })
}

/// What a dial of that scale is turned to: the author's words if they are of it, else the nearest mark, and where the
/// recipe does not accept that, the degree. `None` for off, and where a dial in gas marks has none that is accepted.
fn on(temperature: &OvenTemperature, scale: Scale) -> Option<String> {
    if written_in(&temperature.text) == Some(scale) {
        return Some(temperature.text.clone());
    }
    let Accepts::Span { lo, hi } = temperature.accepts else {
        return None;
    };
    let celsius = setting(temperature)?;
    let marked = match scale {
        Scale::Celsius => whole(celsius_mark(celsius)),
        Scale::Fahrenheit => from_fahrenheit(whole(fahrenheit_mark(celsius))),
        Scale::Gas => whole(*GAS.get(gas_mark(celsius)? - 1)?),
        Scale::Fan => whole(fan_mark(celsius) + FAN),
    };
    if lo <= marked && marked <= hi {
        return mark(celsius, scale);
    }
    let degree = |degrees: Ratio| print::decimal(degrees, 0);
    match scale {
        Scale::Celsius => Some(format!("{} C", degree(celsius))),
        Scale::Fahrenheit => Some(format!("{} F", degree(fahrenheit(celsius)))),
        Scale::Fan => Some(format!("fan {} C", degree(celsius - whole(FAN)))),
        Scale::Gas => None,
    }
}

/// What a dial of that scale is turned to for so many conventional C, which a recipe may name: its mark, or what the
/// recipe accepts.
pub fn turned_to(
    celsius: Ratio,
    written: Option<&OvenTemperature>,
    scale: Scale,
) -> Option<String> {
    written.map_or_else(|| mark(celsius, scale), |written| on(written, scale))
}

/// The author's words, and the other system's dial beside them if `units` asks for it: "425 F (220 C)".
pub fn show(temperature: &OvenTemperature, units: Units) -> String {
    let written = &temperature.text;
    let scale = written_in(written);
    let us = scale == Some(Scale::Fahrenheit);
    let metric = matches!(scale, Some(Scale::Celsius | Scale::Fan));
    let wanted = match units {
        Units::Author => None,
        Units::Metric => (!metric).then_some(Scale::Celsius),
        Units::Us => (!us).then_some(Scale::Fahrenheit),
        Units::Both if us => Some(Scale::Celsius),
        Units::Both => Some(Scale::Fahrenheit),
    };
    let fan = if scale == Some(Scale::Fan) {
        " without fan"
    } else {
        ""
    };
    match wanted.and_then(|wanted| mark(setting(temperature)?, wanted)) {
        Some(other) => format!("{written} ({other}{fan})"),
        None => written.clone(),
    }
}

/// The scale that the author's words are in.
fn written_in(text: &str) -> Option<Scale> {
    let lower = text.to_lowercase();
    if lower.contains("gas") {
        Some(Scale::Gas)
    } else if lower.contains("fan") {
        Some(Scale::Fan)
    } else if lower.trim_end().ends_with('f') || lower.contains("fahrenheit") {
        Some(Scale::Fahrenheit)
    } else {
        lower.contains('c').then_some(Scale::Celsius)
    }
}

/// A core or oven temperature in C to show in Fahrenheit beside it, to the degree: "74 C (165 F)". Never compared.
pub fn degrees(celsius: Ratio) -> String {
    format!(
        "{} C ({} F)",
        print::decimal(celsius, 1),
        print::decimal(fahrenheit(celsius), 0)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn exact(fahrenheit: i128) -> Ratio {
        from_fahrenheit(whole(fahrenheit))
    }

    /// NIST, "The Metric Kitchen", oven table (row N15); then the same rule for rows that it does not print (row N16).
    #[test]
    fn dials_round_as_the_published_table() {
        let printed = [
            (200, 90),
            (250, 120),
            (300, 150),
            (325, 160),
            (350, 180),
            (375, 190),
            (400, 200),
            (450, 230),
            (500, 260),
        ];
        for (f, c) in printed {
            assert_eq!(celsius_mark(exact(f)), c, "{f} F");
            assert_eq!(fahrenheit_mark(whole(c)), f, "{c} C back");
        }
        for (f, c) in [(225, 110), (275, 140), (425, 220), (475, 250)] {
            assert_eq!(celsius_mark(exact(f)), c, "{f} F");
        }
    }

    /// Definition of the scales.
    #[test]
    fn the_scales_are_exact() {
        for (c, f) in [
            ("-40", "-40"),
            ("0", "32"),
            ("37", "98.6"),
            ("100", "212"),
            ("180", "356"),
            ("220", "428"),
        ] {
            let c: i128 = c.parse().unwrap();
            assert_eq!(print::decimal(fahrenheit(whole(c)), 3), f);
            assert_eq!(from_fahrenheit(fahrenheit(whole(c))), whole(c));
        }
        for (f, c) in [
            (350, "176.667"),
            (375, "190.556"),
            (400, "204.444"),
            (425, "218.333"),
            (450, "232.222"),
        ] {
            assert_eq!(print::decimal(exact(f), 3), c);
        }
    }

    /// NIST, "The Metric Kitchen": names by Fahrenheit.
    #[test]
    fn ovens_have_names() {
        for (f, want) in [
            (225, "cool"),
            (275, "very slow"),
            (310, "slow"),
            (340, "moderately slow"),
            (360, "moderate"),
            (390, "moderately hot"),
            (425, "hot"),
            (475, "very hot"),
        ] {
            assert_eq!(name(whole(f)), Some(want), "{f} F");
        }
        assert_eq!(name(whole(150)), None);
        assert_eq!(name(whole(550)), None);
    }

    /// Several conversion pages, which disagree by up to 10 C; no primary standard found. Fan: 20 C less.
    #[test]
    fn gas_and_fan() {
        let marks = [
            (1, 140),
            (2, 150),
            (3, 160),
            (3, 170),
            (4, 180),
            (5, 190),
            (6, 200),
            (7, 220),
            (8, 230),
            (9, 240),
        ];
        for (scale, want) in [(Scale::Gas, "gas 7"), (Scale::Fan, "fan 200 C")] {
            assert_eq!(mark(whole(220), scale).as_deref(), Some(want));
        }
        for (gas, c) in marks {
            assert_eq!(gas_mark(whole(c)), Some(gas), "{c} C");
        }
        assert_eq!(gas_mark(whole(100)), None);
        assert_eq!(gas_mark(whole(270)), None);
        assert_eq!(fan_mark(whole(220)), 200);
    }

    /// Fan: 20 C less (row N20); gas marks (row N19), Celsius in tens and Fahrenheit in twenty-fives (rows N15, N16).
    #[test]
    fn a_dial_shows_what_the_recipe_accepts() {
        let oven =
            |text: &str, within: i128| OvenTemperature::parse(text, Some(whole(within))).unwrap();
        for (text, within, scale, want) in [
            ("220 C", 10, Scale::Fan, Some("fan 200 C")),
            ("220 C", 10, Scale::Gas, Some("gas 7")),
            ("220 C", 10, Scale::Fahrenheit, Some("425 F")),
            ("gas 7", 10, Scale::Gas, Some("gas 7")),
            ("fan 160 C", 10, Scale::Celsius, Some("180 C")),
            ("350 F", 10, Scale::Fan, Some("fan 160 C")),
            ("180 to 200 C", 10, Scale::Fan, Some("fan 170 C")),
            // Delicate: to the degree, and on no gas mark.
            ("165 C", 0, Scale::Fan, Some("fan 145 C")),
            ("325 F", 0, Scale::Celsius, Some("163 C")),
            ("185 C", 0, Scale::Gas, None),
            ("300 C", 10, Scale::Gas, None),
            ("off", 10, Scale::Fan, None),
        ] {
            let on = on(&oven(text, within), scale);
            assert_eq!(on.as_deref(), want, "{text} on {scale:?}");
        }
        let named = Scale::WORDS.map(Scale::named);
        assert!(named.iter().all(Option::is_some));
        assert_eq!(Scale::named("c"), None);
    }

    #[test]
    fn the_authors_words_stay() {
        let oven = |text: &str, lo, hi| OvenTemperature {
            text: text.to_owned(),
            accepts: Accepts::Span { lo, hi },
        };
        let ten = whole(10);
        let at = |text: &str, c: Ratio| oven(text, c - ten, c + ten);
        let f425 = at("425 F", exact(425));
        assert_eq!(show(&f425, Units::Author), "425 F");
        assert_eq!(show(&f425, Units::Us), "425 F");
        assert_eq!(show(&f425, Units::Metric), "425 F (220 C)");
        assert_eq!(show(&f425, Units::Both), "425 F (220 C)");
        // Row N18: 180 C is 356 F, not 350; a dial in steps of 25 F is turned to 350 all the same.
        let c180 = at("180 C", whole(180));
        assert_eq!(show(&c180, Units::Metric), "180 C");
        assert_eq!(show(&c180, Units::Us), "180 C (350 F)");
        let gas = at("gas 7", whole(220));
        assert_eq!(show(&gas, Units::Metric), "gas 7 (220 C)");
        assert_eq!(show(&gas, Units::Both), "gas 7 (425 F)");
        let fan = at("fan 160 C", whole(180));
        assert_eq!(show(&fan, Units::Metric), "fan 160 C");
        assert_eq!(show(&fan, Units::Us), "fan 160 C (350 F without fan)");
        let off = OvenTemperature {
            text: "off".into(),
            accepts: Accepts::Off,
        };
        assert_eq!(show(&off, Units::Both), "off");
        assert_eq!(degrees(whole(74)), "74 C (165 F)");
    }
}
