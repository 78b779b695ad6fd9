//! What ruins the dish is called first.

#![allow(clippy::unwrap_used, reason = "helpers of tests")]

use mealtide::{
    engine::core::{Core, Effort},
    live::{Action, CallKey, Event, Priority, event::Trouble},
    plan::solver::Search,
};

use crate::dinner::opening;

#[test]
fn an_oven_to_be_turned_down_comes_before_an_older_call_as_urgent() {
    let mut opening = opening("midwinter-supper");
    opening.opened = "2026-12-21T17:00[Europe/Berlin]".parse().unwrap();
    let effort = Effort {
        first: 1000,
        again: 1000,
    };
    let mut core = Core::open(opening, Search::new(), effort).unwrap();
    let minute = 60_000;
    let named = |name: &str| {
        let all = &core.state().script.steps;
        all.iter().position(|s| s.name.to_string() == name).unwrap()
    };
    let (season, roast) = (named("roast-pork/season"), named("roast-pork/roast"));
    let turn = core.state().next_turn(0).unwrap().clone();
    core.act(&Action::Begin(season), 0).unwrap();
    core.act(&Action::SetOven(0, turn.to), 0).unwrap();
    core.act(&Action::Finish(season), 10 * minute).unwrap();
    core.tell(
        Event::Trouble {
            about: Trouble::Log,
            words: "the disk is full".into(),
        },
        20 * minute,
    )
    .unwrap();
    core.act(&Action::Begin(roast), 30 * minute).unwrap();
    core.wake(30 * minute).unwrap();
    let calls = core.state().calls(31 * minute + minute / 2);
    assert!(
        matches!(calls[0].key, CallKey::Oven { step: Some(step), .. } if step == roast),
        "{calls:?}"
    );
    assert!(
        calls[1..]
            .iter()
            .any(|c| c.priority == Priority::High && c.since < calls[0].since),
        "{calls:?}"
    );
}
