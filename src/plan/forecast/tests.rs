use super::*;

/// The forecast of a cook who is at hand at once.
fn at_once(
    session: &Session,
    built: &Built,
    schedule: &Schedule,
    dinners: u32,
    seed: u64,
) -> Forecast {
    of(&Script::new(session, built, schedule, 0), dinners, seed)
}
use crate::plan::{
    Options, build, cost,
    problem::Tick,
    testing::{dish, in_oven, moment, session, step},
};

fn planned(session: &Session, starts: Vec<Tick>, served: Tick) -> (Built, Schedule) {
    let now = moment("2026-12-21T18:00[Europe/Berlin]");
    let built = build(session, &now, &Options::default()).expect("a problem");
    let ovens = built
        .problem
        .steps
        .iter()
        .map(|s| s.oven.as_ref().map(|_| 0))
        .collect();
    let schedule = Schedule {
        starts,
        ovens,
        served: vec![served],
    };
    assert_eq!(crate::plan::verify::verify(&built.problem, &schedule), []);
    (built, schedule)
}

/// One step of 30 to 50 minutes that ends at the promise when it takes 40: late by more than 5 minutes when it takes
/// more than 45. A symmetric triangular law on [30, 50] has P(X > 45) = (50 - 45)^2 / (20 * 10) = 1/8, and
/// E[max(0, X - 40)] = 10/6 minutes; its 90 % point is 50 - sqrt(0.1 * 200) = 45.528 (textbook formulas).
#[test]
fn one_step_follows_the_triangular_law() {
    let s = session(vec![dish("d", vec![step("a", (30, 50))])]);
    let (built, schedule) = planned(&s, vec![100], 180);
    let n = 40_000;
    let f = at_once(&s, &built, &schedule, n, 1);
    // Five standard deviations of a binomial share.
    let slack = 5.0 * (0.125 * 0.875 / f64::from(n)).sqrt();
    assert!((f.on_time - 0.875).abs() < slack, "{f:?}");
    assert!(
        (f.courses[0].late_ms / 60_000.0 - 10.0 / 6.0).abs() < 0.05,
        "{f:?}"
    );
    let ninth = f.courses[0].late_90_ms as f64 / 60_000.0;
    assert!((ninth - 5.528).abs() < 0.05, "{f:?}");
    assert_eq!(f.blame, Some((0, 1.0)));
}

#[test]
fn fixed_lengths_follow_the_plan_exactly() {
    let s = session(vec![dish(
        "d",
        vec![
            step("a", (10, 10)),
            in_oven(step("b", (20, 20)), 180, &[(5, 220)]),
            step("c", (3, 3)),
        ],
    )]);
    let (built, schedule) = planned(&s, vec![40, 60, 120], 180);
    let f = at_once(&s, &built, &schedule, 50, 3);
    assert_eq!(f.on_time, 1.0);
    assert_eq!(f.courses[0].late_90_ms, 0);
    assert_eq!(f.blame, None);
}

#[test]
fn the_same_seed_gives_the_same_answer_on_any_number_of_threads() {
    let s = session(vec![
        dish("a", vec![step("a", (10, 30)), step("b", (5, 25))]),
        dish("b", vec![step("c", (20, 30))]),
    ]);
    let (built, schedule) = planned(&s, vec![40, 80, 120], 180);
    let on = |threads| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .expect("threads");
        pool.install(|| forecast(&s, &built, &schedule, 500, 7))
    };
    assert_eq!(on(1), on(3));
    assert_ne!(on(1), forecast(&s, &built, &schedule, 500, 8));
}

#[test]
fn the_oven_and_the_one_cook_hold_up_what_waits_for_them() {
    let s = session(vec![
        dish("a", vec![in_oven(step("roast", (20, 60)), 220, &[])]),
        dish("b", vec![in_oven(step("bake", (30, 30)), 160, &[])]),
    ]);
    // The cake's oven waits for the roast to end and 210 -> 170 C at 4 C a minute: 20 ticks.
    let (built, schedule) = planned(&s, vec![40, 140], 200);
    let f = at_once(&s, &built, &schedule, 4_000, 5);
    assert!(f.on_time < 1.0);
    assert_eq!(f.blame.map(|b| b.0), Some(0));
}

#[test]
fn sure_takes_the_smallest_quantile_that_is_enough() {
    let s = session(vec![dish("d", vec![step("a", (30, 50))])]);
    let now = moment("2026-12-21T18:00[Europe/Berlin]");
    let mut tried = Vec::new();
    let make = |quantile| -> Result<(Built, Solution), crate::plan::BuildError> {
        tried.push(quantile);
        let options = Options {
            quantile,
            ..Options::default()
        };
        let built = build(&s, &now, &options).expect("a problem");
        let start = 180 - built.problem.steps[0].length;
        let schedule = Schedule {
            starts: vec![start],
            ovens: vec![None],
            served: vec![180],
        };
        let real = cost::cost(&built.problem, &schedule);
        let total = cost::total(&built.problem, &real);
        let solution = Solution {
            schedule,
            cost: real,
            total,
            bound: total,
            least: Default::default(),
            relaxed: false,
        };
        Ok((built, solution))
    };
    // A cook who takes up to 20 seconds to begin and to serve is late a little more often. At 0.5: late by over 5 min when it takes over 45: 12.5 %. At 0.6, 42 min: over 47: 4.5 %.
    let found = sure(&s, Ratio::new(9, 10), 4_000, 1, make).expect("a plan");
    assert!(found.reached);
    assert_eq!(tried, [Ratio::new(1, 2), Ratio::new(3, 5)]);
    assert_eq!(found.built.frame.quantile, Ratio::new(3, 5));
}
