//! The session as it happens: event, state, call. Pure: no clock, no I/O, no threads.
//!
//! [`Event`] is what happened. [`State`] is a fold over events and nothing else. From a state and a moment come
//! the [`Call`]s that the kitchen must hear, the [`Action`] that the cook is expected to take, and the [`Board`]
//! that every screen draws. An [`Action`] becomes events; whoever holds the log makes them durable and folds them in.

mod act;
pub mod action;
pub mod board;
pub mod call;
mod calls;
mod care;
pub mod event;
mod hindrance;
mod impossible;
pub mod kitchen;
mod moments;
mod query;
mod replan;
pub mod ring;
pub mod script;
pub mod state;
pub mod typed;
mod undo;
pub mod words;

pub use action::Action;
pub use board::Board;
pub use call::{Call, CallKey, Priority};
pub use event::{Event, Opening};
pub use impossible::Impossible;
pub use ring::{Ring, Ringer};
pub use state::State;

/// Milliseconds on the session clock: 0 is the moment at which the session was opened. The clock runs through
/// suspend and restarts and never goes back.
pub type Ms = i64;
