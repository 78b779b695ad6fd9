//! The clocks of the machine.

use std::{io, time::Instant};

use jiff::ZonedDateTime;

use super::{Anchor, Clock, Jumped, Look, jump};
use crate::live::Ms;

#[cfg(target_os = "linux")]
mod linux;
#[cfg(not(target_os = "linux"))]
mod other;

#[cfg(target_os = "linux")]
use linux as system;
#[cfg(not(target_os = "linux"))]
use other as system;

/// The clocks of the machine.
#[derive(Debug)]
pub struct Real {
    /// What the boot clock showed at session-clock 0, in ms.
    zero: Ms,
    sleeper: system::Sleeper,
    /// Where the clock that stops in suspend began.
    awake: Instant,
    seen: Look,
}

impl Real {
    /// A session clock that shows `now`. Needs a running tokio runtime with I/O and time.
    ///
    /// # Errors
    /// When the system has no timer left.
    pub fn starting_at(now: Ms) -> io::Result<Self> {
        let awake = Instant::now();
        let sleeper = system::Sleeper::new()?;
        let boot = sleeper.boot_clock();
        Ok(Real {
            zero: boot - now,
            sleeper,
            awake,
            seen: Look {
                boot,
                awake: 0,
                civil: ZonedDateTime::now(),
            },
        })
    }

    /// What a later run of the program needs to take this session clock up again.
    pub fn anchor(&self) -> Option<Anchor> {
        Some(Anchor {
            boot: Real::boot()?.0,
            zero: self.zero,
        })
    }

    /// Which start of the machine this is, and what its boot clock shows, in ms; `None` where that is not known.
    pub fn boot() -> Option<(String, Ms)> {
        system::boot()
    }

    fn read(&self) -> Look {
        Look {
            boot: self.sleeper.boot_clock(),
            awake: Ms::try_from(self.awake.elapsed().as_millis()).unwrap_or(Ms::MAX),
            civil: ZonedDateTime::now(),
        }
    }
}

impl Clock for Real {
    fn now(&self) -> Ms {
        self.sleeper.boot_clock() - self.zero
    }

    fn civil(&self) -> ZonedDateTime {
        ZonedDateTime::now()
    }

    fn look(&mut self) -> Vec<Jumped> {
        let now = self.read();
        let jumps = jump::between(&self.seen, &now);
        self.seen = now;
        jumps
    }

    async fn sleep_until(&self, at: Ms) {
        self.sleeper.until(self.zero.saturating_add(at)).await;
    }

    async fn disturbed(&self) {
        self.sleeper.disturbed().await;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[tokio::test]
    async fn a_sleep_is_never_early() {
        let clock = Real::starting_at(5_000).unwrap();
        assert!(clock.now() >= 5_000);
        clock.sleep_until(4_000).await;
        for _ in 0..5 {
            let at = clock.now() + 2;
            clock.sleep_until(at).await;
            assert!(clock.now() >= at);
        }
    }

    #[tokio::test]
    async fn a_sleep_that_is_given_up_does_not_disturb_the_next() {
        let clock = Real::starting_at(0).unwrap();
        for _ in 0..3 {
            let far = clock.sleep_until(clock.now() + 86_400_000);
            let near = clock.now() + 1;
            tokio::select! {
                biased;
                () = far => panic!("a day early"),
                () = std::future::ready(()) => {}
            }
            clock.sleep_until(near).await;
            assert!(clock.now() >= near);
        }
    }

    #[cfg(target_os = "linux")]
    #[tokio::test]
    async fn an_anchor_names_this_start_of_the_machine() {
        let clock = Real::starting_at(60_000).unwrap();
        let anchor = clock.anchor().unwrap();
        let (boot, shows) = Real::boot().unwrap();
        assert_eq!(anchor.boot, boot);
        assert!(shows - anchor.zero >= 60_000);
    }
}
