//! A clock that goes where it is told, with the faults that real clocks have.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use jiff::{SignedDuration, ZonedDateTime};
use rand_pcg::{Pcg64, rand_core::Rng};
use tokio::sync::Notify;

use super::{Clock, Jumped, Look, jump};
use crate::live::Ms;

/// How virtual time passes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pace {
    /// A sleep is over at once: time jumps to its deadline.
    AtOnce,
    /// Time passes only by [`Virtual::advance_to`].
    Told,
}

/// What goes wrong with the clocks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// The machine sleeps for so many ms.
    Suspend {
        /// Session clock at which it falls asleep, in ms.
        at: Ms,
        /// How long, in ms.
        lasting: Ms,
    },
    /// The civil clock is set forwards, or back.
    Step {
        /// Session clock at which it is set, in ms.
        at: Ms,
        /// By how much, in ms.
        by: Ms,
    },
}

impl Fault {
    fn at(self) -> Ms {
        match self {
            Fault::Suspend { at, .. } | Fault::Step { at, .. } => at,
        }
    }

    /// Between none and four faults in the first `horizon` ms of a session, the same ones for the same seed.
    pub fn seeded(seed: u64, horizon: Ms) -> Vec<Fault> {
        let mut random = Pcg64::new(u128::from(seed), 0xc10c);
        let mut below = |bound: Ms| (random.next_u64() % bound.max(1).unsigned_abs()).cast_signed();
        (0..below(5))
            .map(|_| match below(2) {
                0 => Fault::Suspend {
                    at: below(horizon),
                    lasting: 1_000 + below(45 * 60_000),
                },
                _ => Fault::Step {
                    at: below(horizon),
                    by: below(7_200_000) - 3_600_000,
                },
            })
            .collect()
    }
}

/// A clock that goes where it is told. Clones show the same time.
#[derive(Clone, Debug)]
pub struct Virtual {
    pace: Pace,
    hands: Arc<Mutex<Hands>>,
    moved: Arc<Notify>,
    seen: Look,
}

#[derive(Debug)]
struct Hands {
    now: Ms,
    slept: Ms,
    /// What the civil clock shows is this, later by the session clock.
    zero: ZonedDateTime,
    /// To come, the soonest last.
    faults: Vec<Fault>,
}

impl Hands {
    fn civil(&self) -> ZonedDateTime {
        self.zero
            .saturating_add(SignedDuration::from_millis(self.now))
    }

    /// Goes to `to`, by way of all faults before it, and so perhaps beyond it. Never back.
    fn advance(&mut self, to: Ms) {
        while let Some(fault) = self.faults.pop_if(|fault| fault.at() <= to.max(self.now)) {
            self.now = self.now.max(fault.at());
            match fault {
                Fault::Suspend { lasting, .. } => {
                    self.now = self.now.saturating_add(lasting);
                    self.slept = self.slept.saturating_add(lasting);
                }
                Fault::Step { by, .. } => {
                    let by = SignedDuration::from_millis(by);
                    self.zero = self.zero.saturating_add(by);
                }
            }
        }
        self.now = self.now.max(to);
    }
}

impl Virtual {
    /// Shows `now` on the session clock, and on the wall what `zero` is by then.
    pub fn new(zero: ZonedDateTime, now: Ms, pace: Pace, mut faults: Vec<Fault>) -> Self {
        faults.sort_by_key(|fault| std::cmp::Reverse(fault.at()));
        let hands = Hands {
            now,
            slept: 0,
            zero,
            faults,
        };
        Virtual {
            pace,
            seen: Look {
                boot: now,
                awake: now,
                civil: hands.civil(),
            },
            hands: Arc::new(Mutex::new(hands)),
            moved: Arc::new(Notify::new()),
        }
    }

    /// Lets time pass until the session clock shows `to`, in ms; it may show more after a suspend on the way.
    pub fn advance_to(&self, to: Ms) {
        self.hands().advance(to);
        self.moved.notify_waiters();
    }

    fn hands(&self) -> MutexGuard<'_, Hands> {
        // A panic elsewhere leaves the hands where they are, which is a good time.
        self.hands.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Clock for Virtual {
    fn now(&self) -> Ms {
        self.hands().now
    }

    fn civil(&self) -> ZonedDateTime {
        self.hands().civil()
    }

    fn look(&mut self) -> Vec<Jumped> {
        let now = {
            let hands = self.hands();
            Look {
                boot: hands.now,
                awake: hands.now - hands.slept,
                civil: hands.civil(),
            }
        };
        let jumps = jump::between(&self.seen, &now);
        self.seen = now;
        jumps
    }

    async fn sleep_until(&self, at: Ms) {
        match self.pace {
            Pace::AtOnce => {
                // Others first: what they have to say comes before time passes.
                tokio::task::yield_now().await;
                self.advance_to(at);
            }
            Pace::Told => loop {
                let moved = self.moved.notified();
                if self.now() >= at {
                    return;
                }
                moved.await;
            },
        }
    }

    async fn disturbed(&self) {
        std::future::pending().await
    }

    fn advance_to(&self, to: Ms) -> bool {
        Virtual::advance_to(self, to);
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::live::event::Jump;

    fn zero() -> ZonedDateTime {
        "2026-03-29T01:30:00+01:00[Europe/Berlin]".parse().unwrap()
    }

    #[tokio::test]
    async fn sleeps_are_over_at_once_and_never_early() {
        let clock = Virtual::new(zero(), 0, Pace::AtOnce, Vec::new());
        for at in [1, 5_000, 4_000, 90_000_000] {
            clock.sleep_until(at).await;
            assert!(clock.now() >= at);
        }
        assert_eq!(clock.now(), 90_000_000);
    }

    #[tokio::test]
    async fn a_told_clock_wakes_its_sleepers() {
        let clock = Virtual::new(zero(), 0, Pace::Told, Vec::new());
        let other = clock.clone();
        let sleeping = tokio::spawn(async move { other.sleep_until(1_000).await });
        for to in [1, 999] {
            clock.advance_to(to);
            tokio::task::yield_now().await;
            assert!(!sleeping.is_finished());
        }
        clock.advance_to(1_000);
        sleeping.await.unwrap();
    }

    #[test]
    fn summer_time_begins_on_the_wall_and_not_in_the_session() {
        let mut clock = Virtual::new(zero(), 0, Pace::AtOnce, Vec::new());
        clock.advance_to(3_600_000);
        assert_eq!(
            clock.civil().to_string(),
            "2026-03-29T03:30:00+02:00[Europe/Berlin]"
        );
        assert_eq!(clock.look(), []);
    }

    #[test]
    fn faults_happen_when_their_time_comes() {
        let faults = vec![
            Fault::Step {
                at: 60_000,
                by: -600_000,
            },
            Fault::Suspend {
                at: 30_000,
                lasting: 1_200_000,
            },
        ];
        let mut clock = Virtual::new(zero(), 0, Pace::AtOnce, faults);
        clock.advance_to(29_999);
        assert_eq!(clock.look(), []);
        clock.advance_to(30_000);
        assert_eq!(clock.now(), 1_230_000);
        let suspend = Jumped {
            kind: Jump::Suspend,
            by: 1_200_000,
        };
        // The step fell into the time that the machine slept: it is found on waking.
        let step = Jumped {
            kind: Jump::Civil,
            by: -600_000,
        };
        assert_eq!(clock.look(), [suspend, step]);
        assert_eq!(clock.look(), []);
    }

    #[test]
    fn a_seed_gives_the_same_faults_again() {
        let all: Vec<_> = (0..200)
            .map(|seed| Fault::seeded(seed, 3_600_000))
            .collect();
        let again: Vec<_> = (0..200)
            .map(|seed| Fault::seeded(seed, 3_600_000))
            .collect();
        assert_eq!(all, again);
        let kinds = all.iter().flatten();
        let steps = kinds
            .clone()
            .filter(|fault| matches!(fault, Fault::Step { .. }))
            .count();
        assert!(steps > 0 && steps < kinds.count());
    }
}
