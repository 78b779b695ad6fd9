use super::*;

fn seconds(text: &str) -> Result<Ratio, String> {
    parse(text).map_err(|error| error.to_string())
}

fn range(text: &str) -> Result<(i128, i128), String> {
    let range: DurationRange = text.parse().map_err(|e: NotADuration| e.to_string())?;
    Ok((range.lo.to_integer(), range.hi.to_integer()))
}

fn whole(value: i128) -> Result<Ratio, String> {
    Ok(Ratio::from_integer(value))
}

#[test]
fn what_a_cook_writes() {
    for (text, expected) in [
        ("8 min", 480),
        ("8min", 480),
        ("8 minutes", 480),
        ("1 minute", 60),
        ("45 s", 45),
        ("45 sec.", 45),
        ("1 h 15 min", 4500),
        ("1h15m", 4500),
        ("1 hour and 15 minutes", 4500),
        ("1 hr, 15 mins", 4500),
        ("2 days", 172_800),
        ("1 day", 86_400),
        ("1 week", 604_800),
        ("1.5 h", 5400),
        ("1,5 h", 5400),
        ("1 1/2 h", 5400),
        ("1½ h", 5400),
        ("½ h", 1800),
        ("half an hour", 1800),
        ("an hour", 3600),
        ("a minute", 60),
        ("0", 0),
        ("0 min", 0),
        ("PT15M", 900),
        ("366 days", LONGEST),
    ] {
        assert_eq!(seconds(text), whole(expected), "{text}");
    }
}

#[test]
fn ranges() {
    for (text, lo, hi) in [
        ("70 to 90 min", 4200, 5400),
        ("70-90 min", 4200, 5400),
        ("70 – 90 min", 4200, 5400),
        ("45 s to 2 min", 45, 120),
        ("1 h to 1 h 30 min", 3600, 5400),
        ("1 to 1 1/2 h", 3600, 5400),
        ("PT15M to PT20M", 900, 1200),
        ("8 min", 480, 480),
    ] {
        assert_eq!(range(text), Ok((lo, hi)), "{text}");
    }
}

#[test]
fn faults_say_what_would_be_right() {
    for (text, part) in [
        ("", "'15 min'"),
        ("15", "needs a unit"),
        ("15 spoons", "'spoons' is not a unit of time"),
        ("soon", "not a duration"),
        ("-5 min", "negative"),
        ("-PT5M", "negative"),
        ("90 to 70 min", "write '70 min to 90'"),
        ("15 min 1 h", "larger unit comes first"),
        ("1 h 1 h", "larger unit comes first"),
        ("367 days", "at most 366 days"),
        ("2 months", "no fixed length"),
        ("1 year", "no fixed length"),
        ("1:30", "'1 h 30 min' or"),
        ("5 min to", "not a duration"),
        ("99999999999999999999 min", "not a duration"),
        ("1,500 s", "not a duration"),
    ] {
        let error = text.parse::<DurationRange>().unwrap_err().to_string();
        assert!(error.contains(part), "{text}: {error}");
    }
}

/// Row T14: XML Schema 1.1 `duration`; P1W is of ISO 8601 alone.
#[test]
fn iso_8601_values() {
    let half = Ratio::new(1, 2);
    for (text, expected) in [
        ("PT1H30M", Ratio::from_integer(5400)),
        ("PT90M", Ratio::from_integer(5400)),
        ("P1DT12H", Ratio::from_integer(129_600)),
        ("PT0S", Ratio::zero()),
        ("PT0.5S", half),
        ("PT0,5S", half),
        ("-PT5M", Ratio::from_integer(-300)),
        ("P1W", Ratio::from_integer(604_800)),
    ] {
        assert_eq!(iso8601(text), Ok(expected), "{text}");
    }
}

/// Rows T15 and T16: what the grammar refuses, and calendar units, which no clock can measure.
#[test]
fn iso_8601_refuses() {
    for text in [
        "P", "PT", "P1H", "1H", "P1Y2M3DT", "P1M", "P1Y", "P1DT", "PT1M1H", "PT1", "PTM", "PT1S1S",
        "P-1D", "PT1H30", "P1WT", "--PT1S", "PT1.2.3S",
    ] {
        assert!(iso8601(text).is_err(), "{text}");
        // "1H" without the P is no ISO duration, but what a cook may write.
        assert_eq!(
            text.parse::<DurationRange>().is_ok(),
            text == "1H",
            "{text}"
        );
    }
    let month = iso8601("P1M").unwrap_err().to_string();
    assert!(month.contains("a minute is PT1M"), "{month}");
}

/// Row T17 is about RFC 5545, whose durations may not skip a unit between two others; ISO 8601's may:
/// PT1H30S is read as an hour and 30 seconds here, and calendars are written without a gap.
#[test]
fn iso_8601_with_a_gap() {
    assert_eq!(iso8601("PT1H0M30S"), iso8601("PT1H30S"));
}

#[test]
fn printed_for_people() {
    for (value, text) in [
        (0, "0 s"),
        (45, "45 s"),
        (60, "1 min"),
        (90, "1 min 30 s"),
        (4500, "1 h 15 min"),
        (3600, "1 h"),
        (129_600, "36 h"),
        (86_400, "1 day"),
        (172_800, "2 days"),
        (180_000, "2 days 2 h"),
        (-300, "-5 min"),
    ] {
        assert_eq!(print(Ratio::from_integer(value)), text);
    }
    let range = |text: &str| text.parse::<DurationRange>().unwrap().to_string();
    assert_eq!(range("70-90 min"), "70 to 90 min");
    assert_eq!(range("8 minutes"), "8 min");
    assert_eq!(range("45 s to 2 min"), "45 s to 2 min");
    assert_eq!(range("55 to 70 min"), "55 to 70 min");
    assert_eq!(range("60 to 150 min"), "1 h to 2 h 30 min");
    assert_eq!(range("1 to 3 h"), "1 to 3 h");
    assert_eq!(range("125 to 185 s"), "2 min 5 s to 3 min 5 s");
}

proptest::proptest! {
    #[test]
    fn what_is_printed_reads_back(a in 0_i128..2_000_000, b in 0_i128..2_000_000) {
        let range = DurationRange {
            lo: Ratio::from_integer(a.min(b)),
            hi: Ratio::from_integer(a.max(b)),
        };
        proptest::prop_assert_eq!(range.to_string().parse(), Ok(range));
    }

    #[test]
    fn any_text_is_read_or_refused(text in ".{0,40}") {
        let _ = text.parse::<DurationRange>();
        let _ = iso8601(&text);
    }

    #[test]
    fn text_like_a_duration_is_read_or_refused(text in "[0-9PT ,./½dhms'to-]{0,16}") {
        if let Ok(range) = text.parse::<DurationRange>() {
            proptest::prop_assert!(range.lo >= Ratio::zero() && range.lo <= range.hi);
        }
    }
}
