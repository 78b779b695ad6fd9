//! What happened: past tense, complete, serialisable. The log is a list of these.

use jiff::ZonedDateTime;
use serde::{Deserialize, Serialize};

use super::{CallKey, Ms};
use crate::{
    measure::Ratio,
    menu::{Session, StepRef},
    plan::{frame::Part, problem::Tick},
};

/// Something that happened in a session.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Event {
    /// The session was opened; always the first event.
    Opened(Box<Opening>),
    /// The plan was made or made again.
    Planned(Box<Planned>),
    /// A step was begun.
    Begun {
        /// Which.
        step: StepRef,
        /// For an oven step: the oven, by name.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        oven: Option<String>,
    },
    /// A step came to its end.
    Done {
        /// Which.
        step: StepRef,
    },
    /// A running step was given more time, or less.
    Extended {
        /// Which.
        step: StepRef,
        /// By how much, in ms; negative: shortened.
        by: Ms,
    },
    /// A step was left out.
    Skipped {
        /// Which.
        step: StepRef,
    },
    /// The oven's knob was turned.
    OvenSet {
        /// The oven, by name.
        oven: String,
        /// What it was set to.
        to: Setting,
    },
    /// A course was put on the table.
    Served {
        /// Position of the course, from 0.
        course: usize,
    },
    /// A call was answered without another event that answers it.
    Answered {
        /// Which.
        call: CallKey,
    },
    /// What the cook last did was taken back.
    Undone,
    /// The cook wrote something down.
    Noted {
        /// One line.
        text: String,
    },
    /// A thermometer was read.
    Measured {
        /// What it is in.
        step: StepRef,
        /// Core temperature in C, exact.
        core: Ratio,
    },
    /// A substitute was chosen.
    Substituted {
        /// The dish, by id.
        dish: String,
        /// The ingredient it replaces, by item.
        item: String,
        /// Position in the ingredient's list of substitutes; `None`: back to the ingredient itself.
        choice: Option<usize>,
    },
    /// A clock was found to have jumped; no timer was lost.
    ClockJumped {
        /// What kind of jump.
        kind: Jump,
        /// By how much, in ms.
        by: Ms,
    },
    /// The session was taken up again after the program had ended.
    Resumed {
        /// How long nobody was there, in ms.
        away: Ms,
    },
    /// After a restart the civil clock and the machine's own disagreed; the cook said which is right.
    ClocksDisagreed {
        /// Which.
        believed: Believed,
        /// How far the civil clock is ahead of the session because of it, in ms.
        by: Ms,
    },
    /// A way of reaching the cook, or the log, failed or works again.
    Trouble {
        /// What it is about.
        about: Trouble,
        /// One line for the cook; empty when it is over.
        words: String,
    },
    /// A short sound was made before the meal, to try whether it can be heard.
    SoundTried {
        /// By which ways, in words.
        ways: String,
    },
    /// The cook said whether the test sound was heard.
    Heard {
        /// They did.
        yes: bool,
    },
    /// The session was ended by the cook.
    Closed,
}

/// Which of two clocks is right.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Believed {
    /// The civil clock: so much time has passed.
    Wall,
    /// The clock that counts since the machine was started: the civil clock was set meanwhile.
    Machine,
}

/// The first record: all that is needed to replay without another file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Opening {
    /// Program and version that wrote it.
    pub program: String,
    /// The session as understood.
    pub session: Session,
    /// Which part of it is cooked.
    pub part: Part,
    /// Where in the ranges the planned lengths lie, 0 to 1.
    pub quantile: Ratio,
    /// Civil time at session-clock 0.
    pub opened: ZonedDateTime,
}

/// A plan, as the cook reads it. Positions are those of the session's steps in the plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Planned {
    /// Start of each step, in ticks from the plan's zero.
    pub starts: Vec<Tick>,
    /// Length of each step, in ticks.
    pub lengths: Vec<Tick>,
    /// Oven of each oven step, by position.
    pub ovens: Vec<Option<usize>>,
    /// When each course is served.
    pub served: Vec<Tick>,
    /// When the knobs of the ovens are turned, in order of time.
    pub turns: Vec<Turn>,
    /// Weighted cost.
    pub cost: i64,
    /// No correct plan costs less.
    pub bound: i64,
}

/// A moment at which a person turns an oven's knob.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Turn {
    /// The oven, by position.
    pub oven: usize,
    /// When, in ticks from zero.
    pub at: Tick,
    /// To what.
    pub to: Setting,
    /// Why: "preheat for the roast", "turn down for the roast", "nothing else needs it".
    pub why: String,
    /// The step it is for; `None` when it is turned off.
    pub step: Option<usize>,
}

/// What an oven is set to.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Setting {
    /// Off.
    Off,
    /// To this many degrees C of a conventional oven.
    At(Ratio),
}

/// How a clock jumped.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Jump {
    /// The machine slept; the session clock ran on.
    Suspend,
    /// The civil clock was set, by a person, the network, or a change of zone.
    Civil,
}

/// What a trouble is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Trouble {
    /// The log can't be written.
    Log,
    /// Sound.
    Sound,
    /// Speech.
    Speech,
    /// Desktop notifications.
    Notification,
    /// The two clocks disagree after a restart.
    Clock,
}
