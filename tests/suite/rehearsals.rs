//! Rehearsed dinners: a thousand of the built-in sessions, by seed, held to the rules of a log.

#![allow(clippy::unwrap_used, reason = "a test fails by it")]

use std::{fs, path::Path};

use mealtide::{
    engine::{
        core::{Effort, Record, replay},
        rehearse::{Manner, Rehearsed, rehearse},
        replay::Player,
    },
    live::{Call, CallKey, Event, Ms, Opening, Priority, State},
    log::{Stamped, line, parse},
    measure::hours::ClockFormat,
    plan::solver::Search,
};
use rayon::prelude::*;

use crate::{
    dinner::{OPENED, opening},
    needs::{self, Rate},
};

const DINNERS: u64 = 334;

/// Enough for a plan, not for the best: what is held here doesn't depend on how good it is.
const EFFORT: Effort = Effort {
    first: 20,
    again: 1,
};

/// Sounds that don't hurry wait this long for each other, in ms.
const MERGES: Ms = 10_000;

fn cook(opening: &Opening, seed: u64) -> Rehearsed {
    let found = rehearse(
        opening.clone(),
        Search::new(),
        EFFORT,
        Manner::default(),
        seed,
    );
    found.unwrap_or_else(|error| panic!("seed {seed}: {error}"))
}

/// What stands after all that was taken back: the events of the cook in order.
fn standing(records: &[Record]) -> Vec<&Event> {
    let mut done: Vec<&Event> = Vec::new();
    for record in records {
        match &record.event {
            Event::Undone => {
                done.pop();
            }
            Event::Begun { .. }
            | Event::Done { .. }
            | Event::Extended { .. }
            | Event::Skipped { .. }
            | Event::OvenSet { .. }
            | Event::Served { .. }
            | Event::Answered { .. }
            | Event::Noted { .. }
            | Event::Measured { .. }
            | Event::Substituted { .. } => done.push(&record.event),
            _ => {}
        }
    }
    done
}

fn every_step_once(dinner: &Rehearsed, seed: u64) {
    let done = standing(&dinner.records);
    let state = &dinner.state;
    for (step, script) in state.steps.iter().zip(&state.script.steps) {
        let name = &script.name;
        let begun = |event: &&&Event| matches!(event, Event::Begun { step, .. } if step == name);
        let over = |event: &&&Event| matches!(event, Event::Done { step } | Event::Skipped { step } if step == name);
        assert_eq!(done.iter().filter(over).count(), 1, "seed {seed}: {name}");
        if !step.skipped {
            assert_eq!(done.iter().filter(begun).count(), 1, "seed {seed}: {name}");
            assert!(
                step.begun <= step.ended,
                "seed {seed}: {name} ends before it begins"
            );
        }
        for &before in &script.after {
            assert!(
                state.steps[before].ended <= step.begun,
                "seed {seed}: {name} begins before what it comes after has ended"
            );
        }
    }
    let mut served = state.courses.iter().map(|course| course.served);
    assert!(served.all(|at| at.is_some()) && state.closed, "seed {seed}");
}

/// To forget the knob while something is inside ruins it.
fn turns_inside(call: &Call, state: &State) -> bool {
    matches!(call.key, CallKey::Oven { step: Some(step), .. } if state.steps[step].running())
}

/// Folds the records one by one; what rings at a moment must stand in a state of that moment.
fn rings_are_of_standing_calls(dinner: &Rehearsed, seed: u64) {
    let mut state = replay(&dinner.records[..1]).unwrap();
    let mut rest = &dinner.records[1..];
    let mut last: Option<Ms> = None;
    for (at, ring) in &dinner.rings {
        let rings = |state: &State| {
            let calls = state.calls(*at);
            let audible = calls.iter().filter(|call| !call.silent);
            audible
                .map(|call| &call.key)
                .eq(ring.calls.iter().map(|call| &call.key))
        };
        let mut found = false;
        while let Some((record, after)) = rest.split_first() {
            found = rings(&state);
            let past = record.at > *at || (found && record.at == *at);
            if past {
                break;
            }
            state.after(&record.event, record.at).unwrap();
            rest = after;
        }
        found |= rings(&state);
        assert!(
            found,
            "seed {seed}: at {at} rings what doesn't stand: {ring:?}"
        );
        let answered = ring
            .calls
            .iter()
            .find(|call| state.answered.contains_key(&call.key));
        assert_eq!(answered, None, "seed {seed}: rings after its answer");
        let turn = ring
            .calls
            .iter()
            .position(|call| turns_inside(call, &state));
        assert!(
            turn.is_none_or(|place| place == 0),
            "seed {seed}: something stands before a turn with a dish inside: {ring:?}"
        );
        let gap = last.map_or(Ms::MAX, |last| at - last);
        assert!(
            gap >= MERGES || ring.priority == Priority::High,
            "seed {seed}: {gap} ms after another sound, and not urgent: {ring:?}"
        );
        last = Some(*at);
    }
    for record in rest {
        state.after(&record.event, record.at).unwrap();
    }
    assert_eq!(
        state, dinner.state,
        "seed {seed}: the state is the fold of the records"
    );
}

/// The log of a dinner.
fn bytes(dinner: &Rehearsed) -> Vec<u8> {
    let mut bytes = Vec::new();
    for (seq, record) in (0..).zip(&dinner.records) {
        let stamped = Stamped {
            at: dinner.state.clock(record.at),
            ms: record.at,
            event: record.event.clone(),
        };
        line::encode(&mut bytes, seq, &stamped).unwrap();
    }
    bytes
}

/// What is read back from the log is what happened.
fn the_log_keeps_it(dinner: &Rehearsed, seed: u64) {
    let reading = parse::<Event>(&bytes(dinner)).unwrap();
    assert_eq!(reading.flaw, None, "seed {seed}");
    let read = reading.records.into_iter();
    let read: Vec<Record> = read
        .map(|record| Record {
            at: record.ms,
            event: record.event,
        })
        .collect();
    assert_eq!(read, dinner.records, "seed {seed}");
    assert!(
        read.is_sorted_by_key(|record| record.at),
        "seed {seed}: time goes back"
    );
}

fn dinners(id: &str) {
    let opening = opening(id);
    let one = |seed| {
        let dinner = cook(&opening, seed);
        every_step_once(&dinner, seed);
        rings_are_of_standing_calls(&dinner, seed);
        the_log_keeps_it(&dinner, seed);
        needs::check(&dinner, seed)
    };
    let rates: Vec<Rate> = (1..=DINNERS).into_par_iter().map(one).collect();
    not_too_often(id, &rates);
}

/// UK HSE CHIS6 step 1, citing EEMUA 191 p. 37 (IEC 62682 and ISA-18.2 restate it): in the long run at most one alarm in
/// ten minutes, in an upset at most ten in the first ten. The last hour of a dinner is the upset.
fn not_too_often(id: &str, rates: &[Rate]) {
    let sum = |of: fn(&Rate) -> usize| rates.iter().map(of).sum::<usize>();
    let long: Ms = rates.iter().map(|rate| rate.long).sum();
    let average = sum(|rate| rate.before) as f64 / (long as f64 / 600_000.0).max(1.0);
    let most = rates.iter().map(|rate| rate.most).max().unwrap_or(0);
    let unmerged = rates.iter().map(|rate| rate.unmerged).max().unwrap_or(0);
    println!(
        "{id}: {} heard, {} done before; before the last hour {average:.2} in ten minutes over {:.1} h a dinner; at most {most}, {unmerged} of them neither urgent nor merged",
        sum(|rate| rate.heard),
        sum(|rate| rate.done),
        long as f64 / rates.len() as f64 / 3_600_000.0
    );
    assert!(
        sum(|rate| rate.heard) > 10 * rates.len(),
        "{id}: hardly anything was heard"
    );
    // A lunch of many dishes is busy for longer than an hour: of the three only the supper is held to the long run.
    if id == "midwinter-supper" {
        assert!(average <= 1.0, "{id}: {average} in ten minutes");
    }
    assert!(unmerged <= 10, "{id}: {unmerged} in ten minutes");
}

#[test]
fn many_midwinter_suppers() {
    dinners("midwinter-supper");
}

#[test]
fn many_friday_fishes() {
    dinners("friday-fish");
}

#[test]
fn many_garden_lunches() {
    dinners("garden-lunch");
}

#[test]
fn the_same_seed_gives_the_same_log() {
    for (id, _) in OPENED {
        let opening = opening(id);
        for seed in [1, 77, u64::MAX] {
            let (once, again) = (cook(&opening, seed), cook(&opening, seed));
            assert_eq!(bytes(&once), bytes(&again), "{id}, seed {seed}");
            assert_eq!(once.rings, again.rings, "{id}, seed {seed}");
        }
    }
}

/// Made by `TZ=Europe/Berlin mealtide rehearse midwinter-supper --now "2026-12-21 09:00" --seed 7 --log FILE`, and to
/// be made again by it when the session, the plan or the format changes.
#[test]
fn the_saved_log_is_what_rehearse_makes_and_replays_to_its_end() {
    let saved = Path::new(env!("CARGO_MANIFEST_DIR")).join("sessions/logs/midwinter-supper.jsonl");
    let folder = tempfile::tempdir().unwrap();
    let again = folder.path().join("again.jsonl");
    let status = std::process::Command::new(env!("CARGO_BIN_EXE_mealtide"))
        .args([
            "rehearse",
            "midwinter-supper",
            "--now",
            "2026-12-21 09:00",
            "--seed",
            "7",
            "--log",
        ])
        .arg(&again)
        .env("TZ", "Europe/Berlin")
        .env("HOME", folder.path())
        .env("XDG_CONFIG_HOME", folder.path())
        .stdout(std::process::Stdio::null())
        .status()
        .unwrap();
    assert!(status.success());
    let (saved, again) = (fs::read(saved).unwrap(), fs::read(again).unwrap());
    assert!(
        saved == again,
        "the saved log is not what 'rehearse' makes today"
    );
    let read = parse::<Event>(&saved).unwrap().records.into_iter();
    let records = read.map(|record| Record {
        at: record.ms,
        event: record.event,
    });
    let mut player = Player::new(records.collect(), ClockFormat::default()).unwrap();
    player.go_to(player.end());
    assert!(player.state().closed && player.state().finished());
}
