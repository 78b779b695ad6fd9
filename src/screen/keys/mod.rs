//! The one table of keys: handling, hints on the screen, help and manual are all read from it.

mod chord;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use crossterm::event::KeyEvent;
use serde::Deserialize;

pub use chord::Chord;

use super::Command;

const SHIPPED: &str = include_str!("../../../assets/keys.toml");

/// Which screen a key is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Place {
    /// Every screen.
    All,
    /// A session being cooked.
    Cook,
    /// A log being replayed.
    Replay,
    /// Chooser, plan and review.
    List,
}

impl Place {
    /// Where it is, in a word or two.
    pub fn words(self) -> &'static str {
        match self {
            Place::All => "everywhere",
            Place::Cook => "cooking",
            Place::Replay => "replay",
            Place::List => "lists",
        }
    }

    fn meets(self, other: Place) -> bool {
        self == other || self == Place::All || other == Place::All
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    key: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    command: String,
    keys: Vec<String>,
    #[serde(rename = "where")]
    place: Place,
    #[serde(default)]
    hint: String,
    #[serde(default)]
    help: String,
}

/// The keys of one command.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Binding {
    /// What they do.
    pub command: Command,
    /// The keys.
    pub chords: Vec<Chord>,
    /// On which screens.
    pub place: Place,
    /// A word or two for the foot of the screen.
    pub hint: String,
    /// One line for help; empty: it is told with another.
    pub help: String,
}

/// All keys.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Keys {
    bindings: Vec<Binding>,
}

/// Something wrong with the keys of a configuration.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("keys: {0}")]
pub struct Fault(pub String);

impl Keys {
    /// The keys as shipped.
    pub fn shipped() -> Keys {
        // A test reads the shipped table, so that the fallback is never met.
        Keys::read(SHIPPED).unwrap_or(Keys { bindings: vec![] })
    }

    fn read(text: &str) -> Result<Keys, Vec<Fault>> {
        let file: File = toml::from_str(text).map_err(|e| vec![Fault(e.to_string())])?;
        let mut faults = Vec::new();
        let mut bindings = Vec::new();
        for row in file.key {
            let (chords, bad): (Vec<_>, Vec<_>) =
                row.keys.iter().map(|k| k.parse()).partition(Result::is_ok);
            faults.extend(bad.into_iter().filter_map(Result::err).map(Fault));
            match row.command.parse() {
                Ok(command) => bindings.push(Binding {
                    command,
                    chords: chords.into_iter().flatten().collect(),
                    place: row.place,
                    hint: row.hint,
                    help: row.help,
                }),
                Err(error) => faults.push(Fault(error.to_string())),
            }
        }
        let keys = Keys { bindings };
        faults.extend(keys.conflicts());
        if faults.is_empty() {
            Ok(keys)
        } else {
            Err(faults)
        }
    }

    /// These keys, with the keys of some commands replaced as a configuration says.
    ///
    /// # Errors
    /// All that is wrong: unknown commands with the nearest right word, unknown keys, two commands on one key.
    pub fn patched(mut self, table: &BTreeMap<String, Vec<String>>) -> Result<Keys, Vec<Fault>> {
        let mut faults = Vec::new();
        for (name, keys) in table {
            let mut chords = Vec::new();
            for key in keys {
                match key.parse() {
                    Ok(chord) => chords.push(chord),
                    Err(error) => faults.push(Fault(error)),
                }
            }
            let found: Vec<_> = self
                .bindings
                .iter_mut()
                .filter(|b| b.command.to_string() == *name)
                .collect();
            if found.is_empty() {
                let names: Vec<String> = self
                    .bindings
                    .iter()
                    .map(|b| b.command.to_string())
                    .collect();
                let near = super::theme::nearest(name, names.iter().map(String::as_str));
                faults.push(Fault(format!(
                    "`{name}` is no command; did you mean `{near}`?"
                )));
                continue;
            }
            for binding in found {
                binding.chords.clone_from(&chords);
            }
        }
        faults.extend(self.conflicts());
        if faults.is_empty() {
            Ok(self)
        } else {
            Err(faults)
        }
    }

    fn conflicts(&self) -> Vec<Fault> {
        let mut faults = Vec::new();
        for (i, a) in self.bindings.iter().enumerate() {
            let rest = self.bindings.iter().skip(i + 1);
            for b in rest.filter(|b| a.place.meets(b.place) && a.command != b.command) {
                for chord in a.chords.iter().filter(|c| b.chords.contains(c)) {
                    faults.push(Fault(format!(
                        "`{chord}` is both `{}` and `{}`; give one of them another key",
                        a.command, b.command
                    )));
                }
            }
        }
        faults
    }

    /// What a pressed key means on a screen.
    pub fn command(&self, place: Place, event: &KeyEvent) -> Option<Command> {
        let chord = Chord::pressed(event)?;
        self.bindings
            .iter()
            .find(|b| b.place.meets(place) && b.chords.contains(&chord))
            .map(|b| b.command.clone())
    }

    /// The first key of a command, to be shown; `None` if it has none.
    pub fn label(&self, place: Place, command: &Command) -> Option<String> {
        self.bindings
            .iter()
            .find(|b| b.place.meets(place) && b.command == *command)
            .and_then(|b| b.chords.first())
            .map(ToString::to_string)
    }

    /// The hint of a command: its key and a word or two.
    pub fn hint(&self, place: Place, command: &Command) -> Option<(String, &str)> {
        let binding = self
            .bindings
            .iter()
            .find(|b| b.place.meets(place) && b.command == *command)?;
        Some((binding.chords.first()?.to_string(), &binding.hint))
    }

    /// The lines of help for a screen: keys, and what they do.
    pub fn help(&self, place: Place) -> Vec<(String, &str)> {
        // What is of this screen alone comes first.
        let own = self.bindings.iter().filter(|b| b.place != Place::All);
        let every = self.bindings.iter().filter(|b| b.place == Place::All);
        own.chain(every)
            .filter(|b| b.place.meets(place) && !b.help.is_empty())
            .map(|b| {
                let keys: Vec<String> = b.chords.iter().map(ToString::to_string).collect();
                (keys.join(" "), b.help.as_str())
            })
            .collect()
    }

    /// The table as the README prints it.
    pub fn markdown(&self) -> String {
        let mut out = "| where | keys | what they do |\n|---|---|---|\n".to_owned();
        for binding in self.table() {
            let keys: Vec<String> = binding.chords.iter().map(|c| format!("`{c}`")).collect();
            let (place, help) = (binding.place.words(), &binding.help);
            out += &format!("| {place} | {} | {help} |\n", keys.join(" "));
        }
        out
    }

    /// The keys that have a line of help, in the order of the table.
    pub fn table(&self) -> impl Iterator<Item = &Binding> {
        self.bindings.iter().filter(|b| !b.help.is_empty())
    }

    /// The key that means a command, as an event: for tests and for typed scripts of keys.
    pub fn event(&self, place: Place, command: &Command) -> Option<KeyEvent> {
        self.bindings
            .iter()
            .find(|b| b.place.meets(place) && b.command == *command)
            .and_then(|b| b.chords.first())
            .map(|chord| chord.event())
    }
}
