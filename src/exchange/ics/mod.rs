//! Calendars: RFC 5545 (iCalendar), events with alarms.
//!
//! Times are written in UTC, so that no time zone has to be described. What is written passes [`check()`],
//! which knows nothing of the writer.

mod check;
mod write;

pub use check::{Fault, check};

use jiff::{Timestamp, ZonedDateTime};

/// A calendar to be written.
#[derive(Clone, Debug, PartialEq)]
pub struct Calendar {
    /// Who made it, as a formal public identifier: "-//Mealtide//Mealtide 0.1//EN".
    pub product: String,
    /// When it was made: DTSTAMP of every event.
    pub stamp: Timestamp,
    /// Its events.
    pub events: Vec<Event>,
}

/// An event.
#[derive(Clone, Debug, PartialEq)]
pub struct Event {
    /// Unique in the world and the same each time the same event is written.
    pub uid: String,
    /// When it begins, to the second.
    pub start: ZonedDateTime,
    /// When it ends; not before `start`.
    pub end: ZonedDateTime,
    /// One line.
    pub summary: String,
    /// More lines; empty: none.
    pub description: String,
    /// When to be told.
    pub alarms: Vec<Alarm>,
}

/// A reminder that is shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Alarm {
    /// Seconds before the event's start; negative: after it.
    pub before: i64,
    /// What it says.
    pub words: String,
}

impl Calendar {
    /// The calendar as text: lines of at most 75 octets, ended by CR LF.
    ///
    /// # Errors
    /// Every fault that [`check()`] finds in it: an event that ends before it starts, a uid that is empty or
    /// there twice, a product without a name.
    pub fn write(&self) -> Result<String, Vec<Fault>> {
        let text = write::calendar(self);
        let faults = check(&text);
        if faults.is_empty() {
            Ok(text)
        } else {
            Err(faults)
        }
    }
}

#[cfg(test)]
mod tests;
