//! The cook's side of the loop: what comes from there, and what is shown.

use std::{io, time::Duration};

use super::core::Record;
use crate::live::{Action, Event, Ms, Ring, State, typed::Typed};

/// A screen waits this long for the disk, and no longer: one frame.
const FRAME: Duration = Duration::from_millis(16);

/// What comes from the cook's side.
#[derive(Clone, Debug, PartialEq)]
pub enum Input {
    /// The cook does something.
    Act(Action),
    /// Something happened on the cook's side that nobody did.
    Told(Event),
    /// The screen wants to be drawn again.
    Redraw,
    /// The cook typed a line.
    Line(String),
    /// Give the terminal back for a while (Ctrl-Z).
    Suspend,
    /// Leave; the session can be resumed.
    Leave,
}

/// What a face is to show.
pub struct View<'a> {
    /// The session.
    pub state: &'a State,
    /// The moment.
    pub now: Ms,
    /// What happened since the last view.
    pub news: &'a [Record],
    /// What sounds now.
    pub ring: Option<&'a Ring>,
    /// All of it is on the disk.
    pub saved: bool,
}

/// A screen, or lines of text.
pub trait Face {
    /// Shows the session.
    ///
    /// # Errors
    /// When the terminal is gone.
    fn show(&mut self, view: &View<'_>) -> io::Result<()>;

    /// Waits for the cook; may be dropped while it waits.
    fn input(&mut self) -> impl Future<Output = Input>;

    /// The next moment after `now` at which something visible changes by itself.
    fn changes_at(&self, state: &State, now: Ms) -> Option<Ms>;

    /// How long it waits for the disk before it shows what happened. What is shown later than that is marked by
    /// [`View::saved`].
    fn patience(&self) -> Duration {
        FRAME
    }

    /// Says why something that the cook wanted is not possible.
    fn refuse(&mut self, why: &str);

    /// Answers a typed question: how things stand, or what can be typed.
    fn answer(&mut self, question: &Typed, state: &State, now: Ms);

    /// Rings the terminal's own bell: nothing else sounds.
    ///
    /// # Errors
    /// When the terminal is gone.
    fn beep(&mut self) -> io::Result<()>;

    /// Gives the terminal back, waits to be continued, and takes it again.
    ///
    /// # Errors
    /// When the terminal is gone.
    fn suspend(&mut self) -> io::Result<()>;

    /// The program goes on after it was stopped, by whomever: what the terminal shows, and how it is set, may be lost.
    ///
    /// # Errors
    /// When the terminal is gone.
    fn proceed(&mut self) -> io::Result<()> {
        Ok(())
    }
}
