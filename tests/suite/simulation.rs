//! One seeded simulator drives the real loop in virtual time: a careless cook, clocks that jump, a disk that fails, kills and
//! resumes at any event. The invariants are checked at every view. A failing seed is printed.

use std::{
    collections::BTreeMap,
    io,
    path::Path,
    sync::{Arc, Mutex, PoisonError},
};

use jiff::ZonedDateTime;
use mealtide::{
    engine::{
        clock::{Clock, Fault, Pace, Virtual},
        core::{Core, Effort, Record, replay},
        run::{Bell, Ending, Face, Input, Loop, Passing, View},
    },
    live::{
        Action, Call, CallKey, Event, Ms, Opening, Ring, State,
        event::Trouble,
        typed::Typed,
    },
    log::{self, Writer, disk::Disk},
    plan::solver::Search,
};
use rand_pcg::{
    Pcg64Mcg,
    rand_core::{Rng, SeedableRng},
};

const MINUTE: Ms = 60_000;

/// A call that makes a sound is heard within this time: the longest that sounds are merged for, and a frame.
const HEARD_WITHIN: Ms = 70_000;

/// A disk in memory that fails now and then, in a write, in a sync, or for a while.
#[derive(Clone)]
struct Shaky {
    bytes: Arc<Mutex<Vec<u8>>>,
    random: Pcg64Mcg,
    fails: f64,
}

impl Shaky {
    fn fail(&mut self) -> io::Result<()> {
        if chance(&mut self.random) < self.fails { Err(io::Error::other("no space left")) } else { Ok(()) }
    }

    fn content(&self) -> Vec<u8> {
        self.bytes.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }
}

impl Disk for Shaky {
    fn write(&mut self, offset: u64, bytes: &[u8]) -> io::Result<()> {
        let torn = self.fail().err();
        let mut file = self.bytes.lock().unwrap_or_else(PoisonError::into_inner);
        file.truncate(offset as usize);
        let written = if torn.is_some() { &bytes[..bytes.len() / 2] } else { bytes };
        file.extend_from_slice(written);
        torn.map_or(Ok(()), Err)
    }

    fn sync(&mut self) -> io::Result<()> {
        self.fail()
    }

    fn cut(&mut self, length: u64) -> io::Result<()> {
        self.fail()?;
        self.bytes.lock().unwrap_or_else(PoisonError::into_inner).truncate(length as usize);
        Ok(())
    }

    fn restore(&mut self, _: u64) -> io::Result<()> {
        Ok(())
    }
}

fn chance(random: &mut Pcg64Mcg) -> f64 {
    (random.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
}

/// A cook who comes late or early, presses wrong keys and takes them back, and walks away.
struct Careless {
    random: Pcg64Mcg,
    clock: Virtual,
    /// What is done next, and when.
    intent: Option<(Ms, Vec<Action>)>,
    /// All that happened, as shown.
    records: Vec<Record>,
    /// The same events, folded by a stranger.
    shadow: Option<State>,
    /// Calls that stand and make a sound: since when they are seen, and whether they were heard.
    seen: BTreeMap<CallKey, (Ms, bool)>,
    /// Views until the program is killed.
    lives: u32,
}

impl Careless {
    fn decide(&mut self, state: &State, now: Ms) {
        let wait = match self.random.next_u64() % 20 {
            0 => 20 * MINUTE,
            1..4 => 4 * MINUTE,
            _ => 20_000,
        };
        let at = now + 1 + (chance(&mut self.random) * wait as f64) as Ms;
        let expected = state.expected(at);
        let steps = state.steps.len().max(1);
        let any = self.random.next_u64() as usize % steps;
        let actions = match (self.random.next_u64() % 100, expected) {
            (0..4, _) => vec![Action::Begin(any), Action::Undo],
            (4..6, _) => vec![Action::Finish(any), Action::Undo],
            (6..8, _) => vec![Action::Undo],
            (8..9, _) => vec![Action::Begin(any)],
            (9..10, _) => vec![Action::Skip(any)],
            (10..14, Some(Action::Finish(step))) => vec![Action::Extend(step, state.proposal(step, at))],
            (14..16, Some(Action::Finish(step))) => vec![Action::Extend(step, -MINUTE)],
            (16..18, _) => vec![Action::Note("\u{1b}[2J hotter than last time".into())],
            (_, Some(action)) => vec![action],
            // Whoever waits for a step to end sees that it has, or ends it early.
            (_, None) => vec![],
        };
        self.intent = Some((at, actions));
    }

    fn check(&mut self, view: &View<'_>) {
        for record in view.news {
            match &mut self.shadow {
                None => self.shadow = Some(replay(std::slice::from_ref(record)).expect("a session opens")),
                Some(shadow) => shadow.after(&record.event, record.at).expect("what happened can happen"),
            }
            self.records.push(record.clone());
        }
        let shadow = self.shadow.as_ref().expect("the first view has the opening");
        assert_eq!(shadow, view.state, "the state shown is the fold of the events logged");
        let standing = view.state.calls(view.now);
        if let Some(ring) = view.ring {
            for call in &ring.calls {
                assert!(standing.iter().any(|known| known.key == call.key), "{:?} rings and doesn't stand", call.key);
                assert!(!call.silent, "{:?} needs nobody", call.key);
            }
        }
        self.seen.retain(|key, _| standing.iter().any(|call| call.key == *key));
        for call in standing.iter().filter(|call| !call.silent) {
            let rung = view.ring.is_some_and(|ring| ring.calls.iter().any(|heard| heard.key == call.key));
            let seen = self.seen.entry(call.key.clone()).or_insert((view.now, false));
            seen.1 |= rung;
            assert!(seen.1 || view.now - seen.0 <= HEARD_WITHIN, "{:?} stands since {} unheard", call.key, seen.0);
        }
    }
}

impl Face for Careless {
    fn show(&mut self, view: &View<'_>) -> io::Result<()> {
        self.check(view);
        if self.intent.is_none() {
            self.decide(view.state, view.now);
        }
        self.lives = self.lives.saturating_sub(1);
        if self.lives == 0 { Err(io::Error::other("killed")) } else { Ok(()) }
    }

    async fn input(&mut self) -> Input {
        match &mut self.intent {
            Some((at, actions)) if *at <= self.clock.now() => {
                if actions.is_empty() {
                    self.intent = None;
                    return Input::Redraw;
                }
                let action = actions.remove(0);
                if actions.is_empty() {
                    self.intent = None;
                }
                Input::Act(action)
            }
            _ => std::future::pending().await,
        }
    }

    fn changes_at(&self, _: &State, now: Ms) -> Option<Ms> {
        self.intent.as_ref().map(|(at, _)| (*at).max(now))
    }

    fn refuse(&mut self, _: &str) {}

    fn answer(&mut self, _: &Typed, _: &State, _: Ms) {}

    fn suspend(&mut self) -> io::Result<()> {
        Ok(())
    }
}

/// An alert worker that has died: it takes everything and says nothing.
struct Dead;

impl Bell for Dead {
    fn ring(&mut self, _: &Ring) {}

    fn standing(&mut self, _: &[Call]) {}

    async fn report(&mut self) -> (Trouble, String) {
        std::future::pending().await
    }
}

/// Cooks a dinner with faults to its end, through kills and resumes.
async fn dinner(opening: Opening, seed: u64) -> Vec<Record> {
    let mut random = Pcg64Mcg::seed_from_u64(seed);
    let zero = opening.opened.clone();
    let path = Path::new("simulated.jsonl");
    let disk = Shaky { bytes: Arc::default(), random: Pcg64Mcg::seed_from_u64(seed ^ 0xd15c), fails: 0.0 };
    let effort = Effort { first: 40, again: 2 };
    let mut core = Some(Core::open(opening, Search::new(), effort).expect("the session has a plan"));
    let mut now = 0;
    let mut records: Vec<Record> = Vec::new();
    for sitting in 0.. {
        assert!(sitting < 200, "the dinner doesn't end");
        let mut disk = disk.clone();
        // The last sittings are without faults, so that every dinner ends.
        disk.fails = if sitting < 4 && chance(&mut random) < 0.3 { 0.2 } else { 0.0 };
        let faults = if sitting == 0 { Fault::seeded(seed, 9 * 3_600_000) } else { Vec::new() };
        let clock = Virtual::new(zero.clone(), now, Pace::AtOnce, faults);
        let length = disk.content().len() as u64;
        let log = Writer::over(path, disk.clone(), records.len() as u64, length).expect("a thread");
        let lives = if sitting < 6 { 1 + (random.next_u64() % 120) as u32 } else { u32::MAX };
        let face = Careless {
            random: Pcg64Mcg::seed_from_u64(random.next_u64()),
            clock: clock.clone(),
            intent: None,
            shadow: (!records.is_empty()).then(|| replay(&records).expect("the log replays")),
            records: records.clone(),
            seen: BTreeMap::new(),
            lives,
        };
        let Some(core) = core.take().or_else(|| Core::resume(&records, Search::new(), effort).ok()) else {
            panic!("the log resumes");
        };
        let running = Loop { core, clock, log: Some(log), face, bell: Dead, passing: Passing::Real };
        let ended = running.run().await;
        let read = log::parse::<Event>(&disk.content()).expect("the log is usable");
        assert!(read.records.len() >= records.len(), "nothing acknowledged is lost");
        records = read.records.into_iter().map(|record| Record { at: record.ms, event: record.event }).collect();
        now = records.last().map_or(0, |record| record.at) + (random.next_u64() % 600_000) as Ms;
        disk.bytes.lock().unwrap().truncate(read.good as usize);
        if matches!(ended, Ok(Ending::Closed)) && records.last().is_some_and(|record| record.event == Event::Closed) {
            return records;
        }
    }
    records
}
