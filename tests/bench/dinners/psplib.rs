//! The project scheduling problems of PSPLIB:
//! `-- --psplib FOLDER_OR_ARCHIVE [--sets j30,j120] [--schedules 5000,50000] [--seed 1] [--every 1] [--engine SECONDS]`.
//!
//! Prints, for each set and number of schedules, the average gap to the best known makespans (the optima, for J30) and
//! over the critical path, and the ratio to what is published. With `--engine` the planner's own engine takes each project
//! as a kitchen, with so many seconds, and the gaps and proofs are printed instead. The search that counts schedules lies in
//! `tests/projects/search`.

use std::path::Path;

use rayon::prelude::*;

use super::projects::library::{Known, Library};
use super::projects::{kitchen, search};
use super::{Options, number, ours};

/// Averages of a good search by others: set, schedules, percent, whether over the critical path rather than the best.
/// D. Debels, M. Vanhoucke, "A decomposition-based genetic algorithm for the resource-constrained project-scheduling
/// problem", Operations Research 55, 2007 (values from memory).
const PUBLISHED: [(&str, u64, f64, bool); 4] = [
    ("j30", 5_000, 0.04, false),
    ("j30", 50_000, 0.02, false),
    ("j120", 5_000, 32.18, true),
    ("j120", 50_000, 30.69, true),
];

/// Averages over a set, in percent.
#[derive(Default)]
struct Averages {
    gap: f64,
    over_path: f64,
    schedules: f64,
    /// Projects that are as short as the best known schedule, or shorter.
    reached: usize,
    shorter: usize,
}

impl Averages {
    fn add(&mut self, known: &Known, makespan: u32, schedules: f64, of: usize) {
        let over =
            |base: u32| 100.0 * (f64::from(makespan) / f64::from(base.max(1)) - 1.0) / of as f64;
        self.gap += over(known.best);
        self.over_path += over(known.project.critical_path());
        self.schedules += schedules / of as f64;
        self.reached += usize::from(makespan <= known.best);
        self.shorter += usize::from(makespan < known.best);
    }
}

pub fn run(options: &Options) {
    let path = options.value("--psplib", "");
    let library = match Library::open(Path::new(path)) {
        Ok(library) => library,
        Err(why) => return println!("projects were not run: {why}"),
    };
    let every = number(options.value("--every", "1")).max(1.0) as usize;
    for set in options.value("--sets", "j30,j120").split(',') {
        match library.set(set) {
            Ok((known, left_out)) => {
                left_out.iter().for_each(|why| println!("not run: {why}"));
                let known: Vec<Known> = known.into_iter().step_by(every).collect();
                one(set, &known, options);
            }
            Err(why) => println!("{set} was not run: {why}"),
        }
    }
}

fn one(set: &str, known: &[Known], options: &Options) {
    if options.has("--engine") {
        return engine(set, known, number(options.value("--engine", "0.5")));
    }
    let seed = number(options.value("--seed", "1")) as u64;
    for schedules in options.value("--schedules", "5000,50000").split(',') {
        searched(set, known, number(schedules) as u64, seed);
    }
}

/// Each project with a seed of its own.
fn searched(set: &str, known: &[Known], schedules: u64, seed: u64) {
    let settings = search::Settings::default();
    let found: Vec<_> = known
        .par_iter()
        .enumerate()
        .map(|(k, one)| {
            search::search(
                &one.project,
                schedules,
                seed * 1_000_000 + k as u64,
                &settings,
            )
        })
        .collect();
    let run = found.iter().filter(|f| f.is_ok()).count();
    let mut sum = Averages::default();
    for (one, found) in known.iter().zip(&found) {
        match found {
            Ok(found) => {
                let fault = one.project.fault(&found.starts);
                assert_eq!(fault, None, "{}: an incorrect schedule", one.name);
                sum.add(one, found.makespan, found.schedules, run);
            }
            Err(why) => println!("{} was not run: {why}", one.name),
        }
    }
    println!(
        "{set}: {run} projects, {schedules} schedules ({:.0} used), seed {seed}: {:.3} % over the best known, {:.3} % over the \
         critical path; {} as short as the best known, {} of them shorter{}",
        sum.schedules,
        sum.gap,
        sum.over_path,
        sum.reached,
        sum.shorter,
        ratio(set, schedules, &sum),
    );
}

fn ratio(set: &str, schedules: u64, sum: &Averages) -> String {
    let published = PUBLISHED.iter().find(|p| (p.0, p.1) == (set, schedules));
    let Some(&(_, _, theirs, over_path)) = published else {
        return String::new();
    };
    let ours = if over_path { sum.over_path } else { sum.gap };
    format!("; published {theirs} %, ratio {:.3}", ours / theirs)
}

/// The planner's own engine, which proves.
fn engine(set: &str, known: &[Known], seconds: f64) {
    let (mut sum, mut proven) = (Averages::default(), 0);
    for one in known {
        let (solution, _) = ours(&kitchen::problem(&one.project), seconds);
        sum.add(one, solution.cost.late as u32, 0.0, known.len());
        proven += usize::from(solution.proven());
    }
    println!(
        "{set}: {} projects, the planner's engine, {seconds} s each: {:.3} % over the best known, {:.3} % over the critical \
         path; {} as short as the best known; {proven} proven",
        known.len(),
        sum.gap,
        sum.over_path,
        sum.reached
    );
}
