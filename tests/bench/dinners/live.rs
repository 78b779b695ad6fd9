//! How soon a plan made again is valid, best in lateness, and proven.

use std::time::{Duration, Instant};

use mealtide::plan::problem::{Problem, Tick};
use mealtide::plan::schedule::Schedule;
use mealtide::plan::solver::{Engine, Search, Solution, Watch};

use super::check;
use super::dinners::{Shape, dinner};
use super::median;
use super::midst::in_the_midst;

const MS: f64 = 1000.0;

/// Notes when what was found.
struct Notes {
    begun: Instant,
    until: Instant,
    first: Option<f64>,
    late_in_frame: i64,
}

impl Watch for Notes {
    fn stop(&mut self) -> bool {
        Instant::now() >= self.until
    }

    fn improved(&mut self, solution: &Solution) {
        let ms = self.begun.elapsed().as_secs_f64() * MS;
        self.first.get_or_insert(ms);
        if ms <= 10.0 {
            self.late_in_frame = solution.cost.late;
        }
    }
}

/// Stops after so many questions.
struct Questions(u32);

impl Watch for Questions {
    fn stop(&mut self) -> bool {
        self.0 = self.0.saturating_sub(1);
        self.0 == 0
    }
}

/// A dinner of which a part is done and the running steps take longer, and its plan.
fn upset(steps: usize, seed: u64) -> (Problem, Schedule) {
    let problem = dinner(Shape::of(steps, seed % 2 == 1), seed);
    let found = Search::new().solve(&problem, None, &mut Questions(4000));
    let plan = found.expect("a plan").schedule;
    let first = plan.starts.iter().min().copied().unwrap_or(0);
    let last = plan.served.iter().max().copied().unwrap_or(0);
    let part = 1 + (seed % 5) as Tick;
    let late = [5, 10, 20][(seed % 3) as usize];
    let now = first + (last - first) * part / 8;
    (in_the_midst(&problem, &plan, now, late), plan)
}

/// Sixty of them, each searched for at most `seconds`.
pub fn run(seconds: f64) {
    let (mut firsts, mut proofs) = (Vec::new(), Vec::new());
    let (mut best_late, mut soon) = (0, 0);
    let cases = [(22, 100), (30, 200), (45, 300), (58, 400)];
    for (steps, seed) in cases
        .iter()
        .flat_map(|&(n, from)| (from..from + 15).map(move |s| (n, s)))
    {
        let (problem, plan) = upset(steps, seed);
        let begun = Instant::now();
        let mut notes = Notes {
            begun,
            until: begun + Duration::from_secs_f64(seconds),
            first: None,
            late_in_frame: i64::MAX,
        };
        let solution = Search::new()
            .solve(&problem, Some(&plan), &mut notes)
            .expect("a plan");
        let ms = begun.elapsed().as_secs_f64() * MS;
        let faults = check::faults(&problem, &solution.schedule);
        assert!(faults.is_empty(), "an incorrect plan: {faults:?}");
        firsts.extend(notes.first);
        best_late += usize::from(notes.late_in_frame <= solution.cost.late);
        soon += usize::from(solution.proven() && ms <= 20.0);
        if solution.proven() {
            proofs.push(ms);
        }
        println!(
            "live, {steps} steps, seed {seed}: {ms:.2} ms, proven {}",
            solution.proven()
        );
    }
    let (count, proven) = (firsts.len(), proofs.len());
    println!(
        "live: first plan {:.3} ms median, {:.3} ms at most; best lateness within 10 ms in {best_late} of {count}; \
         proven within 20 ms in {soon}, within {seconds} s in {proven}, median {:.2} ms",
        median(&mut firsts),
        firsts.last().copied().unwrap_or(f64::NAN),
        median(&mut proofs),
    );
}
