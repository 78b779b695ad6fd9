//! What the user wants to hear.

use std::{fmt, fs, io, path::Path, str::FromStr};

use etcetera::BaseStrategy;
use jiff::civil::Time;
use serde::Deserialize;

use super::{Notes, Surroundings, Way};

/// A configuration file larger than this isn't read.
const LARGEST: u64 = 4 << 20;

/// The `[alert]` table of the user's `config.toml`, and what belongs to it.
#[derive(Clone, Debug, Deserialize)]
#[serde(default, deny_unknown_fields)]
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
    #[serde(skip, default = "built_in")]
    pub notes: Notes,
    /// The environment.
    #[serde(skip, default = "Surroundings::of_the_process")]
    pub surroundings: Surroundings,
    /// Use this way alone.
    #[serde(skip)]
    pub only: Option<Way>,
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
        }
    }
}

/// The notes that the program comes with; a test reads them.
fn built_in() -> Notes {
    Notes::built_in().unwrap_or_else(|_| Notes::silent())
}

/// The configuration can't be used.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{file}: {why}")]
pub struct ConfigError {
    /// Which file.
    pub file: String,
    /// What is wrong with it, and where.
    pub why: String,
}

impl AlertConfig {
    /// The user's own: `[alert]` of "mealtide/config.toml" in `$XDG_CONFIG_HOME` (by default "~/.config"), and
    /// "mealtide/sounds.toml" beside it. Neither has to exist.
    ///
    /// # Errors
    /// When one of them can't be read, or says something that isn't understood.
    pub fn of_the_user() -> Result<Self, ConfigError> {
        match etcetera::choose_base_strategy() {
            Ok(user) => Self::in_folder(&user.config_dir().join("mealtide")),
            Err(_) => Ok(Self::default()),
        }
    }

    /// The same from any folder.
    ///
    /// # Errors
    /// As [`Self::of_the_user`].
    pub fn in_folder(folder: &Path) -> Result<Self, ConfigError> {
        let config = folder.join("config.toml");
        let mut alert = match read(&config)? {
            Some(text) => Self::of_text(&text).map_err(|why| fault(&config, why))?,
            None => Self::default(),
        };
        let sounds = folder.join("sounds.toml");
        if let Some(text) = read(&sounds)? {
            alert.notes = Notes::read(&text).map_err(|why| fault(&sounds, why))?;
        }
        Ok(alert)
    }

    /// The `[alert]` table of a configuration's text; the other tables are not looked at.
    ///
    /// # Errors
    /// What is wrong, with line and column.
    pub fn of_text(text: &str) -> Result<Self, String> {
        #[derive(Deserialize)]
        struct File {
            #[serde(default)]
            alert: AlertConfig,
        }
        let alert = toml::from_str::<File>(text)
            .map_err(|error| error.to_string().trim_end().to_owned())?
            .alert;
        let faults: Vec<String> = [
            ("loudness", alert.loudness),
            ("night_loudness", alert.night_loudness),
        ]
        .iter()
        .filter(|(_, percent)| *percent > 100)
        .map(|(key, percent)| format!("[alert] {key} is {percent}; it must lie in 0 to 100"))
        .chain(
            alert
                .speech_command
                .as_ref()
                .filter(|command| command.first().is_none_or(String::is_empty))
                .map(|_| "[alert] speech_command names no program".to_owned()),
        )
        .collect();
        if faults.is_empty() {
            Ok(alert)
        } else {
            Err(faults.join("\n"))
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
            _ => self.sound,
        }
    }
}

fn fault(file: &Path, why: impl fmt::Display) -> ConfigError {
    ConfigError {
        file: file.display().to_string(),
        why: why.to_string(),
    }
}

fn read(file: &Path) -> Result<Option<String>, ConfigError> {
    match fs::metadata(file) {
        Ok(data) if data.len() > LARGEST => return Err(fault(file, "it is larger than 4 MiB")),
        Ok(_) => {}
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(fault(file, error)),
    }
    fs::read_to_string(file)
        .map(Some)
        .map_err(|error| fault(file, error))
}

/// A span of the day, perhaps over midnight: "22:00 to 07:00".
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(try_from = "String")]
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

impl FromStr for Hours {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let parse = |part: &str| Time::strptime("%H:%M", part.trim());
        let ends = text
            .split_once("to")
            .and_then(|(from, to)| Some((parse(from).ok()?, parse(to).ok()?)));
        let (from, to) = ends
            .ok_or_else(|| format!("{text:?} is not a span of the day like \"22:00 to 07:00\""))?;
        Ok(Self { from, to })
    }
}

impl TryFrom<String> for Hours {
    type Error = String;

    fn try_from(text: String) -> Result<Self, String> {
        text.parse()
    }
}

#[cfg(test)]
mod tests {
    use jiff::civil::time;

    use super::*;

    #[test]
    fn the_night_goes_over_midnight() {
        let config = AlertConfig::of_text(
            "[alert]\nnight = \"22:00 to 07:00\"\nloudness = 60\nnight_loudness = 10",
        )
        .unwrap();
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
    fn other_tables_are_left_alone_and_faults_are_named() {
        assert!(AlertConfig::of_text("[theme]\nname = \"x\"").unwrap().sound);
        let unknown = AlertConfig::of_text("[alert]\nlodness = 3").unwrap_err();
        assert!(
            unknown.contains("lodness") && unknown.contains("line 2"),
            "{unknown}"
        );
        let faults =
            AlertConfig::of_text("[alert]\nloudness = 101\nspeech_command = []").unwrap_err();
        assert!(
            faults.contains("loudness is 101") && faults.contains("speech_command"),
            "{faults}"
        );
        assert!(
            AlertConfig::of_text("[alert]\nnight = \"late\"")
                .unwrap_err()
                .contains("22:00 to 07:00")
        );
    }

    #[test]
    fn files_need_not_exist_but_must_be_right() {
        let folder = tempfile::tempdir().unwrap();
        assert!(AlertConfig::in_folder(folder.path()).is_ok());
        fs::write(folder.path().join("sounds.toml"), "[low]\npitch_hz = 1").unwrap();
        let error = AlertConfig::in_folder(folder.path()).unwrap_err();
        assert!(error.file.ends_with("sounds.toml"), "{error}");
    }
}
