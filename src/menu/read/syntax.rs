//! The syntax: bytes to a TOML document that knows where everything stands.

use toml::Spanned;
use toml::de::DeTable;

use super::{Reader, place};
use crate::menu::diagnostic::{At, Diagnostic, Source};

/// How each message about syntax begins.
pub(super) const NOT_TOML: &str = "this is not TOML";

/// A parsed document.
pub(in crate::menu) struct Document<'t> {
    pub source: usize,
    pub table: DeTable<'t>,
}

impl Document<'_> {
    /// The start of the file.
    pub fn at(&self) -> At {
        place(self.source, 0..0)
    }
}

/// The text of a file with its BOM taken off; a file that isn't UTF-8 is reported and gives `None`.
pub(in crate::menu) fn decode(
    reader: &mut Reader,
    name: &str,
    bytes: &[u8],
) -> Option<(usize, String)> {
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    match std::str::from_utf8(bytes) {
        Ok(text) => Some((reader.add(Source::new(name, text)), text.to_owned())),
        Err(error) => {
            let good = error.valid_up_to();
            let source = reader.add(Source::new(name, String::from_utf8_lossy(bytes)));
            reader.push(
                Diagnostic::error(place(source, good..good + 1), "this is not UTF-8 text")
                    .help("save the file as UTF-8"),
            );
            None
        }
    }
}

impl Reader {
    /// Parses a source, as well as it can be; syntax errors are reported, at most one a line.
    pub fn parse<'t>(&mut self, source: usize, text: &'t str) -> Document<'t> {
        let (table, errors) = DeTable::parse_recoverable(text);
        if let Some(shaky) = self.shaky.get_mut(source)
            && !errors.is_empty()
        {
            *shaky = true;
        }
        for error in errors {
            let span = error.span().unwrap_or(0..0);
            let at = place(source, span);
            let file = self.found.sources.get(source);
            let line = file.map_or(1, |file| file.line_of(at.start));
            if !self.broken.insert((source, line)) {
                continue;
            }
            self.push(explain(at, error.message(), text));
        }
        Document {
            source,
            table: Spanned::into_inner(table),
        }
    }
}

/// The parser's words, with what would be right where a cook may not guess it.
fn explain(at: At, message: &str, text: &str) -> Diagnostic {
    let diagnostic = Diagnostic::error(at, format!("{NOT_TOML}: {message}"));
    let line_start = text
        .get(..at.start)
        .and_then(|t| t.rfind('\n'))
        .map_or(0, |n| n + 1);
    let line = text
        .get(line_start..)
        .and_then(|t| t.lines().next())
        .unwrap_or("");
    if message.contains("duplicate key") {
        return diagnostic
            .help("each key once in a table; [[step]] and [[dish]] begin another one");
    }
    match line.split_once('=') {
        Some((_, value)) if value.trim().starts_with(|c: char| c.is_alphanumeric()) => {
            diagnostic.help("texts stand in quotes: takes = \"15 min\"")
        }
        Some((_, value)) if value.matches('"').count() % 2 == 1 => {
            diagnostic.help("a quote is open or missing on this line")
        }
        None if line.trim_start().starts_with('[') => {
            diagnostic.help("tables are begun by [[step]] or [kitchen] alone on a line")
        }
        None => diagnostic.help("a line is 'key = value', a table header, or a comment after #"),
        _ => diagnostic,
    }
}
