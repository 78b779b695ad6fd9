use super::*;
use crate::{
    menu::Session,
    plan::{
        solver::{Engine, Search, Watch},
        testing::{dish, in_oven, moment, needing, session, step, whole},
        verify,
    },
};

/// Stops after so many questions: no clock.
struct Count(u32);

impl Watch for Count {
    fn stop(&mut self) -> bool {
        self.0 = self.0.saturating_sub(1);
        self.0 == 0
    }
}

fn solve(problem: &Problem) -> Option<Solution> {
    let solution = Search::new().solve(problem, None, &mut Count(2_000)).ok()?;
    assert_eq!(verify::solution(problem, &solution), []);
    Some(solution)
}

fn helped(session: &Session, now: &str) -> Vec<Remedy> {
    let (now, options) = (moment(now), Options::default());
    let built = build(session, &now, &options).expect("a problem");
    let solution = solve(&built.problem).expect("a plan");
    let all = candidates(session, &now, &options, &built, &solution);
    remedies(&solution, all, solve)
}

#[test]
fn a_second_tray_a_dish_made_ahead_and_a_helper_help_where_they_are_what_is_short() {
    // Two dishes want the one tray for 40 minutes each: 80 minutes of oven in 60.
    let bake = |id| needing(in_oven(step(id, (40, 40)), 100, &[]), &[("tray", 1)]);
    let mut cake = dish("cake", vec![bake("bake")]);
    cake.steps[0].ahead = Some(whole(86_400));
    cake.title = "Cake".into();
    let s = session(vec![cake, dish("bread", vec![bake("bake")])]);
    let found = helped(&s, "2026-12-21T18:20[Europe/Berlin]");
    let tray = found
        .iter()
        .find(|r| r.what == "One more tray (2 in all)")
        .expect("a tray helps");
    // Zero at 18:20, oven warm at 18:27, bread out at 19:07, the cake at 19:47 without a second tray.
    assert!((tray.late_minutes - 17.0).abs() < 1e-9, "{tray:?}");
    assert!(
        found
            .iter()
            .any(|r| r.what == "Cake made ahead (ahead = [\"cake\"])")
    );
    assert!(
        found.iter().all(|r| !r.what.contains("cook")),
        "hands are not what is short: {found:?}"
    );
}

#[test]
fn hands_for_a_quarter_of_an_hour_help_a_cook_who_has_two() {
    let s = session(vec![
        dish("a", vec![step("chop", (15, 15))]),
        dish("b", vec![step("whip", (15, 15))]),
    ]);
    let found = helped(&s, "2026-12-21T19:10[Europe/Berlin]");
    assert!(
        found
            .iter()
            .any(|r| r.what.starts_with("A helper for 15 min") && r.late_minutes == 10.0),
        "{found:?}"
    );
    assert!(found.iter().any(|r| r.what == "A cook more (2 in all)"));
}

#[test]
fn beginning_earlier_helps_and_says_whether_there_is_still_time() {
    let mut s = session(vec![dish("a", vec![step("stir", (60, 60))])]);
    s.start = Some(Moment::Clock(jiff::civil::time(19, 0, 0, 0)));
    let found = helped(&s, "2026-12-21T12:00[Europe/Berlin]");
    assert_eq!(
        found.first().map(|r| r.what.as_str()),
        Some("Beginning 30 min earlier, at 18:30")
    );
    let then = helped(&s, "2026-12-21T19:00[Europe/Berlin]");
    assert_eq!(
        then.first().map(|r| r.what.as_str()),
        Some("Having begun 30 min earlier, at 18:30")
    );
}

#[test]
fn one_kind_of_help_does_not_hide_the_others() {
    // Six steps for one pair of hands: helpers for any of them help, and so does beginning earlier.
    let chop = |id| dish(id, vec![step("chop", (15, 15))]);
    let s = session(["a", "b", "c", "d", "e", "f"].map(chop).to_vec());
    let found = helped(&s, "2026-12-21T18:45[Europe/Berlin]");
    let of = |word: &str| found.iter().filter(|r| r.what.starts_with(word)).count();
    assert_eq!(of("A helper"), 2, "{found:?}");
    assert_eq!(of("A cook more"), 1, "{found:?}");
    assert!(of("Having begun") >= 1, "{found:?}");
}
