//! Theme files: the shipped ones, and the user's `theme.toml` that patches them.

use std::str::FromStr;

use ratatui::style::{Color, Modifier};
use toml::{Table, Value};

use super::{Ink, Meaning, Theme};

const SHIPPED: [(&str, &str); 5] = [
    ("dark", include_str!("../../../assets/themes/dark.toml")),
    ("light", include_str!("../../../assets/themes/light.toml")),
    (
        "sixteen-dark",
        include_str!("../../../assets/themes/sixteen-dark.toml"),
    ),
    (
        "sixteen-light",
        include_str!("../../../assets/themes/sixteen-light.toml"),
    ),
    ("none", include_str!("../../../assets/themes/none.toml")),
];

/// The names of the shipped themes.
pub fn themes() -> [&'static str; 5] {
    SHIPPED.map(|(name, _)| name)
}

/// Something wrong in a theme file.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("theme: {0}")]
pub struct Fault(pub String);

/// A shipped theme; one without colours if there is none of that name.
pub(super) fn shipped(name: &str) -> Theme {
    let empty = Theme {
        name: name.to_owned(),
        inks: Default::default(),
    };
    let text = SHIPPED.iter().find(|(n, _)| *n == name).map(|(_, t)| *t);
    // A test reads every shipped file, so that the fallback is never met.
    text.and_then(|text| Table::from_str(text).ok())
        .and_then(|table| patch(empty.clone(), &table).ok())
        .unwrap_or(empty)
}

impl Theme {
    /// The shipped theme of this name.
    ///
    /// # Errors
    /// A name that isn't shipped, with the nearest that is.
    pub fn named(name: &str) -> Result<Theme, Fault> {
        if themes().contains(&name) {
            return Ok(shipped(name));
        }
        let near = nearest(name, themes().into_iter());
        Err(Fault(format!(
            "no theme is called `{name}`; did you mean `{near}`?"
        )))
    }

    /// This theme, patched by the user's `theme.toml`: one table a theme, one key a meaning.
    ///
    /// # Errors
    /// All that is wrong in the file: bad TOML, unknown tables or keys with the nearest right word, bad colours.
    pub fn patched(self, text: &str) -> Result<Theme, Vec<Fault>> {
        let file = Table::from_str(text).map_err(|e| vec![Fault(e.to_string())])?;
        let mut faults: Vec<Fault> = file
            .keys()
            .filter(|key| !themes().contains(&key.as_str()))
            .map(|key| {
                let near = nearest(key, themes().into_iter());
                Fault(format!("`[{key}]` is no theme; did you mean `[{near}]`?"))
            })
            .collect();
        let mut theme = self.clone();
        for (name, value) in file.iter().filter(|(k, _)| themes().contains(&k.as_str())) {
            match value.as_table().map(|table| patch(shipped(name), table)) {
                None => faults.push(Fault(format!("`{name}` must be a table"))),
                Some(Err(more)) => faults.extend(more),
                Some(Ok(_)) if *name != self.name => {}
                Some(Ok(patched)) => theme = patched,
            }
        }
        if faults.is_empty() {
            Ok(theme)
        } else {
            Err(faults)
        }
    }
}

fn patch(mut theme: Theme, table: &Table) -> Result<Theme, Vec<Fault>> {
    let mut faults = Vec::new();
    for (key, value) in table {
        let Some(meaning) = Meaning::ALL.into_iter().find(|m| m.name() == key) else {
            let near = nearest(key, Meaning::ALL.into_iter().map(Meaning::name));
            faults.push(Fault(format!(
                "unknown key `{key}`; did you mean `{near}`?"
            )));
            continue;
        };
        match ink(key, value) {
            Ok(ink) => {
                if let Some(slot) = theme.inks.get_mut(meaning.index()) {
                    *slot = ink;
                }
            }
            Err(fault) => faults.push(fault),
        }
    }
    if faults.is_empty() {
        Ok(theme)
    } else {
        Err(faults)
    }
}

fn ink(key: &str, value: &Value) -> Result<Ink, Fault> {
    let mut ink = Ink::default();
    match value {
        Value::String(text) if matches!(key, "ground" | "raised" | "chosen") => {
            ink.bg = color(key, text)?;
        }
        Value::String(text) => ink.fg = color(key, text)?,
        Value::Table(table) => {
            for (part, value) in table {
                match (part.as_str(), value) {
                    ("fg", Value::String(text)) => ink.fg = color(key, text)?,
                    ("bg", Value::String(text)) => ink.bg = color(key, text)?,
                    ("bold", Value::Boolean(on)) => ink.shape.set(Modifier::BOLD, *on),
                    ("dim", Value::Boolean(on)) => ink.shape.set(Modifier::DIM, *on),
                    ("italic", Value::Boolean(on)) => ink.shape.set(Modifier::ITALIC, *on),
                    ("underline", Value::Boolean(on)) => ink.shape.set(Modifier::UNDERLINED, *on),
                    ("reverse", Value::Boolean(on)) => ink.shape.set(Modifier::REVERSED, *on),
                    _ => {
                        let words = "fg, bg (colours), bold, dim, italic, underline, reverse (true or false)";
                        return Err(Fault(format!("`{key}.{part}`: expected {words}")));
                    }
                }
            }
        }
        _ => {
            return Err(Fault(format!(
                "`{key}`: expected a colour, or a table with fg, bg and bold"
            )));
        }
    }
    Ok(ink)
}

/// "#rrggbb", a name of the sixteen, an index, or "terminal" for the terminal's own.
fn color(key: &str, text: &str) -> Result<Option<Color>, Fault> {
    if text == "terminal" {
        return Ok(None);
    }
    Color::from_str(text).map(Some).map_err(|_| {
        let right = "\"#rrggbb\", a colour name such as \"light-red\", 0 to 255, or \"terminal\"";
        Fault(format!("`{key}`: `{text}` is no colour; expected {right}"))
    })
}

/// The word most like `word`.
pub(crate) fn nearest<'a>(word: &str, right: impl Iterator<Item = &'a str>) -> &'a str {
    right
        .max_by(|a, b| strsim::jaro_winkler(word, a).total_cmp(&strsim::jaro_winkler(word, b)))
        .unwrap_or("")
}
