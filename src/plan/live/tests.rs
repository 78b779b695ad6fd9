use super::*;
use crate::plan::{
    Options, build,
    testing::{dish, in_oven, moment, needing, session, step, whole},
};

const MINUTE: i64 = 60_000;

fn base() -> Problem {
    let roast = dish(
        "roast",
        vec![
            needing(step("season", (10, 10)), &[("tray", 1)]),
            needing(
                in_oven(step("roast", (60, 60)), 220, &[(20, 190)]),
                &[("tray", 1)],
            ),
            step("rest", (10, 10)),
        ],
    );
    let made = build(
        &session(vec![roast]),
        &moment("2026-12-21T17:00[Europe/Berlin]"),
        &Options::default(),
    );
    made.expect("a problem").problem
}

fn snapshot(now_ms: i64, steps: Vec<Progress>) -> Snapshot {
    Snapshot {
        now_ms,
        steps,
        ovens: vec![whole(220)],
        served: vec![None],
        before: vec![Some(0); 3],
        heated: Vec::new(),
    }
}

#[test]
fn begins_round_down_and_expected_ends_up() {
    let running = Progress::Running {
        begun_ms: 40_000,
        ends_ms: 10 * MINUTE + 1,
        oven: None,
    };
    let p = problem(&base(), &snapshot(5 * MINUTE + 1, vec![running]));
    assert_eq!(
        p.steps[0].begun,
        Some(Begun {
            start: 1,
            oven: None,
            done: false
        })
    );
    assert_eq!(p.steps[0].length, 20);
    assert_eq!(
        p.mode,
        Mode::Live {
            now: 11,
            before: vec![Some(0); 3],
            heated: Vec::new()
        }
    );
}

#[test]
fn a_step_past_its_time_ends_now_at_the_soonest() {
    let running = Progress::Running {
        begun_ms: 0,
        ends_ms: 10 * MINUTE,
        oven: None,
    };
    let p = problem(&base(), &snapshot(12 * MINUTE, vec![running]));
    assert_eq!(p.steps[0].length, 24);
}

#[test]
fn what_a_running_oven_step_needed_before_does_not_bind() {
    let done = Progress::Done {
        begun_ms: 0,
        ended_ms: 10 * MINUTE,
    };
    let running = Progress::Running {
        begun_ms: 10 * MINUTE,
        ends_ms: 80 * MINUTE,
        oven: Some(0),
    };
    let p = problem(&base(), &snapshot(40 * MINUTE, vec![done, running]));
    assert!(p.steps[0].begun.is_some_and(|b| b.done));
    let segments = &p.steps[1]
        .oven
        .as_ref()
        .expect("still in the oven")
        .segments;
    assert_eq!(segments.len(), 1);
    assert_eq!((segments[0].from, segments[0].to), (0, 140));
    assert_eq!(segments[0].accepts, crate::plan::testing::span(180, 200));
    assert_eq!((p.ovens[0].from, p.ovens[0].temperature), (80, whole(220)));
}

#[test]
fn what_follows_a_skipped_step_follows_what_that_followed() {
    let waiting = Progress::Waiting { length_ms: None };
    let p = problem(
        &base(),
        &snapshot(0, vec![waiting, Progress::Skipped { at_ms: -5 }, waiting]),
    );
    assert_eq!(p.steps[2].after, [0]);
    assert_eq!(p.steps[1].length, 0);
    assert!(p.steps[1].oven.is_none());
    assert_eq!(p.dishes[0].holds[0].steps, [0]);
}

#[test]
fn an_oven_follows_its_knob_at_its_rates() {
    let oven = &base().ovens[0];
    assert_eq!(
        temperature_after(oven, whole(20), Some(whole(220)), 10 * MINUTE),
        whole(120)
    );
    assert_eq!(
        temperature_after(oven, whole(20), Some(whole(220)), 30 * MINUTE),
        whole(220)
    );
    assert_eq!(
        temperature_after(oven, whole(220), Some(whole(190)), 5 * MINUTE),
        whole(200)
    );
    assert_eq!(
        temperature_after(oven, whole(220), None, 600 * MINUTE),
        whole(20)
    );
}
