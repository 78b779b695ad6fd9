//! What must hold for any bytes. Shared by the fuzzer and by a short run in the ordinary tests.

#![allow(dead_code, reason = "each fuzz target uses one of them")]

use std::{path::Path, sync::LazyLock, time::Duration};

use mealtide::{
    alert::{Notes, Priority, Tone},
    exchange::import,
    live::{Action, Event, Opening, State, typed::Typed},
    log::{
        Record, Stamped,
        learn::History,
        line::encode,
        parse,
        review::{Review, review},
    },
    measure::{self, Ratio, units::Units},
    menu::{self, config::Config, shop::Pantry},
    plan::frame::Part,
    screen::Theme,
};

/// What must not fail, whatever the bytes.
pub type Target = fn(&[u8]);

/// Every target by its name, which is that of its binary and of its folder of inputs.
pub const ALL: [(&str, Target); 13] = [
    ("log", log),
    ("records", records),
    ("session", session),
    ("dish", dish),
    ("kitchen", kitchen),
    ("config", config),
    ("page", page),
    ("pantry", pantry),
    ("notes", notes),
    ("history", history),
    ("theme", theme),
    ("typed", typed),
    ("measures", measures),
];

/// The target of that name.
pub fn named(name: &str) -> Target {
    let found = ALL.iter().find(|(known, _)| *known == name);
    found.expect("a target of that name").1
}

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
    let (first, mut state) = begun();
    let mut records = vec![first];
    let at = records[0].at.clone();
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
    // What may not reach a terminal is tamed by reading; after that a log reads as it was written.
    let tame = reread(&records);
    assert_eq!(tame.len(), records.len());
    assert_eq!(reread(&tame), tame);
}

/// Writes a log, and reads it.
fn reread(records: &[Record<Event>]) -> Vec<Record<Event>> {
    let mut bytes = Vec::new();
    for (record, seq) in records.iter().zip(0..) {
        let Record { at, ms, event, .. } = record.clone();
        encode(&mut bytes, seq, &Stamped { at, ms, event })
            .expect("an event that was read is written");
    }
    let again = parse::<Event>(&bytes).expect("what was written reads");
    assert_eq!(again.flaw, None);
    again.records
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

/// A session file: read, or refused with every fault in words that a terminal can show.
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
}

/// A dish file, by itself and with a kitchen.
pub fn dish(bytes: &[u8]) {
    for kitchen in [None, Some(&menu::Kitchen::default())] {
        let read = menu::load_dish("fuzzed.toml", bytes, kitchen);
        told(&read.map_or_else(|found| found, |read| read.1));
    }
}

/// A kitchen file.
pub fn kitchen(bytes: &[u8]) {
    let read = menu::load_kitchen("fuzzed.toml", bytes);
    told(&read.map_or_else(|found| found, |read| read.1));
}

/// The user's config.
pub fn config(bytes: &[u8]) {
    if let Err(found) = Config::read("fuzzed.toml", bytes) {
        assert!(found.has_errors());
        told(&found);
    }
}

/// What the pantry has.
pub fn pantry(bytes: &[u8]) {
    if let Err(found) = Pantry::read("fuzzed.toml", bytes) {
        assert!(found.has_errors());
        told(&found);
    }
}

/// Notes of sounds: what is read can be played, in bounded time and within full scale.
pub fn notes(bytes: &[u8]) {
    let notes = match Notes::read("fuzzed.toml", bytes) {
        Ok(notes) => notes,
        Err(found) => {
            assert!(found.has_errors());
            return told(&found);
        }
    };
    for priority in [Priority::Low, Priority::Medium, Priority::High] {
        let tone = Tone::of(notes.of(priority));
        assert!(
            tone.length() <= Duration::from_secs(60),
            "{priority:?} is endless"
        );
        let samples = tone.samples(1.0, 3);
        let level = |sample: &f32| sample.is_finite() && sample.abs() <= 1.0;
        assert!(samples.iter().all(level), "{priority:?} is out of scale");
    }
}

/// What was learned of a user's kitchen.
pub fn history(bytes: &[u8]) {
    let _ = History::read(Path::new("fuzzed.json"), bytes);
}

/// The user's colours.
pub fn theme(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    if let Ok(theme) = Theme::named("dark") {
        let _ = theme.patched(&text);
    }
}

/// Lines that a cook types, in a session that runs.
pub fn typed(bytes: &[u8]) {
    let (_, mut state) = begun();
    // From the second reading of a thermometer on, each is a fit that takes as long as a thousand other lines: they are
    // carried out in one input of 32.
    let (fits, mut readings) = (bytes.len() % 32 == 31, 0);
    for (line, now) in String::from_utf8_lossy(bytes).lines().take(32).zip(0..) {
        if let Ok(Typed::Act(action)) = state.typed(line, now * 60_000) {
            readings += i32::from(matches!(action, Action::Measure(..)));
            if readings > 1 && !fits {
                continue;
            }
            let Ok(event) = state.act(&action) else {
                continue;
            };
            let _ = state.after(&event, now * 60_000);
        }
    }
}

/// Amounts, times and temperatures as people write them.
pub fn measures(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    let _ = measure::duration::parse(&text);
    let _ = measure::temperature::celsius(&text);
    let _ = measure::temperature::rate(&text);
    let _ = measure::temperature::difference(&text);
    if let Ok(amount) = measure::quantity::parse(&text) {
        for units in [Units::Author, Units::Metric, Units::Us, Units::Both] {
            let shown = measure::units::show(&amount, "flour", "", units);
            assert!(!shown.contains(char::is_control));
        }
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

/// The first record of a small session, and the state after it: laid out once, for that takes longer than a run.
fn begun() -> (Record<Event>, State) {
    static BEGUN: LazyLock<(Record<Event>, State)> = LazyLock::new(|| {
        let first = opened();
        let Event::Opened(opening) = &first.event else {
            panic!("it opens");
        };
        let state = State::open(opening).expect("it can be cooked");
        (first, state)
    });
    BEGUN.clone()
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
