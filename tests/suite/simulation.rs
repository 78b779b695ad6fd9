//! One seeded simulator drives the real loop in virtual time: a careless cook, clocks that jump, a disk that fails, kills and
//! resumes at any event, a dead alert worker. The invariants are checked at every view. A failing seed is printed.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test fails by it"
)]

use std::{
    collections::BTreeMap,
    panic::{AssertUnwindSafe, catch_unwind, resume_unwind},
    path::Path,
    sync::{
        Arc,
        atomic::{AtomicUsize, Ordering},
    },
};

use mealtide::{
    engine::{
        clock::{Fault, Pace, Virtual},
        core::{Core, Effort, Record, fold},
        run::{Ending, Loop, Passing, RunError},
    },
    live::{Event, Ms, Opening, State},
    log::{self, Writer},
};
use rand_pcg::{
    Pcg64Mcg,
    rand_core::{Rng, SeedableRng},
};
use rayon::prelude::*;

use crate::{
    careless::{Careless, Dead, Shaky, Slow, Sound, chance},
    dinner::{OPENED, opening},
};

/// What a sitting begins with.
struct Sitting {
    seed: u64,
    number: u32,
    random: Pcg64Mcg,
    opened: State,
}

impl Sitting {
    /// Sits down at the session until it ends, is killed, or the cook leaves; gives how many records were acknowledged.
    /// `taken_up`: the fold of what was logged before, and how many records that is.
    async fn run(
        &mut self,
        core: Core<Sound>,
        now: Ms,
        taken_up: Option<(State, usize)>,
        disk: &Shaky,
    ) -> (Result<Ending, RunError>, usize) {
        let (shadow, shown) = taken_up.map_or((None, 0), |(state, shown)| (Some(state), shown));
        let mut disk = disk.clone();
        disk.random = Pcg64Mcg::seed_from_u64(self.random.next_u64());
        // The last sittings are without faults, so that every dinner ends.
        disk.fails = if self.number < 4 && chance(&mut self.random) < 0.3 {
            0.2
        } else {
            0.0
        };
        let seed = self.seed ^ (u64::from(self.number) << 56);
        let mut faults = Fault::seeded(seed, 9 * 3_600_000);
        for fault in &mut faults {
            match fault {
                Fault::Suspend { at, .. } | Fault::Step { at, .. } => *at += now,
            }
        }
        let clock = Virtual::new(self.opened.script.opened.clone(), now, Pace::AtOnce, faults);
        let length = disk.content().len() as u64;
        let log = Writer::at_hand(Path::new("simulated.jsonl"), disk, shown as u64, length);
        let lives = if self.number < 6 {
            1 + (self.random.next_u64() % 150) as u32
        } else {
            u32::MAX
        };
        let acknowledged = Arc::new(AtomicUsize::new(shown));
        let face = Careless {
            random: Pcg64Mcg::seed_from_u64(self.random.next_u64()),
            clock: clock.clone(),
            intent: None,
            shown,
            shadow,
            opened: self.opened.clone(),
            seen: BTreeMap::new(),
            lives,
            views: 0,
            acknowledged: acknowledged.clone(),
        };
        let slow = Slow::new(self.random.next_u64(), clock.clone());
        let running = Loop {
            core,
            clock,
            log: Some(log),
            face,
            bell: Dead,
            background: slow,
            passing: Passing::Simulated,
        };
        (running.run().await, acknowledged.load(Ordering::SeqCst))
    }
}

/// Cooks a dinner with faults to its end, through kills and resumes.
async fn dinner(opening: Opening, opened: &State, seed: u64) -> Vec<Record> {
    let mut random = Pcg64Mcg::seed_from_u64(seed);
    let disk = Shaky {
        bytes: Arc::default(),
        random: random.clone(),
        fails: 0.0,
    };
    let mut now = 0;
    let mut records: Vec<Record> = Vec::new();
    for number in 0..50 {
        let mut taken_up = None;
        let core = if records.is_empty() {
            now = 0;
            let (opening, state) = (opening.clone(), opened.clone());
            Core::opened(opening, state, Sound::default(), EFFORT).expect("the session has a plan")
        } else {
            let state = fold(opened.clone(), &records[1..]).expect("the log resumes");
            taken_up = Some((state.clone(), records.len()));
            let mut core = Core::taken_up(state, Sound::default(), EFFORT);
            let away = now - records.last().map_or(0, |record| record.at);
            core.tell(Event::Resumed { away }, now)
                .expect("it was resumed");
            core
        };
        let mut sitting = Sitting {
            seed,
            number,
            random: Pcg64Mcg::seed_from_u64(random.next_u64()),
            opened: opened.clone(),
        };
        let (ended, acknowledged) = sitting.run(core, now, taken_up, &disk).await;
        if let Err(error @ RunError::Stuck(_)) = &ended {
            panic!("the session is stuck: {error}");
        }
        // A kill may tear the last line.
        if chance(&mut random) < 0.3 {
            disk.bytes.lock().unwrap().extend_from_slice(b"{\"seq\":");
        }
        let bytes = disk.content();
        if bytes.is_empty() || !bytes.contains(&b'\n') {
            assert_eq!(acknowledged, 0, "what was acknowledged is lost");
            disk.bytes.lock().unwrap().clear();
            continue;
        }
        let read = log::parse::<Event>(&bytes).expect("the log is usable");
        assert!(
            read.records.len() >= acknowledged,
            "what was acknowledged is lost"
        );
        records = read
            .records
            .into_iter()
            .map(|record| Record {
                at: record.ms,
                event: record.event,
            })
            .collect();
        let mut file = disk.bytes.lock().unwrap();
        file.truncate(usize::try_from(read.good).unwrap());
        // As a log is opened: the last record may be whole but for its line feed.
        if !file.ends_with(b"\n") {
            file.push(b'\n');
        }
        drop(file);
        now = records.last().map_or(0, |record| record.at) + (random.next_u64() % 600_000) as Ms;
        // Whoever is killed while the end is shown has ended all the same: a closed log is not taken up again.
        if records.iter().any(|record| record.event == Event::Closed) {
            return records;
        }
        assert!(
            number < 4 || !matches!(ended, Ok(Ending::Closed)),
            "the end isn't in the log"
        );
    }
    panic!("the dinner doesn't end");
}

/// Enough for a correct plan, which is all that is asked for here.
const EFFORT: Effort = Effort { first: 2, again: 1 };

/// Each session as it is opened. Laid out once: that is most of the work of opening it.
fn openings() -> Vec<(Opening, State)> {
    let openings = OPENED.iter().map(|(id, _)| opening(id));
    openings
        .map(|opening| (opening.clone(), State::open(&opening).unwrap()))
        .collect()
}

/// Cooks the dinner of a seed, of the session that it falls on.
fn cook(openings: &[(Opening, State)], seed: u64) -> Vec<Record> {
    let (opening, opened) = openings[seed as usize % openings.len()].clone();
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .unwrap();
    runtime.block_on(dinner(opening, &opened, seed))
}

/// What must hold when a dinner is over.
fn check(opened: State, records: &[Record]) {
    let state = fold(opened, &records[1..]).unwrap();
    for (step, script) in state.steps.iter().zip(&state.script.steps) {
        assert!(step.over(), "{} is lost", script.name);
        assert!(
            step.begun.is_none() || step.begun <= step.ended,
            "{}",
            script.name
        );
    }
    assert!(state.closed && state.courses.iter().all(|course| course.served.is_some()));
}

/// Cooks the dinners of `seeds`, and says how to see the ones again that fail.
fn dinners(seeds: impl IntoParallelIterator<Item = u64>) {
    let openings = openings();
    seeds.into_par_iter().for_each(|seed| {
        let cooked = catch_unwind(AssertUnwindSafe(|| {
            let records = cook(&openings, seed);
            check(openings[seed as usize % openings.len()].1.clone(), &records);
        }));
        if let Err(panic) = cooked {
            println!(
                "this dinner again: SEED={seed} cargo test --test suite dinner_of_a_seed -- --ignored"
            );
            resume_unwind(panic)
        }
    });
}

#[test]
fn careless_dinners_with_faults() {
    dinners(0..DINNERS);
}

/// Dinners that once failed: one was ended in the moment in which the program was killed and was taken up again all the
/// same, one had a plan made again that broke a rule, one had cookware taken before it was free by a step put before the
/// others of its hold, one by a step that others were begun before, one was killed when all of a record but its line feed
/// was written.
#[test]
fn dinners_that_once_failed() {
    dinners(vec![1_009_765, 1_008_737, 2_004_173, 2_004_581, 2_017_373]);
}

#[test]
fn a_seed_gives_the_same_dinner_again() {
    let openings = openings();
    (0..24_u64).into_par_iter().for_each(|seed| {
        let (once, again) = (cook(&openings, seed), cook(&openings, seed));
        let differs = once.iter().zip(&again).position(|(a, b)| a != b);
        assert_eq!(differs, None, "seed {seed}");
        assert_eq!(once.len(), again.len(), "seed {seed}");
    });
}

/// The dinner of one seed, or of several, by commas: `SEED=7 cargo test --test suite dinner_of_a_seed -- --ignored`
#[test]
#[ignore = "needs a seed"]
fn dinner_of_a_seed() {
    let seeds = std::env::var("SEED").expect("SEED=7, or SEED=7,12");
    let seeds = seeds.split(',').map(|seed| seed.trim().parse().unwrap());
    dinners(seeds.collect::<Vec<u64>>());
}

/// Run by `.ci/run`: `cargo test --release --test suite ten_thousand -- --ignored`
#[test]
#[ignore = "takes minutes"]
fn ten_thousand_careless_dinners() {
    dinners(1_000_000..1_010_000);
}

/// `cargo test --release --test suite twenty_thousand -- --ignored`
#[test]
#[ignore = "takes minutes"]
fn twenty_thousand_careless_dinners() {
    dinners(2_000_000..2_020_000);
}

/// In the ordinary run.
const DINNERS: u64 = 240;
