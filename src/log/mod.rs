//! The log: append, verify, recover, read back, review. Owns the file.
//!
//! A log is JSON Lines: one record a line, in the order in which things happened, with nothing ever rewritten.
//!
//! ```text
//! {"format":1,"seq":0,"at":"2026-12-21T15:02:11+01:00[Europe/Berlin]","ms":0,"event":{...},"crc":"0f3c9a11"}
//! {"seq":1,"at":"2026-12-21T15:02:14.52+01:00[Europe/Berlin]","ms":3520,"event":{...},"crc":"77ab0142"}
//! ```
//!
//! - `format` stands first in the first record and nowhere else. Every later format keeps the frame of that record,
//!   so that an older program can say that a log is too new for it.
//! - `seq` counts from 0 without a gap. `at` is civil time with offset and zone (RFC 9557, which extends RFC 3339).
//!   `ms` is the session clock.
//! - `crc` is the CRC-32 of every byte of the line before its eight hexadecimal digits, which are lower-case. What
//!   follows the digits is fixed, so no byte of a line is outside of the check.
//!
//! The room is generic over the event: it knows how a log is kept and not what a session is. Only `review` and
//! `learn` know that.

pub mod disk;
pub mod learn;
pub mod line;
pub mod lock;
pub mod place;
pub mod read;
pub mod review;
pub mod writer;

#[cfg(test)]
pub(crate) mod sample;

pub use line::{Record, Stamped};
pub use read::{Flaw, Reading, Refusal, parse, read};
pub use writer::{Ack, Health, OpenError, Opened, Writer, Written};

/// The version of the format that this program writes, and the newest that it reads.
pub const FORMAT: u32 = 1;

/// A log larger than this is refused, in bytes: an evening makes some hundred kilobytes.
pub const LIMIT: u64 = 256 << 20;
