//! What befalls a session from outside: clocks that disagree, a torn end, a full disk, a terminal that can't be drawn on.

#![cfg(unix)]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test fails by it"
)]

use std::{
    io::Write,
    path::{Path, PathBuf},
    process::{Command, Output, Stdio},
};

use mealtide::{
    engine::clock::Anchor,
    live::{Event, event::Believed},
};

use crate::{
    cook::records,
    pty::{Pty, command},
};

const PROGRAM: &str = env!("CARGO_BIN_EXE_mealtide");

/// Runs a program with lines typed into it, in a home of its own.
fn typed(program: &str, arguments: &[&str], lines: &str, home: &Path) -> Output {
    let mut child = Command::new(program)
        .args(arguments)
        .env_clear()
        .env("PATH", std::env::var_os("PATH").unwrap_or_default())
        .env("HOME", home)
        .env("TZ", "Europe/Berlin")
        .current_dir(home)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut keys = child.stdin.take().unwrap();
    // A program that has ended reads no more.
    let _ = keys.write_all(lines.as_bytes());
    drop(keys);
    child.wait_with_output().unwrap()
}

/// A session that was left, with its log.
fn left(home: &Path) -> PathBuf {
    let arguments = ["cook", "friday-fish", "--plain", "--log", "log.jsonl"];
    let end = typed(PROGRAM, &arguments, "quit\n", home);
    assert!(end.status.success(), "{end:?}");
    home.join("log.jsonl")
}

fn resumed(home: &Path) -> Pty {
    let mut command = command(PROGRAM, home);
    command.args(["cook", "--resume", "log.jsonl"]);
    Pty::start(command)
}

fn leave(mut pty: Pty) {
    pty.keys("q");
    pty.wait_for("Leave the kitchen?");
    pty.keys("\r");
    assert!(pty.end(), "{}", pty.text());
}

#[cfg(target_os = "linux")]
#[test]
fn the_cook_says_which_of_two_clocks_is_right() {
    let home = tempfile::tempdir().unwrap();
    let log = left(home.path());
    let last = records(&log).last().unwrap().at;
    // As if the clock on the wall had been set back by an hour meanwhile.
    let mut anchor = Anchor::load(&log).unwrap();
    anchor.zero -= 3_600_000;
    anchor.save(&log).unwrap();
    let mut pty = resumed(home.path());
    pty.wait_for("Two clocks disagree");
    pty.keys("perhaps\r");
    pty.wait_for("perhaps");
    pty.keys("machine\r");
    pty.wait_for("Supper");
    assert_eq!(pty.is_taken(), (true, true, true));
    leave(pty);
    let told = records(&log);
    let decided = told.iter().find_map(|record| match record.event {
        Event::ClocksDisagreed { believed, .. } => Some((record.at, believed)),
        _ => None,
    });
    let (at, believed) = decided.unwrap();
    assert_eq!(believed, Believed::Machine);
    assert!(at >= last + 3_600_000, "the machine's hour counts");
}

#[test]
fn a_torn_end_is_set_aside_and_told_on_the_screen() {
    let home = tempfile::tempdir().unwrap();
    let log = left(home.path());
    let mut file = std::fs::OpenOptions::new().append(true).open(&log).unwrap();
    file.write_all(b"{\"seq\":").unwrap();
    drop(file);
    let mut pty = resumed(home.path());
    pty.wait_for("Supper");
    pty.keys("q");
    pty.wait_for("Leave the kitchen?");
    pty.keys("\r");
    assert!(pty.end());
    // Once before the terminal is taken, and on the first frame.
    let written = String::from_utf8_lossy(&pty.written);
    let told = written.matches("a torn end of the log was set aside");
    assert_eq!(told.count(), 2);
    let torn = std::fs::read(home.path().join("log.jsonl.torn-1")).unwrap();
    assert_eq!(torn, b"{\"seq\":");
    // What was set aside is in the log as well: all of it is sound again.
    let told = records(&log);
    let noted = |event: &Event| matches!(event, Event::Noted { text } if text.contains("torn-1"));
    assert!(told.iter().any(|record| noted(&record.event)));
}

#[test]
fn a_second_cook_is_told_who_has_the_log() {
    let home = tempfile::tempdir().unwrap();
    left(home.path());
    let mut first = resumed(home.path());
    first.wait_for("Supper");
    let resume = ["cook", "--plain", "--resume", "log.jsonl"];
    let second = typed(PROGRAM, &resume, "quit\n", home.path());
    assert_eq!(second.status.code(), Some(2));
    let said = String::from_utf8(second.stderr).unwrap();
    let who = format!("process {}, since", first.child.process_id().unwrap());
    assert!(said.contains(&who), "{said}");
    leave(first);
}

/// The kernel's limit on the size of files stands for a full disk: below it writing goes on.
#[test]
fn whoever_leaves_while_the_disk_is_full_is_told_what_is_lost() {
    let home = tempfile::tempdir().unwrap();
    // An ignored signal stays ignored in what the shell becomes: a write then fails instead of killing.
    let script = "trap '' XFSZ; ulimit -f 16; exec \"$0\" \"$@\"";
    let mut arguments = vec!["-c", script, PROGRAM, "cook", "friday-fish", "--plain"];
    arguments.extend([
        "--virtual",
        "--now",
        "2026-11-27 18:45",
        "--log",
        "log.jsonl",
    ]);
    let mut lines = format!("note {}\n", "x".repeat(150)).repeat(60);
    lines += "quit\nquit\n";
    let end = typed("sh", &arguments, &lines, home.path());
    let (out, error) = (
        String::from_utf8(end.stdout).unwrap(),
        String::from_utf8(end.stderr).unwrap(),
    );
    assert_eq!(end.status.code(), Some(2), "{error}");
    assert!(out.contains("The session goes on in memory"), "{out}");
    let asked = out.matches("Not done: the log can't be written").count();
    assert_eq!(asked, 1, "{out}");
    assert!(
        error.contains("could not be written and are lost"),
        "{error}"
    );
    assert!(error.contains("cook --resume 'log.jsonl'"), "{error}");
    // What fits is there, whole.
    assert!(records(&home.path().join("log.jsonl")).len() > 3);
}

#[test]
fn a_terminal_that_cannot_be_drawn_on_is_named() {
    let home = tempfile::tempdir().unwrap();
    let mut dumb = command(PROGRAM, home.path());
    dumb.env("TERM", "dumb");
    dumb.args(["cook", "friday-fish", "--virtual"]);
    let mut pty = Pty::start(dumb);
    assert!(!pty.end());
    assert!(pty.text().contains("use --plain"), "{}", pty.text());
    assert!(!pty.written.contains(&0x1b), "no escape sequence is sent");
}

/// The program that is run in the terminal is this test: no key of the real one brings a panic about.
#[test]
fn a_panic_on_any_thread_gives_the_terminal_back_and_says_how_to_go_on() {
    if std::env::var_os("MEALTIDE_TEST_PANIC").is_some() {
        mealtide::commands::cook::end_on_panic(Some("supper.jsonl".into()));
        mealtide::screen::terminal::enter(true).unwrap();
        std::thread::spawn(|| panic!("the roof fell in"));
        loop {
            std::thread::park();
        }
    }
    let home = tempfile::tempdir().unwrap();
    let mut fresh = Pty::start(command("cat", home.path()));
    let test = std::env::current_exe().unwrap();
    let mut command = command(test.to_str().unwrap(), home.path());
    command.env("MEALTIDE_TEST_PANIC", "1");
    let name = "a_panic_on_any_thread_gives_the_terminal_back_and_says_how_to_go_on";
    command.args(["--exact", &format!("adversity::{name}"), "--nocapture"]);
    let mut pty = Pty::start(command);
    assert!(!pty.end());
    assert_eq!(pty.is_taken(), (false, false, false));
    assert!(!pty.mouse());
    assert_eq!(pty.modes(), fresh.modes());
    let said = pty.text();
    assert!(said.contains("the roof fell in"), "{said}");
    assert!(
        said.contains("go on with: mealtide cook --resume 'supper.jsonl'"),
        "{said}"
    );
    fresh.child.kill().unwrap();
    fresh.child.wait().unwrap();
}
