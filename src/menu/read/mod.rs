//! Reading: from the text of files to what they say, with every fault collected and every place remembered.

mod dish;
mod fields;
mod kitchen;
mod moment;
mod session;
mod step;
mod syntax;

use std::collections::HashSet;
use std::ops::Range;

use super::diagnostic::{At, Diagnostic, Diagnostics, Source};
use super::text;

pub(super) use dish::{RawDish, dish_file, dish_table, spoken};
pub(super) use fields::Fields;
pub(super) use kitchen::{kitchen_file, kitchen_table};
pub(super) use moment::clock;
pub(super) use session::{KitchenOf, RawSession, session_file};
pub(super) use step::StepPlaces;
pub(super) use syntax::{Document, decode};

/// Names are not longer, in characters.
pub const LONGEST_NAME: usize = 200;
/// Other texts (instructions, notes) are not longer, in characters.
pub const LONGEST_TEXT: usize = 2000;
/// Nothing has more steps.
pub const MOST_STEPS: usize = 5000;

/// A value and where it stands.
#[derive(Clone, Debug)]
pub(super) struct Spot<T> {
    pub value: T,
    pub at: At,
}

/// What reads files and collects their faults.
#[derive(Debug, Default)]
pub(super) struct Reader {
    pub found: Diagnostics,
    /// Sources whose syntax is broken: what seems to be missing there may only be misread.
    shaky: Vec<bool>,
    /// Source and line of each syntax error: what else is said of that line is a consequence.
    broken: HashSet<(usize, usize)>,
    /// How many steps were read so far, over all files.
    pub steps: usize,
}

impl Reader {
    /// All that was found, in order; of a line that is not TOML, that alone.
    pub fn into_found(mut self) -> Diagnostics {
        let (sources, broken) = (&self.found.sources, &self.broken);
        self.found.list.retain(|diagnostic| {
            let at = diagnostic.at;
            let line = sources
                .get(at.source)
                .map_or(0, |file| file.line_of(at.start));
            diagnostic.message.starts_with(syntax::NOT_TOML) || !broken.contains(&(at.source, line))
        });
        self.found.sort();
        self.found
    }

    pub fn add(&mut self, source: Source) -> usize {
        let index = self.found.add_source(source);
        self.shaky.resize(index + 1, false);
        index
    }

    pub fn is_shaky(&self, source: usize) -> bool {
        self.shaky.get(source).copied().unwrap_or(false)
    }

    pub fn push(&mut self, diagnostic: Diagnostic) {
        self.found.push(diagnostic);
    }

    pub fn error(&mut self, at: At, message: impl Into<String>) {
        self.push(Diagnostic::error(at, message));
    }

    /// An error that a broken line elsewhere in the file may have brought about: not told in that case.
    pub fn absence(&mut self, diagnostic: Diagnostic) {
        if !self.is_shaky(diagnostic.at.source) {
            self.push(diagnostic);
        }
    }

    /// "X is not defined", with the nearest of what is.
    pub fn undefined<'a>(
        &mut self,
        at: At,
        message: String,
        name: &str,
        known: impl IntoIterator<Item = &'a str>,
    ) {
        if self.found.is_full() {
            self.found.left_out += 1;
            return;
        }
        let mut diagnostic = Diagnostic::error(at, message);
        if let Some(near) = nearest(name, known) {
            diagnostic = diagnostic.help(format!("did you mean '{near}'?"));
        }
        self.absence(diagnostic);
    }

    /// One line of text, or the fault of it.
    pub fn line(&mut self, raw: &str, at: At, most: usize) -> Option<String> {
        if let Some((_, bad)) = text::fault(raw) {
            let code = u32::from(bad);
            self.push(
                Diagnostic::error(at, format!("a control character (U+{code:04X}) in a text"))
                    .help("take it out: it would be carried out by the terminal, not shown"),
            );
            return None;
        }
        let line = text::clean(raw).into_owned();
        if line.is_empty() {
            self.push(
                Diagnostic::error(at, "an empty text")
                    .help("write something, or leave the key out"),
            );
            return None;
        }
        let length = line.chars().count();
        if length > most {
            self.push(
                Diagnostic::error(at, format!("a text of {length} characters"))
                    .help(format!("at most {most} are allowed here")),
            );
            return None;
        }
        Some(line)
    }
}

/// A place from a span of the parser.
pub(in crate::menu) fn place(source: usize, span: Range<usize>) -> At {
    At {
        source,
        start: span.start,
        end: span.end,
    }
}

/// The known word nearest to `name`, if one is near enough to be meant.
pub(super) fn nearest<'a>(name: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let length = name.chars().count();
    if length > LONGEST_NAME {
        return None;
    }
    let name = name.to_lowercase();
    let far = 1 + length / 4;
    known
        .into_iter()
        .map(|word| {
            let mut distance = strsim::damerau_levenshtein(&name, &word.to_lowercase());
            // "stock pot" for "stockpot", "tray" for "large tray".
            if length >= 3
                && distance > far
                && word
                    .to_lowercase()
                    .split(['-', ' ', '_'])
                    .any(|part| part == name)
            {
                distance = far;
            }
            (distance, word)
        })
        .filter(|(distance, _)| *distance <= far)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, word)| word)
}
