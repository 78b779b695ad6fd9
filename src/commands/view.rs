//! The screen as the user likes it: theme, keys, units, from the config.

use std::io::{self, Write};

use crossterm::event::{self, Event as Reported};
use ratatui::{buffer::Buffer, layout::Size};

use super::{Outcome, complain, faults};
use crate::{
    live::board::{Notice, Weight},
    measure::units::Units,
    menu::{
        Lookup,
        config::{self, Config},
    },
    screen::{
        Drawn, Keys, Theme, Ui,
        keys::Place,
        page::{self, Turned},
        terminal::{self, Screen},
        time::ClockFormat,
    },
};

/// The terminal, taken, and how it is drawn.
pub struct View {
    /// What is drawn on.
    pub screen: Screen<io::Stdout>,
    /// View state.
    pub ui: Ui,
    /// How amounts are shown.
    pub units: Units,
}

impl View {
    /// Takes the terminal, as the user's config says.
    ///
    /// # Errors
    /// When the config is at fault, or the terminal can't be taken; it was complained about.
    pub fn open(config: &Config, place: Place) -> Result<Self, Outcome> {
        let keys = Keys::shipped().patched(&config.keys).map_err(|faults| {
            faults
                .iter()
                .map(|fault| complain(&format!("config.toml: {fault}")))
                .next_back()
                .unwrap_or(Outcome::Fault)
        })?;
        let theme = theme(config)?;
        let mut ui = Ui::new(theme, keys);
        ui.place = place;
        ui.mouse = config.mouse;
        ui.fahrenheit = config.units == Units::Us;
        ui.clock = if config.twelve_hours {
            ClockFormat::H12
        } else {
            ClockFormat::H24
        };
        let after = (config.glance_after * crate::measure::Ratio::from_integer(1000)).to_integer();
        ui.glance_after = i64::try_from(after).ok().filter(|&after| after > 0);
        let failed = |error: io::Error| complain(&format!("the terminal: {error}"));
        terminal::enter(config.mouse).map_err(failed)?;
        let (width, height) = crossterm::terminal::size().map_err(failed)?;
        let screen = Screen::new(io::stdout(), Size { width, height });
        Ok(Self {
            screen,
            ui,
            units: config.units,
        })
    }
}

impl View {
    /// Shows a page that scrolls until it is left; says whether what it shows was taken. `last` is the last row that may
    /// stand at its top.
    ///
    /// # Errors
    /// When the terminal is gone.
    pub fn page(
        &mut self,
        last: usize,
        paint: impl Fn(&mut Buffer, &Ui, usize) -> Drawn,
    ) -> io::Result<bool> {
        let mut first = 0;
        loop {
            let ui = &self.ui;
            self.screen.draw(|buffer| paint(buffer, ui, first).cursor)?;
            let reported = event::read()?;
            if let Reported::Resize(width, height) = reported {
                self.screen.resize(Size { width, height });
            }
            let area = self.screen.area();
            let at = first;
            let hits = |ui: &Ui| paint(&mut Buffer::empty(area), ui, at);
            match page::on_event(&reported, &mut first, last, &mut self.ui, hits) {
                Some(Turned::Take) => return Ok(true),
                Some(Turned::Leave) => return Ok(false),
                Some(Turned::Afresh) => self.screen.afresh(),
                Some(Turned::Mouse(on)) => terminal::set_mouse(on)?,
                Some(Turned::Suspend) => {
                    terminal::suspend()?;
                    self.screen.afresh();
                }
                Some(Turned::Redraw) | None => {}
            }
        }
    }
}

impl Drop for View {
    fn drop(&mut self) {
        terminal::restore();
    }
}

/// The user's config.
///
/// # Errors
/// When it is at fault; all of that was told.
pub fn config() -> Result<Config, Outcome> {
    Config::of_the_user(&Lookup::of_the_user()).map_err(|found| faults::tell(&found, false))
}

fn theme(config: &Config) -> Result<Theme, Outcome> {
    let light = match &config.theme {
        config::Theme::Auto | config::Theme::File(_) => None,
        config::Theme::Dark => Some(false),
        config::Theme::Light => Some(true),
    };
    let fitting = terminal::fitting_theme(light);
    let config::Theme::File(path) = &config.theme else {
        return Ok(fitting);
    };
    let told = |why: &dyn std::fmt::Display| complain(&format!("{}: {why}", path.display()));
    let text = std::fs::read_to_string(path).map_err(|error| told(&error))?;
    fitting.patched(&text).map_err(|faults| {
        faults
            .iter()
            .map(|fault| told(fault))
            .next_back()
            .unwrap_or(Outcome::Fault)
    })
}

/// What is said while something is not yet on the disk.
pub fn unsaved() -> Notice {
    Notice {
        weight: Weight::Caution,
        words: "not on the disk yet".into(),
    }
}

/// Writes to the terminal at once, between frames.
///
/// # Errors
/// When the terminal is gone.
pub fn write(bytes: &str) -> io::Result<()> {
    let mut out = io::stdout().lock();
    out.write_all(bytes.as_bytes())?;
    out.flush()
}
