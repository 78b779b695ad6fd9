//! Whether a text is a calendar by RFC 5545 (and RFC 9074 on alarms), as far as this program uses it. Written from the
//! standard's rules, not from the writer: reading libraries are known to let missing DTSTAMP, PRODID and bare line feeds through.

use std::{collections::HashMap, fmt};

use jiff::civil::DateTime;

use super::write::LONGEST_LINE;

/// What is wrong, and where.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Line of the text, from 1.
    pub line: usize,
    /// What is wrong.
    pub words: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}: {}", self.line, self.words)
    }
}

/// An unfolded content line.
struct Content {
    line: usize,
    name: String,
    value: String,
}

/// A component that is open: its name, where it began, its properties.
struct Open {
    name: String,
    line: usize,
    properties: Vec<Content>,
}

impl Open {
    fn values<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a Content> {
        self.properties
            .iter()
            .filter(move |property| property.name == name)
    }

    fn first(&self, name: &str) -> Option<&Content> {
        self.properties
            .iter()
            .find(|property| property.name == name)
    }
}

/// Every fault of a calendar; none: it is valid.
#[must_use]
pub fn check(text: &str) -> Vec<Fault> {
    let mut checker = Checker::default();
    for content in checker.unfold(text) {
        checker.take(content);
    }
    checker.finish();
    checker.faults
}

#[derive(Default)]
struct Checker {
    faults: Vec<Fault>,
    open: Vec<Open>,
    calendars: usize,
    uids: HashMap<String, usize>,
}

impl Checker {
    fn fault(&mut self, line: usize, words: impl Into<String>) {
        self.faults.push(Fault {
            line,
            words: words.into(),
        });
    }

    /// Content lines, unfolded; faults of the raw lines are noted.
    fn unfold(&mut self, text: &str) -> Vec<Content> {
        let mut unfolded: Vec<(usize, String)> = Vec::new();
        let body = text.strip_suffix("\r\n").unwrap_or_else(|| {
            self.faults.push(Fault {
                line: text.lines().count(),
                words: "the last line has no CR LF".into(),
            });
            text
        });
        for (i, raw) in body.split("\r\n").enumerate() {
            let line = i + 1;
            if raw.len() > LONGEST_LINE {
                self.fault(
                    line,
                    format!("{} octets are more than {LONGEST_LINE}", raw.len()),
                );
            }
            if raw.chars().any(|c| c.is_control() && c != '\t') {
                self.fault(
                    line,
                    "a control character, or a line break that is not CR LF",
                );
            }
            match (raw.strip_prefix([' ', '\t']), unfolded.last_mut()) {
                (Some(rest), Some((_, last))) => last.push_str(rest),
                (Some(_), None) => self.fault(line, "the first line is a continuation"),
                (None, _) if raw.is_empty() => self.fault(line, "an empty line"),
                (None, _) => unfolded.push((line, raw.to_owned())),
            }
        }
        unfolded
            .into_iter()
            .filter_map(|(line, content)| self.content(line, &content))
            .collect()
    }

    /// NAME *(;PARAM=VALUE) : VALUE
    fn content(&mut self, line: usize, text: &str) -> Option<Content> {
        let mut quoted = false;
        let colon = text.find(|c| {
            quoted ^= c == '"';
            c == ':' && !quoted
        });
        let Some((head, value)) = colon.and_then(|at| Some((text.get(..at)?, text.get(at + 1..)?)))
        else {
            self.fault(line, "no NAME:VALUE");
            return None;
        };
        let name = head
            .split(';')
            .next()
            .unwrap_or_default()
            .to_ascii_uppercase();
        if name.is_empty() || !name.chars().all(|c| c.is_ascii_alphanumeric() || c == '-') {
            self.fault(line, format!("'{name}' is no property name"));
        }
        Some(Content {
            line,
            name,
            value: value.to_owned(),
        })
    }

    fn take(&mut self, content: Content) {
        match content.name.as_str() {
            "BEGIN" => {
                let inside = self.open.last().map_or("", |open| open.name.as_str());
                let fits = matches!(
                    (inside, content.value.as_str()),
                    ("", "VCALENDAR") | ("VCALENDAR", "VEVENT") | ("VEVENT", "VALARM")
                );
                if !fits {
                    self.fault(
                        content.line,
                        format!("{} does not belong here", content.value),
                    );
                }
                self.calendars += usize::from(content.value == "VCALENDAR");
                self.open.push(Open {
                    name: content.value,
                    line: content.line,
                    properties: Vec::new(),
                });
            }
            "END" => match self.open.pop() {
                Some(open) if open.name == content.value => self.component(&open),
                _ => self.fault(
                    content.line,
                    format!("END:{} closes nothing", content.value),
                ),
            },
            _ => match self.open.last_mut() {
                Some(open) => open.properties.push(content),
                None => self.fault(
                    content.line,
                    format!("{} is outside of a component", content.name),
                ),
            },
        }
    }

    fn finish(&mut self) {
        while let Some(open) = self.open.pop() {
            self.fault(open.line, format!("{} is never closed", open.name));
        }
        if self.calendars != 1 {
            self.fault(1, format!("{} VCALENDAR, not one", self.calendars));
        }
    }

    fn component(&mut self, open: &Open) {
        match open.name.as_str() {
            "VCALENDAR" => {
                self.once(open, &["PRODID", "VERSION"]);
                if open
                    .first("VERSION")
                    .is_some_and(|version| version.value != "2.0")
                {
                    self.fault(open.line, "VERSION is not 2.0");
                }
                if open
                    .first("PRODID")
                    .is_some_and(|product| product.value.trim().is_empty())
                {
                    self.fault(open.line, "PRODID is empty");
                }
            }
            "VEVENT" => self.event(open),
            "VALARM" => self.alarm(open),
            _ => {}
        }
        for property in &open.properties {
            if matches!(
                property.name.as_str(),
                "SUMMARY" | "DESCRIPTION" | "UID" | "LOCATION" | "PRODID"
            ) {
                self.text(property);
            }
        }
    }

    fn once(&mut self, open: &Open, names: &[&str]) {
        for name in names {
            let count = open.values(name).count();
            if count != 1 {
                self.fault(
                    open.line,
                    format!("{} has {count} {name}, not one", open.name),
                );
            }
        }
    }

    fn event(&mut self, open: &Open) {
        self.once(open, &["UID", "DTSTAMP", "DTSTART"]);
        let mut moments = HashMap::new();
        for name in ["DTSTAMP", "DTSTART", "DTEND"] {
            let Some(property) = open.first(name) else {
                continue;
            };
            match utc(&property.value) {
                Some(moment) => drop(moments.insert(name, moment)),
                None => self.fault(
                    property.line,
                    format!(
                        "{name} '{}' is no UTC time as 20261126T160000Z",
                        property.value
                    ),
                ),
            }
        }
        if let (Some(start), Some(end)) = (moments.get("DTSTART"), moments.get("DTEND"))
            && end < start
        {
            self.fault(open.line, "DTEND is before DTSTART");
        }
        if open.first("DTEND").is_some() && open.first("DURATION").is_some() {
            self.fault(open.line, "DTEND and DURATION together");
        }
        if let Some(uid) = open.first("UID") {
            if uid.value.trim().is_empty() {
                self.fault(uid.line, "UID is empty");
            }
            if let Some(other) = self.uids.insert(uid.value.clone(), uid.line) {
                self.fault(
                    uid.line,
                    format!("UID '{}' is that of line {other} too", uid.value),
                );
            }
        }
    }

    fn alarm(&mut self, open: &Open) {
        self.once(open, &["ACTION", "TRIGGER"]);
        if open
            .first("ACTION")
            .is_some_and(|action| action.value == "DISPLAY")
        {
            self.once(open, &["DESCRIPTION"]);
        }
        if open.first("DURATION").is_some() != open.first("REPEAT").is_some() {
            self.fault(open.line, "DURATION and REPEAT come both or not at all");
        }
        if let Some(trigger) = open.first("TRIGGER")
            && !is_duration(&trigger.value)
        {
            self.fault(
                trigger.line,
                format!("TRIGGER '{}' is no duration as -PT5M", trigger.value),
            );
        }
    }

    /// Backslashes only before what they may escape; no bare comma or semicolon.
    fn text(&mut self, property: &Content) {
        let mut chars = property.value.chars();
        while let Some(c) = chars.next() {
            let wrong = match c {
                '\\' => !matches!(chars.next(), Some('\\' | ';' | ',' | 'n' | 'N')),
                ';' | ',' => true,
                _ => false,
            };
            if wrong {
                self.fault(
                    property.line,
                    format!("{} has a '{c}' that is not escaped right", property.name),
                );
                return;
            }
        }
    }
}

/// "20261126T160000Z".
fn utc(text: &str) -> Option<DateTime> {
    let digits = text.strip_suffix('Z')?;
    let shape = digits.len() == 15
        && digits
            .char_indices()
            .all(|(i, c)| if i == 8 { c == 'T' } else { c.is_ascii_digit() });
    if !shape {
        return None;
    }
    let number = |from: usize, to: usize| digits.get(from..to)?.parse::<i8>().ok();
    let year = digits.get(0..4)?.parse::<i16>().ok()?;
    DateTime::new(
        year,
        number(4, 6)?,
        number(6, 8)?,
        number(9, 11)?,
        number(11, 13)?,
        number(13, 15)?,
        0,
    )
    .ok()
}

/// dur-value = (["+"] / "-") "P" (dur-date / dur-time / dur-week); hours are followed by minutes, minutes by seconds.
pub(super) fn is_duration(text: &str) -> bool {
    let text = text.strip_prefix(['+', '-']).unwrap_or(text);
    let Some(text) = text.strip_prefix('P') else {
        return false;
    };
    if let Some(weeks) = text.strip_suffix('W') {
        return is_number(weeks);
    }
    let (date, time) = match text.split_once('T') {
        Some((date, time)) => (date, Some(time)),
        None => (text, None),
    };
    let days = date.is_empty() || date.strip_suffix('D').is_some_and(is_number);
    let timed = match time {
        Some(time) => is_time(time),
        None => !date.is_empty(),
    };
    days && timed
}

fn is_number(text: &str) -> bool {
    !text.is_empty() && text.chars().all(|c| c.is_ascii_digit())
}

/// Units in order, each at most once, and none left out between the first and the last.
fn is_time(text: &str) -> bool {
    let mut units = Vec::new();
    let mut number = String::new();
    for c in text.chars() {
        match "HMS".find(c) {
            Some(unit) if is_number(&number) => {
                units.push(unit);
                number.clear();
            }
            None if c.is_ascii_digit() => number.push(c),
            _ => return false,
        }
    }
    let in_a_row = units
        .windows(2)
        .all(|pair| matches!(pair, [a, b] if a + 1 == *b));
    number.is_empty() && !units.is_empty() && in_a_row
}
