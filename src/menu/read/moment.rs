//! Moments: "19:30", "2026-12-21 19:30", and TOML's own dates and times.

use jiff::civil::{Date, DateTime, Time};
use toml::value::Datetime;

use crate::menu::model::Moment;

const RIGHT: &str = "write a clock time, \"19:30\", or a date with one, \"2026-12-21 19:30\"";

/// A moment from text.
pub(super) fn from_text(text: &str) -> Result<Moment, String> {
    let wrong = || format!("'{text}' is not a time: {RIGHT}");
    let text = text.trim();
    if let Some(time) = clock(text) {
        return Ok(Moment::Clock(time));
    }
    let (date, time) = text
        .split_once(' ')
        .or_else(|| text.split_once(['T', 't']))
        .ok_or_else(wrong)?;
    let date: Date = Some(date)
        .filter(|date| date.len() == 10 && date.is_ascii())
        .and_then(|date| date.parse().ok())
        .ok_or_else(wrong)?;
    let time = clock(time.trim()).ok_or_else(wrong)?;
    bounded(date.to_datetime(time))
}

/// A moment from TOML's own type.
pub(super) fn from_toml(value: &Datetime) -> Result<Moment, String> {
    if value.offset.is_some() {
        return Err(format!("a time with an offset: times are local, {RIGHT}"));
    }
    let Some(time) = value.time else {
        return Err(format!("a date without a time: {RIGHT}"));
    };
    let number = |n: u8| i8::try_from(n).unwrap_or(i8::MAX);
    let time = Time::new(
        number(time.hour),
        number(time.minute),
        number(time.second.unwrap_or(0)),
        0,
    )
    .map_err(|_| format!("no such time of day: {RIGHT}"))?;
    let Some(date) = value.date else {
        return Ok(Moment::Clock(time));
    };
    let year = i16::try_from(date.year).unwrap_or(i16::MAX);
    let date = Date::new(year, number(date.month), number(date.day))
        .map_err(|_| format!("no such day: {RIGHT}"))?;
    bounded(date.to_datetime(time))
}

/// "19:30", "9:05", "19:30:00", "7:30 pm".
pub(in crate::menu) fn clock(text: &str) -> Option<Time> {
    let lower = text.to_ascii_lowercase();
    let (digits, half) = match lower.strip_suffix("pm") {
        Some(digits) => (digits.trim_end(), Some(12)),
        None => match lower.strip_suffix("am") {
            Some(digits) => (digits.trim_end(), Some(0)),
            None => (lower.as_str(), None),
        },
    };
    let mut parts = digits.split(':');
    let hour = part(parts.next()?, 1)?;
    let minute = part(parts.next()?, 2)?;
    let second = match parts.next() {
        Some(second) => part(second, 2)?,
        None => 0,
    };
    if parts.next().is_some() {
        return None;
    }
    let hour = match half {
        Some(after) if (1..=12).contains(&hour) => hour % 12 + after,
        Some(_) => return None,
        None => hour,
    };
    Time::new(hour, minute, second, 0).ok()
}

fn part(digits: &str, least: usize) -> Option<i8> {
    let good = (least..=2).contains(&digits.len()) && digits.bytes().all(|b| b.is_ascii_digit());
    good.then(|| digits.parse().ok()).flatten()
}

fn bounded(moment: DateTime) -> Result<Moment, String> {
    if !(2000..=2199).contains(&moment.year()) {
        return Err(format!("the year {}: from 2000 to 2199", moment.year()));
    }
    Ok(Moment::At(moment))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moments() {
        let at = |text: &str| from_text(text);
        let clock = |h, m| Ok(Moment::Clock(Time::constant(h, m, 0, 0)));
        let full = Ok(Moment::At(DateTime::constant(2026, 12, 21, 19, 30, 0, 0)));
        assert_eq!(at("19:30"), clock(19, 30));
        assert_eq!(at("9:05"), clock(9, 5));
        assert_eq!(at("7:30 pm"), clock(19, 30));
        assert_eq!(at("12:15 am"), clock(0, 15));
        assert_eq!(at("2026-12-21 19:30"), full);
        assert_eq!(at("2026-12-21T19:30:00"), full);
        for text in [
            "",
            "24:00",
            "19.30",
            "19:60",
            "19",
            "7:3",
            "13:00 pm",
            "2026-12-21",
            "2026-02-30 12:00",
            "2026-12-21 19:30+01:00",
            "2026-12-21T19:30Z",
            "1999-12-31 23:59",
            "tonight",
            "1:2:3:4",
        ] {
            assert!(at(text).is_err(), "{text}");
        }
    }
}
