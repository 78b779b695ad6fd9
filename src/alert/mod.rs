//! What the kitchen hears: sound, speech, desktop notification, terminal bell. Obeys calls, decides nothing.
//!
//! [`Alerts`] is one worker thread. It is told what to announce and what was answered, and never holds its caller up.
//! Every way of reaching the cook is tried on a throw-away thread with a deadline of its own, fails alone, says so once,
//! and is tried again with the next announcement. Nothing here writes to the terminal: see [`terminal`] for what the
//! screen can write.

mod bell;
mod child;
mod config;
mod desktop;
mod evening;
mod mailbox;
mod notes;
mod sound;
mod speech;
mod stop;
mod surroundings;
pub mod terminal;
mod text;
mod tone;
mod unheard;
mod worker;

pub use self::{
    bell::Sounding,
    config::{AlertConfig, Hours},
    evening::{Audition, Heard, test_of_the_evening},
    notes::{Notes, Pattern},
    sound::found as sound_ways,
    speech::{Speaker, found as speakers},
    surroundings::Surroundings,
    text::tame,
    tone::{RATE, Tone},
    unheard::Unheard,
    worker::Alerts,
};
use crate::live::Ms;
pub use crate::live::Priority;

/// In ms.
const MINUTE: Ms = 60_000;

/// What the cook is to hear now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Announcement {
    /// What [`Alerts::answered`] names.
    pub id: String,
    /// How urgent.
    pub priority: Priority,
    /// One short sentence, as it is spoken.
    pub sentence: String,
    /// What it is about: the heading of a notification.
    pub title: String,
    /// How many calls are merged in it, at least 1.
    pub count: usize,
    /// How often it was announced before: the sound rises with it.
    pub repeat: u32,
    /// How late it is, in ms: it fell due while nobody could be called. Less than a minute isn't told.
    pub late: Ms,
}

impl Announcement {
    /// The text of a notification: the sentence, how late it is, and how many others there are.
    pub fn body(&self) -> String {
        let sentence = tame(&self.sentence);
        let late = match self.late / MINUTE {
            ..=0 => String::new(),
            1 => ", 1 minute late".into(),
            minutes => format!(", {minutes} minutes late"),
        };
        match self.count.saturating_sub(1) {
            0 => format!("{sentence}{late}"),
            more => format!("{sentence}{late} (and {more} more)"),
        }
    }

    /// The heading of a notification.
    pub fn heading(&self) -> String {
        let title = tame(&self.title);
        if title.is_empty() {
            "mealtide".into()
        } else {
            title
        }
    }
}

/// A way of reaching the cook.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Way {
    /// A PulseAudio or PipeWire server, over its socket.
    Server,
    /// The sound device itself.
    Device,
    /// A program that plays a file.
    Player,
    /// The terminal's bell, rung by whoever owns the terminal.
    Bell,
    /// A desktop notification.
    Desktop,
    /// The system's voice.
    Speech,
}

impl Way {
    /// All of them, sounds first, in the order in which they are tried.
    pub const ALL: [Self; 6] = [
        Self::Server,
        Self::Device,
        Self::Player,
        Self::Bell,
        Self::Desktop,
        Self::Speech,
    ];

    /// Its name on the command line.
    pub fn name(self) -> &'static str {
        match self {
            Self::Server => "server",
            Self::Device => "device",
            Self::Player => "player",
            Self::Bell => "bell",
            Self::Desktop => "notification",
            Self::Speech => "speech",
        }
    }

    /// What it is, in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Server => "the sound server",
            Self::Device => "the sound device",
            Self::Player => "a player program",
            Self::Bell => "the terminal bell",
            Self::Desktop => "desktop notification",
            Self::Speech => "speech",
        }
    }

    /// One of the ways of making a tone.
    pub fn sounds(self) -> bool {
        matches!(
            self,
            Self::Server | Self::Device | Self::Player | Self::Bell
        )
    }
}

/// How a way did.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// It failed, for the first time or for another reason: why, in words.
    Fails(String),
    /// It works, for the first time or again.
    Works,
    /// For the bell alone: no other sound worked, ring it with the next frame.
    Wanted,
}

/// Something that the screen may want to say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Report {
    /// Which way.
    pub way: Way,
    /// How it did.
    pub outcome: Outcome,
}
