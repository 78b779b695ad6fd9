//! The session clock, civil time, and the one sleep.
//!
//! Deadlines are on a clock that runs while the machine is suspended, so a closed lid delays a call but loses none.
//! Three clocks are compared whenever the loop wakes: the session clock, one that stops in suspend, and the civil one.
//! Their differences tell what happened in between.

pub mod anchor;
pub mod jump;
mod real;
mod virtual_;

pub use anchor::{Anchor, Carried};
use jiff::ZonedDateTime;
pub use jump::{Jumped, Look};
pub use real::Real;
pub use virtual_::{Fault, Pace, Virtual};

use crate::live::Ms;

/// What the loop knows of time.
pub trait Clock {
    /// The session clock: ms since the session was opened, suspend included. It never goes back.
    fn now(&self) -> Ms;

    /// What a clock on the wall shows.
    fn civil(&self) -> ZonedDateTime;

    /// Compares the clocks with the last time they were compared. Asked after every wake.
    fn look(&mut self) -> Vec<Jumped>;

    /// Returns when the session clock shows `at` or later; at once if it does already. Never early. May be dropped.
    fn sleep_until(&self, at: Ms) -> impl Future<Output = ()>;

    /// Returns when a clock has been set or the machine has woken, where the system says so; otherwise never. What
    /// happened is then found by [`look`](Clock::look).
    fn disturbed(&self) -> impl Future<Output = ()>;

    /// Lets virtual time pass until `to`, and says that it did. Real time can't be hurried.
    fn advance_to(&self, _to: Ms) -> bool {
        false
    }
}
