//! Calls, handed to what makes them heard.

use crate::{
    engine::run::Bell,
    live::{Call, Ring, event::Trouble},
};

/// Nothing sounds but what the face does itself.
pub struct Silent;

impl Bell for Silent {
    fn ring(&mut self, _: &Ring) {}

    fn standing(&mut self, _: &[Call]) {}

    async fn report(&mut self) -> (Trouble, String) {
        std::future::pending().await
    }
}
