//! Reviews of real logs, on the command line.

#![allow(clippy::unwrap_used, reason = "a test fails by it")]

use std::{
    fs,
    path::{Path, PathBuf},
    process::{Command, Output},
};

use mealtide::{
    engine::core::{Core, Effort},
    live::{Action, Event},
    log::{Stamped, line::encode},
    plan::solver::Search,
};

use super::fuzz::targets;

fn mealtide(arguments: &[&str], home: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_mealtide"))
        .args(arguments)
        .env_clear()
        .env("HOME", home)
        .env("TZ", "Europe/Berlin")
        .output()
        .unwrap()
}

/// A dinner at which every step takes 50 % longer than planned, written as a log.
fn slow_dinner(folder: &Path) -> PathBuf {
    let first = targets::opened();
    let Event::Opened(opening) = first.event else {
        panic!("it opens");
    };
    let mut core = Core::open(
        *opening,
        Search::new(),
        Effort {
            first: 20,
            again: 1,
        },
    )
    .unwrap();
    let steps = core.state().steps.len();
    // One after the other: each waits for all before it in the order of the plan.
    let mut order: Vec<usize> = (0..steps).collect();
    order.sort_by_key(|step| core.state().planned_start(*step));
    let mut now = core.state().planned_start(order[0]).unwrap();
    for step in order {
        now += 60_000;
        core.act(&Action::Begin(step), now).unwrap();
        now += core.state().script.steps[step].length * 3 / 2;
        core.act(&Action::Finish(step), now).unwrap();
    }
    for course in 0..core.state().courses.len() {
        now += 60_000;
        core.act(&Action::Serve(course), now).unwrap();
    }
    core.act(&Action::Close, now).unwrap();
    let mut bytes = Vec::new();
    for (record, seq) in core.drain().into_iter().zip(0..) {
        let stamped = Stamped {
            at: core.state().clock(record.at),
            ms: record.at,
            event: record.event,
        };
        encode(&mut bytes, seq, &stamped).unwrap();
    }
    let path = folder.join("dinner.jsonl");
    fs::write(&path, bytes).unwrap();
    path
}

#[test]
fn a_slow_dinner_is_reviewed_and_the_next_plan_knows_it() {
    let home = tempfile::tempdir().unwrap();
    let log = slow_dinner(home.path());
    let log = log.to_str().unwrap();
    let plan = [
        "plan",
        "friday-fish",
        "--now",
        "2026-12-21 15:00",
        "--seconds",
        "1",
    ];
    let before = mealtide(&plan, home.path());
    assert!(!String::from_utf8_lossy(&before.stdout).contains("usually"));

    let told = mealtide(&["review", log, "--no-learn"], home.path());
    assert_eq!(
        (
            told.status.code(),
            String::from_utf8_lossy(&told.stderr).as_ref()
        ),
        (Some(0), "")
    );
    let text = String::from_utf8_lossy(&told.stdout).into_owned();
    for word in [" late", "longer", " plan -", " was ="] {
        assert!(text.contains(word), "{word}: {text}");
    }
    assert!(
        !home
            .path()
            .join(".local/share/mealtide/history.json")
            .exists()
    );

    for _ in 0..2 {
        let told = mealtide(&["review", log], home.path());
        assert_eq!(told.status.code(), Some(0));
        let text = String::from_utf8_lossy(&told.stdout).into_owned();
        assert!(
            text.contains("Learned, and used by the next plan"),
            "{text}"
        );
        assert!(
            text.contains("(1 evening)") && !text.contains("evenings)"),
            "{text}"
        );
    }
    assert!(
        home.path()
            .join(".local/share/mealtide/history.json")
            .exists()
    );
    let after = mealtide(&plan, home.path());
    let text = String::from_utf8_lossy(&after.stdout).into_owned();
    assert!(text.contains("here, recipe says"), "{text}");

    // One key switches it off.
    let config = home.path().join(".config/mealtide");
    fs::create_dir_all(&config).unwrap();
    fs::write(config.join("config.toml"), "learn = false\n").unwrap();
    let after = mealtide(&plan, home.path());
    assert!(!String::from_utf8_lossy(&after.stdout).contains("recipe says"));
}

#[test]
fn a_review_in_json_and_as_chapters() {
    let home = tempfile::tempdir().unwrap();
    let log = slow_dinner(home.path());
    let log = log.to_str().unwrap();
    let json = mealtide(&["review", log, "--json", "--no-learn"], home.path());
    let json: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
    let review = &json["reviews"][0];
    assert_eq!(review["closed"], true);
    for course in review["courses"].as_array().unwrap() {
        let sum: i64 = course["causes"]
            .as_array()
            .unwrap()
            .iter()
            .map(|cause| cause["cost"].as_i64().unwrap())
            .sum();
        let later = course["served"].as_i64().unwrap() - course["planned"].as_i64().unwrap();
        assert_eq!(sum, later, "{course}");
    }
    let chapters = mealtide(&["review", log, "--chapters"], home.path());
    let text = String::from_utf8(chapters.stdout).unwrap();
    assert!(
        text.starts_with("WEBVTT\n\n1\n") && text.contains(" --> "),
        "{text}"
    );
}

#[test]
fn what_is_no_log_is_refused_with_its_name() {
    let home = tempfile::tempdir().unwrap();
    let (none, other) = (
        home.path().join("none.jsonl"),
        home.path().join("other.jsonl"),
    );
    fs::write(&other, "title = 'Supper'\n").unwrap();
    let told = mealtide(
        &["review", none.to_str().unwrap(), other.to_str().unwrap()],
        home.path(),
    );
    assert_eq!(
        (told.status.code(), told.stdout.as_slice()),
        (Some(2), &b""[..])
    );
    let text = String::from_utf8_lossy(&told.stderr).into_owned();
    assert!(text.contains("none.jsonl: cannot read it"), "{text}");
    assert!(text.contains("other.jsonl: its first record"), "{text}");
}
