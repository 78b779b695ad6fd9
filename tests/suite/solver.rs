//! The planner's engine: correct plans by two readings of the rules, and proven costs against a reference solver.

use mealtide::plan::problem::Problem;
use mealtide::plan::schedule::Schedule;
use mealtide::plan::solver::{Engine, Search, Solution, Watch};
use mealtide::plan::verify;

#[path = "../dinners/check.rs"]
mod check;
#[path = "../dinners/mod.rs"]
mod dinners;
#[path = "../dinners/midst.rs"]
mod midst;

use crate::projects::kitchen;
use crate::projects::library::twenty;
use dinners::{Shape, dinner};
use midst::in_the_midst;

/// Stops after so many questions; always at the same point of a search.
struct Questions(u64);

impl Watch for Questions {
    fn stop(&mut self) -> bool {
        self.0 = self.0.saturating_sub(1);
        self.0 == 0
    }
}

fn solved(problem: &Problem, hint: Option<&Schedule>, questions: u64) -> Solution {
    let found = Search::new().solve(problem, hint, &mut Questions(questions));
    found.expect("these dinners have a plan")
}

/// Both checkers, each written from the words of the rules without the other or the engine.
fn assert_correct(problem: &Problem, solution: &Solution, what: &str) {
    let faults = check::faults(problem, &solution.schedule);
    assert!(faults.is_empty(), "{what}: {faults:?}");
    let violations = verify::solution(problem, solution);
    assert!(violations.is_empty(), "{what}: {violations:?}");
}

#[test]
fn first_plans_are_correct_at_every_size() {
    for steps in [3, 15, 22, 30, 60, 130, 270, 600] {
        for seed in 0..8 {
            let problem = dinner(Shape::of(steps, seed % 2 == 1), seed);
            assert_correct(
                &problem,
                &solved(&problem, None, 1),
                &format!("{steps} steps, seed {seed}"),
            );
        }
    }
}

#[test]
fn no_proven_plan_has_less_of_a_part_than_its_bound() {
    let mut said = 0;
    for steps in [22, 30] {
        for seed in 60..66 {
            let problem = dinner(Shape::of(steps, seed % 2 == 1), seed);
            let early = solved(&problem, None, 3);
            let best = solved(&problem, None, 40_000);
            if early.proven() || !best.proven() {
                continue;
            }
            let (least, cost) = (early.least, best.cost);
            let parts = [
                (least.late, cost.late),
                (least.over, cost.over),
                (least.stale, cost.stale),
                (least.span, cost.span),
            ];
            said += parts.iter().filter(|p| p.0 > 0).count();
            assert!(
                parts.iter().all(|p| p.0 <= p.1) && early.bound <= best.total,
                "{steps} steps, seed {seed}: {least:?} {cost:?}"
            );
        }
    }
    assert!(said > 6, "bounds that say nothing");
}

#[test]
fn plans_stay_correct_while_they_get_better() {
    for steps in [30, 60, 130] {
        for seed in 20..24 {
            let problem = dinner(Shape::of(steps, seed % 2 == 1), seed);
            let first = solved(&problem, None, 1);
            let later = solved(&problem, None, 20);
            assert_correct(&problem, &later, &format!("{steps} steps, seed {seed}"));
            assert!(later.cost.broken < first.cost.broken || later.total <= first.total);
        }
    }
}

/// Optima from CP-SAT by `tests/reference/optima.py` (OR-Tools 9.15).
#[test]
fn proven_costs_are_those_of_the_reference_solver() {
    let table = include_str!("../data/optima.csv");
    for line in table.lines().skip(1) {
        let n: Vec<i64> = line
            .split(',')
            .map(|x| x.parse().expect("a number"))
            .collect();
        let (steps, seed) = (n[0] as usize, n[1] as u64);
        let problem = dinner(Shape::of(steps, seed % 2 == 1), seed);
        let solution = solved(&problem, None, u64::MAX);
        assert!(solution.proven() && !solution.relaxed, "{line}");
        assert_eq!(solution.total, n[2], "{steps} steps, seed {seed}");
        assert_correct(&problem, &solution, line);
    }
}

/// Optima of PSPLIB's set J30 (`tests/reference/projects.py` says where from).
#[test]
fn project_makespans_are_the_published_optima() {
    for known in twenty() {
        let problem = kitchen::problem(&known.project);
        let solution = solved(&problem, None, u64::MAX);
        assert!(solution.proven(), "{}", known.name);
        assert_eq!(solution.cost.late, i64::from(known.best), "{}", known.name);
        assert_correct(&problem, &solution, &known.name);
    }
}

#[test]
fn keeps_that_nobody_can_keep_are_broken_by_the_least() {
    // Two things that must not wait, made by one cook for the same next step: the shorter one comes last.
    let mut problem = dinner(Shape::of(3, false), 1);
    let base = problem.steps[0].clone();
    let step = |length, after: Vec<usize>, keeps| {
        let mut s = base.clone();
        (s.length, s.after, s.keeps, s.hands, s.burners, s.oven) =
            (length, after, keeps, true, 0, None);
        s
    };
    problem.steps = vec![
        step(4, vec![], Some(0)),
        step(6, vec![], Some(0)),
        step(5, vec![0, 1], None),
    ];
    problem.dishes.truncate(1);
    problem.dishes[0].steps = vec![0, 1, 2];
    problem.dishes[0].holds.clear();
    problem.courses.truncate(1);
    problem.courses[0].dishes = vec![0];
    let solution = solved(&problem, None, u64::MAX);
    assert!(solution.relaxed && solution.proven());
    assert_eq!(solution.cost.broken, 4);
    assert_correct(&problem, &solution, "broken keeps");
}

#[test]
fn replans_in_the_midst_are_correct_and_move_nothing_without_need() {
    for steps in [15, 30, 60] {
        for seed in 0..6 {
            let problem = dinner(Shape::of(steps, seed % 2 == 1), seed);
            let plan = solved(&problem, None, 8).schedule;
            let last = plan.served.last().copied().unwrap_or(0);
            for part in 1..8 {
                let now = last * part / 8;
                for late in [0, 7, 40] {
                    let live = in_the_midst(&problem, &plan, now, late);
                    let what = format!("{steps} steps, seed {seed}, at {now}, {late} late");
                    let quick = solved(&live, Some(&plan), 1);
                    assert_correct(&live, &quick, &what);
                    let better = solved(&live, Some(&plan), 6);
                    assert_correct(&live, &better, &what);
                    assert!(better.total <= quick.total, "{what}");
                }
            }
        }
    }
}

#[test]
fn the_same_search_finds_the_same() {
    let problem = dinner(Shape::of(60, true), 5);
    assert_eq!(solved(&problem, None, 40), solved(&problem, None, 40));
}
