//! What the cook writes: sessions, dishes and kitchens, read with positions, checked and diagnosed.

pub mod amounts;
pub mod builtin;
pub mod config;
pub mod diagnostic;
pub mod files;
pub mod keys;
mod lint;
mod load;
mod lookup;
pub mod model;
pub mod prepare;
mod read;
mod resolve;
pub mod schema;
pub mod shop;
pub mod sounds;
mod step_ref;
pub mod text;

pub use diagnostic::{Diagnostic, Diagnostics, Severity};
pub use load::{
    FileKind, Loaded, Place, kind_of, load, load_bytes, load_dish, load_kitchen, load_text,
    read_anything,
};
pub use lookup::Lookup;
pub use model::*;
pub use step_ref::StepRef;
