//! What a screen shows, computed from a state and a moment. Every face of the program draws the same board.

mod evening;
mod focus;
mod lanes;
mod panes;

use jiff::{SignedDuration, ZonedDateTime};

use super::{
    Action, Call, Ms, State,
    event::{Setting, Trouble},
};
use crate::measure::units::Units;

/// Everything that is to be seen at one moment.
#[derive(Clone, Debug, PartialEq)]
pub struct Board {
    /// What the meal is called.
    pub title: String,
    /// Session-clock time.
    pub now: Ms,
    /// Local civil time.
    pub clock: ZonedDateTime,
    /// How far the meal is.
    pub phase: Phase,
    /// The one thing to do now.
    pub focus: Focus,
    /// Unanswered calls, most urgent first.
    pub calls: Vec<Call>,
    /// What is running, in order of its end.
    pub countdowns: Vec<Countdown>,
    /// The ovens, in the kitchen's order.
    pub ovens: Vec<OvenPane>,
    /// What comes next, in order of time.
    pub upcoming: Vec<Upcoming>,
    /// The courses, in order of serving.
    pub courses: Vec<CourseLine>,
    /// The timeline, one lane a dish.
    pub lanes: Vec<Lane>,
    /// Lines that need no action: plan status, troubles, safety clocks.
    pub notices: Vec<Notice>,
    /// How many actions can be taken back.
    pub undoable: usize,
    /// The log can't be written: what happened last is in memory alone.
    pub unwritten: bool,
}

/// How far the meal is.
#[derive(Clone, Debug, PartialEq)]
pub enum Phase {
    /// Nothing has begun. What to get out, and when to begin.
    Before {
        /// When the first step or oven turn is planned.
        begin: Ms,
        /// What to get out: cookware and ingredients, one a line.
        get_out: Vec<String>,
    },
    /// In the midst of it.
    Cooking,
    /// Every course is served.
    After {
        /// What was late, what to cool and store: one a line.
        lines: Vec<String>,
    },
}

/// The one thing to do now.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Focus {
    /// What Space does; `None`: nothing is to be done now.
    pub action: Option<Action>,
    /// What Space does, in a word or two: "begin", "done", "set to 190 C", "serve", "got it".
    pub word: String,
    /// The dish, course or oven.
    pub subject: String,
    /// What to do, verb first; amounts are in `amounts`.
    pub sentence: String,
    /// Amounts of the ingredients that go in here.
    pub amounts: Vec<String>,
    /// Cookware it needs.
    pub needs: Vec<String>,
    /// "until the juices run clear".
    pub cue: Option<String>,
    /// Since when or until when: a moment to count from.
    pub moment: Option<Ms>,
    /// What else can be done with it, by key.
    pub choices: Vec<Choice>,
    /// Short cautions: "Steam burns: open the lid away from you".
    pub cautions: Vec<String>,
}

/// Something else that can be done with what is in focus.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// The action.
    pub action: Action,
    /// "not yet: 4 min more", "skip".
    pub words: String,
}

/// A running step.
#[derive(Clone, Debug, PartialEq)]
pub struct Countdown {
    /// Position of the step.
    pub step: usize,
    /// The dish.
    pub dish: String,
    /// What is being done.
    pub sentence: String,
    /// Where: "oven", "burner", "large tray"; empty: nowhere in particular.
    pub place: String,
    /// When it began.
    pub begun: Ms,
    /// When it is to be looked at or ends.
    pub due: Ms,
    /// The cue that ends it.
    pub cue: Option<String>,
    /// The cook's hands are in it.
    pub hands: bool,
    /// Core temperature to reach, as text, with the forecast if there are readings.
    pub core: Option<String>,
}

/// An oven, as the cook said it is.
#[derive(Clone, Debug, PartialEq)]
pub struct OvenPane {
    /// Its name.
    pub name: String,
    /// What it is set to.
    pub set: Setting,
    /// Since when.
    pub since: Ms,
    /// What it was set to before, each from when.
    pub past: Vec<(Ms, Setting)>,
    /// What it is set to, in words of the dial: "220 C", "off".
    pub set_words: String,
    /// Its estimated temperature, in whole degrees C.
    pub about: i32,
    /// When it will have reached what it is set to; `None`: it has.
    pub ready: Option<Ms>,
    /// The next turn of its knob.
    pub next: Option<OvenNext>,
    /// What is inside, with when each is due.
    pub inside: Vec<(String, Ms)>,
    /// Racks in use, and all of them.
    pub racks: (u32, u32),
}

/// What an oven must be set to next.
#[derive(Clone, Debug, PartialEq)]
pub struct OvenNext {
    /// When.
    pub at: Ms,
    /// To what, in words of the dial.
    pub to: String,
    /// Why.
    pub why: String,
    /// It is due now, and the cook hasn't said that it is done.
    pub due: bool,
}

/// Something that comes next.
#[derive(Clone, Debug, PartialEq)]
pub struct Upcoming {
    /// When.
    pub at: Ms,
    /// The dish, the oven or the course.
    pub subject: String,
    /// What to do, verb first.
    pub sentence: String,
    /// What it is.
    pub action: Action,
    /// The cook's hands will be in it.
    pub hands: bool,
    /// How long it takes, in ms.
    pub length: Ms,
    /// Why it can't be done now: "the oven is taken until 18:40"; `None`: it can be begun early.
    pub waits_for: Option<String>,
}

/// A course: promised, expected, moved.
#[derive(Clone, Debug, PartialEq)]
pub struct CourseLine {
    /// Its name.
    pub name: String,
    /// When it is promised.
    pub promised: Ms,
    /// When it is expected, or was served.
    pub expected: Ms,
    /// It is on the table.
    pub served: bool,
    /// How far the last plan moved it, in ms.
    pub moved: Ms,
    /// Its dishes, with how many of their steps are done, and how many there are.
    pub dishes: Vec<(String, usize, usize)>,
}

/// A lane of the timeline.
#[derive(Clone, Debug, PartialEq)]
pub struct Lane {
    /// The dish.
    pub name: String,
    /// Its bars, in order of time.
    pub bars: Vec<Bar>,
}

/// A step on the timeline.
#[derive(Clone, Debug, PartialEq)]
pub struct Bar {
    /// Position of the step.
    pub step: usize,
    /// Begin.
    pub from: Ms,
    /// End.
    pub to: Ms,
    /// Short label: the step's id.
    pub label: String,
    /// The cook's hands are in it.
    pub hands: bool,
    /// Where it is: the oven by position.
    pub oven: Option<usize>,
    /// Burners it takes.
    pub burners: u32,
    /// How far it is.
    pub progress: Progress,
}

/// How far a step is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Progress {
    /// Not begun.
    Waiting,
    /// Begun.
    Running,
    /// Done.
    Done,
    /// Left out.
    Skipped,
}

/// A line that needs no action.
#[derive(Clone, Debug, PartialEq)]
pub struct Notice {
    /// How grave.
    pub weight: Weight,
    /// One line.
    pub words: String,
}

/// How grave a notice is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// Good to know.
    Info,
    /// Keep an eye on it.
    Caution,
    /// Something is wrong.
    Wrong,
}

impl State {
    /// The civil time of a session-clock moment.
    pub fn clock(&self, at: Ms) -> ZonedDateTime {
        let opened = &self.script.opened;
        let moment = opened.timestamp();
        moment
            .saturating_add(SignedDuration::from_millis(
                at.saturating_add(self.civil_shift),
            ))
            .unwrap_or(moment)
            .to_zoned_datetime(opened.time_zone().clone())
    }

    /// The same in words, to the minute.
    pub(super) fn clock_words(&self, at: Ms) -> String {
        self.hours.words(self.clock(at).time())
    }

    /// All that is to be seen at `now`, amounts in `units`.
    pub fn board(&self, now: Ms, units: Units) -> Board {
        let calls = self.calls(now);
        Board {
            title: self.script.session.title.clone(),
            now,
            clock: self.clock(now),
            phase: self.phase(now),
            focus: self.focus(&calls, now, units),
            countdowns: self.countdowns(),
            ovens: self.oven_panes(now),
            upcoming: self.upcoming(now),
            courses: self.course_lines(now),
            lanes: self.lanes(now),
            notices: self.notices(now),
            undoable: self.undoable(),
            unwritten: self.troubles.contains_key(&Trouble::Log),
            calls,
        }
    }
}
