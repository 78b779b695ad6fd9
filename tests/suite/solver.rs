//! The planner's engine on made-up dinners: correct plans, checked from the words of the rules.

use mealtide::plan::problem::Problem;
use mealtide::plan::solver::{Engine, Search, Solution, Watch};

#[path = "../dinners/check.rs"]
mod check;
#[path = "../dinners/mod.rs"]
mod dinners;

use dinners::{Shape, dinner};

/// Stops at once.
struct Hasty;

impl Watch for Hasty {
    fn stop(&mut self) -> bool {
        true
    }
}

fn solved(problem: &Problem, watch: &mut dyn Watch) -> Solution {
    Search::new().solve(problem, None, watch).expect("a plan")
}

#[test]
fn first_plans_are_correct() {
    for steps in [3, 15, 22, 30, 60, 130, 270] {
        for seed in 0..12 {
            let problem = dinner(Shape::of(steps, seed % 2 == 1), seed);
            let solution = solved(&problem, &mut Hasty);
            let faults = check::faults(&problem, &solution.schedule);
            assert!(faults.is_empty(), "{steps} steps, seed {seed}: {faults:?}");
            eprintln!("{steps} {seed} {} {:?}", solution.total, solution.cost);
        }
    }
}
