//! The whole way of a call: deadline, loop, log, a screen that is drawn on a terminal of the system, worker, sound server,
//! recorder; and all the while the planner proves on both cores. Time runs faster, and nothing else is made up.
//!
//! Run alone: `cargo test --release --test suite -- --ignored --nocapture --test-threads 1 call_is_heard server_comes_and_goes`.

use std::time::Duration;

use super::{
    installed,
    pans::{Fate, cook},
    stage::{Do, Scene},
};

/// "median 3.1 ms, p99 8.0 ms, longest 9.9 ms".
fn spread(mut spans: Vec<Duration>) -> String {
    spans.sort_unstable();
    let at = |share: f64| {
        let place = (spans.len() as f64 * share).ceil() as usize;
        spans
            .get(place.saturating_sub(1))
            .map_or(f64::NAN, |span| span.as_secs_f64() * 1e3)
    };
    format!(
        "{}: median {:.1} ms, p99 {:.1} ms, longest {:.1} ms",
        spans.len(),
        at(0.5),
        at(0.99),
        at(1.0)
    )
}

const HEARD: Scene = Scene {
    name: "with a server",
    calls: 3,
    before: Do::Nothing,
    at_sound: Do::Nothing,
    sounds: true,
    beeps: false,
    gap: 20_000,
};

/// From the deadline to the first audible sample.
#[test]
#[ignore = "a measurement of minutes"]
fn a_call_is_heard_soon_after_its_deadline() {
    assert!(installed(&["pulseaudio", "parec"]));
    let folder = tempfile::tempdir().unwrap();
    // Calls that come closer together than a minute are kept back on purpose, to be merged.
    let scenes = vec![Scene {
        calls: 200,
        gap: 75_000,
        ..HEARD
    }];
    let told = cook(scenes, 30, &folder.path().join("log.jsonl"), true);
    let sounded: Vec<Duration> = told.fates.iter().filter_map(|fate| fate.sounded).collect();
    println!("deadline to first sample, {}", spread(sounded));
    println!(
        "deadline to frame,        {}",
        spread(told.frames.iter().map(|frame| frame.1).collect())
    );
    assert_eq!(told.fates.len(), 200, "every call is made");
    for (number, fate) in told.fates.iter().enumerate() {
        assert!(
            fate.seen && fate.sounded.is_some() && !fate.beeped,
            "call {number} isn't seen and heard: {fate:?}"
        );
    }
}

/// The server is absent, comes, is killed in mid-tone, comes again, is frozen in silence and in mid-tone, goes on.
#[test]
#[ignore = "takes minutes"]
fn a_server_comes_and_goes_and_no_call_is_lost() {
    assert!(installed(&["pulseaudio", "parec"]));
    let folder = tempfile::tempdir().unwrap();
    let silent = Scene {
        sounds: false,
        beeps: true,
        ..HEARD
    };
    let scenes = vec![
        Scene {
            name: "absent",
            ..silent
        },
        Scene {
            name: "started",
            before: Do::Start,
            ..HEARD
        },
        Scene {
            name: "killed in mid-tone",
            calls: 1,
            at_sound: Do::Kill,
            beeps: true,
            ..HEARD
        },
        Scene {
            name: "gone",
            ..silent
        },
        Scene {
            name: "started again",
            before: Do::Start,
            ..HEARD
        },
        Scene {
            name: "frozen",
            before: Do::Freeze,
            ..silent
        },
        Scene {
            name: "thawed",
            before: Do::Thaw,
            ..HEARD
        },
        Scene {
            name: "frozen in mid-tone",
            calls: 1,
            at_sound: Do::Freeze,
            ..HEARD
        },
        Scene {
            name: "frozen still",
            ..silent
        },
        Scene {
            name: "thawed again",
            before: Do::Thaw,
            ..HEARD
        },
    ];
    let told = cook(scenes.clone(), 10, &folder.path().join("log.jsonl"), false);
    for (number, scene) in scenes.iter().enumerate() {
        let fates: Vec<&Fate> = told
            .fates
            .iter()
            .filter(|fate| fate.scene == number)
            .collect();
        let frames = told
            .frames
            .iter()
            .filter(|frame| frame.0 == number)
            .map(|frame| frame.1);
        println!(
            "{:<20} frames late, {}",
            scene.name,
            spread(frames.collect())
        );
        assert_eq!(fates.len(), scene.calls, "{}", scene.name);
        for fate in fates {
            assert!(
                fate.seen,
                "{}: a call that isn't seen: {fate:?}",
                scene.name
            );
            assert!(
                fate.sounded.is_some() >= scene.sounds,
                "{}: a lost sound: {fate:?}",
                scene.name
            );
            assert!(
                fate.beeped >= scene.beeps,
                "{}: no bell: {fate:?}",
                scene.name
            );
        }
    }
}
