//! RFC 5545 as quoted in its grammar, and RFC 9074 on alarms.

use super::{
    check::is_duration,
    write::{duration, escaped},
    *,
};

fn at(text: &str) -> ZonedDateTime {
    text.parse().unwrap()
}

fn event(uid: &str, summary: &str) -> Event {
    Event {
        uid: uid.into(),
        start: at("2026-11-26T17:00:00+01:00[Europe/Berlin]"),
        end: at("2026-11-26T17:30:00+01:00[Europe/Berlin]"),
        summary: summary.into(),
        description: String::new(),
        alarms: vec![Alarm {
            before: 300,
            words: "Preheat".into(),
        }],
    }
}

fn calendar(events: Vec<Event>) -> Calendar {
    Calendar {
        product: "-//Mealtide//Test//EN".into(),
        stamp: "2026-11-25T09:00:00Z".parse().unwrap(),
        events,
    }
}

/// 3.3.6: PT1H0M30S is legal, PT1H30S is not; no fractions, years or months.
#[test]
fn durations() {
    for (seconds, text) in [
        (0, "PT0S"),
        (-300, "-PT5M"),
        (-30, "-PT30S"),
        (3630, "PT1H0M30S"),
        (-5400, "-PT1H30M"),
        (-90, "-PT1M30S"),
        (86_400, "P1D"),
        (-90_000, "-P1DT1H"),
    ] {
        assert_eq!(duration(seconds), text);
        assert!(is_duration(text), "{text}");
    }
    assert!(is_duration("P2W") && is_duration("+PT15M"));
    for wrong in [
        "PT1H30S", "PT1.5M", "P1Y", "P1M", "PT", "P", "", "5M", "PT5", "PTM", "PT5M5M", "P1W2D",
        "PT5S5M",
    ] {
        assert!(!is_duration(wrong), "{wrong}");
    }
}

/// 3.3.11: backslash, semicolon, comma, line break.
#[test]
fn escapes() {
    assert_eq!(escaped("a\\b; c, d\ne\r\nf"), r"a\\b\; c\, d\ne\nf");
    assert_eq!(escaped("bell\u{7} tab\tend"), "bell tab end");
}

/// 3.1: at most 75 octets, folded between characters, never inside one.
#[test]
fn lines_are_folded_between_characters() {
    for filler in ["a", "é", "汁", "🍲"] {
        let text = calendar(vec![event("one", &filler.repeat(120))])
            .write()
            .unwrap();
        assert!(text.split("\r\n").all(|line| line.len() <= 75));
        assert!(text.replace("\r\n ", "").contains(&filler.repeat(120)));
    }
}

#[test]
fn faults_are_found() {
    let faults = |text: &str| {
        check(text)
            .into_iter()
            .map(|fault| fault.to_string())
            .collect::<Vec<_>>()
            .join("; ")
    };
    let good = calendar(vec![event("one", "Roast")]).write().unwrap();
    assert_eq!(faults(&good), "");
    // What a reading library let through: no DTSTAMP, no PRODID, bare line feeds.
    for (what, with, expected) in [
        ("DTSTAMP:20261125T090000Z\r\n", "", "0 DTSTAMP"),
        ("PRODID:-//Mealtide//Test//EN\r\n", "", "0 PRODID"),
        ("UID:one\r\n", "", "0 UID"),
        ("UID:one", "UID:", "UID is empty"),
        (
            "SUMMARY:Roast\r\n",
            "SUMMARY:Roast\n",
            "line break that is not CR LF",
        ),
        (
            "DTSTART:20261126T160000Z",
            "DTSTART:20261126T250000Z",
            "no UTC time",
        ),
        (
            "DTSTART:20261126T160000Z",
            "DTSTART:20261126T170000Z",
            "before DTSTART",
        ),
        ("TRIGGER:-PT5M", "TRIGGER:-PT1H30S", "no duration"),
        ("DESCRIPTION:Preheat\r\n", "", "0 DESCRIPTION"),
        ("END:VALARM", "REPEAT:2\r\nEND:VALARM", "both or not at all"),
        (
            "SUMMARY:Roast",
            "SUMMARY:Roast, then rest",
            "not escaped right",
        ),
        ("SUMMARY:Roast", "SUMMARY:Roast\\x", "not escaped right"),
        ("END:VEVENT\r\n", "", "closes nothing"),
        ("VERSION:2.0", "VERSION:1.0", "not 2.0"),
        ("SUMMARY:Roast", "SUMMARY", "no NAME:VALUE"),
    ] {
        assert!(good.contains(what), "{what}");
        let found = faults(&good.replacen(what, with, 1));
        assert!(found.contains(expected), "{what} -> {with}: {found}");
    }
    assert!(faults("").contains("VCALENDAR"));
}

#[test]
fn what_is_no_calendar_is_not_written() {
    let twice = calendar(vec![event("one", "a"), event("one", "b")]);
    assert!(
        twice
            .write()
            .unwrap_err()
            .iter()
            .any(|fault| fault.words.contains("that of line"))
    );
    let mut backwards = event("two", "a");
    std::mem::swap(&mut backwards.start, &mut backwards.end);
    assert!(calendar(vec![backwards]).write().is_err());
}
