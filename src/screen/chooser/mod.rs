//! The first screen: the sessions at hand. Unfinished ones come first; a first run explains itself.

mod paint;

use crossterm::event::Event;
use jiff::ZonedDateTime;
use ratatui::{buffer::Buffer, layout::Rect};

use super::{
    Command, Ui,
    alike::{self, Asked},
};

pub use paint::paint;

/// One session at hand.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// What the meal is called; the file's name if it can't be read.
    pub title: String,
    /// Where it comes from.
    pub source: Source,
    /// How many guests; `None` if the file can't be read.
    pub guests: Option<u32>,
    /// Courses, each with its dishes in one line: "Main: roast chicken, roast roots".
    pub courses: Vec<String>,
    /// When the first course is promised.
    pub serve: Option<ZonedDateTime>,
    /// When the first step, or turn of an oven, has to begin for that.
    pub begin: Option<ZonedDateTime>,
    /// What is missing, wrong or late, one a line; empty: nothing.
    pub troubles: Vec<String>,
    /// What else is to be known, one a line: what was made ahead, what earlier evenings taught.
    pub notes: Vec<String>,
    /// It can't be cooked as it is.
    pub broken: bool,
}

/// Where a session comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Source {
    /// A log that was left before its end, with when it was left, in words: "left at 18:42".
    Unfinished(String),
    /// It comes with the program.
    BuiltIn,
    /// A file, by its path.
    File(String),
}

/// The chooser.
#[derive(Clone, Debug)]
pub struct Chooser {
    entries: Vec<Entry>,
    chosen: usize,
    /// Explain the program.
    pub first_run: bool,
    /// The time at which it is shown.
    pub now: ZonedDateTime,
}

/// What was chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Chosen {
    /// Cook, or go on with, the entry at this position of [`Chooser::entries`].
    Cook(usize),
    /// Show its plan.
    Plan(usize),
}

impl Chooser {
    /// A chooser over entries: unfinished ones are put first, else their order is kept.
    pub fn new(mut entries: Vec<Entry>, first_run: bool, now: ZonedDateTime) -> Self {
        entries.sort_by_key(|e| !matches!(e.source, Source::Unfinished(_)));
        Chooser {
            entries,
            chosen: 0,
            first_run,
            now,
        }
    }

    /// The entries as shown.
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// The position of the chosen entry.
    pub fn chosen(&self) -> usize {
        self.chosen
    }

    /// What one reported event asks for. A tap chooses; a tap on what is chosen takes it.
    pub fn on_event(&mut self, event: &Event, size: Rect, ui: &mut Ui) -> Option<Asked<Chosen>> {
        let tapped = matches!(event, Event::Mouse(_));
        let shown = self.clone();
        let drawn = |ui: &Ui| paint(&mut Buffer::empty(size), &shown, ui);
        alike::on_event(event, ui, drawn, |command, _| match command {
            Command::Row(n) if tapped && usize::from(*n) == self.chosen + 1 => {
                self.obey(&Command::Take)
            }
            command => self.obey(command),
        })
    }

    fn obey(&mut self, command: &Command) -> Option<Asked<Chosen>> {
        let last = self.entries.len().saturating_sub(1);
        let usable = self.entries.get(self.chosen).filter(|e| !e.broken);
        let own = |chosen: Chosen| usable.map(|_| Asked::Own(chosen));
        match command {
            Command::Up => self.chosen = self.chosen.saturating_sub(1),
            Command::Down => self.chosen = (self.chosen + 1).min(last),
            Command::Earlier => self.chosen = 0,
            Command::Later => self.chosen = last,
            Command::Row(n) => self.chosen = usize::from(*n).saturating_sub(1).min(last),
            Command::Take | Command::Next => return own(Chosen::Cook(self.chosen)),
            Command::Plan => return own(Chosen::Plan(self.chosen)),
            Command::Quit | Command::Back => return Some(Asked::Leave),
            _ => return None,
        }
        Some(Asked::REDRAW)
    }
}
