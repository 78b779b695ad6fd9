//! Colour by meaning. A pane asks for what a thing means, never for a colour; a theme says what that looks like.
//!
//! Nothing is told by colour alone: the theme `none` draws the same screen with bold, underline and reverse only.

mod contrast;
mod file;
#[cfg(test)]
mod tests;

use ratatui::style::{Color, Modifier, Style};

pub use contrast::{Blindness, contrast, simulate};
pub(crate) use file::nearest;
pub use file::{Fault, themes};

/// What a thing on the screen means.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Meaning {
    /// What everything lies on.
    Ground,
    /// What the one action lies on.
    Raised,
    /// What is read first.
    Text,
    /// What is read when looked for.
    Muted,
    /// Hairlines and the empty part of a gauge; never text.
    Rule,
    /// The one thing to do now.
    Now,
    /// A key to press.
    Key,
    /// Time that runs.
    Run,
    /// Within the last minute.
    Soon,
    /// Hands-on parts of the timeline.
    Hands,
    /// Unattended parts of the timeline.
    Rest,
    /// Heat: the oven.
    Oven,
    /// What is done.
    Done,
    /// On time.
    Good,
    /// Late, overdue, over-kept.
    Late,
    /// Mind this, or be hurt.
    Caution,
    /// The line at now.
    Here,
    /// The chosen row.
    Chosen,
    /// A call of low priority.
    CallLow,
    /// A call of medium priority.
    CallMedium,
    /// A call of high priority.
    CallHigh,
}

impl Meaning {
    /// All of them, in the order of a theme file.
    pub const ALL: [Meaning; 21] = [
        Meaning::Ground,
        Meaning::Raised,
        Meaning::Text,
        Meaning::Muted,
        Meaning::Rule,
        Meaning::Now,
        Meaning::Key,
        Meaning::Run,
        Meaning::Soon,
        Meaning::Hands,
        Meaning::Rest,
        Meaning::Oven,
        Meaning::Done,
        Meaning::Good,
        Meaning::Late,
        Meaning::Caution,
        Meaning::Here,
        Meaning::Chosen,
        Meaning::CallLow,
        Meaning::CallMedium,
        Meaning::CallHigh,
    ];

    /// Its name in a theme file.
    pub fn name(self) -> &'static str {
        match self {
            Meaning::Ground => "ground",
            Meaning::Raised => "raised",
            Meaning::Text => "text",
            Meaning::Muted => "muted",
            Meaning::Rule => "rule",
            Meaning::Now => "now",
            Meaning::Key => "key",
            Meaning::Run => "run",
            Meaning::Soon => "soon",
            Meaning::Hands => "hands",
            Meaning::Rest => "rest",
            Meaning::Oven => "oven",
            Meaning::Done => "done",
            Meaning::Good => "good",
            Meaning::Late => "late",
            Meaning::Caution => "caution",
            Meaning::Here => "here",
            Meaning::Chosen => "chosen",
            Meaning::CallLow => "call_low",
            Meaning::CallMedium => "call_medium",
            Meaning::CallHigh => "call_high",
        }
    }

    fn index(self) -> usize {
        self as usize
    }
}

/// How one meaning looks: colours where the theme has them, and what is left without colour.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Ink {
    /// Colour of the letters; `None`: as what is around.
    pub fg: Option<Color>,
    /// Colour of the ground; `None`: as what is around.
    pub bg: Option<Color>,
    /// Bold, underlined, reversed, dim, italic.
    pub shape: Modifier,
}

/// What every meaning looks like.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Theme {
    name: String,
    inks: [Ink; Meaning::ALL.len()],
}

impl Theme {
    /// Its name: "dark", "light", "sixteen-dark", "sixteen-light", "none".
    pub fn name(&self) -> &str {
        &self.name
    }

    /// How a meaning looks.
    pub fn ink(&self, meaning: Meaning) -> Ink {
        self.inks.get(meaning.index()).copied().unwrap_or_default()
    }

    /// The style to draw a meaning with.
    pub fn style(&self, meaning: Meaning) -> Style {
        let ink = self.ink(meaning);
        let mut style = Style::new().add_modifier(ink.shape);
        style.fg = ink.fg;
        style.bg = ink.bg;
        style
    }

    /// The same theme for a terminal of 256 colours: each colour becomes the nearest of the fixed 240.
    #[must_use]
    pub fn in_256(mut self) -> Self {
        for ink in &mut self.inks {
            ink.fg = ink.fg.map(contrast::nearest_256);
            ink.bg = ink.bg.map(contrast::nearest_256);
        }
        self
    }

    /// The shipped theme that fits what a terminal can show.
    pub fn fitting(depth: Depth, light: bool) -> Theme {
        match (depth, light) {
            (Depth::None, _) => file::shipped("none"),
            (Depth::Sixteen, false) => file::shipped("sixteen-dark"),
            (Depth::Sixteen, true) => file::shipped("sixteen-light"),
            (Depth::Many, false) => file::shipped("dark").in_256(),
            (Depth::Many, true) => file::shipped("light").in_256(),
            (Depth::True, false) => file::shipped("dark"),
            (Depth::True, true) => file::shipped("light"),
        }
    }

    /// The name of the shipped theme that fits.
    pub fn fitting_name(depth: Depth, light: bool) -> &'static str {
        match (depth, light) {
            (Depth::None, _) => "none",
            (Depth::Sixteen, false) => "sixteen-dark",
            (Depth::Sixteen, true) => "sixteen-light",
            (_, false) => "dark",
            (_, true) => "light",
        }
    }
}

/// How many colours a terminal shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Depth {
    /// None: NO_COLOR, a dumb terminal, or the cook's wish.
    None,
    /// The sixteen that the terminal's own theme defines.
    Sixteen,
    /// The 256 of which 240 are fixed.
    Many,
    /// All.
    True,
}

impl Depth {
    /// From the environment: `NO_COLOR`, `COLORTERM` and `TERM`, looked up by `get`.
    pub fn of(get: impl Fn(&str) -> Option<String>) -> Depth {
        // NO_COLOR counts when present and not empty (no-color.org).
        if get("NO_COLOR").is_some_and(|value| !value.is_empty()) {
            return Depth::None;
        }
        let term = get("TERM").unwrap_or_default();
        let colorterm = get("COLORTERM").unwrap_or_default();
        if term == "dumb" {
            Depth::None
        } else if matches!(colorterm.as_str(), "truecolor" | "24bit") || term.ends_with("-direct") {
            Depth::True
        } else if term.contains("256") || cfg!(windows) {
            Depth::Many
        } else {
            Depth::Sixteen
        }
    }
}
