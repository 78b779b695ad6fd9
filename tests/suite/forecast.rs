//! The forecast beside rehearsed dinners: a share that is foreseen is the share that comes true.

#![allow(clippy::unwrap_used, reason = "a test fails by it")]

use mealtide::{
    engine::{
        core::Effort,
        rehearse::{Manner, rehearse},
    },
    live::Opening,
    plan::{
        Options, Part, build,
        forecast::{TOLERANCE_MS, forecast},
        solver::{Engine, Search, Solution, Watch},
    },
};
use rayon::prelude::*;

use crate::dinner::{OPENED, opening, opening_of};

#[path = "../dinners/sessions.rs"]
mod sessions;

const DINNERS: u64 = 100;

/// Made-up sessions, by seed.
const SESSIONS: u64 = 24;

fn made_up(seed: u64) -> Opening {
    opening_of(
        &sessions::text(seed),
        Part::Service,
        "2026-12-21T15:00[Europe/Berlin]",
    )
}

struct Questions(u32);

impl Watch for Questions {
    fn stop(&mut self) -> bool {
        self.0 = self.0.saturating_sub(1);
        self.0 == 0
    }

    fn improved(&mut self, _: &Solution) {}
}

/// How likely `k` or fewer of `n` come true that each do with probability `p`.
fn at_most(k: u64, n: u64, p: f64) -> f64 {
    if p > 0.5 {
        // Counted by what doesn't come true: the other way the first term would be too small for a number.
        return match n.checked_sub(k + 1) {
            Some(others) => 1.0 - at_most(others, n, 1.0 - p),
            None => 1.0,
        };
    }
    let mut term = (1.0 - p).powi(i32::try_from(n).unwrap());
    let mut sum = term;
    for i in 0..k {
        term *= (n - i) as f64 / (i + 1) as f64 * p / (1.0 - p);
        sum += term;
    }
    sum
}

#[test]
fn the_interval_is_that_of_the_binomial_distribution() {
    // By hand: of 2 fair coins, none is heads in a quarter, at most one in three quarters.
    assert!((at_most(0, 2, 0.5) - 0.25).abs() < 1e-12);
    assert!((at_most(1, 2, 0.5) - 0.75).abs() < 1e-12);
    assert!((at_most(0, 2, 0.9) - 0.01).abs() < 1e-12);
    assert!((at_most(200, 200, 0.9995) - 1.0).abs() < 1e-12);
}

#[test]
fn as_many_rehearsed_dinners_are_on_time_as_are_foreseen() {
    let mut wrong = Vec::new();
    let mut either = 0;
    let built_in = OPENED.iter().map(|(id, _)| ((*id).to_owned(), opening(id)));
    let made = (1..=SESSIONS).map(|seed| (format!("made up, seed {seed}"), made_up(seed)));
    for (id, opening) in built_in.chain(made) {
        let options = Options {
            quantile: opening.quantile,
            part: opening.part,
        };
        let built = build(&opening.session, &opening.opened, &options).unwrap();
        let plan = Search::new()
            .solve(&built.problem, None, &mut Questions(20_000))
            .unwrap();
        let foreseen = forecast(&opening.session, &built, &plan.schedule, 10_000, 1).on_time;
        let on_time = (1..=DINNERS)
            .into_par_iter()
            .filter(|&seed| {
                let dinner = rehearse(
                    opening.clone(),
                    Search::new(),
                    Effort::default(),
                    Manner::default(),
                    seed,
                );
                let state = dinner.unwrap().state;
                let courses = state.courses.iter().zip(&state.script.courses);
                let mut late = courses.map(|(c, s)| c.served.unwrap() - s.promised);
                late.all(|by| by <= TOLERANCE_MS)
            })
            .count() as u64;
        println!("{id}: {on_time} of {DINNERS}, foreseen {foreseen}");
        // A share of 10,000 is itself known to no more than this.
        let p = foreseen.clamp(0.0005, 0.9995);
        let fewer = at_most(on_time, DINNERS, p);
        let more = at_most(DINNERS - on_time, DINNERS, 1.0 - p);
        either += usize::from(foreseen > 0.1 && foreseen < 0.9);
        if fewer <= 0.005 || more <= 0.005 {
            wrong.push(format!(
                "{id}: {on_time} of {DINNERS} on time, foreseen {foreseen}"
            ));
        }
    }
    assert_eq!(wrong, Vec::<String>::new());
    assert!(either >= 8, "dinners that may go either way: {either}");
}
