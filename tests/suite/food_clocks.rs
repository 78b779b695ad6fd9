//! The clocks of food safety, started by what the cook did: from when, how long, and when they are called.
//!
//! Limits: 2 h in the danger zone, 1 h above 90 F (USDA/HHS consumer guidance); rice cooled within 1 h (FSA/NHS advice);
//! 57 to 21 C within 2 h and to 5 C within 6 h (FDA Food Code 3-501.14). They are called when a quarter of the time is
//! left, half an hour at most.

#![allow(clippy::unwrap_used, reason = "helpers of tests")]

use mealtide::{
    live::{CallKey, Event, Ms, Priority, State, board::Phase},
    measure::{hours::ClockFormat, units::Units},
    menu::StepRef,
    plan::Part,
};

use crate::dinner::opening_of;

const MINUTE: Ms = 60_000;
const HOUR: Ms = 60 * MINUTE;

fn opened(text: &str, part: Part) -> State {
    let opening = opening_of(text, part, "2026-12-21T15:00[Europe/Berlin]");
    State::open(&opening)
        .map_err(|why| format!("{why:?}"))
        .unwrap()
}

/// A dish that is cooked in 30 min and chilled for hours, with what is added to the session.
fn dish(title: &str, item: &str, extra: &str, keys: &str) -> String {
    format!(
        r#"title = "{title}"
guests = 4
serve = "23:30"
{extra}
[[course]]
name = "Main"
dishes = ["it"]

[[dish]]
id = "it"
title = "{title}"
serves = 4

[[dish.ingredient]]
item = "{item}"
amount = "800 g"

[[dish.step]]
id = "cook"
do = "Simmer until tender"
takes = "30 min"
needs = ["burner", "pot"]
uses = ["{item}"]

[[dish.step]]
id = "chill"
do = "Chill in the fridge, in shallow trays"
takes = "3 h"
hands = "off"
{keys}

[[dish.step]]
id = "warm"
do = "Reheat until piping hot"
takes = "20 min"
needs = ["burner", "pot"]
core = "75 C"
"#
    )
}

fn step(id: &str) -> StepRef {
    StepRef {
        dish: "it".into(),
        step: id.into(),
    }
}

fn begun(state: &mut State, id: &str, at: Ms) {
    let event = Event::Begun {
        step: step(id),
        oven: None,
    };
    state
        .after(&event, at)
        .map_err(|w| format!("{w:?}"))
        .unwrap();
}

fn done(state: &mut State, id: &str, at: Ms) {
    let event = Event::Done { step: step(id) };
    state
        .after(&event, at)
        .map_err(|w| format!("{w:?}"))
        .unwrap();
}

/// The limits that are called at a moment, and whether they are reached.
fn called(state: &State, now: Ms) -> Vec<(String, bool)> {
    let calls = state.calls(now).into_iter();
    calls
        .filter_map(|call| match call.key {
            CallKey::Safety { limit, .. } => Some((limit, call.priority == Priority::High)),
            _ => None,
        })
        .collect()
}

/// What is called just before and at the moments of one limit that began at `off`.
fn holds(state: &State, limit: &str, off: Ms, within: Ms, warned: Ms) {
    let of = |now| {
        let all = called(state, now);
        all.into_iter()
            .find(|(l, _)| l == limit)
            .map(|(_, high)| high)
    };
    let at = off + within;
    assert_eq!(of(at - warned - 1), None, "{limit} is called too soon");
    assert_eq!(of(at - warned), Some(false), "{limit} is not called before");
    assert_eq!(
        of(at),
        Some(true),
        "{limit} is not called when it is reached"
    );
}

fn cooked(title: &str, item: &str, extra: &str, part: Part) -> State {
    let keys = if part == Part::Ahead {
        "ahead = \"1 day\""
    } else {
        ""
    };
    let mut state = opened(&dish(title, item, extra, keys), part);
    begun(&mut state, "cook", 0);
    assert_eq!(called(&state, 5 * HOUR), [], "on the heat no clock runs");
    done(&mut state, "cook", 30 * MINUTE);
    state
}

#[test]
fn two_hours_out_of_the_heat() {
    let state = cooked("Beef stew", "stewing beef", "", Part::Service);
    holds(&state, "danger zone", 30 * MINUTE, 2 * HOUR, 30 * MINUTE);
}

#[test]
fn one_hour_where_the_room_is_over_90_f() {
    let hot = "kitchen = { oven = [{ name = \"oven\", room = \"91 F\" }] }";
    let state = cooked("Beef stew", "stewing beef", hot, Part::Service);
    holds(
        &state,
        "danger zone, hot day",
        30 * MINUTE,
        HOUR,
        15 * MINUTE,
    );
    // 90 F itself is not above.
    let warm = "kitchen = { oven = [{ name = \"oven\", room = \"90 F\" }] }";
    let state = cooked("Beef stew", "stewing beef", warm, Part::Service);
    holds(&state, "danger zone", 30 * MINUTE, 2 * HOUR, 30 * MINUTE);
}

#[test]
fn rice_has_one_hour() {
    let state = cooked("Rice pudding", "arborio rice", "", Part::Service);
    holds(&state, "rice, cooling", 30 * MINUTE, HOUR, 15 * MINUTE);
}

/// Once it is in the cold the two steps of cooling count, and from the moment at which it left the heat.
#[test]
fn cooling_counts_from_the_heat() {
    let mut state = cooked("Beef stew", "stewing beef", "", Part::Service);
    begun(&mut state, "chill", HOUR);
    holds(
        &state,
        "cooling, first step",
        30 * MINUTE,
        2 * HOUR,
        30 * MINUTE,
    );
    holds(&state, "cooling, total", 30 * MINUTE, 6 * HOUR, 30 * MINUTE);
    assert!(
        called(&state, 3 * HOUR)
            .iter()
            .all(|(limit, _)| limit != "danger zone")
    );
    // On the heat again it is no longer cooling.
    done(&mut state, "chill", 4 * HOUR);
    begun(&mut state, "warm", 4 * HOUR);
    assert_eq!(called(&state, 7 * HOUR), []);
}

/// What is made ahead begins to cool as soon as it is off the heat, whether or not a step says so.
#[test]
fn made_ahead_it_begins_to_cool_at_once() {
    let state = cooked("Beef stew", "stewing beef", "ahead = [\"it\"]", Part::Ahead);
    holds(
        &state,
        "cooling, first step",
        30 * MINUTE,
        2 * HOUR,
        30 * MINUTE,
    );
    holds(&state, "cooling, total", 30 * MINUTE, 6 * HOUR, 30 * MINUTE);
}

/// Nothing in it spoils: no clock at all.
#[test]
fn what_does_not_spoil_has_no_clock() {
    let state = cooked("Quince jam", "quinces", "", Part::Service);
    assert_eq!(called(&state, 20 * HOUR), []);
}

/// USDA/HHS: what was out for over two hours is thrown away; no time is named by which to chill it.
#[test]
fn what_stood_too_long_is_thrown_away() {
    let mut state = cooked("Beef stew", "stewing beef", "", Part::Service);
    begun(&mut state, "chill", 31 * MINUTE);
    done(&mut state, "chill", 35 * MINUTE);
    begun(&mut state, "warm", 40 * MINUTE);
    done(&mut state, "warm", HOUR);
    let event = Event::Served { course: 0 };
    state.after(&event, HOUR + 5 * MINUTE).unwrap();
    let told = |now| match state.board(now, Units::Author).phase {
        Phase::After { lines } => lines.join("\n"),
        phase => panic!("{phase:?}"),
    };
    let soon = told(3 * HOUR - 1);
    assert!(soon.contains("Beef stew: chill by 18:00"), "{soon}");
    let over = told(3 * HOUR);
    assert!(
        over.contains("Beef stew: throw away what is left"),
        "{over}"
    );
    assert!(over.contains("its time was over at 18:00"), "{over}");
    assert!(!over.contains("chill by"), "{over}");
}

/// Where the clock is read in 12 hours, so are the limits, in a call and in what is said of the leftovers.
#[test]
fn limits_are_told_by_the_cooks_clock() {
    let mut state = cooked("Beef stew", "stewing beef", "", Part::Service);
    let told = |state: &State| {
        let calls = state.calls(2 * HOUR + 20 * MINUTE);
        let limit = calls
            .into_iter()
            .find(|call| matches!(call.key, CallKey::Safety { .. }));
        let board = state.board(2 * HOUR + 20 * MINUTE, Units::Author);
        let notices: Vec<String> = board
            .notices
            .into_iter()
            .map(|notice| notice.words)
            .collect();
        (limit.unwrap().sentence, notices.join("\n"))
    };
    let (call, notices) = told(&state);
    assert!(call.starts_with("By 17:30 "), "{call}");
    assert!(notices.contains("By 17:30 "), "{notices}");
    state.hours = ClockFormat::H12;
    let (call, notices) = told(&state);
    assert!(call.starts_with("By 5:30 pm "), "{call}");
    assert!(
        notices.contains("By 5:30 pm ") && !notices.contains("17:30"),
        "{notices}"
    );
}
