//! The user's config.toml. The sample that is shipped is complete, and is where the defaults are written.

use std::collections::BTreeMap;
use std::path::PathBuf;

use jiff::civil::Time;
use toml::de::DeValue;

use super::diagnostic::{Diagnostic, Diagnostics};
use super::files::read_bounded;
use super::keys::{ALERT, CONFIG};
use super::lookup::Lookup;
use super::read::{self, Document, Fields, LONGEST_NAME, Reader, clock};
use crate::measure::units::Units;
use crate::measure::{Ratio, hours::ClockFormat};

/// The sample, complete and commented.
pub const SAMPLE: &str = include_str!("../../assets/config.toml");

/// How the user likes it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Config {
    /// Clock times of 12 hours; else of 24.
    pub twelve_hours: bool,
    /// What stands beside the author's amounts.
    pub units: Units,
    /// The colours.
    pub theme: Theme,
    /// Seconds of warning before a step ends, for steps that don't say; 0 for none.
    pub lead: Ratio,
    /// Seconds without a key after which the glance view comes by itself; 0 for never.
    pub glance_after: Ratio,
    /// Whether the mouse is the program's.
    pub mouse: bool,
    /// Whether plans use the lengths of former sessions.
    pub learn: bool,
    /// What calls the cook.
    pub alert: Alert,
    /// Keys by command; which commands and keys there are, the screen knows.
    pub keys: BTreeMap<String, Vec<String>>,
}

/// Where colours come from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Theme {
    /// The terminal is asked.
    Auto,
    /// For a dark ground.
    Dark,
    /// For a light ground.
    Light,
    /// A theme file.
    File(PathBuf),
}

/// What calls the cook.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Alert {
    /// Tones.
    pub sound: bool,
    /// Percent.
    pub loudness: u32,
    /// From, to: quieter, and nothing is spoken. May pass midnight.
    pub night: Option<(Time, Time)>,
    /// Percent, at night.
    pub night_loudness: u32,
    /// Desktop notifications.
    pub notification: bool,
    /// The voice.
    pub speech: bool,
    /// The program that speaks and its arguments; empty: the system's.
    pub speech_command: Vec<String>,
}

impl Default for Config {
    /// As the sample says.
    fn default() -> Self {
        let mut reader = Reader::default();
        let mut config = Self::blank();
        let document = source(&mut reader, "config.toml", SAMPLE.as_bytes());
        if let Some((source, text)) = document {
            let document = reader.parse(source, &text);
            patch(&mut reader, &document, &mut config);
        }
        config
    }
}

impl Config {
    /// How clock times are read.
    pub fn hours(&self) -> ClockFormat {
        match self.twelve_hours {
            true => ClockFormat::H12,
            false => ClockFormat::H24,
        }
    }

    /// Every value is replaced by the sample's.
    fn blank() -> Self {
        Self {
            twelve_hours: false,
            units: Units::Author,
            theme: Theme::Auto,
            lead: Ratio::default(),
            glance_after: Ratio::default(),
            mouse: false,
            learn: false,
            alert: Alert {
                sound: false,
                loudness: 0,
                night: None,
                night_loudness: 0,
                notification: false,
                speech: false,
                speech_command: Vec::new(),
            },
            keys: BTreeMap::new(),
        }
    }

    /// Reads a config: the sample, patched by what the text says.
    ///
    /// # Errors
    /// Everything that is wrong with it.
    pub fn read(name: &str, bytes: &[u8]) -> Result<Self, Diagnostics> {
        let mut reader = Reader::default();
        let mut config = Self::default();
        if let Some((source, text)) = source(&mut reader, name, bytes) {
            let document = reader.parse(source, &text);
            patch(&mut reader, &document, &mut config);
        }
        let found = reader.into_found();
        if found.has_errors() {
            Err(found)
        } else {
            Ok(config)
        }
    }

    /// The user's own, or the sample if there is none.
    ///
    /// # Errors
    /// Everything that is wrong with it.
    pub fn of_the_user(lookup: &Lookup) -> Result<Self, Diagnostics> {
        let Some(path) = lookup
            .config
            .as_ref()
            .map(|folder| folder.join("config.toml"))
        else {
            return Ok(Self::default());
        };
        if !path.exists() {
            return Ok(Self::default());
        }
        let name = path.display().to_string();
        let bytes = read_bounded(&path)
            .map_err(|why| Diagnostics::whole_file(&name, format!("can't be read: {why}")))?;
        Self::read(&name, &bytes)
    }
}

fn source(reader: &mut Reader, name: &str, bytes: &[u8]) -> Option<(usize, String)> {
    read::decode(reader, name, bytes)
}

fn patch(reader: &mut Reader, document: &Document, config: &mut Config) {
    let fields = reader.open(&CONFIG, &document.table, document.at());
    if let Some(clock) = fields.choice(reader, "clock") {
        config.twelve_hours = clock == "12 h";
    }
    if let Some(units) = fields.choice(reader, "units") {
        config.units = match units {
            "metric" => Units::Metric,
            "us" => Units::Us,
            "both" => Units::Both,
            _ => Units::Author,
        };
    }
    if let Some(theme) = fields.text(reader, "theme") {
        config.theme = match theme.value.as_str() {
            "auto" => Theme::Auto,
            "dark" => Theme::Dark,
            "light" => Theme::Light,
            path => Theme::File(path.into()),
        };
    }
    set(&mut config.lead, fields.seconds(reader, "lead"));
    set(
        &mut config.glance_after,
        fields.seconds(reader, "glance_after"),
    );
    set(&mut config.mouse, fields.flag(reader, "mouse"));
    set(&mut config.learn, fields.flag(reader, "learn"));
    if let Some((entries, at)) = fields.table(reader, "alert") {
        let fields = reader.open(&ALERT, entries, at);
        alert(reader, &fields, &mut config.alert);
    }
    keys(reader, &fields, &mut config.keys);
}

fn alert(reader: &mut Reader, fields: &Fields, alert: &mut Alert) {
    set(&mut alert.sound, fields.flag(reader, "sound"));
    set(&mut alert.loudness, fields.count(reader, "loudness"));
    set(
        &mut alert.night_loudness,
        fields.count(reader, "night_loudness"),
    );
    set(&mut alert.notification, fields.flag(reader, "notification"));
    set(&mut alert.speech, fields.flag(reader, "speech"));
    if matches!(fields.raw(reader, "night"), Some(text) if text.value.is_empty()) {
        alert.night = None;
    } else if fields
        .value("night")
        .is_some_and(|value| value.get_ref().as_str().is_some())
    {
        let hours = |text: &str| {
            let (from, to) = text.split_once(" to ").or_else(|| text.split_once('-'))?;
            Some((clock(from.trim())?, clock(to.trim())?))
        };
        let read = |text: &str| {
            hours(text).ok_or_else(|| format!("'{text}' are no hours: write \"22:00 to 07:00\""))
        };
        if let Some(night) = fields.parsed(reader, "night", read) {
            alert.night = Some(night.value);
        }
    }
    if let Some(command) = fields.names(reader, "speech_command") {
        alert.speech_command = command.into_iter().map(|word| word.value).collect();
    }
}

fn keys(reader: &mut Reader, fields: &Fields, keys: &mut BTreeMap<String, Vec<String>>) {
    let Some((entries, at)) = fields.table(reader, "keys") else {
        return;
    };
    for (command, value) in entries.iter() {
        let at = read::place(at.source, value.span());
        let texts: Option<Vec<&str>> = match value.get_ref() {
            DeValue::String(text) => Some(vec![text.as_ref()]),
            DeValue::Array(list) => list.iter().map(|entry| entry.get_ref().as_str()).collect(),
            _ => None,
        };
        let Some(texts) = texts else {
            reader.push(
                Diagnostic::error(at, format!("'{}' is not given a key", command.get_ref()))
                    .help("write one key, \"d\", or several, [\"d\", \"Backspace\"]"),
            );
            continue;
        };
        let lines = texts
            .into_iter()
            .filter_map(|text| reader.line(text, at, LONGEST_NAME))
            .collect();
        keys.insert(super::text::clean(command.get_ref()).into_owned(), lines);
    }
}

fn set<T>(place: &mut T, value: Option<T>) {
    if let Some(value) = value {
        *place = value;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sample_is_complete_and_sound() {
        let config = Config::read("config.toml", SAMPLE.as_bytes()).unwrap();
        assert_eq!(config, Config::default());
        // Each key is there, or as a comment where the default is that it isn't.
        let has = |name: &str| {
            let line = |l: &str| l.trim_start_matches("# ").starts_with(name);
            SAMPLE
                .lines()
                .any(|l| line(l) && (l.contains('=') || l.starts_with('[')))
                || SAMPLE.contains(&format!("[{name}]"))
        };
        for key in CONFIG.keys.iter().chain(ALERT.keys) {
            assert!(has(key.name), "{}", key.name);
        }
        assert!(config.mouse && config.learn && config.alert.sound);
        assert_eq!(config.lead, Ratio::from_integer(60));
    }

    #[test]
    fn a_config_patches_the_sample() {
        let text = "clock = '12 h'\nglance_after = '3 min'\n[alert]\nnight = '22:00 to 07:00'\n[keys]\ndone = ['d', 'x']\nundo = 'u'\n";
        let config = Config::read("config.toml", text.as_bytes()).unwrap();
        assert!(config.twelve_hours && config.mouse);
        assert_eq!(config.glance_after, Ratio::from_integer(180));
        assert_eq!(
            config.alert.night,
            Some((Time::constant(22, 0, 0, 0), Time::constant(7, 0, 0, 0)))
        );
        assert_eq!(config.alert.loudness, 80);
        assert_eq!(config.keys["done"], ["d", "x"]);
        assert_eq!(config.keys["undo"], ["u"]);
    }

    #[test]
    fn every_fault_is_told() {
        let text = "clok = '12 h'\nunits = 'imperial'\nmouse = 1\nlead = 'soon'\n[alert]\nloudness = 101\nnight = 'late'\n";
        let found = Config::read("config.toml", text.as_bytes()).unwrap_err();
        let lines: Vec<usize> = found.list.iter().map(|d| found.position(d.at).1).collect();
        assert_eq!(lines, [1, 2, 3, 4, 6, 7], "{found}");
        assert!(found.to_string().contains("did you mean 'clock'?"));
    }
}
