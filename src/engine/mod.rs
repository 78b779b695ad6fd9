//! Clocks, the one sleep to the next deadline, and the loop. Owns time, tasks and channels.

pub mod bell;
pub mod clock;
pub mod core;
pub mod face;
pub mod prover;
pub mod rehearse;
pub mod replay;
pub mod run;
pub mod signals;
