//! What the cook writes: sessions, dishes and kitchens, read with positions, checked and diagnosed.

pub mod amounts;
pub mod model;
pub mod prepare;
pub mod shop;
mod step_ref;

pub use model::*;
pub use step_ref::StepRef;
