//! Our calendar against one that the Python library icalendar 7.3.2 wrote for the same event.

#![allow(clippy::unwrap_used, reason = "helpers of tests")]

use std::collections::BTreeSet;

use mealtide::exchange::ics::{Alarm, Calendar, Event, check};

/// Unfolded content lines, each with the component it is in.
fn lines(text: &str) -> BTreeSet<(String, String)> {
    let unfolded = text.replace("\r\n", "\n").replace("\n ", "");
    let mut inside = Vec::new();
    let mut all = BTreeSet::new();
    for line in unfolded.lines() {
        if let Some(name) = line.strip_prefix("BEGIN:") {
            inside.push(name.to_owned());
        } else if line.starts_with("END:") {
            inside.pop();
        } else {
            all.insert((inside.join("/"), line.to_owned()));
        }
    }
    all
}

fn reference() -> Calendar {
    let summary = "Preheat oven to 220 °C; then, roast — commas, semicolons; and a very long line that must be folded at seventy five octets éééé";
    Calendar {
        product: "-//test//standards//EN".into(),
        stamp: "2026-11-25T09:00:00Z".parse().unwrap(),
        events: vec![Event {
            uid: "step-1@example.invalid".into(),
            // The same moment, told in another zone.
            start: "2026-11-26T17:00:00+01:00[Europe/Berlin]".parse().unwrap(),
            end: "2026-11-26T17:30:00+01:00[Europe/Berlin]".parse().unwrap(),
            summary: summary.into(),
            description: String::new(),
            alarms: vec![Alarm {
                before: 300,
                words: "Preheat".into(),
            }],
        }],
    }
}

#[test]
fn the_same_event_has_the_same_lines() {
    let text = reference().write().unwrap();
    assert_eq!(
        lines(&text),
        lines(include_str!("../data/ics/reference_event.ics"))
    );
    assert!(text.split("\r\n").all(|line| line.len() <= 75));
}

/// The library's own output passes the check: it asks for no more than the standard does.
#[test]
fn the_library_s_calendar_is_valid() {
    let text = include_str!("../data/ics/reference_event.ics")
        .replace("\r\n", "\n")
        .replace('\n', "\r\n");
    assert_eq!(check(&text), []);
}
