//! The program, killed at random moments: what it said had happened is in the log, and the log goes on.

#![allow(clippy::unwrap_used, reason = "a test fails by it")]

use std::{
    io::{BufRead, BufReader, Write},
    path::Path,
    process::{Child, Command, Stdio},
};

use mealtide::{live::Event, log};
use rand_pcg::{Pcg64, rand_core::Rng};

/// Typed between the notes, over and over: a cook who begins, dawdles, regrets and hurries.
const COOK: [&str; 10] = [
    "", "wait", "more 2", "undo", "", "wait 3", "done", "", "status", "less 1",
];

fn program(arguments: &[&str], log: &Path, home: &Path) -> Child {
    Command::new(env!("CARGO_BIN_EXE_mealtide"))
        .args(arguments)
        .arg(log)
        .env_clear()
        .env("HOME", home)
        .env("TZ", "UTC")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

/// What a log says.
#[derive(Default)]
struct Logged {
    /// In the order in which they happened.
    notes: Vec<String>,
    records: usize,
    closed: bool,
}

fn logged(path: &Path) -> Logged {
    let reading = log::read::<Event>(path).unwrap();
    assert!(
        reading.flaw.as_ref().is_none_or(log::Flaw::is_tail),
        "{:?}",
        reading.flaw
    );
    let notes = reading
        .records
        .iter()
        .filter_map(|record| match &record.event {
            Event::Noted { text } if text.starts_with("kill") => Some(text.clone()),
            _ => None,
        });
    Logged {
        notes: notes.collect(),
        records: reading.records.len(),
        closed: reading
            .records
            .last()
            .is_some_and(|last| last.event == Event::Closed),
    }
}

/// What came of all sittings.
#[derive(Debug, Default)]
struct Tally {
    kills: usize,
    acknowledged: usize,
    /// Notes that were in the log without having been acknowledged: the kill came between the two.
    unsaid: usize,
    torn: usize,
    records: usize,
}

/// One sitting: types notes and what a cook types, counts what is acknowledged, and kills at a random one. Whether the dinner
/// is over: it may have ended in the moment of the kill.
fn sitting(number: usize, log: &Path, home: &Path, random: &mut Pcg64, tally: &mut Tally) -> bool {
    let first = ["cook", "friday-fish", "--plain", "--virtual", "--log"];
    let again = ["cook", "--plain", "--virtual", "--resume"];
    let before = if number == 0 {
        Default::default()
    } else {
        logged(log)
    };
    let mut child = program(if number == 0 { &first } else { &again }, log, home);
    let mut typed = child.stdin.take().unwrap();
    let lines = BufReader::new(child.stdout.take().unwrap()).lines();
    let least = u64::from(number == 0);
    let until = (random.next_u64() % 25 + least) as usize;
    let phase = random.next_u64() as usize;
    // All at once: the program is in the midst of it when the kill comes. Its end is no fault of this end.
    let typing = std::thread::spawn(move || {
        for note in 0..60 {
            let does = COOK[(phase + note) % COOK.len()];
            if writeln!(typed, "note kill {number} {note}\n{does}").is_err() {
                break;
            }
        }
        typed
    });
    let mut said = 0;
    if until > 0 {
        for line in lines.map_while(Result::ok) {
            said += usize::from(line == "Noted.");
            if said == until {
                break;
            }
        }
    }
    child.kill().unwrap();
    let end = child.wait_with_output().unwrap();
    drop(typing.join().unwrap());
    // The cook who does the expected thing again and again comes to the end of the meal.
    let by_itself = said < until && end.status.success();
    assert!(
        said == until || by_itself,
        "sitting {number} ended: {}",
        String::from_utf8_lossy(&end.stderr)
    );

    let after = logged(log);
    let notes = &after.notes;
    let known = before.notes.len();
    assert_eq!(
        notes[..known],
        before.notes,
        "sitting {number} changed the past"
    );
    assert!(
        after.closed || !by_itself,
        "sitting {number}: ended, not closed"
    );
    let new = &notes[known..];
    let typed: Vec<String> = (0..new.len())
        .map(|note| format!("kill {number} {note}"))
        .collect();
    let undone = new == typed;
    assert!(undone, "sitting {number}: {new:?}");
    assert!(
        new.len() >= said,
        "sitting {number}: {said} acknowledged, {} in the log",
        new.len()
    );
    tally.kills += usize::from(!by_itself);
    tally.acknowledged += said;
    tally.unsaid += new.len() - said;
    tally.records += after.records - before.records;
    after.closed
}

fn kill(times: usize, seed: u128) -> Tally {
    let folder = tempfile::tempdir().unwrap();
    let mut random = Pcg64::new(seed, 9);
    let mut tally = Tally::default();
    let mut dinners = 0;
    while tally.kills < times {
        let log = folder.path().join(format!("dinner-{dinners}.jsonl"));
        let mut number = 0;
        let mut over = false;
        while tally.kills < times && !over {
            over = sitting(number, &log, folder.path(), &mut random, &mut tally);
            number += 1;
        }
        if !over {
            close(&log, folder.path());
        }
        dinners += 1;
    }
    let entries = std::fs::read_dir(folder.path()).unwrap();
    let torn = entries.filter(|entry| {
        entry
            .as_ref()
            .unwrap()
            .file_name()
            .to_string_lossy()
            .contains(".torn-")
    });
    tally.torn = torn.count();
    tally
}

/// After all that, it is a session like any other.
fn close(log: &Path, home: &Path) {
    let mut child = program(&["cook", "--plain", "--virtual", "--resume"], log, home);
    let mut typed = child.stdin.take().unwrap();
    typed.write_all(b"note at last\nclose\n").unwrap();
    drop(typed);
    let end = child.wait_with_output().unwrap();
    assert!(
        end.status.success(),
        "{}",
        String::from_utf8_lossy(&end.stderr)
    );
    let reading = log::read::<Event>(log).unwrap();
    assert_eq!(reading.flaw, None);
    assert_eq!(reading.records.last().unwrap().event, Event::Closed);
}

#[test]
fn twenty_kills_lose_nothing() {
    let tally = kill(20, 1);
    assert_eq!(tally.kills, 20);
    assert!(tally.acknowledged > 0, "{tally:?}");
}

/// `cargo test --test suite five_hundred_kills -- --ignored --nocapture`
#[test]
#[ignore = "takes minutes"]
fn five_hundred_kills_lose_nothing() {
    let mut all = Tally::default();
    for seed in 0..10 {
        let tally = kill(50, seed);
        all.kills += tally.kills;
        all.acknowledged += tally.acknowledged;
        all.unsaid += tally.unsaid;
        all.torn += tally.torn;
        all.records += tally.records;
    }
    println!("{all:?}");
    assert_eq!(all.kills, 500);
}
