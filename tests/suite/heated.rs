//! An oven that the cook has heated for a dish isn't asked to be turned back for another one.

#![allow(clippy::unwrap_used, reason = "helpers of tests")]

use mealtide::{
    engine::core::{Core, Effort},
    live::{Action, Opening},
    plan::solver::Search,
};

use crate::dinner::opening;

/// Too late to be on time: a plan made again gains half a minute by turning back, and may break a `keeps` for it.
fn late() -> Opening {
    let mut opening = opening("midwinter-supper");
    opening.opened = "2026-12-21T15:00[Europe/Berlin]".parse().unwrap();
    opening
}

#[test]
fn a_heated_oven_waits_for_its_dish() {
    let effort = Effort {
        first: u32::MAX,
        again: u32::MAX,
    };
    let mut core = Core::open(late(), Search::new(), effort).unwrap();
    let turn = core.state().next_turn(0).unwrap().clone();
    let (now, dish) = (core.state().script.ms(turn.at), turn.step.unwrap());
    core.act(&Action::SetOven(0, turn.to), now).unwrap();
    core.wake(now).unwrap();
    let state = core.state();
    let goes_in = state.planned_start(dish).unwrap();
    let next = state.next_turn(0).unwrap();
    assert!(
        state.script.ms(next.at) >= goes_in,
        "turned to {:?} before its dish goes in",
        next.to
    );
}
