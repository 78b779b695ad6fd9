//! The log as a file on a disk.

#![allow(clippy::unwrap_used, reason = "a test fails by it")]

use std::{fs, path::Path, time::Instant};

use jiff::ZonedDateTime;
use mealtide::log::{Stamped, Writer, Written, parse};

fn at() -> ZonedDateTime {
    "2026-12-21T15:00:00+01:00[Europe/Berlin]".parse().unwrap()
}

fn note(number: i64) -> Stamped<(i64, String)> {
    Stamped {
        at: at(),
        ms: number,
        event: (number, "x".repeat(120)),
    }
}

/// What an event costs, write and sync included, on the disk of the build:
/// `cargo test --test suite cost_of_an_event -- --ignored --nocapture`
#[test]
#[ignore = "measures a disk; says nothing that could fail"]
fn cost_of_an_event() {
    let folder = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).unwrap();
    let path = folder.path().join("cost.jsonl");
    let mut writer = Writer::create(&path, &at()).unwrap();
    let mut took: Vec<f64> = (0..2_000)
        .map(|number| {
            let begin = Instant::now();
            assert_eq!(writer.append(&[note(number)]).wait(), Written::Synced);
            begin.elapsed().as_secs_f64() * 1_000.0
        })
        .collect();
    took.sort_by(f64::total_cmp);
    let share = |share: f64| took[((took.len() - 1) as f64 * share) as usize];
    println!(
        "append and sync, ms: median {:.2}, p99 {:.2}, longest {:.2}",
        share(0.5),
        share(0.99),
        share(1.0)
    );
    drop(writer);
    assert_eq!(
        parse::<(i64, String)>(&fs::read(&path).unwrap())
            .unwrap()
            .records
            .len(),
        2_000
    );
}

/// A disk that fills up, by the kernel: a limit on the size of files, below which writing goes on as soon as it is
/// lifted. Another process is needed since the limit holds for all of one.
#[cfg(target_os = "linux")]
#[test]
fn a_limited_disk_takes_what_fits_and_the_rest_later() {
    use rustix::process::{Resource, Rlimit, getrlimit, setrlimit};
    if std::env::var_os("MEALTIDE_TEST_LIMITED").is_none() {
        let program = std::env::current_exe().unwrap();
        // Ignored signals stay ignored in what the shell becomes: a write then fails instead of killing.
        let status = std::process::Command::new("sh")
            .args(["-c", "trap '' XFSZ; exec \"$0\" \"$@\""])
            .arg(program)
            .args([
                "--exact",
                "log::a_limited_disk_takes_what_fits_and_the_rest_later",
            ])
            .env("MEALTIDE_TEST_LIMITED", "1")
            .stdout(std::process::Stdio::null())
            .status()
            .unwrap();
        assert!(status.success());
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("limited.jsonl");
    let mut writer = Writer::create(&path, &at()).unwrap();
    let before = getrlimit(Resource::Fsize);
    let full = Rlimit {
        current: Some(3_000),
        maximum: before.maximum,
    };
    setrlimit(Resource::Fsize, full).unwrap();
    let mut kept = 0;
    for number in 0..40 {
        match writer.append(&[note(number)]).wait() {
            Written::Synced => assert_eq!(kept, 0),
            Written::Kept => kept += 1,
            Written::Lost => panic!("lost"),
        }
        whole(&path, number + 1 - kept);
    }
    assert!(kept > 20);
    setrlimit(Resource::Fsize, before).unwrap();
    writer.retry(0);
    writer.retry(1_000);
    assert_eq!(writer.append(&[note(40)]).wait(), Written::Synced);
    drop(writer);
    whole(&path, 41);
}

#[cfg(target_os = "linux")]
fn whole(path: &Path, records: i64) {
    let bytes = fs::read(path).unwrap();
    let reading = parse::<(i64, String)>(&bytes).unwrap();
    assert_eq!(
        (reading.records.len() as i64, reading.flaw),
        (records, None)
    );
}
