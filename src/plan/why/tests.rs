use super::*;
use crate::{
    menu::Session,
    plan::{
        Built, Options, build, cost,
        problem::Tick,
        schedule::Schedule,
        solver::Solution,
        testing::{dish, in_oven, moment, needing, session, step},
    },
};

fn planned(session: &Session, starts: Vec<Tick>) -> (Built, Solution) {
    let now = moment("2026-12-21T18:00[Europe/Berlin]");
    let built = build(session, &now, &Options::default()).expect("a problem");
    let ovens = built
        .problem
        .steps
        .iter()
        .map(|s| s.oven.as_ref().map(|_| 0))
        .collect();
    let served = built.problem.courses.iter().map(|c| c.promised).collect();
    let schedule = Schedule {
        starts,
        ovens,
        served,
    };
    assert_eq!(crate::plan::verify::verify(&built.problem, &schedule), []);
    let cost = cost::cost(&built.problem, &schedule);
    let total = cost::total(&built.problem, &cost);
    (
        built,
        Solution {
            schedule,
            cost,
            total,
            bound: 0,
            least: Default::default(),
            relaxed: false,
        },
    )
}

fn told(session: &Session, starts: Vec<Tick>, which: &str) -> Vec<String> {
    let (built, solution) = planned(session, starts);
    let plan = Timetable {
        session,
        built: &built,
        solution: &solution,
        turns: &[],
        units: crate::measure::units::Units::default(),
    };
    why(
        &plan,
        built
            .frame
            .index(&which.parse().expect("a step"))
            .expect("planned"),
    )
}

#[test]
fn a_chain_leads_to_the_service_and_back_to_the_begin() {
    let s = session(vec![dish(
        "roast",
        vec![
            step("season", (10, 10)),
            in_oven(step("roast", (60, 60)), 100, &[]),
            step("rest", (20, 20)),
        ],
    )]);
    let lines = told(&s, vec![0, 20, 140], "roast/season");
    assert_eq!(
        lines,
        [
            "roast: Do season, from 18:00 to 18:10.",
            "It can't be later: it must be ready for roast/roast at 18:10.",
            "roast/roast can't be later: it must be ready for roast/rest at 19:10.",
            "roast/rest can't be later: it must be ready for Main at 19:30.",
            "It can't be earlier: nobody cooks before 18:00.",
        ]
        .map(String::from)
    );
}

#[test]
fn hands_vessels_and_oven_changes_are_named() {
    let s = session(vec![
        dish("a", vec![in_oven(step("roast", (40, 40)), 220, &[])]),
        dish(
            "b",
            vec![needing(
                in_oven(step("bake", (20, 20)), 180, &[]),
                &[("sieve", 1)],
            )],
        ),
        dish(
            "c",
            vec![
                needing(step("sift", (5, 5)), &[("sieve", 1)]),
                step("stir", (5, 5)),
            ],
        ),
        dish("d", vec![step("whip", (5, 5))]),
    ]);
    // 210 -> 190 C at 4 C a minute: ten ticks.
    let lines = told(&s, vec![40, 130, 0, 10, 20], "b/bake");
    assert_eq!(
        lines[2],
        "It can't be earlier: the oven takes its time, and had to change its temperature after a/roast at 18:20."
    );
    let lines = told(&s, vec![50, 140, 10, 20, 0], "c/sift");
    assert_eq!(
        lines[1],
        "It can't be later: it must be ready for c/stir at 18:10."
    );
    assert_eq!(
        lines.last().map(String::as_str),
        Some("d/whip can't be earlier: nobody cooks before 18:00.")
    );
    assert!(lines.contains(
        &"It can't be earlier: the cook is busy until the end of d/whip at 18:00.".to_owned()
    ));
}

#[test]
fn a_step_that_could_move_says_how_far() {
    let s = session(vec![dish(
        "a",
        vec![step("chop", (10, 10)), step("plate", (5, 5))],
    )]);
    let lines = told(&s, vec![100, 170], "a/chop");
    assert_eq!(
        lines[1],
        "It could be up to 25 min later, but it is done early so that the end is calm."
    );
    assert_eq!(
        lines[2],
        "It could be up to 50 min earlier, but it would only make the cooking longer."
    );
}
