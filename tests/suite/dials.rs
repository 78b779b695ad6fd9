//! An oven's setting while cooking: as the author wrote it, since "fan 170 C" isn't "190 C" on the dial.

#![allow(clippy::unwrap_used, reason = "helpers of tests")]

use mealtide::{
    engine::core::{Core, Effort},
    live::{State, board::Focus},
    measure::units::Units,
    plan::{Part, solver::Search},
};

use crate::dinner::opening_of;

fn gratin(heat: &str, oven: &str) -> String {
    format!(
        r#"title = "Gratin"
guests = 4
serve = "19:30"

[[kitchen.oven]]
{oven}

[[course]]
name = "Main"
dishes = ["gratin"]

[[dish]]
id = "gratin"
title = "Gratin"
serves = 4

[[dish.step]]
id = "bake"
do = "Bake"
takes = "40 min"
hands = "off"
until = "golden"
oven = {{ at = "{heat}" }}
"#
    )
}

fn opened(heat: &str, oven: &str) -> Core<Search> {
    let opening = opening_of(
        &gratin(heat, oven),
        Part::Service,
        "2026-12-21T18:00[Europe/Berlin]",
    );
    Core::open(opening, Search::new(), Effort::default()).unwrap()
}

/// What is to be done when the oven is to be set.
fn when_due(state: &State, units: Units) -> Focus {
    let plan = state.plan.as_ref().unwrap();
    let at = state.script.ms(plan.turns[0].at);
    state.board(at, units).focus
}

/// Fan: 20 C less (row N20, common practice); 425 F on a dial in tens of C (row N15, NIST, "The Metric Kitchen").
#[test]
fn an_oven_is_set_as_the_author_wrote() {
    let rows = [
        ("fan 170 C", Units::Author, "fan 170 C", None),
        (
            "fan 170 C",
            Units::Us,
            "fan 170 C",
            Some("fan 170 C (375 F without fan)"),
        ),
        ("425 F", Units::Author, "425 F", None),
        ("425 F", Units::Metric, "425 F", Some("425 F (220 C)")),
        ("gas 4", Units::Both, "gas 4", Some("gas 4 (350 F)")),
        ("180 C", Units::Metric, "180 C", None),
    ];
    for (heat, units, dial, beside) in rows {
        let core = opened(heat, "");
        let focus = when_due(core.state(), units);
        assert_eq!(
            focus.sentence,
            format!("Heat the oven to {dial} for Gratin")
        );
        assert_eq!(focus.word, format!("set to {dial}"));
        assert_eq!(focus.amounts, Vec::from_iter(beside), "{heat}");
    }
}

/// The kitchen says how the dial is marked: row N20 for the fan, N19 for gas marks; the recipe's words stand beside.
#[test]
fn an_oven_is_set_in_its_own_marks() {
    let rows = [
        (
            "220 C",
            "fan",
            "fan 200 C",
            Some("fan 200 C: 220 C in the recipe"),
        ),
        ("425 F", "C", "220 C", Some("220 C: 425 F in the recipe")),
        ("220 C", "gas", "gas 7", Some("gas 7: 220 C in the recipe")),
        ("fan 170 C", "fan", "fan 170 C", None),
        // No gas mark is near: as the recipe has it.
        ("100 C", "gas", "100 C", None),
    ];
    for (heat, scale, dial, beside) in rows {
        let core = opened(heat, &format!("dial = \"{scale}\""));
        let focus = when_due(core.state(), Units::Author);
        assert_eq!(
            focus.sentence,
            format!("Heat the oven to {dial} for Gratin")
        );
        assert_eq!(focus.word, format!("set to {dial}"));
        assert_eq!(focus.amounts, Vec::from_iter(beside), "{heat}");
    }
}

/// The plan says of a step in the oven what its dial is turned to, in each form that it is printed in.
#[test]
fn a_printed_plan_has_the_dials_marks() {
    let rows = [
        ("220 C", "fan", "fan 200 C (220 C)"),
        ("425 F", "C", "220 C (425 F)"),
        ("200 C", "gas", "gas 6 (200 C)"),
        ("fan 170 C", "fan", "fan 170 C"),
    ];
    for (heat, scale, expected) in rows {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("gratin.toml");
        let kitchen = format!("dial = \"{scale}\"");
        std::fs::write(&file, gratin(heat, &kitchen)).unwrap();
        for form in [None, Some("--markdown"), Some("--ics")] {
            let out = std::process::Command::new(env!("CARGO_BIN_EXE_mealtide"))
                .arg("plan")
                .arg(&file)
                .args(form)
                .output()
                .unwrap();
            let text = String::from_utf8(out.stdout).unwrap();
            assert!(out.status.success(), "{form:?}: {text}");
            let step = format!("oven {expected}");
            let said = text.lines().filter(|line| line.contains(&step)).count();
            assert!(said > 0, "{step} as {form:?}: {text}");
        }
    }
}
