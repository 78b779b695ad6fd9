//! What must hold for any bytes. Shared by the fuzzer and by a short run in the ordinary tests.

#![allow(dead_code, reason = "each fuzz target uses one of them")]

use mealtide::{
    exchange::import,
    live::{Event, Opening, State},
    log::{
        Record, Stamped,
        line::encode,
        parse,
        review::{Review, review},
    },
    measure::Ratio,
    menu,
    plan::frame::Part,
};

/// A log: any bytes are read or refused, and what is read reads the same again from the bytes that it was read from.
pub fn log(bytes: &[u8]) {
    let Ok(reading) = parse::<Event>(bytes) else {
        return;
    };
    assert!(reading.good <= bytes.len() as u64);
    assert!(!reading.records.is_empty());
    assert_eq!(reading.flaw.is_none(), reading.good == bytes.len() as u64);
    for (record, seq) in reading.records.iter().zip(0..) {
        assert_eq!(record.seq, seq);
    }
    let good = &bytes[..reading.good as usize];
    let again = parse::<Event>(good).expect("a good beginning reads");
    assert_eq!(again.flaw, None);
    assert_eq!(again.records, reading.records);
    reviewed(&reading.records);
}

/// Records that are whole by their checksums and say anything at all: one JSON value a line, of which those that are
/// events stand behind the opening of a session.
pub fn records(bytes: &[u8]) {
    let mut records = vec![opened()];
    let at = records[0].at.clone();
    let Event::Opened(opening) = &records[0].event else {
        panic!("it opens");
    };
    let mut state = State::open(opening).expect("it can be cooked");
    let mut ms = 0;
    for line in bytes.split(|byte| *byte == b'\n').take(64) {
        let Some((later, event)) = line.split_first_chunk::<2>() else {
            continue;
        };
        ms += i64::from(u16::from_le_bytes(*later)) * 1_000;
        let Ok(event) = serde_json::from_slice::<Event>(event) else {
            continue;
        };
        // What cannot have happened is refused, and leaves the state as it was.
        let before = state.clone();
        if state.after(&event, ms).is_err() {
            assert_eq!(state, before);
            continue;
        }
        let (at, seq) = (at.clone(), records.len() as u64);
        records.push(Record { seq, at, ms, event });
    }
    reviewed(&records);
    let mut bytes = Vec::new();
    for (record, seq) in records.iter().zip(0..) {
        let Record { at, ms, event, .. } = record.clone();
        encode(&mut bytes, seq, &Stamped { at, ms, event })
            .expect("an event that was read is written");
    }
    let again = parse::<Event>(&bytes).expect("what was written reads");
    assert_eq!((again.records, again.flaw), (records, None));
}

fn reviewed(records: &[Record<Event>]) {
    let Ok(review) = review(records) else {
        return;
    };
    let text = review.text(60);
    assert!(
        !text
            .chars()
            .any(|letter| letter.is_control() && letter != '\n')
    );
    accounted(&review);
}

/// Delays are explained without remainder, but for causes of less than a second each.
fn accounted(review: &Review) {
    for course in &review.courses {
        let Some(served) = course.served else {
            continue;
        };
        let sum: i64 = course.causes.iter().map(|cause| cause.cost).sum();
        let small = 2_000 * (review.steps.len() as i64 + 1);
        assert!((sum - (served - course.planned)).abs() <= small);
    }
}

/// A session file, a dish file, a kitchen file: read, or refused with every fault in words that a terminal can show.
pub fn session(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    match menu::load_text("fuzzed.toml", &text) {
        Ok(loaded) => {
            told(&loaded.warnings);
            // What is understood can be cooked, or it is said why not.
            let _ = State::open(&opening(loaded.session));
        }
        Err(found) => {
            assert!(found.has_errors());
            told(&found);
        }
    }
    for found in [
        menu::load_dish("fuzzed.toml", bytes, None).map(|read| read.1),
        menu::load_kitchen("fuzzed.toml", bytes).map(|read| read.1),
    ] {
        told(&found.unwrap_or_else(|found| found));
    }
}

/// A page with recipes: understood or refused; what is made of it is a dish that can be read.
pub fn page(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    let Ok(recipes) = import::recipes(&text) else {
        return;
    };
    for number in 1..=recipes.len().min(3) {
        if let Ok(dish) = import::dish(&text, number) {
            let read = menu::load_dish("page.toml", dish.as_bytes(), None);
            if let Err(found) = read {
                panic!("{found}\n{dish}");
            }
        }
    }
}

fn told(found: &menu::Diagnostics) {
    let text = found.render(false);
    assert!(
        !text
            .chars()
            .any(|letter| letter.is_control() && letter != '\n')
    );
}

/// The first record of a small session.
pub fn opened() -> Record<Event> {
    let session = menu::builtin::find("friday-fish").expect("it is built in");
    let session = session.load().expect("it has no fault").session;
    let opening = opening(session);
    Record {
        seq: 0,
        at: opening.opened.clone(),
        ms: 0,
        event: Event::Opened(Box::new(opening)),
    }
}

fn opening(session: menu::Session) -> Opening {
    Opening {
        program: "fuzz".to_owned(),
        session,
        part: Part::Service,
        quantile: Ratio::new(1, 2),
        opened: "2026-12-21T15:00:00+01:00[Europe/Berlin]"
            .parse()
            .expect("a moment"),
    }
}
