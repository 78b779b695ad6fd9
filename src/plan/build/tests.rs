use super::*;
use crate::{
    measure::temperature::Accepts,
    menu::Moment,
    plan::problem::Hold,
    plan::testing::{dish, in_oven, moment, needing, session, step, whole},
};

fn built(session: &Session, now: &str) -> Built {
    build(session, &moment(now), &Options::default()).expect("a problem")
}

fn problem(session: &Session) -> Problem {
    built(session, "2026-12-21T12:00[Europe/Berlin]").problem
}

#[test]
fn lengths_are_exact_and_rounded_up_once() {
    let mut s = session(vec![dish(
        "d",
        vec![step("a", (8, 9)), step("b", (0, 0)), step("c", (7, 7))],
    )]);
    s.dishes[0].steps[2].scales = true;
    s.guests = 5;
    let lengths: Vec<Tick> = problem(&s).steps.iter().map(|s| s.length).collect();
    // 8.5 min; at least a tick; 7 min x 5/4 = 8.75 min = 17.5 ticks.
    assert_eq!(lengths, [17, 1, 18]);
    let late = Options {
        quantile: whole(1),
        ..Options::default()
    };
    let at_most = build(&s, &moment("2026-12-21T12:00[Europe/Berlin]"), &late).expect("a problem");
    assert_eq!(at_most.problem.steps[0].length, 18);
}

#[test]
fn batches_follow_the_volume_and_hot_liquid_fills_two_thirds() {
    let mut s = session(vec![dish("soup", vec![step("blend", (2, 2))])]);
    s.dishes[0].makes = Some(Ratio::new(24, 10));
    s.dishes[0].steps[0].batch = Some("pot".into());
    s.guests = 5;
    // 2.4 L x 5/4 = 3 L: one pot of 3 L, two of two thirds.
    assert_eq!(problem(&s).steps[0].length, 4);
    s.dishes[0].steps[0].hot = true;
    assert_eq!(problem(&s).steps[0].length, 8);
    s.dishes[0].makes = None;
    let now = moment("2026-12-21T12:00[Europe/Berlin]");
    let errors = build(&s, &now, &Options::default()).expect_err("no volume");
    assert_eq!(
        errors,
        [BuildError::NoVolume("soup/blend".parse().expect("a step"))]
    );
}

#[test]
fn zero_is_now_rounded_so_that_service_is_whole_ticks_away() {
    let s = session(vec![dish("d", vec![step("a", (8, 8))])]);
    let b = built(&s, "2026-12-21T18:00:07[Europe/Berlin]");
    assert_eq!(b.frame.zero, moment("2026-12-21T18:00:30[Europe/Berlin]"));
    assert_eq!(b.problem.courses[0].promised, 179);
    assert_eq!(b.frame.at(179), moment("2026-12-21T19:30[Europe/Berlin]"));
}

#[test]
fn a_start_is_the_last_such_time_before_service_and_holds_if_later_than_now() {
    let mut s = session(vec![dish("d", vec![step("a", (8, 8))])]);
    s.start = Some(Moment::Clock(jiff::civil::time(18, 0, 0, 0)));
    let b = built(&s, "2026-12-21T12:00[Europe/Berlin]");
    assert_eq!(b.frame.zero, moment("2026-12-21T18:00[Europe/Berlin]"));
    // 20:00 comes after 19:30: it is that of the evening before.
    s.start = Some(Moment::Clock(jiff::civil::time(20, 0, 0, 0)));
    let b = built(&s, "2026-12-21T12:00[Europe/Berlin]");
    assert_eq!(b.frame.zero, moment("2026-12-21T12:00[Europe/Berlin]"));
}

#[test]
fn a_clock_time_that_has_passed_is_tomorrow_also_over_midnight() {
    let mut s = session(vec![dish("d", vec![step("a", (8, 8))])]);
    let b = built(&s, "2026-12-21T19:30[Europe/Berlin]");
    assert_eq!(b.frame.serve, moment("2026-12-22T19:30[Europe/Berlin]"));
    s.serve = Moment::Clock(jiff::civil::time(0, 15, 0, 0));
    let b = built(&s, "2026-12-31T23:00[Europe/Berlin]");
    assert_eq!(b.frame.serve, moment("2027-01-01T00:15[Europe/Berlin]"));
    assert_eq!(b.problem.courses[0].promised, 150);
}

/// Transitions of Europe/Berlin in 2026 by the IANA time zone database: 29 March 02:00 -> 03:00, 25 October 03:00 -> 02:00.
#[test]
fn summer_time_changes_the_distance_not_the_clock() {
    let mut s = session(vec![dish("d", vec![step("a", (8, 8))])]);
    s.serve = Moment::Clock(jiff::civil::time(8, 0, 0, 0));
    let spring = built(&s, "2026-03-29T00:00[Europe/Berlin]");
    assert_eq!(spring.problem.courses[0].promised, 7 * 120);
    let autumn = built(&s, "2026-10-25T00:00[Europe/Berlin]");
    assert_eq!(autumn.problem.courses[0].promised, 9 * 120);
    // The repeated hour: from its first 02:30 the next 02:45 is fifteen minutes away, from the first 02:50 the second.
    s.serve = Moment::Clock(jiff::civil::time(2, 45, 0, 0));
    let first = built(&s, "2026-10-25T02:30+02:00[Europe/Berlin]");
    assert_eq!(first.problem.courses[0].promised, 30);
    let second = built(&s, "2026-10-25T02:50+02:00[Europe/Berlin]");
    assert_eq!(second.problem.courses[0].promised, 110);
    // The skipped hour: as late as if it had not been.
    s.serve = Moment::Clock(jiff::civil::time(2, 30, 0, 0));
    let skipped = built(&s, "2026-03-29T01:30[Europe/Berlin]");
    assert_eq!(
        skipped.frame.serve,
        moment("2026-03-29T03:30[Europe/Berlin]")
    );
}

#[test]
fn oven_settings_that_are_not_reached_are_dropped() {
    let s = session(vec![dish(
        "d",
        vec![in_oven(
            step("roast", (20, 20)),
            220,
            &[(5, 190), (20, 150)],
        )],
    )]);
    let p = problem(&s);
    let segments = &p.steps[0].oven.as_ref().expect("an oven step").segments;
    let times: Vec<(Tick, Tick)> = segments.iter().map(|s| (s.from, s.to)).collect();
    assert_eq!(times, [(0, 10), (10, 40)]);
    assert_eq!(
        segments[1].accepts,
        Accepts::Span {
            lo: whole(180),
            hi: whole(200)
        }
    );
}

#[test]
fn a_look_every_two_minutes_takes_a_cook_one_every_three_does_not() {
    let mut s = session(vec![dish("d", vec![step("a", (8, 8)), step("b", (8, 8))])]);
    s.dishes[0].steps[0].hands = Hands::Check(whole(179));
    s.dishes[0].steps[1].hands = Hands::Check(whole(180));
    let hands: Vec<bool> = problem(&s).steps.iter().map(|s| s.hands).collect();
    assert_eq!(hands, [true, false]);
}

#[test]
fn cookware_is_held_by_the_dish_and_burners_by_the_step() {
    let s = session(vec![dish(
        "d",
        vec![
            needing(step("a", (8, 8)), &[("pot", 1), ("burner", 2)]),
            step("b", (8, 8)),
            needing(step("c", (8, 8)), &[("pot", 2), ("sieve", 1)]),
        ],
    )]);
    let b = built(&s, "2026-12-21T12:00[Europe/Berlin]");
    assert_eq!(b.frame.wares, ["pot", "sieve"]);
    assert_eq!(b.problem.wares, [2, 1]);
    let holds = &b.problem.dishes[0].holds;
    assert_eq!(
        holds[0],
        Hold {
            ware: 0,
            count: 2,
            steps: vec![0, 2]
        }
    );
    assert_eq!(
        holds[1],
        Hold {
            ware: 1,
            count: 1,
            steps: vec![2]
        }
    );
    assert_eq!(b.problem.steps[0].burners, 2);
}

#[test]
fn what_is_made_ahead_leaves_the_service_plan_with_its_cookware() {
    let mut s = session(vec![dish(
        "d",
        vec![
            needing(step("a", (8, 8)), &[("pot", 1)]),
            step("b", (8, 8)),
            needing(step("c", (8, 8)), &[("pot", 1)]),
        ],
    )]);
    s.dishes[0].steps[1].ahead = Some(whole(86_400));
    s.dishes[0].steps[1].keeps = Some(whole(600));
    s.ahead = vec!["d".into()];
    let service = built(&s, "2026-12-21T12:00[Europe/Berlin]");
    assert_eq!(service.frame.steps, ["d/c".parse().expect("a step")]);
    assert!(service.problem.steps[0].after.is_empty());
    assert_eq!(service.problem.dishes[0].holds[0].steps, [0]);
    let options = Options {
        part: Part::Ahead,
        ..Options::default()
    };
    let ahead = build(&s, &moment("2026-12-20T12:00[Europe/Berlin]"), &options).expect("a problem");
    assert_eq!(ahead.frame.steps.len(), 2);
    assert_eq!(ahead.problem.courses[0].promised, 0);
    assert_eq!(ahead.problem.steps[1].keeps, None);
    s.dishes[0].steps[1].ahead = None;
    let errors =
        build(&s, &moment("2026-12-20T12:00[Europe/Berlin]"), &options).expect_err("no step");
    assert_eq!(errors, [BuildError::NoAheadStep("d".into())]);
}
