//! Values of the command line: moments and shares.

use jiff::{Timestamp, ZonedDateTime, civil, tz::TimeZone};

use crate::measure::Ratio;

/// A share: "0.7", "70 %", "1". 0 to 1, exact.
pub(super) fn share(text: &str) -> Result<Ratio, String> {
    let wrong = || format!("'{text}' is not a share: give 0.9 or 90 %");
    let bare = text.trim();
    let (number, percent) = match bare.strip_suffix('%') {
        Some(number) => (number.trim_end(), true),
        None => (bare, false),
    };
    let (whole, fraction) = number.split_once('.').unwrap_or((number, ""));
    let digits = |s: &str| s.len() <= 9 && s.bytes().all(|b| b.is_ascii_digit());
    if !digits(whole) || !digits(fraction) || (whole.is_empty() && fraction.is_empty()) {
        return Err(wrong());
    }
    let all: i128 = format!("0{whole}{fraction}").parse().map_err(|_| wrong())?;
    let places = u32::try_from(fraction.len()).map_err(|_| wrong())?;
    let value = Ratio::new(all, 10_i128.pow(places) * if percent { 100 } else { 1 });
    if value > Ratio::from_integer(1) {
        Err(wrong())
    } else {
        Ok(value)
    }
}

/// Seconds to search, more than 0 and at most an hour.
pub(super) fn seconds(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(s) if s > 0.0 && s <= 3600.0 => Ok(s),
        _ => Err("give the seconds to search, more than 0 and at most 3600".into()),
    }
}

/// A moment: "18:00" (of the day of `now`), "2026-12-21 18:00", RFC 3339, or with a zone in brackets.
pub(super) fn moment(text: &str, now: &ZonedDateTime) -> Result<ZonedDateTime, String> {
    let zone = || now.time_zone().clone();
    let local =
        |at: civil::DateTime, zone: TimeZone| zone.to_zoned_datetime(at).map_err(|e| e.to_string());
    let text = text.trim();
    if let Ok(zoned) = text.parse::<ZonedDateTime>() {
        return Ok(zoned);
    }
    if let Ok(moment) = text.parse::<Timestamp>() {
        return Ok(moment.to_zoned_datetime(zone()));
    }
    if let Ok(at) = text.parse::<civil::DateTime>() {
        return local(at, zone());
    }
    if let Ok(time) =
        civil::Time::strptime("%H:%M", text).or_else(|_| civil::Time::strptime("%H:%M:%S", text))
    {
        return local(now.date().to_datetime(time), zone());
    }
    Err(format!(
        "'{text}' is not a moment: give \"18:00\", \"2026-12-21 18:00\" or RFC 3339"
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_are_exact_and_bounded() {
        assert_eq!(share("90 %"), Ok(Ratio::new(9, 10)));
        assert_eq!(share("0.65"), Ok(Ratio::new(13, 20)));
        assert_eq!(share(".5"), Ok(Ratio::new(1, 2)));
        assert_eq!(share("1"), Ok(Ratio::from_integer(1)));
        for wrong in [
            "",
            "90",
            "1.01",
            "-0.5",
            "x",
            "0.1234567890123",
            "%",
            "101 %",
        ] {
            assert!(share(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn moments_are_read_in_every_form() {
        let now: ZonedDateTime = "2026-12-21T12:00[Europe/Berlin]".parse().expect("a moment");
        let is = |text: &str, wanted: &str| {
            let wanted: ZonedDateTime = wanted.parse().expect("a moment");
            assert_eq!(
                moment(text, &now).map(|z| z.timestamp()),
                Ok(wanted.timestamp()),
                "{text}"
            );
        };
        is("18:00", "2026-12-21T18:00[Europe/Berlin]");
        is("2026-12-20 09:30", "2026-12-20T09:30[Europe/Berlin]");
        is("2026-12-20T09:30:15", "2026-12-20T09:30:15[Europe/Berlin]");
        is("2026-12-20T09:30:00Z", "2026-12-20T10:30[Europe/Berlin]");
        is("2026-12-20T09:30+01:00", "2026-12-20T09:30[Europe/Berlin]");
        is(
            "2026-12-20T09:30[America/New_York]",
            "2026-12-20T15:30[Europe/Berlin]",
        );
        for wrong in ["", "25:00", "tomorrow", "2026-13-01 10:00"] {
            assert!(moment(wrong, &now).is_err(), "{wrong}");
        }
    }
}
