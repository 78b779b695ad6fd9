//! Dinners cooked by the program itself, on a terminal and in lines.

#![cfg(unix)]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test fails by it"
)]

use std::{
    io::{BufRead, BufReader, Write},
    path::Path,
    process::{Child, Command, Stdio},
};

use mealtide::{
    engine::core::{Record, replay},
    live::{Event, State},
    log,
};
use rustix::process::{Pid, Signal, kill_process};

use crate::pty::{Pty, command};

const PROGRAM: &str = env!("CARGO_BIN_EXE_mealtide");
const FRIDAY: &str = "2026-11-27 18:45";
const MIDWINTER: &str = "2026-12-21 09:00";

/// A dinner that needs more keys than this never ends.
const KEYS: usize = 300;

/// The records of a log, all of it sound.
pub fn records(path: &Path) -> Vec<Record> {
    let reading = log::read::<Event>(path).unwrap();
    assert_eq!(reading.flaw, None);
    let records = reading.records.into_iter();
    records
        .map(|record| Record {
            at: record.ms,
            event: record.event,
        })
        .collect()
}

fn count(records: &[Record], is: impl Fn(&Event) -> bool) -> usize {
    records.iter().filter(|record| is(&record.event)).count()
}

/// Presses Space until all is served. A key may be pressed before the frame that answers the one before is read, so the
/// last may have closed the session already.
fn space_to_the_end(pty: &mut Pty) {
    for _ in 0..KEYS {
        if pty.drawn.contains("was on time") {
            return;
        }
        let goes_on = pty.press(" ");
        let served = pty.drawn.contains("was on time");
        assert!(goes_on || served, "it ended in mid-meal:\n{}", pty.drawn);
    }
    panic!("the dinner doesn't end:\n{}", pty.drawn);
}

#[test]
fn friday_fish_is_cooked_from_the_chooser_with_space_alone() {
    let home = tempfile::tempdir().unwrap();
    let mut command = command(PROGRAM, home.path());
    command.args(["--virtual", "--now", FRIDAY]);
    let mut pty = Pty::start(command);
    pty.wait_for("Friday fish");
    assert!(pty.press("\x1b[B"));
    let before = pty.frames();
    pty.keys("\r");
    pty.frame_after(before);
    pty.wait_for("Supper");
    space_to_the_end(&mut pty);
    let end = pty.drawn.clone();
    for course in ["Supper was on time", "Sweet was on time"] {
        assert!(end.contains(course), "{end}");
    }
    pty.keys(" ");
    assert!(pty.end());
    assert_eq!(pty.is_taken(), (false, false, false));
}

#[test]
fn every_step_of_friday_fish_is_in_the_log_once() {
    let home = tempfile::tempdir().unwrap();
    let log = home.path().join("friday.jsonl");
    let mut command = command(PROGRAM, home.path());
    command.args(["cook", "friday-fish", "--virtual", "--now", FRIDAY, "--log"]);
    command.arg(&log);
    let mut pty = Pty::start(command);
    pty.wait_for("Supper");
    space_to_the_end(&mut pty);
    pty.keys(" ");
    assert!(pty.end());
    let records = records(&log);
    let state = replay(&records).unwrap();
    for step in &state.script.steps {
        let begun = count(
            &records,
            |event| matches!(event, Event::Begun { step: s, .. } if *s == step.name),
        );
        let done = count(
            &records,
            |event| matches!(event, Event::Done { step: s } if *s == step.name),
        );
        assert_eq!((begun, done), (1, 1), "{}", step.name);
    }
    for course in 0..state.courses.len() {
        assert_eq!(
            count(&records, |event| *event == Event::Served { course }),
            1
        );
    }
    assert!(state.closed && state.courses.iter().all(|course| course.served.is_some()));
}

/// A plain session in virtual time, with a home of its own.
fn plain(home: &Path, arguments: &[&str], log: &Path) -> Child {
    let mut command = Command::new(PROGRAM);
    command
        .arg("cook")
        .args(arguments)
        .arg(log)
        .args(["--plain", "--virtual"]);
    command
        .env("TZ", "Europe/Berlin")
        .env("HOME", home)
        .env("XDG_STATE_HOME", home);
    command
        .env("XDG_CONFIG_HOME", home)
        .env("XDG_DATA_HOME", home)
        .current_dir(home);
    let pipes = command.stdin(Stdio::piped()).stdout(Stdio::piped());
    pipes.spawn().unwrap()
}

/// What a careless evening types: mostly Enter, now and then more time, something taken back, a note.
fn lines() -> Vec<&'static str> {
    let mut lines = vec![""; 400];
    for (at, line) in [
        (9, "more 7"),
        (14, "undo"),
        (22, "more 12"),
        (23, "note the meringue was slow"),
        (31, "more 5"),
        (32, "undo"),
        (41, "note half way"),
        (47, "more 9"),
        (52, "undo"),
    ] {
        lines[at] = line;
    }
    lines
}

/// Position of the line after whose acknowledgement the program is killed: "note half way".
const KILLED_AFTER: usize = 41;

/// Types lines until the program has ended; it must end well.
fn type_to_the_end(mut child: Child, lines: &[&str]) {
    let mut keys = child.stdin.take().unwrap();
    let mut out = child.stdout.take().unwrap();
    let reading = std::thread::spawn(move || std::io::copy(&mut out, &mut std::io::sink()));
    for line in lines {
        // What is typed after the session was closed reaches nobody.
        if writeln!(keys, "{line}").is_err() {
            break;
        }
    }
    drop(keys);
    reading.join().unwrap().unwrap();
    assert!(child.wait().unwrap().success());
}

/// The state without what differs when nothing was lost: the plan's own figures, which a search that begins anew may
/// reach by another schedule of the same cost.
fn what_happened(state: &State) -> State {
    let mut state = state.clone();
    state.plan = None;
    state
}

#[test]
fn midwinter_supper_survives_a_kill_in_its_middle() {
    let home = tempfile::tempdir().unwrap();
    let (whole, broken) = (
        home.path().join("whole.jsonl"),
        home.path().join("broken.jsonl"),
    );
    let begin = ["midwinter-supper", "--now", MIDWINTER, "--log"];
    let lines = lines();
    type_to_the_end(plain(home.path(), &begin, &whole), &lines);

    let mut child = plain(home.path(), &begin, &broken);
    let mut keys = child.stdin.take().unwrap();
    for line in &lines[..=KILLED_AFTER] {
        writeln!(keys, "{line}").unwrap();
    }
    let mut out = BufReader::new(child.stdout.take().unwrap()).lines();
    let noted = out
        .by_ref()
        .filter(|line| line.as_ref().is_ok_and(|line| line == "Noted."));
    assert_eq!(noted.take(2).count(), 2, "both notes are acknowledged");
    child.kill().unwrap();
    child.wait().unwrap();
    drop(keys);
    let kept = records(&broken);
    let half_way = Event::Noted {
        text: "half way".into(),
    };
    assert_eq!(
        count(&kept, |event| *event == half_way),
        1,
        "what was acknowledged is kept"
    );
    assert!(!replay(&kept).unwrap().finished());

    type_to_the_end(
        plain(home.path(), &["--resume"], &broken),
        &lines[KILLED_AFTER + 1..],
    );
    let (whole, broken) = (records(&whole), records(&broken));
    assert!(
        count(&whole, |event| matches!(event, Event::Extended { .. })) >= 2,
        "something ran over"
    );
    assert!(
        count(&whole, |event| *event == Event::Undone) >= 2,
        "something was taken back"
    );
    let (whole, broken) = (replay(&whole).unwrap(), replay(&broken).unwrap());
    assert!(whole.closed && whole.finished());
    assert_eq!(what_happened(&whole), what_happened(&broken));
}

fn friday_on_the_screen(home: &Path) -> Pty {
    let mut command = command(PROGRAM, home);
    command.args([
        "cook",
        "friday-fish",
        "--virtual",
        "--now",
        FRIDAY,
        "--log",
        "log.jsonl",
    ]);
    let mut pty = Pty::start(command);
    pty.wait_for("Supper");
    pty
}

#[test]
fn a_told_end_gives_the_terminal_back() {
    let home = tempfile::tempdir().unwrap();
    // What a terminal is before anything runs in it: `cat` changes nothing.
    let fresh = Pty::start(command("cat", home.path()));
    let before = fresh.modes();
    for signal in [Signal::TERM, Signal::HUP, Signal::INT] {
        let _ = std::fs::remove_file(home.path().join("log.jsonl"));
        let mut pty = friday_on_the_screen(home.path());
        assert_eq!(pty.is_taken(), (true, true, true));
        assert_ne!(pty.modes(), before);
        assert!(pty.press(" "));
        let id = i32::try_from(pty.child.process_id().unwrap()).unwrap();
        kill_process(Pid::from_raw(id).unwrap(), signal).unwrap();
        assert!(pty.end());
        assert_eq!(pty.is_taken(), (false, false, false));
        assert_eq!(pty.modes(), before);
        assert!(pty.text().contains("cook --resume"), "{}", pty.text());
        assert!(
            !replay(&records(&home.path().join("log.jsonl")))
                .unwrap()
                .closed
        );
    }
    let mut fresh = fresh;
    fresh.child.kill().unwrap();
    fresh.child.wait().unwrap();
}

/// As a job of a shell, which goes on with it after a line.
fn friday_in_a_shell(home: &Path) -> Pty {
    let mut command = command("bash", home);
    let script = "set -m; \"$0\" cook friday-fish --virtual --now \"$1\" --log log.jsonl; \
                  stty sane; echo GIVEN BACK; read -r line; fg >/dev/null; echo ENDED $?";
    command.args(["-c", script, PROGRAM, FRIDAY]);
    let mut pty = Pty::start(command);
    pty.wait_for("Supper");
    assert!(pty.press(" "));
    pty
}

#[test]
fn ctrl_z_gives_the_terminal_back_and_fg_takes_it() {
    let home = tempfile::tempdir().unwrap();
    let mut pty = friday_in_a_shell(home.path());
    pty.keys("\x1a");
    pty.wait_for("GIVEN BACK");
    assert_eq!(pty.is_taken(), (false, false, false));
    let before = pty.frames();
    pty.keys("\n");
    assert!(pty.frame_after(before));
    pty.wait_for("Supper");
    assert_eq!(pty.is_taken(), (true, true, true));
    space_to_the_end(&mut pty);
    pty.keys(" ");
    assert!(pty.end());
    assert!(pty.text().contains("ENDED 0"), "{}", pty.text());
    assert!(
        replay(&records(&home.path().join("log.jsonl")))
            .unwrap()
            .closed
    );
}

/// Stopped by another, the program has no time to give the terminal back; what the shell wrote meanwhile, and how it set
/// the terminal, is not what stands there when it goes on.
#[cfg(target_os = "linux")]
#[test]
fn who_is_stopped_unasked_takes_the_terminal_again() {
    let home = tempfile::tempdir().unwrap();
    let mut pty = friday_in_a_shell(home.path());
    let modes = pty.modes();
    let shell = pty.child.process_id().unwrap();
    let children = format!("/proc/{shell}/task/{shell}/children");
    let child = std::fs::read_to_string(children).unwrap();
    let child = Pid::from_raw(child.trim().parse().unwrap()).unwrap();
    kill_process(child, Signal::STOP).unwrap();
    pty.wait_for("GIVEN BACK");
    assert_ne!(pty.modes(), modes);
    pty.keys("\n");
    pty.until(|pty| !pty.text().contains("GIVEN BACK") && pty.text().contains("Supper"));
    assert_eq!(pty.modes(), modes);
    assert_eq!(pty.is_taken(), (true, true, true));
    space_to_the_end(&mut pty);
    pty.keys(" ");
    assert!(pty.end());
    assert!(pty.text().contains("ENDED 0"), "{}", pty.text());
}

#[test]
fn a_terminal_of_one_cell_is_borne() {
    let home = tempfile::tempdir().unwrap();
    let mut pty = friday_on_the_screen(home.path());
    for (rows, cols) in [(1, 1), (2, 200), (200, 1), (1, 1), (24, 80)] {
        let before = pty.frames();
        pty.resize(rows, cols);
        assert!(pty.frame_after(before), "it ended at {rows} x {cols}");
    }
    pty.resize(30, 100);
    pty.wait_for("Supper");
    space_to_the_end(&mut pty);
    pty.keys(" ");
    assert!(pty.end());
}
