//! What the cook can do. An action that is possible becomes events.

use super::{CallKey, Ms, event::Setting};
use crate::measure::Ratio;

/// Something the cook does, by positions in the state.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Action {
    /// Begin a step, now.
    Begin(usize),
    /// Say that a step is done.
    Finish(usize),
    /// Give a running step more (or, negative, less) time, in ms.
    Extend(usize, Ms),
    /// Leave a step out.
    Skip(usize),
    /// Say that an oven's knob was turned.
    SetOven(usize, Setting),
    /// Say that a course is on the table.
    Serve(usize),
    /// Answer a call by having heard it.
    Answer(CallKey),
    /// Take back what was done last.
    Undo,
    /// Write something down.
    Note(String),
    /// Read a thermometer: step, core temperature in C.
    Measure(usize, Ratio),
    /// Choose a substitute: dish, ingredient (positions), choice.
    Substitute(usize, usize, Option<usize>),
    /// Say whether the test sound was heard.
    Heard(bool),
    /// End the session.
    Close,
}
