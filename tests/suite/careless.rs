//! A careless cook, a disk that fails and an alert worker that is dead, for the simulator; the cook sees every view and holds
//! it to the invariants.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test fails by it"
)]

use std::{
    collections::{BTreeMap, VecDeque},
    io,
    sync::{
        Arc, Mutex, PoisonError,
        atomic::{AtomicUsize, Ordering},
    },
    time::Duration,
};

use mealtide::{
    engine::{
        bell::{Bell, Said},
        clock::{Clock, Virtual},
        core::Record,
        face::{Face, Input, View},
        prover::{Background, Found},
    },
    live::{Action, Call, CallKey, Event, Ms, Priority, Ring, State, typed::Typed},
    log::disk::Disk,
    plan::{
        problem::Problem,
        schedule::Schedule,
        solver::{Engine, Search, Solution, Unsolvable, Watch},
        verify::verify,
    },
};
use rand_pcg::{
    Pcg64Mcg,
    rand_core::{Rng, SeedableRng},
};

const MINUTE: Ms = 60_000;

/// A call that makes a sound is heard within this time: the longest that sounds are merged for, and a frame.
const HEARD_WITHIN: Ms = 70_000;

/// The same for what will have to be done only later.
const LOW_HEARD_WITHIN: Ms = 310_000;

/// A disk in memory that fails now and then, in a write, in a sync, or for a while.
#[derive(Clone)]
pub struct Shaky {
    /// The file.
    pub bytes: Arc<Mutex<Vec<u8>>>,
    /// When it fails.
    pub random: Pcg64Mcg,
    /// How often.
    pub fails: f64,
}

impl Shaky {
    fn fail(&mut self) -> io::Result<()> {
        if chance(&mut self.random) < self.fails {
            Err(io::Error::other("no space left"))
        } else {
            Ok(())
        }
    }

    /// All of the file.
    pub fn content(&self) -> Vec<u8> {
        self.bytes
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .clone()
    }
}

impl Disk for Shaky {
    fn write(&mut self, offset: u64, bytes: &[u8]) -> io::Result<()> {
        let torn = self.fail().err();
        let mut file = self.bytes.lock().unwrap_or_else(PoisonError::into_inner);
        file.truncate(offset as usize);
        let written = if torn.is_some() {
            &bytes[..bytes.len() / 2]
        } else {
            bytes
        };
        file.extend_from_slice(written);
        torn.map_or(Ok(()), Err)
    }

    fn sync(&mut self) -> io::Result<()> {
        self.fail()
    }

    fn cut(&mut self, length: u64) -> io::Result<()> {
        self.fail()?;
        self.bytes
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .truncate(length as usize);
        Ok(())
    }

    fn restore(&mut self, _: u64) -> io::Result<()> {
        Ok(())
    }
}

/// Evenly between 0 and 1.
pub fn chance(random: &mut Pcg64Mcg) -> f64 {
    (random.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
}

/// A cook who comes late or early, presses wrong keys and takes them back, and walks away.
pub struct Careless {
    /// What the cook does.
    pub random: Pcg64Mcg,
    /// Time.
    pub clock: Virtual,
    /// What is done next, and when.
    pub intent: Option<(Ms, Vec<Action>)>,
    /// How many records were shown.
    pub shown: usize,
    /// The session before its first event.
    pub opened: State,
    /// The same events, folded by a stranger.
    pub shadow: Option<State>,
    /// Calls that stand and make a sound: since when they are seen, and whether they were heard.
    pub seen: BTreeMap<CallKey, (Ms, bool)>,
    /// Views until the program is killed.
    pub lives: u32,
    /// Views so far: a dinner that never ends is a fault.
    pub views: u32,
    /// Records that were shown as saved.
    pub acknowledged: Arc<AtomicUsize>,
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
            (10..14, Some(Action::Finish(step))) => {
                vec![Action::Extend(step, state.proposal(step, at))]
            }
            (14..16, Some(Action::Finish(step))) => vec![Action::Extend(step, -MINUTE)],
            (16..18, _) => vec![Action::Note("\u{1b}[2J hotter than last time".into())],
            (_, Some(action)) => vec![action],
            // Whoever waits for a step to end sees that it has, or ends it early.
            (_, None) => vec![],
        };
        self.intent = Some((at, actions));
    }

    /// Folds the news into the shadow; a plan among them must be a correct one of the rest of the meal.
    fn fold(&mut self, record: &Record) {
        match &mut self.shadow {
            None => {
                assert!(matches!(record.event, Event::Opened(_)), "a session opens");
                self.shadow = Some(self.opened.clone());
            }
            Some(shadow) => {
                if let Event::Planned(plan) = &record.event {
                    let schedule = Schedule {
                        starts: plan.starts.clone(),
                        ovens: plan.ovens.clone(),
                        served: plan.served.clone(),
                    };
                    let broken = verify(&shadow.problem(record.at), &schedule);
                    assert!(broken.is_empty(), "at {}: {broken:?}", record.at);
                }
                shadow
                    .after(&record.event, record.at)
                    .expect("what happened can happen");
            }
        }
        self.shown += 1;
    }

    fn check(&mut self, view: &View<'_>) {
        for record in view.news {
            self.fold(record);
        }
        let shadow = self
            .shadow
            .as_ref()
            .expect("the first view has the opening");
        // What changes a state without an event stays changed: it is seen with the next, and each dinner ends in one.
        assert!(
            view.news.is_empty() || shadow == view.state,
            "the state shown is not the fold of the events logged"
        );
        if view.saved {
            self.acknowledged.store(self.shown, Ordering::SeqCst);
        }
        let standing = view.state.calls(view.now);
        for call in view.ring.iter().flat_map(|ring| &ring.calls) {
            let stands = standing.iter().any(|known| known.key == call.key);
            assert!(stands, "{:?} rings and doesn't stand", call.key);
            assert!(!call.silent, "{:?} needs nobody", call.key);
            let answered = view.state.answered.contains_key(&call.key);
            assert!(!answered, "{:?} rings after its answer", call.key);
        }
        self.seen
            .retain(|key, _| standing.iter().any(|call| call.key == *key));
        for call in standing.iter().filter(|call| !call.silent) {
            let rung = view
                .ring
                .is_some_and(|ring| ring.calls.iter().any(|heard| heard.key == call.key));
            let seen = self
                .seen
                .entry(call.key.clone())
                .or_insert((view.now, false));
            seen.1 |= rung;
            // A cook at the keys reads there what is to begin or to be served; it sounds once they are left alone.
            let reads = matches!(call.key, CallKey::Begin { .. } | CallKey::Serve { .. });
            let touched = view.state.touched.filter(|_| reads).unwrap_or(seen.0);
            let since = seen.0.max(touched);
            let within = match call.priority {
                Priority::Low => LOW_HEARD_WITHIN,
                _ => HEARD_WITHIN,
            };
            assert!(
                seen.1 || view.now - since <= within,
                "{:?} stands since {since} unheard at {}",
                call.key,
                view.now
            );
        }
    }
}

impl Face for Careless {
    fn show(&mut self, view: &View<'_>) -> io::Result<()> {
        self.check(view);
        if self.intent.is_none() {
            self.decide(view.state, view.now);
        }
        self.views += 1;
        assert!(self.views < 20_000, "the dinner doesn't end");
        self.lives = self.lives.saturating_sub(1);
        if self.lives == 0 {
            Err(io::Error::other("killed"))
        } else {
            Ok(())
        }
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

    /// The disk is a thread: whoever doesn't wait for it all the time sees another dinner with the same seed.
    fn patience(&self) -> Duration {
        Duration::MAX
    }

    fn refuse(&mut self, _: &str) {}

    fn answer(&mut self, _: &Typed, _: &State, _: Ms) {}

    fn beep(&mut self) -> io::Result<()> {
        Ok(())
    }

    fn suspend(&mut self) -> io::Result<()> {
        Ok(())
    }
}

/// A search in the background whose answer comes some virtual time later: when the plan that it improves still stands,
/// when time has passed over it, or when another has been made.
pub struct Slow {
    random: Pcg64Mcg,
    clock: Virtual,
    found: VecDeque<(Ms, Found)>,
}

impl Slow {
    pub fn new(seed: u64, clock: Virtual) -> Self {
        Self {
            random: Pcg64Mcg::seed_from_u64(seed),
            clock,
            found: VecDeque::new(),
        }
    }
}

impl Background for Slow {
    fn search<S: Engine + Default + Send + 'static>(
        &mut self,
        problem: Arc<Problem>,
        from: Option<Schedule>,
        planned_at: Ms,
    ) {
        // One plan in eight: a search is dear.
        if !self.random.next_u64().is_multiple_of(8) {
            return;
        }
        let late = (self.random.next_u64() % 90_000) as Ms;
        if let Ok(solution) = S::default().solve(&problem, from.as_ref(), &mut Asks(8)) {
            let found = Found {
                solution,
                planned_at,
            };
            self.found.push_back((self.clock.now() + late, found));
        }
    }

    async fn found(&mut self) -> Found {
        match self.found.front() {
            Some((at, _)) if *at <= self.clock.now() => {
                self.found.pop_front().expect("it is there").1
            }
            _ => std::future::pending().await,
        }
    }

    /// What was found is on its way already.
    fn stop(&mut self) {}
}

/// The planner, held to the rules in every answer that it gives, not only in those that a cook gets to read.
#[derive(Default)]
pub struct Sound(Search);

impl Engine for Sound {
    fn solve(
        &mut self,
        problem: &Problem,
        hint: Option<&Schedule>,
        watch: &mut dyn Watch,
    ) -> Result<Solution, Unsolvable> {
        let found = self.0.solve(problem, hint, watch)?;
        let broken = verify(problem, &found.schedule);
        let words = || format!("{broken:?}\n{problem:?}\n{hint:?}\n{:?}", found.schedule);
        assert!(broken.is_empty() || found.relaxed, "{}", words());
        Ok(found)
    }
}

/// Ends a search after so many questions.
struct Asks(u32);

impl Watch for Asks {
    fn stop(&mut self) -> bool {
        self.0 = self.0.saturating_sub(1);
        self.0 == 0
    }
}

/// An alert worker that has died: it takes everything and says nothing.
pub struct Dead;

impl Bell for Dead {
    fn ring(&mut self, _: &Ring) {}

    fn standing(&mut self, _: &[Call]) {}

    async fn report(&mut self) -> Said {
        std::future::pending().await
    }
}
