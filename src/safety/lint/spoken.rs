//! Numbers that a text says.

use crate::{
    measure::{Ratio, dial},
    safety::{
        limit,
        words::{says, tokens},
    },
};

/// Temperatures that a text names, in C, exact: "63 C", "145 °F", "62.8C".
pub(super) fn temperatures_in(text: &str) -> Vec<Ratio> {
    let mut found = Vec::new();
    let words: Vec<&str> = text
        .split(|c: char| c.is_whitespace() || ",;()".contains(c))
        .filter(|w| !w.is_empty())
        .collect();
    for (i, word) in words.iter().enumerate() {
        let digits = word
            .find(|c: char| !(c.is_ascii_digit() || c == '.'))
            .unwrap_or(word.len());
        let (number, rest) = word.split_at(digits);
        let unit = if rest.is_empty() {
            words.get(i + 1).copied().unwrap_or("")
        } else {
            rest
        };
        let unit = unit
            .trim_start_matches(['°', '\u{ba}'])
            .trim_end_matches(['.', ':']);
        let Some(value) = decimal(number) else {
            continue;
        };
        match unit {
            "C" | "c" | "℃" => found.push(value),
            "F" | "f" | "℉" => found.push((value - Ratio::from_integer(32)) * Ratio::new(5, 9)),
            _ => {}
        }
    }
    found
}

/// A plain decimal number of a text: "63", "62.8".
pub(super) fn decimal(text: &str) -> Option<Ratio> {
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    if whole.is_empty() || whole.len() + part.len() > 9 {
        return None;
    }
    let digits: i128 = format!("{whole}{part}").parse().ok()?;
    Some(Ratio::new(
        digits,
        10i128.checked_pow(u32::try_from(part.len()).ok()?)?,
    ))
}

/// A temperature for people: "57 C (134.6 F)".
pub(super) fn shown(celsius: Ratio) -> String {
    format!(
        "{} C ({} F)",
        limit::degrees(celsius),
        limit::degrees(dial::fahrenheit(celsius))
    )
}

/// Core temperatures that a text names: near a word for the inside, or told as a goal ("to 63 C", "reads 63 C").
pub(super) fn core_in(text: &str) -> Vec<Ratio> {
    const INSIDE: &[&str] = &[
        "core",
        "inside",
        "internal",
        "centre",
        "center",
        "probe",
        "thermometer",
        "thickest",
        "middle",
    ];
    const GOAL: &[&str] = &["to", "reache", "reach", "read", "show", "hit", "until"];
    const OTHER: &[&str] = &[
        "oven", "oil", "water", "bath", "grill", "down to", "cool", "heat to", "turn", "preheat",
        "fridge", "pan", "milk", "cream", "syrup", "yeast",
    ];
    let words = tokens(text);
    // A hotter one is an oven's, or of oil or sugar.
    let possible = |celsius: &Ratio| {
        *celsius >= Ratio::from_integer(30) && *celsius <= Ratio::from_integer(99)
    };
    let all: Vec<Ratio> = temperatures_in(text).into_iter().filter(possible).collect();
    if says(&words, INSIDE) {
        return all;
    }
    let goal = words.windows(2).any(|pair| match pair {
        [word, number] => {
            GOAL.contains(&word.as_str()) && number.starts_with(|c: char| c.is_ascii_digit())
        }
        _ => false,
    });
    if goal && !says(&words, OTHER) {
        all
    } else {
        Vec::new()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn temperatures_are_read_from_words() {
        let c = |text| {
            temperatures_in(text)
                .into_iter()
                .map(limit::degrees)
                .collect::<Vec<_>>()
        };
        assert_eq!(c("until the core is 63 C"), ["63"]);
        assert_eq!(c("145 °F, or 62.8C"), ["62.8", "62.8"]);
        assert_eq!(c("at 165°F."), ["73.9"]);
        assert!(c("2 Cloves, 3 cm").is_empty());
        assert_eq!(decimal("62.8"), Some(Ratio::new(314, 5)));
        assert_eq!(decimal("."), None);
    }

    #[test]
    fn core_temperatures_are_told_from_others() {
        let c = |text| {
            core_in(text)
                .into_iter()
                .map(limit::degrees)
                .collect::<Vec<_>>()
        };
        assert_eq!(c("Roast to 63 C"), ["63"]);
        assert_eq!(c("Reheat to 60 C"), ["60"]);
        assert_eq!(c("until the thickest part reads 74 C"), ["74"]);
        assert_eq!(c("Fry until the middle is 58 C"), ["58"]);
        assert!(c("Heat the oven to 90 C").is_empty());
        assert!(c("Roast at 180 C").is_empty());
        assert!(c("Bring the water to 80 C").is_empty());
        assert!(c("Warm the cream to 40 C, whisk in the yolks").is_empty());
    }
}
