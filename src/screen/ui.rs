//! What the person at the screen has set: view state only, never the state of the meal.

use tui_input::Input;

use super::{
    keys::{Keys, Place},
    theme::Theme,
    time::ClockFormat,
};
use crate::live::{Action, Board, Ms, board::Lane};

/// View state.
#[derive(Clone, Debug)]
pub struct Ui {
    /// How meanings look.
    pub theme: Theme,
    /// The keys.
    pub keys: Keys,
    /// Which screen's keys count.
    pub place: Place,
    /// 12 or 24 hours.
    pub clock: ClockFormat,
    /// Temperatures are typed in Fahrenheit unless they say otherwise.
    pub fahrenheit: bool,
    /// The chosen row or choice.
    pub chosen: Option<Chosen>,
    /// How far the timeline is scrolled, in steps of a quarter of its width; 0: around now.
    pub scroll: i32,
    /// Timeline by place instead of by dish.
    pub by_place: bool,
    /// The lanes as first planned, each drawn above what became of it; empty: they aren't compared.
    pub planned: Vec<Lane>,
    /// Giant digits.
    pub glance: bool,
    /// Giant digits by themselves after so long without a key; `None`: never.
    pub glance_after: Option<Ms>,
    /// When the last key was pressed.
    pub last_input: Ms,
    /// What lies over the screen.
    pub overlay: Overlay,
    /// Mouse and touch are on.
    pub mouse: bool,
    /// One line for the foot of the screen, until a moment.
    pub message: Option<(String, Ms)>,
}

/// What is chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Chosen {
    /// A running step, by position.
    Running(usize),
    /// Something that comes, by its action.
    Coming(Action),
    /// A choice beside what is asked for, from 0.
    Choice(usize),
}

/// What lies over the screen.
#[derive(Clone, Debug, Default)]
pub enum Overlay {
    /// Nothing.
    #[default]
    None,
    /// All keys, scrolled by so many lines.
    Help(u16),
    /// "Leave the kitchen?"
    Leave,
    /// A line is typed.
    Ask(Ask, Box<Input>),
}

/// What a typed line is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ask {
    /// A note.
    Note,
    /// The core temperature of a running step.
    Core(usize),
    /// The setting of an oven.
    Oven(usize),
    /// Minutes more or fewer for a running step.
    Minutes(usize),
}

impl Ui {
    /// A fresh view.
    pub fn new(theme: Theme, keys: Keys) -> Self {
        Ui {
            theme,
            keys,
            place: Place::Cook,
            clock: ClockFormat::default(),
            fahrenheit: false,
            chosen: None,
            scroll: 0,
            by_place: false,
            planned: Vec::new(),
            glance: false,
            glance_after: None,
            last_input: 0,
            overlay: Overlay::None,
            mouse: false,
            message: None,
        }
    }

    /// Whether each lane has the plan above it: by place there is none.
    pub fn compares(&self) -> bool {
        !self.by_place && !self.planned.is_empty()
    }

    /// Whether giant digits are shown now.
    pub fn is_glance(&self, now: Ms) -> bool {
        self.glance
            || self
                .glance_after
                .is_some_and(|after| now.saturating_sub(self.last_input) >= after)
    }

    /// The message, while it is to be read.
    pub fn message(&self, now: Ms) -> Option<&str> {
        let (words, until) = self.message.as_ref()?;
        (now < *until).then_some(words)
    }
}

/// The rows that digits and arrows choose from: what runs, then what comes.
pub fn rows(board: &Board) -> impl Iterator<Item = Chosen> + '_ {
    let running = board.countdowns.iter().map(|c| Chosen::Running(c.step));
    let coming = board
        .upcoming
        .iter()
        .map(|u| Chosen::Coming(u.action.clone()));
    running.chain(coming)
}
