//! What the cook writes: sessions, dishes and kitchens, read with positions, checked and diagnosed.

pub mod model;

pub use model::*;
