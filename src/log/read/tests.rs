use rand_pcg::{Pcg64, rand_core::Rng};

use super::*;
use crate::log::{Stamped, line::encode};

type Event = (String, i64);

fn events(count: usize) -> Vec<Event> {
    let text = ["begun", "soup is \"done\"\n", "grün", "", "{}"];
    (0..count)
        .map(|number| (text[number % text.len()].to_owned(), number as i64))
        .collect()
}

fn log(count: usize) -> Vec<u8> {
    let mut bytes = Vec::new();
    for (seq, event) in (0..).zip(events(count)) {
        let stamped = Stamped {
            at: "2026-12-21T15:00:00+01:00[Europe/Berlin]".parse().unwrap(),
            ms: event.1 * 10,
            event,
        };
        encode(&mut bytes, seq, &stamped).unwrap();
    }
    bytes
}

fn said(reading: &Reading<Event>) -> Vec<Event> {
    let events = reading.records.iter();
    events.map(|record| record.event.clone()).collect()
}

/// Whatever became of the bytes, what is read is a beginning of what was written.
fn read_is_true(bytes: &[u8], written: &[Event]) -> Option<usize> {
    match parse::<Event>(bytes) {
        Ok(reading) => {
            let said = said(&reading);
            assert_eq!(said, written[..said.len()]);
            assert_eq!(reading.good == bytes.len() as u64, reading.flaw.is_none());
            Some(said.len())
        }
        Err(refusal) => {
            assert!(!refusal.to_string().is_empty());
            None
        }
    }
}

#[test]
fn a_sound_log_reads_whole() {
    let reading: Reading<Event> = parse(&log(9)).unwrap();
    assert_eq!(said(&reading), events(9));
    assert_eq!((reading.format, reading.flaw), (FORMAT, None));
}

#[test]
fn a_log_cut_at_every_byte_keeps_every_whole_record() {
    let bytes = log(8);
    let written = events(8);
    for length in 0..=bytes.len() {
        let cut = &bytes[..length];
        let ends = cut.iter().filter(|byte| **byte == b'\n').count();
        // A record that lacks its line feed alone is whole, too.
        let whole = ends + usize::from(bytes.get(length) == Some(&b'\n'));
        assert_eq!(read_is_true(cut, &written).unwrap_or(0), whole, "{length}");
        if whole > 0 && whole == ends {
            let flaw = parse::<Event>(cut).unwrap().flaw;
            assert_eq!(flaw.is_some(), !cut.ends_with(b"\n"));
            assert!(flaw.is_none_or(|flaw| flaw.is_tail() && flaw.what == What::Torn));
        }
    }
}

#[test]
fn every_flipped_bit_is_found_and_what_stands_before_it_is_kept() {
    let bytes = log(12);
    let written = events(12);
    let mut random = Pcg64::new(20_261_221, 5);
    for _ in 0..2_000 {
        let bit = random.next_u64() as usize % (bytes.len() * 8);
        let mut flipped = bytes.clone();
        flipped[bit / 8] ^= 1 << (bit % 8);
        let before = bytes[..bit / 8]
            .iter()
            .filter(|byte| **byte == b'\n')
            .count();
        let kept = read_is_true(&flipped, &written);
        assert_eq!(kept.unwrap_or(0), before, "bit {bit}");
        if let Ok(Reading { flaw, .. }) = parse::<Event>(&flipped) {
            let flaw = flaw.unwrap();
            assert_eq!(flaw.line, before + 1);
            // Damage to one line feed takes the record behind it along.
            let after = 12 - before - 1;
            let merged = usize::from(bytes[bit / 8] == b'\n' && after > 0);
            assert_eq!(flaw.whole_after, after - merged);
        }
    }
}

#[test]
fn zeros_after_a_crash_are_a_tail() {
    for length in [1, 100, 4096] {
        let mut bytes = log(5);
        let good = bytes.len();
        bytes.resize(good + length, 0);
        let reading: Reading<Event> = parse(&bytes).unwrap();
        assert_eq!(said(&reading), events(5));
        assert_eq!(reading.good, good as u64);
        let flaw = reading.flaw.unwrap();
        assert!(flaw.is_tail());
        assert_eq!((flaw.line, flaw.offset), (6, good as u64));
    }
}

#[test]
fn damage_in_the_middle_is_told_with_line_and_byte() {
    let bytes = log(6);
    let lines: Vec<&[u8]> = bytes.split_inclusive(|byte| *byte == b'\n').collect();
    let offset = lines[0].len() + lines[1].len();
    let mut damaged = bytes.clone();
    damaged[offset + 20] ^= 0x40;
    let reading: Reading<Event> = parse(&damaged).unwrap();
    assert_eq!(said(&reading), events(2));
    let flaw = reading.flaw.unwrap();
    assert_eq!((flaw.line, flaw.offset), (3, offset as u64));
    assert_eq!((flaw.whole_after, flaw.is_tail()), (3, false));
    assert_eq!(
        flaw.to_string(),
        format!("line 3 (byte {offset}): the record is damaged (its checksum does not fit)")
    );
}

#[test]
fn a_record_that_is_missing_or_twice_is_not_a_tail() {
    let bytes = log(4);
    let lines: Vec<&[u8]> = bytes.split_inclusive(|byte| *byte == b'\n').collect();
    let missing = [lines[0], lines[1], lines[3]].concat();
    let twice = [lines[0], lines[1], lines[1]].concat();
    for (bytes, found) in [(missing, 3), (twice, 1)] {
        let reading: Reading<Event> = parse(&bytes).unwrap();
        let flaw = reading.flaw.unwrap();
        let expected = 2;
        assert_eq!(flaw.what, What::Sequence { expected, found });
        assert!(!flaw.is_tail());
    }
}

#[test]
fn an_event_of_another_kind_is_not_a_tail() {
    let reading = parse::<(i64, String)>(&log(1));
    assert!(matches!(reading, Err(Refusal::NoBeginning(flaw)) if !flaw.is_tail()));
}

/// A line of another format, whole by its checksum.
fn seal(body: &str) -> Vec<u8> {
    let mut line = format!("{body},\"crc\":\"").into_bytes();
    let crc = crc32fast::hash(&line);
    line.extend_from_slice(format!("{crc:08x}\"}}\n").as_bytes());
    line
}

#[test]
fn formats_are_told_apart() {
    let newer = seal("{\"format\":2,\"seq\":0,\"event\":{\"unheard\":\"of\"}");
    let refusal = parse::<Event>(&newer).unwrap_err();
    assert!(matches!(refusal, Refusal::Newer { found: 2 }));
    assert_eq!(
        refusal.to_string(),
        "it has format 2, and this version reads formats up to 1: use a newer mealtide"
    );
    let none = seal("{\"seq\":0,\"at\":\"2026-12-21T15:00:00Z[UTC]\",\"ms\":0,\"event\":[\"\",1]");
    assert!(matches!(parse::<Event>(&none), Err(Refusal::NotALog)));
    assert!(matches!(parse::<Event>(b""), Err(Refusal::Empty)));
    for other in [&b"title = \"Supper\"\n"[..], b"{}\n", b"\n\n", &[0; 64]] {
        let refusal = parse::<Event>(other).unwrap_err();
        assert!(matches!(refusal, Refusal::NoBeginning(_)), "{refusal}");
    }
}
