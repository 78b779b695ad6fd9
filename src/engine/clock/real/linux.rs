//! Linux: CLOCK_BOOTTIME, which counts suspend, and timers on it. tokio's own sleep stops in suspend and is late by
//! milliseconds.

use std::{io, os::fd::OwnedFd};

use rustix::time::{
    ClockId, Itimerspec, TimerfdClockId, TimerfdFlags, TimerfdTimerFlags, Timespec, clock_gettime,
    timerfd_create, timerfd_settime,
};
use tokio::io::{Interest, unix::AsyncFd};

use crate::live::Ms;

/// CLOCK_BOOTTIME, in ms.
fn boot_clock() -> Ms {
    let time = clock_gettime(ClockId::Boottime);
    time.tv_sec * 1_000 + time.tv_nsec / 1_000_000
}

/// Which start of the machine this is (random(4)), and what its boot clock shows, in ms.
pub fn boot() -> Option<(String, Ms)> {
    let id = std::fs::read_to_string("/proc/sys/kernel/random/boot_id").ok()?;
    Some((id.trim().to_owned(), boot_clock()))
}

/// The one timer.
#[derive(Debug)]
pub struct Sleeper {
    timer: AsyncFd<OwnedFd>,
    /// Told by the kernel when the civil clock is set; `None` where it does not do that.
    set: Option<AsyncFd<OwnedFd>>,
}

impl Sleeper {
    pub fn new() -> io::Result<Self> {
        Ok(Sleeper {
            timer: timer(TimerfdClockId::Boottime)?,
            set: timer(TimerfdClockId::Realtime).ok(),
        })
    }

    /// The boot clock, in ms.
    pub fn boot_clock(&self) -> Ms {
        boot_clock()
    }

    /// Returns when the boot clock shows `at`, in ms, or later.
    pub async fn until(&self, at: Ms) {
        while boot_clock() < at {
            if arm(&self.timer, at, TimerfdTimerFlags::ABSTIME).is_err() {
                // Cannot happen to a timer of our own; a short sleep keeps the promise all the same.
                tokio::time::sleep(std::time::Duration::from_millis(100)).await;
                continue;
            }
            // A timer that ran out before it was armed anew has nothing to read: that is not the one.
            let _ = fired(&self.timer).await;
        }
    }

    /// Returns when the civil clock was set, by hand, by the network or after a suspend (timerfd_create(2),
    /// TFD_TIMER_CANCEL_ON_SET).
    pub async fn disturbed(&self) {
        let Some(timer) = &self.set else {
            return std::future::pending().await;
        };
        let flags = TimerfdTimerFlags::ABSTIME | TimerfdTimerFlags::CANCEL_ON_SET;
        if arm(timer, NEVER, flags).is_err() {
            return std::future::pending().await;
        }
        // An error tells of the setting, anything else of the year 2286.
        while fired(timer).await.is_ok() {}
    }
}

/// Civil time that no session lives to see, in ms since 1970.
const NEVER: Ms = 9_999_999_999_000;

#[expect(
    unsafe_code,
    reason = "tokio registers any descriptor, and asks for a promise that it stays open"
)]
fn timer(clock: TimerfdClockId) -> io::Result<AsyncFd<OwnedFd>> {
    let timer = timerfd_create(clock, TimerfdFlags::NONBLOCK | TimerfdFlags::CLOEXEC)?;
    // SAFETY: an `OwnedFd` stays open, and the same, until it is dropped, which `AsyncFd` alone does.
    Ok(unsafe { AsyncFd::register_with_interest(timer, Interest::READABLE) }?)
}

fn arm(timer: &AsyncFd<OwnedFd>, at: Ms, flags: TimerfdTimerFlags) -> io::Result<()> {
    let once = Itimerspec {
        it_interval: Timespec {
            tv_sec: 0,
            tv_nsec: 0,
        },
        it_value: Timespec {
            tv_sec: at.div_euclid(1_000),
            tv_nsec: at.rem_euclid(1_000) * 1_000_000,
        },
    };
    timerfd_settime(timer, flags, &once)?;
    Ok(())
}

/// Waits until the timer has run out, and takes note of it.
async fn fired(timer: &AsyncFd<OwnedFd>) -> io::Result<()> {
    loop {
        let mut ready = timer.readable().await?;
        let mut count = [0; 8];
        match ready.try_io(|timer| Ok(rustix::io::read(timer, &mut count)?)) {
            Ok(read) => return read.map(|_| ()),
            Err(_would_block) => {}
        }
    }
}
