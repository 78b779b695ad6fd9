//! Other systems: the clock that counts suspend, and sleeps in slices.
//!
//! On macOS CLOCK_MONOTONIC counts sleep and std's `Instant` does not; on Windows `Instant` counts it (both by their
//! manuals, not tried). tokio's sleep may stand still meanwhile: no slice is longer than [`SLICE`], so a deadline that
//! passed in suspend is noticed that long after waking.

use std::{io, time::Duration};

use crate::live::Ms;

const SLICE: Duration = Duration::from_secs(10);

/// Not known: the civil clock alone carries over a restart.
pub fn boot() -> Option<(String, Ms)> {
    None
}

#[derive(Debug)]
pub struct Sleeper {
    #[cfg(not(unix))]
    start: std::time::Instant,
}

impl Sleeper {
    pub fn new() -> io::Result<Self> {
        Ok(Sleeper {
            #[cfg(not(unix))]
            start: std::time::Instant::now(),
        })
    }

    #[cfg(unix)]
    pub fn boot_clock(&self) -> Ms {
        use rustix::time::{ClockId, clock_gettime};
        let time = clock_gettime(ClockId::Monotonic);
        Ms::from(time.tv_sec) * 1_000 + Ms::from(time.tv_nsec) / 1_000_000
    }

    #[cfg(not(unix))]
    pub fn boot_clock(&self) -> Ms {
        Ms::try_from(self.start.elapsed().as_millis()).unwrap_or(Ms::MAX)
    }

    pub async fn until(&self, at: Ms) {
        loop {
            let left = at.saturating_sub(self.boot_clock());
            let Ok(left @ 1..) = u64::try_from(left) else {
                return;
            };
            tokio::time::sleep(Duration::from_millis(left).min(SLICE)).await;
        }
    }

    pub async fn disturbed(&self) {
        std::future::pending().await
    }
}
