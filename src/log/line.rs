//! One record as one line: written, verified, read.

use std::borrow::Cow;

use jiff::{
    ZonedDateTime,
    fmt::temporal::{DateTimeParser, Pieces},
    tz::{OffsetConflict, TimeZone},
};
use serde::{Deserialize, Serialize, de::DeserializeOwned};

use super::FORMAT;
use crate::menu::text;

/// A record of a log.
#[derive(Clone, Debug, PartialEq)]
pub struct Record<E> {
    /// Its position in the log, from 0.
    pub seq: u64,
    /// Civil time at which it was recorded.
    pub at: ZonedDateTime,
    /// Session clock, in ms.
    pub ms: i64,
    /// What happened.
    pub event: E,
}

/// An event with its times, not yet in a log.
#[derive(Clone, Debug, PartialEq)]
pub struct Stamped<E> {
    /// Civil time.
    pub at: ZonedDateTime,
    /// Session clock, in ms.
    pub ms: i64,
    /// What happened.
    pub event: E,
}

#[derive(Serialize)]
struct Body<'a, E> {
    #[serde(skip_serializing_if = "Option::is_none")]
    format: Option<u32>,
    seq: u64,
    at: &'a ZonedDateTime,
    ms: i64,
    event: &'a E,
}

/// Appends the line of a record to `out`, line feed included.
///
/// # Errors
/// When the event cannot be written as JSON; `out` is then as it was.
pub fn encode<E: Serialize>(
    out: &mut Vec<u8>,
    seq: u64,
    stamped: &Stamped<E>,
) -> Result<(), serde_json::Error> {
    let from = out.len();
    let body = Body {
        format: (seq == 0).then_some(FORMAT),
        seq,
        at: &stamped.at,
        ms: stamped.ms,
        event: &stamped.event,
    };
    if let Err(error) = serde_json::to_writer(&mut *out, &body) {
        out.truncate(from);
        return Err(error);
    }
    out.pop(); // the closing brace: the checksum goes inside
    out.extend_from_slice(CRC_KEY);
    let crc = crc32fast::hash(out.get(from..).unwrap_or_default());
    out.extend_from_slice(format!("{crc:08x}\"}}\n").as_bytes());
    Ok(())
}

const CRC_KEY: &[u8] = b",\"crc\":\"";

/// Whether a line, without its line feed, is whole: its checksum is that of its bytes.
///
/// The digits are compared as text. Parsed without regard to case, one flipped bit ('a' to 'A') would go unseen.
pub fn whole(line: &[u8]) -> bool {
    let Some((covered, end)) = line.split_last_chunk::<10>() else {
        return false;
    };
    covered.ends_with(CRC_KEY) && format!("{:08x}\"}}", crc32fast::hash(covered)).as_bytes() == end
}

/// What every record says about itself, whatever its event.
#[derive(Deserialize)]
pub(super) struct Frame {
    /// In the first record only.
    pub format: Option<u32>,
    /// Its position.
    pub seq: u64,
}

pub(super) fn frame(line: &[u8]) -> Result<Frame, serde_json::Error> {
    serde_json::from_slice(line)
}

#[derive(Deserialize)]
struct Whole<E> {
    seq: u64,
    #[serde(deserialize_with = "civil")]
    at: ZonedDateTime,
    ms: i64,
    event: E,
}

/// Reads a record from a line that is [`whole`].
///
/// # Errors
/// When it is not JSON, or not a record of such events.
pub fn decode<E: DeserializeOwned>(line: &[u8]) -> Result<Record<E>, serde_json::Error> {
    let Whole { seq, at, ms, event } = serde_json::from_slice(&tamed(line))?;
    Ok(Record { seq, at, ms, event })
}

/// The line with what its strings may not bring to a terminal made U+FFFD, raw or escaped: whoever can write a log can
/// write its checksums, too. Line feeds and tabs stay.
fn tamed(line: &[u8]) -> Cow<'_, [u8]> {
    let unsafe_here = |c: char| text::is_unsafe(c) && !matches!(c, '\n' | '\t');
    let Ok(json) = str::from_utf8(line) else {
        return line.into();
    };
    // Most lines have no escape at all, and a look for one byte is the cheapest.
    let escapes = ["\\u", "\\b", "\\f", "\\r"];
    let escaped = line.contains(&b'\\') && escapes.iter().any(|escape| json.contains(escape));
    let control = |byte: &u8| byte.is_ascii_control() && !matches!(byte, b'\n' | b'\t');
    // A byte from 0xc0 on begins a character of several: only those are looked at as such.
    let several = |(at, &byte): (usize, &u8)| {
        byte >= 0xc0
            && json
                .get(at..)
                .and_then(|rest| rest.chars().next())
                .is_some_and(unsafe_here)
    };
    let raw =
        line.iter().any(control) || (!line.is_ascii() && line.iter().enumerate().any(several));
    if !escaped && !raw {
        return line.into();
    }
    let mut out = String::with_capacity(json.len());
    let mut rest = json.chars();
    while let Some(c) = rest.next() {
        if c != '\\' {
            out.push(if unsafe_here(c) { '\u{fffd}' } else { c });
            continue;
        }
        match rest.next() {
            Some('u') => {
                let digits = rest.as_str().get(..4).unwrap_or_default();
                let meant = u32::from_str_radix(digits, 16)
                    .ok()
                    .and_then(char::from_u32);
                if meant.is_some_and(unsafe_here) {
                    rest.nth(3);
                    out.push('\u{fffd}');
                } else {
                    out.push_str("\\u");
                }
            }
            Some('b' | 'f' | 'r') => out.push('\u{fffd}'),
            other => out.extend(std::iter::once('\\').chain(other)),
        }
    }
    out.into_bytes().into()
}

/// Civil time of a log. The offset decides what moment is meant, so a log stays readable where the rules of its zone
/// have changed since, or where the zone is not known at all.
fn civil<'de, D: serde::Deserializer<'de>>(from: D) -> Result<ZonedDateTime, D::Error> {
    static PARSER: DateTimeParser =
        DateTimeParser::new().offset_conflict(OffsetConflict::AlwaysOffset);
    let text = String::deserialize(from)?;
    PARSER.parse_zoned_datetime(&text).or_else(|error| {
        let known = || {
            let pieces = Pieces::parse(&text).ok()?;
            let zone = TimeZone::fixed(pieces.to_numeric_offset()?);
            let civil = pieces.date().to_datetime(pieces.time()?);
            zone.to_zoned_datetime(civil).ok()
        };
        known().ok_or_else(|| serde::de::Error::custom(error))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stamped(at: &str) -> Stamped<String> {
        Stamped {
            at: at.parse().unwrap(),
            ms: 1234,
            event: "done \"crc\":\" é".to_owned(),
        }
    }

    #[test]
    fn what_would_move_a_cursor_is_tamed() {
        for (written, read) in [
            ("plain é\n\t\u{1f372}", "plain é\n\t\u{1f372}"),
            ("a\u{1b}[2Jb\u{7f}", "a\u{fffd}[2Jb\u{fffd}"),
            ("\u{9b}31m\u{202e}x\r", "\u{fffd}31m\u{fffd}x\u{fffd}"),
            ("\\u001b \\\\ \\b", "\\u001b \\\\ \\b"),
        ] {
            let stamped = Stamped {
                event: written.to_owned(),
                ..stamped("2026-12-21T19:30:00.25+01:00[Europe/Berlin]")
            };
            let mut out = Vec::new();
            encode(&mut out, 0, &stamped).unwrap();
            let line = out.strip_suffix(b"\n").unwrap();
            assert!(whole(line));
            assert_eq!(decode::<String>(line).unwrap().event, read);
            // Escapes that this program doesn't write.
            let escaped: String = written
                .chars()
                .map(|c| match c as u32 {
                    code @ ..0x1_0000 if !c.is_ascii_graphic() => format!("\\u{code:04X}"),
                    _ => serde_json::to_string(&c)
                        .unwrap()
                        .trim_matches('"')
                        .to_owned(),
                })
                .collect();
            let at = "2026-12-21T19:30:00+01:00[Europe/Berlin]";
            let line = format!("{{\"seq\":0,\"at\":\"{at}\",\"ms\":0,\"event\":\"{escaped}\"}}");
            assert_eq!(
                decode::<String>(line.as_bytes()).unwrap().event,
                read,
                "{line}"
            );
        }
    }

    #[test]
    fn a_line_reads_back() {
        for (seq, begin) in [(0, "{\"format\":1,\"seq\":0,"), (7, "{\"seq\":7,")] {
            let stamped = stamped("2026-12-21T19:30:00.25+01:00[Europe/Berlin]");
            let mut out = b"before".to_vec();
            encode(&mut out, seq, &stamped).unwrap();
            let line = out.strip_prefix(b"before").unwrap();
            let line = line.strip_suffix(b"\n").unwrap();
            assert!(line.starts_with(begin.as_bytes()));
            assert!(whole(line));
            let Record {
                seq: read,
                at,
                ms,
                event,
            } = decode(line).unwrap();
            assert_eq!((read, ms, event), (seq, stamped.ms, stamped.event));
            assert_eq!(at, stamped.at);
            assert_eq!(at.to_string(), stamped.at.to_string());
        }
    }

    /// CRC-32 as in ISO 3309 and ITU-T V.42: check value of "123456789", from the catalogue of parametrised CRC
    /// algorithms (CRC-32/ISO-HDLC).
    #[test]
    fn the_checksum_is_crc_32() {
        assert_eq!(crc32fast::hash(b"123456789"), 0xcbf4_3926);
    }

    #[test]
    fn every_flipped_bit_of_a_line_is_found() {
        let mut line = Vec::new();
        encode(
            &mut line,
            3,
            &stamped("2026-12-21T19:30:00+01:00[Europe/Berlin]"),
        )
        .unwrap();
        line.pop();
        for bit in 0..line.len() * 8 {
            let mut flipped = line.clone();
            flipped[bit / 8] ^= 1 << (bit % 8);
            assert!(!whole(&flipped), "bit {bit}");
        }
        assert!(whole(&line));
    }

    #[test]
    fn an_unknown_zone_or_a_changed_rule_keeps_the_moment() {
        for at in [
            "2026-12-21T19:30:00+01:00[Atlantis/Capital]",
            "2026-12-21T19:30:00+01:00[America/New_York]",
        ] {
            let line = format!("{{\"seq\":1,\"at\":\"{at}\",\"ms\":0,\"event\":\"\"}}");
            let record: Record<String> = decode(line.as_bytes()).unwrap();
            assert_eq!(record.at.timestamp().to_string(), "2026-12-21T18:30:00Z");
        }
        let line = b"{\"seq\":1,\"at\":\"yesterday\",\"ms\":0,\"event\":\"\"}";
        assert!(decode::<String>(line).is_err());
    }
}
