//! Whole sessions, safe and unsafe: what `lint` must find, and what it must not.
//!
//! The first line of an unsafe session names the rules that have to speak.

#![allow(clippy::unwrap_used, reason = "helpers of tests")]

use std::{
    fs,
    path::{Path, PathBuf},
};

use mealtide::{
    menu::{self, Lookup, Session},
    safety::{self, Severity},
};

fn session(path: &Path) -> Session {
    match menu::load(path, &Lookup::default()) {
        Ok(loaded) => loaded.session,
        Err(faults) => panic!("{}: {faults:?}", path.display()),
    }
}

fn cases(kind: &str) -> Vec<(PathBuf, String)> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data/safety")
        .join(kind);
    let mut paths: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    paths.sort();
    paths
        .into_iter()
        .map(|path| (path.clone(), fs::read_to_string(path).unwrap()))
        .collect()
}

fn told(findings: &[safety::Finding]) -> String {
    findings
        .iter()
        .map(|f| {
            format!(
                "\n  {:?} {} {:?} {:?}: {}",
                f.severity, f.rule, f.step, f.ingredient, f.words
            )
        })
        .collect()
}

#[test]
fn unsafe_sessions_are_found() {
    let all = cases("unsafe");
    assert!(all.len() >= 30);
    let mut missed = String::new();
    for (path, text) in all {
        let findings = safety::lint(&session(&path));
        let expected = text
            .lines()
            .next()
            .and_then(|line| line.strip_prefix("# expect: "))
            .unwrap();
        let found = |rule: &str| {
            findings
                .iter()
                .any(|f| f.severity == Severity::Unsafe && f.rule == rule)
        };
        let rules = [
            "hot hold",
            "hot oil",
            "hot blender",
            "kidney beans",
            "slow cooker",
        ];
        let rules: Vec<&str> = if rules.contains(&expected) {
            vec![expected]
        } else {
            expected.split(' ').collect()
        };
        if !rules.into_iter().all(found) {
            missed += &format!("\n{}: {expected}{}", path.display(), told(&findings));
        }
    }
    assert!(missed.is_empty(), "{missed}");
}

#[test]
fn safe_sessions_raise_no_alarm() {
    let all = cases("safe");
    assert!(all.len() >= 30);
    let mut alarms = String::new();
    for (path, _) in all {
        let findings = safety::lint(&session(&path));
        if findings
            .iter()
            .any(|finding| finding.severity == Severity::Unsafe)
        {
            alarms += &format!("\n{}:{}", path.display(), told(&findings));
        }
    }
    assert!(alarms.is_empty(), "{alarms}");
}

/// A word too much makes the next one be overlooked: what is in order is not even cautioned against.
#[test]
fn what_is_in_order_is_left_alone() {
    for (name, rule) in [
        ("brownies-a-day-ahead", "lukewarm"),
        ("brownies-a-day-ahead", "cooling"),
        ("eggs-bought-hard-boiled", "raw egg"),
        ("beans-and-belly-at-160", "oven"),
        ("terrine-in-a-water-bath", "oven"),
        ("onions-for-the-stew-on-the-board", "board"),
        ("parsley-that-is-cooked", "board"),
        ("cucumber-on-a-washed-board", "board"),
    ] {
        let all = cases("safe");
        let file = format!("{name}.toml");
        let path = &all
            .iter()
            .find(|(path, _)| path.ends_with(&file))
            .unwrap()
            .0;
        let findings = safety::lint(&session(path));
        let found: Vec<_> = findings.iter().filter(|f| f.rule == rule).collect();
        assert!(found.is_empty(), "{name}: {found:?}");
    }
}

/// Every finding says where its limit is from, or that no source was read; none names a source that nobody read.
#[test]
fn findings_name_their_sources() {
    for kind in ["safe", "unsafe"] {
        for (path, _) in cases(kind) {
            for finding in safety::lint(&session(&path)) {
                assert!(
                    finding.severity == Severity::Unknown || !finding.sources.is_empty(),
                    "{}: {finding:?}",
                    path.display()
                );
                assert!(
                    finding.words.len() > 20 && !finding.words.ends_with('.'),
                    "{finding:?}"
                );
            }
        }
    }
}

/// What the table of foods doesn't know is listed as unknown, never passed over.
#[test]
fn unknown_ingredients_are_unknown() {
    let mut session = session(
        &PathBuf::from(env!("CARGO_MANIFEST_DIR"))
            .join("tests/data/safety/safe/no-milk-asked.toml"),
    );
    session.dishes[0].ingredients[0].item = "zorgleberry paste".into();
    let findings = safety::lint(&session);
    let unknown: Vec<_> = findings
        .iter()
        .filter(|f| f.severity == Severity::Unknown)
        .collect();
    assert_eq!(unknown.len(), 1, "{}", told(&findings));
    assert_eq!(unknown[0].ingredient.as_deref(), Some("zorgleberry paste"));
}

/// The sessions that come with the program raise no alarm, and what a guest must not eat is in none of them.
#[test]
fn our_own_sessions_raise_no_alarm() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("sessions");
    for name in ["friday-fish", "garden-lunch", "midwinter-supper"] {
        let findings = safety::lint(&session(&folder.join(format!("{name}.toml"))));
        let grave: Vec<_> = findings
            .iter()
            .filter(|f| f.severity == Severity::Unsafe)
            .cloned()
            .collect();
        assert!(grave.is_empty(), "{name}:{}", told(&grave));
    }
}

/// Reheating, the strictest of those that the tables know: Scotland's 82 C (Food Hygiene (Scotland) Regulations 2006,
/// Schedule 4; from memory).
#[test]
fn reheating_to_scotlands_figure_is_in_the_table() {
    let rows = safety::Tables::get().core_of("leftovers");
    let strictest = rows
        .iter()
        .map(|row| row.limit.celsius_f64())
        .fold(0.0, f64::max);
    assert!((strictest - 82.0).abs() < 1e-9, "{strictest}");
    assert!(rows.iter().any(|row| row.what.contains("Scotland")));
}
