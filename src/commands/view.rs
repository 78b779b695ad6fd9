//! The screen as the user likes it: theme, keys, units, from the config.

use std::io::{self, IsTerminal, Write};

use crossterm::event::{self, Event as Reported};
use ratatui::{
    buffer::Buffer,
    layout::{Rect, Size},
};

use super::{Outcome, complain, faults};
use crate::{
    live::board::{Notice, Weight},
    measure::{hours::ClockFormat, units::Units},
    menu::{
        Lookup,
        config::{self, Config},
        files,
    },
    screen::{
        Drawn, Keys, Theme, Ui,
        alike::{Alike, Asked},
        keys::Place,
        page,
        plain::Plain,
        terminal::{self, Screen},
        theme::Depth,
    },
};

/// Whether there is a terminal, and one that can be drawn on.
pub fn possible() -> bool {
    let dumb = std::env::var_os("TERM").is_some_and(|term| term == "dumb");
    io::stdin().is_terminal() && io::stdout().is_terminal() && !dumb
}

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
        let theme = theme(&config.theme)?;
        let mut ui = Ui::new(theme, keys);
        ui.place = place;
        ui.mouse = config.mouse;
        ui.fahrenheit = config.units == Units::Us;
        ui.clock = config.hours();
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

    /// Draws a frame.
    ///
    /// # Errors
    /// When the terminal is gone.
    pub fn draw(&mut self, paint: impl FnOnce(&mut Buffer, &Ui) -> Drawn) -> io::Result<()> {
        let ui = &self.ui;
        self.screen.draw(|buffer| paint(buffer, ui).cursor)?;
        Ok(())
    }

    /// Shows a page until it is left (`None`) or asks for what it alone is for.
    ///
    /// # Errors
    /// When the terminal is gone.
    pub fn ask<P, T>(
        &mut self,
        page: &mut P,
        paint: impl Fn(&mut Buffer, &P, &Ui) -> Drawn,
        on_event: impl Fn(&mut P, &Reported, Rect, &mut Ui) -> Option<Asked<T>>,
    ) -> io::Result<Option<T>> {
        loop {
            self.draw(|buffer, ui| paint(buffer, page, ui))?;
            let reported = event::read()?;
            self.fit(&reported);
            match on_event(page, &reported, self.screen.area(), &mut self.ui) {
                Some(Asked::Own(own)) => return Ok(Some(own)),
                Some(Asked::Leave) => return Ok(None),
                Some(Asked::Alike(alike)) => self.obey(alike)?,
                None => {}
            }
        }
    }

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
        let shown = |buffer: &mut Buffer, first: &usize, ui: &Ui| paint(buffer, ui, *first);
        let taken = self.ask(&mut 0, shown, |first, event, area, ui| {
            let at = *first;
            let drawn = |ui: &Ui| paint(&mut Buffer::empty(area), ui, at);
            page::on_event(event, first, last, ui, drawn)
        })?;
        Ok(taken.is_some())
    }

    /// Takes the size that a terminal reports.
    pub fn fit(&mut self, reported: &Reported) {
        if let Reported::Resize(width, height) = *reported {
            self.screen.resize(Size { width, height });
        }
    }

    /// Takes the terminal anew after the program was stopped.
    ///
    /// # Errors
    /// When the terminal is gone.
    pub fn proceed(&mut self) -> io::Result<()> {
        terminal::retake()?;
        self.screen.afresh();
        Ok(())
    }

    /// Does what every screen does about a command.
    ///
    /// # Errors
    /// When the terminal is gone.
    pub fn obey(&mut self, alike: Alike) -> io::Result<()> {
        match alike {
            Alike::Redraw => {}
            Alike::Afresh => self.screen.afresh(),
            Alike::Mouse(on) => terminal::set_mouse(on)?,
            Alike::Suspend => {
                terminal::suspend()?;
                self.screen.afresh();
            }
        }
        Ok(())
    }
}

impl Drop for View {
    fn drop(&mut self) {
        terminal::restore();
    }
}

/// How the user reads clock times. A config with faults is told of where it is used.
pub fn hours_of_the_user() -> ClockFormat {
    Config::of_the_user(&Lookup::of_the_user())
        .unwrap_or_default()
        .hours()
}

/// How lines of words read for the user.
pub fn words(config: &Config) -> Plain {
    Plain {
        clock: config.hours(),
    }
}

/// The user's config.
///
/// # Errors
/// When it is at fault; all of that was told.
pub fn config() -> Result<Config, Outcome> {
    Config::of_the_user(&Lookup::of_the_user()).map_err(|found| faults::tell(&found, false))
}

/// The theme that fits the wish and the terminal, which is asked for its ground before anything is drawn: what is typed
/// while it is asked would be lost.
fn theme(wish: &config::Theme) -> Result<Theme, Outcome> {
    let depth = Depth::of(|key| std::env::var(key).ok());
    let light = match wish {
        config::Theme::Light => true,
        config::Theme::Dark => false,
        config::Theme::Auto | config::Theme::File(_) => {
            depth != Depth::None && terminal::is_light().unwrap_or(false)
        }
    };
    let fitting = Theme::fitting(depth, light);
    patched(fitting, wish).map_err(|faults| {
        let mut told = faults.iter().map(|fault| complain(fault));
        told.next_back().unwrap_or(Outcome::Fault)
    })
}

/// A theme with what the wished file says over it. A path that isn't absolute is from the folder of the config.
fn patched(theme: Theme, wish: &config::Theme) -> Result<Theme, Vec<String>> {
    let config::Theme::File(path) = wish else {
        return Ok(theme);
    };
    let path = match Lookup::of_the_user().config {
        Some(folder) => folder.join(path),
        None => path.clone(),
    };
    let told = |why: &dyn std::fmt::Display| format!("{}: {why}", path.display());
    let text = files::read_text(&path).map_err(|why| vec![told(&why)])?;
    let patched = theme.patched(&text);
    patched.map_err(|faults| faults.iter().map(|fault| told(fault)).collect())
}

/// What is wrong with a config that only the screen knows of: its keys, and its theme file.
pub fn wrong(config: &Config) -> Vec<String> {
    let keys = Keys::shipped().patched(&config.keys).err();
    let keys = keys.into_iter().flatten().map(|fault| fault.to_string());
    let theme = patched(Theme::fitting(Depth::None, false), &config.theme).err();
    keys.chain(theme.into_iter().flatten()).collect()
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
