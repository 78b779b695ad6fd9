//! What the user wants to hear.

use std::{fs, io, path::Path};

use jiff::civil::Time;

use super::{Notes, Surroundings, Unheard, Way};
use crate::menu::{Diagnostics, Lookup, config::Alert, files};

/// The `[alert]` table of the user's `config.toml`, and what belongs to it.
#[derive(Clone, Debug)]
pub struct AlertConfig {
    /// Make sounds.
    pub sound: bool,
    /// How loud, in percent of the loudest, 0 to 100.
    pub loudness: u8,
    /// When it is to be quieter and nothing is spoken: "22:00 to 07:00".
    pub night: Option<Hours>,
    /// How loud at night, in percent, 0 to 100.
    pub night_loudness: u8,
    /// Show desktop notifications.
    pub notification: bool,
    /// Speak calls.
    pub speech: bool,
    /// The program that speaks, and its arguments, run without a shell. An argument "{}" becomes the text; without one the
    /// text comes on standard input.
    pub speech_command: Option<Vec<String>>,
    /// What each priority sounds like.
    pub notes: Notes,
    /// The environment.
    pub surroundings: Surroundings,
    /// Use this way alone.
    pub only: Option<Way>,
    /// Ways that play but aren't heard.
    pub unheard: Unheard,
}

impl Default for AlertConfig {
    fn default() -> Self {
        Self {
            sound: true,
            loudness: 80,
            night: None,
            night_loudness: 25,
            notification: true,
            speech: true,
            speech_command: None,
            notes: built_in(),
            surroundings: Surroundings::of_the_process(),
            only: None,
            unheard: Unheard::default(),
        }
    }
}

/// The notes that the program comes with; a test reads them.
fn built_in() -> Notes {
    Notes::built_in().unwrap_or_default()
}

impl AlertConfig {
    /// What the user's config says, with the notes of "mealtide/sounds.toml" in the folder of that config, if there are any.
    ///
    /// # Errors
    /// When the notes can't be read, or say something that isn't understood.
    pub fn of_the_user(config: &Alert) -> Result<Self, Diagnostics> {
        match Lookup::of_the_user().config {
            Some(folder) => Self::in_folder(config, &folder),
            None => Ok(Self::of(config)),
        }
    }

    /// The same with the notes of any folder.
    ///
    /// # Errors
    /// As [`Self::of_the_user`].
    pub fn in_folder(config: &Alert, folder: &Path) -> Result<Self, Diagnostics> {
        let mut alert = Self::of(config);
        let sounds = folder.join("sounds.toml");
        if let Some(bytes) = read(&sounds)? {
            alert.notes = Notes::read(&sounds.display().to_string(), &bytes)?;
        }
        Ok(alert)
    }

    /// What a config says, with the program's own notes.
    pub fn of(config: &Alert) -> Self {
        let percent = |value: u32| u8::try_from(value).unwrap_or(100).min(100);
        let command = Some(config.speech_command.clone());
        Self {
            sound: config.sound,
            loudness: percent(config.loudness),
            night: config.night.map(|(from, to)| Hours { from, to }),
            night_loudness: percent(config.night_loudness),
            notification: config.notification,
            speech: config.speech,
            speech_command: command.filter(|command| !command.is_empty()),
            ..Self::default()
        }
    }

    /// How loud at a time of day, 0 to 1.
    pub(super) fn loudness_at(&self, time: Time) -> f32 {
        let percent = if self.is_night(time) {
            self.night_loudness
        } else {
            self.loudness
        };
        f32::from(percent) / 100.0
    }

    pub(super) fn is_night(&self, time: Time) -> bool {
        self.night.is_some_and(|night| night.hold(time))
    }

    /// Whether a way is to be used.
    pub(super) fn uses(&self, way: Way) -> bool {
        if let Some(only) = self.only {
            return way == only;
        }
        match way {
            Way::Desktop => self.notification,
            Way::Speech => self.speech,
            // The last of them is rung even so: it may be all that there is.
            Way::Bell => self.sound,
            _ if self.unheard.holds(way) => false,
            _ => self.sound,
        }
    }
}

fn read(file: &Path) -> Result<Option<Vec<u8>>, Diagnostics> {
    match fs::metadata(file) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
        _ => files::read_bounded(file).map(Some).map_err(|why| {
            let name = file.display().to_string();
            Diagnostics::whole_file(&name, format!("can't be read: {why}"))
        }),
    }
}

/// A span of the day, perhaps over midnight: "22:00 to 07:00".
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Hours {
    from: Time,
    to: Time,
}

impl Hours {
    /// Whether a time of day lies in it; the beginning does, the end doesn't.
    pub fn hold(self, time: Time) -> bool {
        if self.from <= self.to {
            self.from <= time && time < self.to
        } else {
            self.from <= time || time < self.to
        }
    }
}

#[cfg(test)]
mod tests {
    use jiff::civil::time;

    use super::*;
    use crate::menu::config::Config;

    fn config(text: &str) -> AlertConfig {
        AlertConfig::of(&Config::read("config.toml", text.as_bytes()).unwrap().alert)
    }

    #[test]
    fn the_night_goes_over_midnight() {
        let config =
            config("[alert]\nnight = \"22:00 to 07:00\"\nloudness = 60\nnight_loudness = 10");
        for (hour, minute, loudness) in [
            (21, 59, 0.6),
            (22, 0, 0.1),
            (0, 0, 0.1),
            (6, 59, 0.1),
            (7, 0, 0.6),
        ] {
            assert_eq!(
                config.loudness_at(time(hour, minute, 0, 0)),
                loudness,
                "{hour}:{minute}"
            );
        }
    }

    #[test]
    fn what_the_config_leaves_empty_is_off() {
        let empty = config("[alert]\nnight = \"\"\nspeech_command = []\nsound = false");
        assert!(!empty.is_night(time(23, 0, 0, 0)));
        assert_eq!(empty.speech_command, None);
        assert!(!empty.uses(Way::Server) && empty.uses(Way::Desktop));
    }

    #[test]
    fn notes_need_not_exist_but_must_be_right() {
        let folder = tempfile::tempdir().unwrap();
        let config = Config::default().alert;
        assert!(AlertConfig::in_folder(&config, folder.path()).is_ok());
        fs::write(folder.path().join("sounds.toml"), "[low]\npitch_hz = 1").unwrap();
        let error = AlertConfig::in_folder(&config, folder.path()).unwrap_err();
        let text = error.render(false);
        assert!(text.contains("sounds.toml:"), "{text}");
        assert!(text.contains("'pitch_hz' is out of range"), "{text}");
        assert!(text.contains("lacks 'high'"), "{text}");
    }
}
