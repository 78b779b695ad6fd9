//! What is typed into a line: minutes, degrees of a thermometer, the setting of an oven.

use crate::{
    live::event::Setting,
    measure::{Ratio, temperature::from_fahrenheit},
};

/// A plain decimal number, exact: "74", "74.5", "-3".
fn number(text: &str) -> Option<Ratio> {
    let text = text.trim().replace(',', ".");
    let (sign, digits) = match text.strip_prefix('-') {
        Some(rest) => (-1, rest),
        None => (1, text.as_str()),
    };
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    let ok = !whole.is_empty() && whole.len() <= 6 && part.len() <= 6;
    let all = format!("{whole}{part}");
    if !ok || !all.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    let scale = 10_i128.checked_pow(u32::try_from(part.len()).ok()?)?;
    Some(Ratio::new(sign * all.parse::<i128>().ok()?, scale))
}

fn split_unit(text: &str) -> (&str, Option<bool>) {
    let text = text.trim();
    let cut = |n: usize| {
        text.get(..text.len() - n)
            .unwrap_or("")
            .trim_end_matches(['\u{b0}', ' '])
    };
    match text.chars().last() {
        Some('C' | 'c') => (cut(1), Some(false)),
        Some('F' | 'f') => (cut(1), Some(true)),
        _ => (text.trim_end_matches('\u{b0}'), None),
    }
}

/// A core temperature in C; `fahrenheit`: what a bare number means.
///
/// # Errors
/// What is wrong, and what would be right.
pub fn core(text: &str, fahrenheit: bool) -> Result<Ratio, String> {
    let (digits, unit) = split_unit(text);
    let said = number(digits)
        .ok_or_else(|| format!("`{text}` is no temperature; type 74, 74.5 C or 165 F"))?;
    let celsius = if unit.unwrap_or(fahrenheit) {
        from_fahrenheit(said)
    } else {
        said
    };
    if celsius < Ratio::from_integer(-30) || celsius > Ratio::from_integer(120) {
        return Err(format!(
            "`{text}` is out of a core thermometer's range, -30 to 120 C"
        ));
    }
    Ok(celsius)
}

/// Gas marks 1 to 9 in C of a conventional oven.
const GAS: [i128; 9] = [140, 150, 165, 180, 190, 200, 220, 230, 240];

/// The setting of an oven: "190", "375 F", "gas 7", "fan 180" (20 C hotter), "off".
///
/// # Errors
/// What is wrong, and what would be right.
pub fn oven(text: &str, fahrenheit: bool) -> Result<Setting, String> {
    let wrong = || format!("`{text}` is no oven setting; type 190, 375 F, gas 5, fan 170 or off");
    let words = text.trim().to_ascii_lowercase();
    if words == "off" || words == "0" {
        return Ok(Setting::Off);
    }
    if let Some(mark) = words.strip_prefix("gas") {
        let mark: usize = mark.trim().parse().map_err(|_| wrong())?;
        let degrees = mark
            .checked_sub(1)
            .and_then(|i| GAS.get(i))
            .ok_or_else(wrong)?;
        return Ok(Setting::At(Ratio::from_integer(*degrees)));
    }
    let (fan, rest) = match words.strip_prefix("fan") {
        Some(rest) => (20, rest),
        None => (0, words.as_str()),
    };
    let (digits, unit) = split_unit(rest);
    let said = number(digits).ok_or_else(wrong)?;
    let celsius = if unit.unwrap_or(fahrenheit) {
        from_fahrenheit(said)
    } else {
        said
    };
    let celsius = celsius + Ratio::from_integer(fan);
    if celsius < Ratio::from_integer(30) || celsius > Ratio::from_integer(350) {
        return Err(format!("`{text}` is not between 30 and 350 C"));
    }
    Ok(Setting::At(celsius))
}

/// Minutes more, or with a minus fewer.
///
/// # Errors
/// What would be right.
pub fn minutes(text: &str) -> Result<i64, String> {
    let digits = text
        .trim()
        .trim_start_matches('+')
        .trim_end_matches("min")
        .trim();
    match digits.parse::<i64>() {
        Ok(n) if (-600..=600).contains(&n) && n != 0 => Ok(n),
        _ => Err(format!(
            "`{text}` is no number of minutes; type 5, or -5 for fewer"
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Exact Celsius of 165 F: checks of the food-safety tables give 73.889 (C = (F - 32) / 1.8).
    #[test]
    fn thermometers_are_read_exactly() {
        assert_eq!(core("74", false), Ok(Ratio::from_integer(74)));
        assert_eq!(core("73.9", false), Ok(Ratio::new(739, 10)));
        assert_eq!(core("165", true), Ok(Ratio::new(665, 9)));
        assert_eq!(core("165 F", false), Ok(Ratio::new(665, 9)));
        assert!(core("warm", false).is_err());
        assert!(core("740", false).is_err());
    }

    #[test]
    fn ovens_are_set_as_their_dials_read() {
        let at = |n: i128| Ok(Setting::At(Ratio::from_integer(n)));
        assert_eq!(oven("190", false), at(190));
        assert_eq!(oven("190 C", true), at(190));
        assert_eq!(oven("gas 7", false), at(220));
        assert_eq!(oven("fan 170", false), at(190));
        assert_eq!(oven("347F", false), at(175));
        assert_eq!(oven("off", false), Ok(Setting::Off));
        for wrong in ["", "gas 12", "900", "hot", "19..0"] {
            assert!(oven(wrong, false).is_err(), "{wrong}");
        }
    }

    #[test]
    fn minutes_may_be_fewer() {
        assert_eq!(minutes("5"), Ok(5));
        assert_eq!(minutes("-3"), Ok(-3));
        assert!(minutes("0").is_err() && minutes("soon").is_err());
    }
}
