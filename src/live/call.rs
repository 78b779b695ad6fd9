//! What the kitchen must hear now.

use serde::{Deserialize, Serialize};

use super::{Action, Ms};

/// How urgent a call is; the higher one is greater.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Priority {
    /// Soon something will have to be done.
    Low,
    /// Something has to be done now.
    Medium,
    /// Something is being ruined, or someone may be harmed, unless it is done at once.
    High,
}

/// What a call is about, stable for as long as it is the same call.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CallKey {
    /// A step ends soon.
    HeadsUp {
        /// Position of the step.
        step: usize,
        /// When it was expected to end: an extension makes a new call.
        due: Ms,
    },
    /// A step's time is over.
    Due {
        /// Position of the step.
        step: usize,
        /// When.
        due: Ms,
    },
    /// The cue has to be looked at: "tender?".
    Cue {
        /// Position of the step.
        step: usize,
        /// When it was due to be looked at.
        due: Ms,
    },
    /// An oven's knob has to be turned.
    Oven {
        /// Position of the oven.
        oven: usize,
        /// The step it is for.
        step: Option<usize>,
        /// What it must be set to, in words.
        to: String,
    },
    /// A step has to begin.
    Begin {
        /// Position of the step.
        step: usize,
    },
    /// A course has to be served.
    Serve {
        /// Position of the course.
        course: usize,
    },
    /// A limit of food safety comes near.
    Safety {
        /// Position of the dish.
        dish: usize,
        /// Which limit.
        limit: String,
    },
    /// Something about the program itself that the cook must know.
    Trouble {
        /// What it is about.
        about: super::event::Trouble,
    },
    /// Was the test sound heard?
    SoundTest,
    /// Time passed unseen.
    Jump {
        /// Session-clock ms at which it was found.
        at: Ms,
    },
}

/// A call, from when it fell due until it is answered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Call {
    /// What it is about.
    pub key: CallKey,
    /// How urgent.
    pub priority: Priority,
    /// When it fell due.
    pub since: Ms,
    /// The dish, the oven or the course it is about: "Roast chicken".
    pub subject: String,
    /// One short sentence, verb first: "Turn the oven down to 190 C".
    pub sentence: String,
    /// What answers it; `None`: only reading it.
    pub action: Option<Action>,
    /// Needs no action of the cook: a line on the screen, never a sound.
    pub silent: bool,
}
