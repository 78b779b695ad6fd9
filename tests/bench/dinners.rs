//! The planner beside CP-SAT on the same made-up dinners, in the same run.
//!
//! `cargo bench --bench dinners -- [--steps 22,30,55,120,270] [--seeds 10] [--seconds 10] [--ours 1] [--workers 1] [--no-reference]`
//! prints times to proof, costs and ratios; limits and workers that are not given follow the size (see [`Limits::of`]).
//! `-- --live` runs sixty dinners that something upsets in the midst, and prints how soon there is a plan, the best
//! lateness and the proof; `-- --dump 18:0-9,30:0-11` prints problems as JSON lines for
//! `tests/reference/optima.py`; `-- --forecast` simulates dinners, on all cores and on one;
//! `-- --psplib FOLDER_OR_ARCHIVE` runs project scheduling problems (see `psplib`).

// A benchmark that is asked for nonsense may stop.
#![allow(clippy::expect_used)]

use std::io::Write;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use mealtide::plan::problem::Problem;
use mealtide::plan::solver::{Engine, Search, Solution, Watch};

#[path = "../dinners/check.rs"]
mod check;
#[path = "../dinners/mod.rs"]
mod dinners;
#[path = "dinners/foreseen.rs"]
mod foreseen;
#[path = "../dinners/json.rs"]
mod json;
#[path = "dinners/live.rs"]
mod live;
#[path = "../dinners/midst.rs"]
mod midst;
#[path = "../projects/mod.rs"]
mod projects;
#[path = "dinners/psplib.rs"]
mod psplib;
#[path = "../dinners/sessions.rs"]
mod sessions;

use dinners::{Shape, dinner};

struct Until(Instant);

impl Watch for Until {
    fn stop(&mut self) -> bool {
        Instant::now() >= self.0
    }
}

fn ours(problem: &Problem, seconds: f64) -> (Solution, f64) {
    let begun = Instant::now();
    let mut watch = Until(begun + Duration::from_secs_f64(seconds));
    let solution = Search::new()
        .solve(problem, None, &mut watch)
        .expect("a plan");
    let took = begun.elapsed().as_secs_f64();
    let faults = check::faults(problem, &solution.schedule);
    assert!(faults.is_empty(), "an incorrect plan: {faults:?}");
    (solution, took)
}

/// What the reference model says: cost, whether proven, seconds. `None` when it cannot be run.
fn reference(problem: &Problem, workers: &str, seconds: f64) -> Option<(Option<i64>, bool, f64)> {
    let script = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/reference/dinner_model.py"
    );
    let mut child = Command::new("python3")
        .args([script, workers, &seconds.to_string()])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .ok()?;
    writeln!(child.stdin.take()?, "{}", json::line(problem)).ok()?;
    let out = child.wait_with_output().ok()?;
    let answer: serde_json::Value = serde_json::from_slice(&out.stdout).ok()?;
    let proven = answer["status"] == "OPTIMAL";
    Some((answer["cost"].as_i64(), proven, answer["seconds"].as_f64()?))
}

fn median(list: &mut [f64]) -> f64 {
    list.sort_by(f64::total_cmp);
    list.get(list.len() / 2).copied().unwrap_or(f64::NAN)
}

struct Options(Vec<String>);

impl Options {
    fn value<'a>(&'a self, name: &str, default: &'a str) -> &'a str {
        let at = self.0.iter().position(|a| a == name);
        at.and_then(|k| self.0.get(k + 1))
            .map_or(default, String::as_str)
    }

    fn has(&self, name: &str) -> bool {
        self.0.iter().any(|a| a == name)
    }
}

fn number(text: &str) -> f64 {
    text.parse()
        .unwrap_or_else(|_| panic!("{text:?} is not a number"))
}

/// How long each may search: ours and the reference, in seconds, and the reference's workers.
#[derive(Clone, Copy)]
struct Limits {
    ours: f64,
    theirs: f64,
    workers: f64,
}

impl Limits {
    /// Small ones to proof; above that ours far shorter than the reference.
    fn of(steps: usize, options: &Options) -> Self {
        let (ours, theirs, workers) = match steps {
            0..=40 => ("10", "10", "1"),
            41..=80 => ("10", "10", "1"),
            81..=160 => ("1", "30", "2"),
            _ => ("0.01", "40", "1"),
        };
        Limits {
            ours: number(options.value("--ours", ours)),
            theirs: number(options.value("--seconds", theirs)),
            workers: number(options.value("--workers", workers)),
        }
    }
}

/// What the runs of one size add up to.
#[derive(Default)]
struct Tally {
    mine: Vec<f64>,
    theirs: Vec<f64>,
    times: Vec<f64>,
    costs: Vec<f64>,
    proven: usize,
    theirs_proven: usize,
    worse: usize,
    unanswered: usize,
}

fn compare(steps: usize, options: &Options) {
    // The reference takes its whole time on what it cannot prove: few seeds where it can prove nothing.
    let seeds = number(options.value("--seeds", if steps > 80 { "4" } else { "10" })) as u64;
    let limits = Limits::of(steps, options);
    let mut tally = Tally::default();
    for seed in 0..seeds {
        one(
            steps,
            seed,
            limits,
            options.has("--no-reference"),
            &mut tally,
        );
    }
    println!(
        "{steps} steps: median {:.4} s, {} of {seeds} proven",
        median(&mut tally.mine),
        tally.proven
    );
    if tally.theirs.is_empty() {
        println!("{steps} steps: CP-SAT was not run (needs python3 with ortools)");
        return;
    }
    println!(
        "{steps} steps: CP-SAT ({} workers, {} s) median {:.3} s, {} proven; median ratio of times {:.4}, of costs {:.4}; \
         ours costs more in {}; CP-SAT had no plan in {}",
        limits.workers,
        limits.theirs,
        median(&mut tally.theirs),
        tally.theirs_proven,
        median(&mut tally.times),
        median(&mut tally.costs),
        tally.worse,
        tally.unanswered,
    );
}

fn one(steps: usize, seed: u64, limits: Limits, alone: bool, tally: &mut Tally) {
    let problem = dinner(Shape::of(steps, seed % 2 == 1), seed);
    let (solution, took) = ours(&problem, limits.ours);
    tally.proven += usize::from(solution.proven());
    tally.mine.push(took);
    let (total, proven) = (solution.total, solution.proven());
    let mine = format!(
        "{steps} steps, seed {seed}: {total} (at least {}, {} late) in {took:.4} s, proven {proven}",
        solution.bound, solution.cost.late
    );
    let answer = (!alone).then(|| reference(&problem, &limits.workers.to_string(), limits.theirs));
    let Some((cost, done, seconds)) = answer.flatten() else {
        println!("{mine}");
        return;
    };
    tally.theirs_proven += usize::from(done);
    tally.theirs.push(seconds);
    tally.times.push(took / seconds);
    match cost {
        Some(cost) => {
            tally.costs.push(total as f64 / cost.max(1) as f64);
            tally.worse += usize::from(cost < total);
        }
        None => tally.unanswered += 1,
    }
    if done && proven && !solution.relaxed {
        assert_eq!(
            cost,
            Some(total),
            "{steps} steps, seed {seed}: two proven optima"
        );
    }
    println!("{mine}; CP-SAT {cost:?} in {seconds:.3} s, proven {done}");
}

fn dump(list: &str) {
    for part in list.split(',') {
        let (steps, seeds) = part.split_once(':').expect("steps:from-to");
        let (from, to) = seeds.split_once('-').expect("from-to");
        let steps = number(steps) as usize;
        for seed in number(from) as u64..=number(to) as u64 {
            let problem = dinner(Shape::of(steps, seed % 2 == 1), seed);
            println!(
                "{{\"steps\":{steps},\"seed\":{seed},\"problem\":{}}}",
                json::line(&problem)
            );
        }
    }
}

fn main() {
    let options = Options(
        std::env::args()
            .skip(1)
            .filter(|a| a != "--bench")
            .collect(),
    );
    if options.has("--dump") {
        return dump(options.value("--dump", ""));
    }
    if options.has("--psplib") {
        return psplib::run(&options);
    }
    if options.has("--forecast") {
        return foreseen::run();
    }
    if options.has("--live") {
        return live::run(number(options.value("--ours", "1")));
    }
    for steps in options
        .value("--steps", "22,30,55,120,135,270,600")
        .split(',')
    {
        compare(number(steps) as usize, &options);
    }
}
