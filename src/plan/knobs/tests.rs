use super::*;
use crate::{
    measure::temperature::Accepts,
    plan::{
        Options, build,
        problem::{Begun, Mode, OvenUse},
        testing::{self, Dice, dish, in_oven, moment, session, span, step, whole},
    },
};

/// The oven's temperature at every tick, exactly, with its knob turned as listed.
fn follow(problem: &Problem, turns: &[Turn], knob: Setting, last: Tick) -> Vec<Ratio> {
    let oven = &problem.ovens[0];
    let (mut now, mut set) = (oven.temperature, knob);
    let mut all = Vec::new();
    for tick in oven.from..=last {
        all.push(now);
        if let Some(turn) = turns.iter().rfind(|t| t.at == tick) {
            set = turn.to;
        }
        let target = match set {
            Setting::Off => oven.room,
            Setting::At(c) => c,
        };
        now = if target > now {
            (now + oven.heats / whole(2)).min(target)
        } else {
            (now - oven.cools / whole(2)).max(target)
        };
    }
    all
}

/// What is wrong with the turns, by the words of the reference: within 1 C of what `at` accepts when a step starts, and
/// never out of what a running segment accepts once it is reached; a later segment is approached at once.
fn fault(problem: &Problem, schedule: &Schedule, turns: &[Turn], knob: Setting) -> Option<String> {
    let oven = &problem.ovens[0];
    let last = (0..problem.steps.len())
        .map(|i| schedule.starts[i] + problem.steps[i].length)
        .max()?;
    let temperatures = follow(problem, turns, knob, last);
    let at = |tick: Tick| temperatures[usize::try_from(tick - oven.from).expect("in the plan")];
    for (i, step) in problem.steps.iter().enumerate() {
        let Some(need) = &step.oven else { continue };
        for (n, segment) in need.segments.iter().enumerate() {
            let (lo, hi) = match segment.accepts {
                Accepts::Span { lo, hi } => (lo, hi),
                Accepts::Off => (oven.room, oven.room),
            };
            let (from, to) = (
                schedule.starts[i] + segment.from,
                schedule.starts[i] + segment.to,
            );
            let mut reached = n == 0 && step.begun.is_none();
            for tick in from.max(oven.from)..=to {
                let here = at(tick);
                let inside = lo <= here && here <= hi;
                if reached && !(lo - whole(1) <= here && here <= hi + whole(1)) {
                    return Some(format!(
                        "step {i} segment {n}: {here} C at {tick}, not {lo} to {hi}"
                    ));
                }
                let nearer = tick == from.max(oven.from) || {
                    let before = at(tick - 1);
                    if here > hi {
                        here < before
                    } else {
                        here > before
                    }
                };
                if !inside && !nearer {
                    return Some(format!(
                        "step {i} segment {n}: {here} C at {tick} does not near {lo} to {hi}"
                    ));
                }
                reached |= inside;
            }
        }
    }
    None
}

#[test]
fn random_plans_have_turns_that_a_simulated_oven_confirms() {
    let mut checked = 0;
    for seed in 0..600 {
        let mut dice = Dice::new(seed);
        let n = usize::try_from(dice.roll(3, 9)).expect("small");
        let mut problem = testing::problem(&mut dice, n, 8);
        problem.ovens[0].racks = 3;
        if dice.one_in(2) {
            problem.ovens[0].heats = whole(10);
            problem.ovens[0].cools = whole(4);
        }
        let Some(schedule) = testing::schedule(&mut dice, &problem, 900) else {
            continue;
        };
        let turns = turns(&problem, &schedule, &[]);
        assert_eq!(
            fault(&problem, &schedule, &turns, Setting::Off),
            None,
            "seed {seed}\n{turns:?}\n{schedule:?}\n{problem:?}"
        );
        assert!(turns.iter().all(|t| t.at >= 0), "seed {seed}");
        if problem.steps.iter().any(|s| s.oven.is_some()) {
            checked += 1;
        }
    }
    assert!(checked > 400, "only {checked} plans were checked");
}

#[test]
fn the_simulation_finds_a_missing_turn() {
    let s = session(vec![dish(
        "d",
        vec![in_oven(step("roast", (60, 60)), 220, &[(20, 190)])],
    )]);
    let (problem, schedule) = planned(&s, vec![100]);
    let mut found = turns(&problem, &schedule, &[]);
    assert_eq!(fault(&problem, &schedule, &found, Setting::Off), None);
    found.remove(1);
    assert!(fault(&problem, &schedule, &found, Setting::Off).is_some());
    found.remove(0);
    assert!(fault(&problem, &schedule, &found, Setting::Off).is_some());
}

fn planned(session: &crate::menu::Session, starts: Vec<Tick>) -> (Problem, Schedule) {
    let now = moment("2026-12-21T12:00[Europe/Berlin]");
    let problem = build(session, &now, &Options::default())
        .expect("a problem")
        .problem;
    let ovens = problem
        .steps
        .iter()
        .map(|s| s.oven.as_ref().map(|_| 0))
        .collect();
    let served = problem.courses.iter().map(|c| c.promised).collect();
    (
        problem,
        Schedule {
            starts,
            ovens,
            served,
        },
    )
}

fn plain(turns: &[Turn]) -> Vec<(Tick, i64)> {
    let degrees = |to| match to {
        Setting::Off => 0,
        Setting::At(c) => i64::try_from(c.to_integer()).expect("small"),
    };
    turns.iter().map(|t| (t.at, degrees(t.to))).collect()
}

#[test]
fn preheats_as_late_as_needed_turns_down_at_once_and_off_at_the_end() {
    let s = session(vec![dish(
        "d",
        vec![in_oven(step("roast", (60, 60)), 220, &[(20, 190)])],
    )]);
    let (problem, schedule) = planned(&s, vec![100]);
    let found = turns(&problem, &schedule, &[]);
    // 200 C at 10 C a minute: 20 minutes, 40 ticks.
    assert_eq!(plain(&found), [(60, 220), (140, 190), (220, 0)]);
    let why: Vec<String> = found.iter().map(|t| t.reason.words("Roast")).collect();
    assert_eq!(
        why,
        [
            "preheat for Roast",
            "turn down for Roast",
            "nothing needs it now"
        ]
    );
    assert_eq!(
        found[1].reason,
        Reason::Next {
            step: 0,
            segment: 1,
            hotter: false
        }
    );
}

#[test]
fn never_before_zero_though_it_is_then_only_just_warm_enough() {
    let s = session(vec![dish(
        "d",
        vec![in_oven(step("roast", (60, 60)), 220, &[])],
    )]);
    let (problem, schedule) = planned(&s, vec![38]);
    assert_eq!(
        plain(&turns(&problem, &schedule, &[])),
        [(0, 220), (158, 0)]
    );
}

#[test]
fn a_neighbour_at_an_acceptable_temperature_turns_no_knob() {
    let s = session(vec![
        dish("a", vec![in_oven(step("roast", (60, 60)), 200, &[])]),
        dish("b", vec![in_oven(step("bake", (20, 20)), 190, &[])]),
    ]);
    let (problem, schedule) = planned(&s, vec![100, 140]);
    assert_eq!(
        plain(&turns(&problem, &schedule, &[])),
        [(64, 200), (220, 0)]
    );
}

#[test]
fn an_oven_idle_for_long_is_turned_off_and_one_idle_for_a_while_is_not() {
    let s = session(vec![
        dish("a", vec![in_oven(step("roast", (60, 60)), 200, &[])]),
        dish("b", vec![in_oven(step("bake", (20, 20)), 150, &[])]),
    ]);
    let (problem, schedule) = planned(&s, vec![100, 260]);
    assert_eq!(
        plain(&turns(&problem, &schedule, &[])),
        [(64, 200), (220, 150), (300, 0)]
    );
    let (problem, schedule) = planned(&s, vec![100, 500]);
    assert_eq!(
        plain(&turns(&problem, &schedule, &[])),
        [(64, 200), (220, 0), (474, 150), (540, 0)]
    );
}

#[test]
fn turns_down_before_the_end_where_the_next_step_leaves_no_more_time() {
    let s = session(vec![
        dish("a", vec![in_oven(step("roast", (60, 60)), 220, &[])]),
        dish("b", vec![in_oven(step("bake", (20, 20)), 180, &[])]),
    ]);
    // From 210 C to 190 C: five minutes, ten ticks; the oven is at 220 C and has to be at 210 C at the end.
    let (problem, schedule) = planned(&s, vec![100, 230]);
    let found = turns(&problem, &schedule, &[]);
    assert_eq!(fault(&problem, &schedule, &found, Setting::Off), None);
    assert_eq!(plain(&found), [(60, 220), (215, 180), (270, 0)]);
}

#[test]
fn live_it_goes_on_from_what_the_oven_is() {
    let s = session(vec![dish(
        "a",
        vec![in_oven(step("roast", (60, 60)), 220, &[(20, 190)])],
    )]);
    let (mut problem, schedule) = planned(&s, vec![100]);
    problem.mode = Mode::Live {
        now: 150,
        before: vec![None],
        heated: Vec::new(),
    };
    problem.ovens[0].from = 150;
    problem.ovens[0].temperature = whole(220);
    problem.steps[0].begun = Some(Begun {
        start: 100,
        oven: Some(0),
        done: false,
    });
    problem.steps[0].oven = Some(OvenUse {
        racks: 1,
        segments: vec![crate::plan::problem::Segment {
            from: 0,
            to: 120,
            accepts: span(180, 200),
        }],
    });
    let hot = Setting::At(whole(220));
    // Ten ticks late with turning down: now.
    let found = turns(&problem, &schedule, &[hot]);
    assert_eq!(plain(&found), [(150, 190), (220, 0)]);
    assert_eq!(fault(&problem, &schedule, &found, hot), None);
    // Nothing is inside any more: off, now.
    problem.steps[0].oven = None;
    let off = turns(
        &problem,
        &Schedule {
            ovens: vec![None],
            ..schedule
        },
        &[hot],
    );
    assert_eq!(plain(&off), [(150, 0)]);
}
