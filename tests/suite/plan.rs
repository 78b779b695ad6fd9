//! Plans of session files, on the command line, checked from outside by a program that shares nothing with this one.

use std::{
    io::Write,
    path::{Path, PathBuf},
    process::{Command, Output, Stdio},
};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn mealtide(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_mealtide"))
        .args(args)
        .env("TZ", "Europe/Berlin")
        .stdin(Stdio::null())
        .output()
        .expect("the program runs")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("UTF-8")
}

/// Whether Python with a TOML reader is there; says so where it isn't.
fn python() -> bool {
    let there = Command::new("python3")
        .args(["-c", "import tomllib"])
        .stderr(Stdio::null())
        .status();
    let there = there.is_ok_and(|s| s.success());
    if !there {
        eprintln!("left out: no python3 with tomllib to check plans from outside");
    }
    there
}

/// Checks a plan from outside.
fn checked(session: &Path, plan: &[u8]) {
    let mut check = Command::new("python3")
        .arg(root().join("tests/outside/check_plan.py"))
        .arg(session)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("python3 runs");
    check
        .stdin
        .take()
        .expect("piped")
        .write_all(plan)
        .expect("written");
    let said = check.wait_with_output().expect("an answer");
    assert!(
        said.status.success(),
        "{}: {}{}\n{}",
        session.display(),
        text(&said.stdout),
        text(&said.stderr),
        text(plan)
    );
}

/// The sessions that are built in: early enough and too late, at two quantiles.
#[test]
fn plans_of_the_sessions_are_correct_by_an_outside_check() {
    if !python() {
        return;
    }
    for name in ["midwinter-supper", "friday-fish", "garden-lunch"] {
        let path = root().join("sessions").join(format!("{name}.toml"));
        let file = path.to_str().expect("a name");
        for now in ["2026-12-21 08:00", "2026-12-21 18:50"] {
            for quantile in ["0.5", "0.9"] {
                let said = mealtide(&[
                    "plan",
                    file,
                    "--now",
                    now,
                    "--quantile",
                    quantile,
                    "--seconds",
                    "0.5",
                    "--json",
                ]);
                assert!(
                    matches!(said.status.code(), Some(0 | 1)),
                    "{name} {now}: {}",
                    text(&said.stderr)
                );
                checked(&path, &said.stdout);
            }
        }
    }
}

#[test]
fn plans_of_random_sessions_are_correct_by_an_outside_check() {
    if !python() {
        return;
    }
    let folder = tempfile::tempdir().expect("a folder");
    for seed in 1..=12 {
        let made = Command::new("python3")
            .arg(root().join("tests/outside/random_session.py"))
            .arg(seed.to_string())
            .output()
            .expect("python3 runs");
        let path = folder.path().join(format!("{seed}.toml"));
        std::fs::write(&path, made.stdout).expect("written");
        let file = path.to_str().expect("a name");
        let said = mealtide(&[
            "plan",
            file,
            "--now",
            "2026-12-21 09:00",
            "--seconds",
            "0.3",
            "--json",
        ]);
        assert!(
            matches!(said.status.code(), Some(0 | 1)),
            "seed {seed}: {}",
            text(&said.stderr)
        );
        checked(&path, &said.stdout);
    }
}

/// A check that can't fail would be none: a step a tick earlier, a bound too high, a knob never turned.
#[test]
fn the_outside_check_finds_what_is_wrong() {
    if !python() {
        return;
    }
    let path = root().join("sessions/friday-fish.toml");
    let said = mealtide(&[
        "plan",
        path.to_str().expect("a name"),
        "--now",
        "2026-12-21 17:00",
        "--json",
    ]);
    let plan: serde_json::Value = serde_json::from_slice(&said.stdout).expect("JSON");
    let spoilt = |spoil: &dyn Fn(&mut serde_json::Value)| {
        let mut plan = plan.clone();
        spoil(&mut plan);
        let plan = plan.to_string();
        std::panic::catch_unwind(|| checked(&path, plan.as_bytes())).is_err()
    };
    assert!(!spoilt(&|_| {}));
    assert!(spoilt(&|p| p["bound"] = 1_000_000.into()));
    assert!(spoilt(&|p| p["ovens"][0]["changes"] = serde_json::json!([])));
    for step in 0..plan["steps"].as_array().expect("steps").len() {
        let start = plan["steps"][step]["start"].as_i64().expect("a tick");
        assert!(
            spoilt(&|p| p["steps"][step]["start"] = (start - 300).into()),
            "step {step}"
        );
    }
}

#[test]
fn exit_codes_say_on_time_late_and_at_fault() {
    let code = |args: &[&str]| mealtide(args).status.code();
    assert_eq!(
        code(&["plan", "friday-fish", "--now", "2026-12-21 17:00"]),
        Some(0)
    );
    assert_eq!(
        code(&["plan", "friday-fish", "--now", "2026-12-21 19:20"]),
        Some(1)
    );
    for wrong in [
        &["plan", "no-such-file.toml"][..],
        &["plan", "friday-fish", "--now", "yesterday"],
        &["plan", "friday-fish", "--quantile", "2"],
        &["plan", "friday-fish", "--seconds", "0"],
        &["plan", "friday-fish", "--why", "potatoes"],
        &["plan", "friday-fish", "--why", "potatoes/boil"],
        &["plan", "friday-fish", "--ahead"],
        &["plan", "friday-fish", "--json", "--markdown"],
    ] {
        let said = mealtide(wrong);
        assert_eq!(said.status.code(), Some(2), "{wrong:?}");
        assert_eq!(text(&said.stdout), "", "{wrong:?}");
        assert!(!said.stderr.is_empty(), "{wrong:?}");
    }
}

#[test]
fn every_form_is_printed_and_the_same_each_time() {
    for form in [
        "--json",
        "--markdown",
        "--ics",
        "--timeline",
        "--prep",
        "--why=new-potatoes/boil",
        "--ahead=no",
    ] {
        let args = ["plan", "friday-fish", "--now", "2026-12-21 17:00", form];
        let args = if form == "--ahead=no" {
            &args[..4]
        } else {
            &args[..]
        };
        let strip = |out: &Output| {
            let lines = text(&out.stdout);
            lines
                .lines()
                .filter(|l| !l.contains("solve_ms") && !l.starts_with("DTSTAMP"))
                .collect::<Vec<_>>()
                .join("\n")
        };
        let (one, other) = (mealtide(args), mealtide(args));
        assert_eq!(one.status.code(), Some(0), "{form}: {}", text(&one.stderr));
        assert!(one.stdout.len() > 100, "{form}");
        assert_eq!(strip(&one), strip(&other), "{form}");
    }
}

#[test]
fn a_sure_plan_takes_a_higher_quantile_and_says_so() {
    let args = [
        "plan",
        "garden-lunch",
        "--now",
        "2026-12-21 08:00",
        "--sure",
        "85 %",
        "--seconds",
        "2",
    ];
    let said = mealtide(&args);
    assert_eq!(said.status.code(), Some(0), "{}", text(&said.stderr));
    assert!(
        text(&said.stdout).contains("to be as sure as asked"),
        "{}",
        text(&said.stdout)
    );
}

#[test]
fn cookware_that_is_held_crosswise_is_named_at_the_step_that_waits() {
    // Soup holds the pot until its third step and wants the bowl in its second, after what sauce does with the bowl;
    // sauce holds the bowl until its third and wants the pot in its second.
    let session = r#"
title = "Crosswise"
guests = 2
serve = "2026-12-21 19:30"

[[course]]
name = "Main"
dishes = ["soup", "sauce"]

[[dish]]
id = "soup"
title = "Soup"
[[dish.step]]
id = "boil"
do = "Boil"
takes = "5 min"
needs = ["pot"]
[[dish.step]]
id = "thicken"
do = "Thicken"
takes = "5 min"
needs = ["pot", "bowl"]
after = ["boil", "sauce/whip"]
[[dish.step]]
id = "season"
do = "Season"
takes = "5 min"
needs = ["pot", "bowl"]

[[dish]]
id = "sauce"
title = "Sauce"
[[dish.step]]
id = "whip"
do = "Whip"
takes = "5 min"
needs = ["bowl"]
[[dish.step]]
id = "warm"
do = "Warm"
takes = "5 min"
needs = ["pot", "bowl"]
after = ["whip", "soup/boil"]
"#;
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("crosswise.toml");
    std::fs::write(&file, session).expect("written");
    let said = mealtide(&["plan", &file.to_string_lossy(), "--now", "2026-12-21 17:00"]);
    let error = text(&said.stderr);
    assert_eq!(said.status.code(), Some(2), "{error}");
    assert!(
        error.contains("step 'soup/thicken' waits for cookware"),
        "{error}"
    );
}

/// Every clock time of a printed plan is the config's: "6:05 pm", nowhere "18:05".
#[test]
fn a_plan_is_read_by_the_cooks_clock() {
    let home = tempfile::tempdir().unwrap();
    let folder = home.path().join("mealtide");
    std::fs::create_dir(&folder).unwrap();
    std::fs::write(folder.join("config.toml"), "clock = \"12 h\"\n").unwrap();
    for form in [
        &["--seconds", "1"][..],
        &["--markdown"],
        &["--prep"],
        &["--why", "crumbed-hake/crumbs"],
    ] {
        let output = Command::new(env!("CARGO_BIN_EXE_mealtide"))
            .args(["plan", "friday-fish", "--now", "2026-12-18 16:00"])
            .args(form)
            .env("TZ", "Europe/Berlin")
            .env("XDG_CONFIG_HOME", home.path())
            .output()
            .unwrap();
        let said = text(&output.stdout);
        let hours = |word: &str| {
            let (hour, minute) = word.split_once(':')?;
            let minute = minute.get(..2)?.parse::<u8>().ok()?;
            (minute < 60).then_some(())?;
            hour.rsplit(|c: char| !c.is_ascii_digit())
                .next()?
                .parse::<u8>()
                .ok()
        };
        let words = said.split_whitespace();
        let late: Vec<&str> = words
            .filter(|word| hours(word).is_some_and(|hour| hour > 12))
            .collect();
        assert!(late.is_empty(), "{form:?}: {late:?} in\n{said}");
        assert!(said.contains(" pm"), "{form:?}: {said}");
    }
}
