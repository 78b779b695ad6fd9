//! The ways of making a tone that play but aren't heard, as the cook says: headphones in the socket, a muted speaker.

use std::sync::{
    Arc,
    atomic::{AtomicU8, Ordering},
};

use super::Way;

/// A set of ways, shared between who asks the cook and who plays. It only grows.
#[derive(Clone, Debug, Default)]
pub struct Unheard(Arc<AtomicU8>);

impl Unheard {
    /// The cook didn't hear a way: it is passed over from now on.
    pub fn add(&self, way: Way) {
        self.0.fetch_or(bit(way), Ordering::Relaxed);
    }

    /// Whether a way isn't heard.
    pub fn holds(&self, way: Way) -> bool {
        self.0.load(Ordering::Relaxed) & bit(way) != 0
    }
}

fn bit(way: Way) -> u8 {
    1 << way as u8
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_way_is_its_own() {
        for way in Way::ALL {
            let unheard = Unheard::default();
            let shared = unheard.clone();
            unheard.add(way);
            let held: Vec<Way> = Way::ALL.into_iter().filter(|&w| shared.holds(w)).collect();
            assert_eq!(held, [way]);
        }
    }
}
