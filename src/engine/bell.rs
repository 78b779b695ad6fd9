//! The cook's ears: what sounds, and what is to say of the ways of making it heard.

use crate::live::{Call, Ring, event::Trouble};

/// What the ways of reaching the cook say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Said {
    /// A kind of way fails: how. Without words it works. What is known already may be said again.
    Trouble(Trouble, String),
    /// No other sound could be made for the last ring: the terminal's bell is wanted.
    Beep,
}

/// What reaches the cook's ears.
pub trait Bell {
    /// Sounds a ring.
    fn ring(&mut self, ring: &Ring);

    /// Says which calls stand: what isn't among them falls silent.
    fn standing(&mut self, calls: &[Call]);

    /// Waits until there is something to say of the ways of reaching the cook; may be dropped while it waits.
    fn report(&mut self) -> impl Future<Output = Said>;
}
