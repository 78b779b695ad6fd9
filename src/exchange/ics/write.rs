//! The writer.

use jiff::Timestamp;

use super::{Alarm, Calendar, Event};

/// Octets of a content line at most, without its line break (RFC 5545, 3.1).
pub(super) const LONGEST_LINE: usize = 75;

pub(super) fn calendar(calendar: &Calendar) -> String {
    let mut out = String::new();
    line(&mut out, "BEGIN:VCALENDAR");
    line(&mut out, "VERSION:2.0");
    line(&mut out, &format!("PRODID:{}", escaped(&calendar.product)));
    for event in &calendar.events {
        write_event(&mut out, event, calendar.stamp);
    }
    line(&mut out, "END:VCALENDAR");
    out
}

fn write_event(out: &mut String, event: &Event, stamp: Timestamp) {
    line(out, "BEGIN:VEVENT");
    line(out, &format!("UID:{}", escaped(&event.uid)));
    line(out, &format!("DTSTAMP:{}", utc(stamp)));
    line(out, &format!("DTSTART:{}", utc(event.start.timestamp())));
    line(out, &format!("DTEND:{}", utc(event.end.timestamp())));
    line(out, &format!("SUMMARY:{}", escaped(&event.summary)));
    if !event.description.is_empty() {
        line(out, &format!("DESCRIPTION:{}", escaped(&event.description)));
    }
    for alarm in &event.alarms {
        write_alarm(out, alarm);
    }
    line(out, "END:VEVENT");
}

fn write_alarm(out: &mut String, alarm: &Alarm) {
    line(out, "BEGIN:VALARM");
    line(out, "ACTION:DISPLAY");
    line(out, &format!("DESCRIPTION:{}", escaped(&alarm.words)));
    line(
        out,
        &format!("TRIGGER:{}", duration(-i128::from(alarm.before))),
    );
    line(out, "END:VALARM");
}

fn utc(moment: Timestamp) -> String {
    moment.strftime("%Y%m%dT%H%M%SZ").to_string()
}

/// A duration of whole seconds (RFC 5545, 3.3.6): hours are followed by minutes, minutes by seconds, none left
/// out between. No weeks, so that days and hours may go together.
pub(super) fn duration(seconds: i128) -> String {
    let sign = if seconds < 0 { "-" } else { "" };
    let total = seconds.unsigned_abs();
    let (days, rest) = (total / 86_400, total % 86_400);
    let (h, m, s) = (rest / 3600, rest / 60 % 60, rest % 60);
    let time = match (h, m, s) {
        (0, 0, 0) if days > 0 => String::new(),
        (0, 0, s) => format!("T{s}S"),
        (0, m, 0) => format!("T{m}M"),
        (0, m, s) => format!("T{m}M{s}S"),
        (h, 0, 0) => format!("T{h}H"),
        (h, m, 0) => format!("T{h}H{m}M"),
        (h, m, s) => format!("T{h}H{m}M{s}S"),
    };
    let days = if days > 0 {
        format!("{days}D")
    } else {
        String::new()
    };
    format!("{sign}P{days}{time}")
}

/// A text value (RFC 5545, 3.3.11): backslash, semicolon, comma and line break are escaped; other control characters have
/// no place in it.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let text = text.replace("\r\n", "\n").replace('\r', "\n");
    for c in text.chars() {
        match c {
            '\\' | ';' | ',' => out.extend(['\\', c]),
            '\n' => out.push_str("\\n"),
            '\t' => out.push(' '),
            c if c.is_control() => {}
            c => out.push(c),
        }
    }
    out
}

/// A content line, folded so that no line is longer than 75 octets; a character is never cut.
fn line(out: &mut String, content: &str) {
    let mut octets = 0;
    for c in content.chars() {
        if octets + c.len_utf8() > LONGEST_LINE {
            out.push_str("\r\n ");
            octets = 1;
        }
        out.push(c);
        octets += c.len_utf8();
    }
    out.push_str("\r\n");
}
