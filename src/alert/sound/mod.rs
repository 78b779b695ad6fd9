//! The ways of making a tone, each of which fails alone.

#[cfg(any(target_os = "macos", windows, feature = "alsa"))]
mod device;
mod player;
#[cfg(all(unix, not(target_os = "macos")))]
mod server;
#[cfg(all(unix, not(target_os = "macos")))]
mod socket;

use std::{sync::Arc, time::Duration};

use super::{Surroundings, Way, stop::Stop};

/// What is to be heard: one channel at [`super::RATE`].
pub(super) struct Job {
    pub(super) samples: Arc<[f32]>,
    /// What makes them as loud as wanted.
    pub(super) gain: f32,
    pub(super) length: Duration,
}

/// The ways of this system, in the order in which they are tried; the last is the terminal's bell.
pub(super) const CHAIN: &[Way] = &[
    #[cfg(all(unix, not(target_os = "macos")))]
    Way::Server,
    #[cfg(any(target_os = "macos", windows, feature = "alsa"))]
    Way::Device,
    #[cfg(unix)]
    Way::Player,
    Way::Bell,
];

/// Plays by one way, and returns when it has ended. `started` is called when the sound begins.
///
/// # Errors
/// Why it could not be played, in words. To be stopped is not an error.
pub(super) fn play(
    way: Way,
    job: &Job,
    surroundings: &Surroundings,
    stop: &Stop,
    started: &dyn Fn(),
) -> Result<(), String> {
    match way {
        #[cfg(all(unix, not(target_os = "macos")))]
        Way::Server => server::play(job, surroundings, stop, started),
        #[cfg(any(target_os = "macos", windows, feature = "alsa"))]
        Way::Device => device::play(job, stop, started),
        Way::Player => player::play(job, surroundings, stop, started),
        _ => Err(format!("{} makes no tone here", way.words())),
    }
}

/// What there is of each way of making a tone, without making one: where it is, or what is missing.
pub fn found(surroundings: &Surroundings) -> Vec<(Way, Result<String, String>)> {
    let look = |way: Way| match way {
        #[cfg(all(unix, not(target_os = "macos")))]
        Way::Server => socket::places(surroundings).map(|places| {
            places
                .first()
                .map(|place| place.display().to_string())
                .unwrap_or_default()
        }),
        Way::Player => player::installed(surroundings),
        Way::Bell => Ok("rung when nothing else sounds".into()),
        _ => Ok("the system's default output".into()),
    };
    CHAIN.iter().map(|&way| (way, look(way))).collect()
}
