//! What is wrong with a file: where, the line shown, and what would be right.

use std::ops::Range;

use super::text;

mod render;

/// A file that was read, as far as needed to show its lines.
#[derive(Clone, Debug, Default)]
pub struct Source {
    /// As the cook named it.
    pub name: String,
    /// Its text; empty if it could not be read.
    pub text: String,
    /// Where each line starts, in bytes.
    lines: Vec<usize>,
}

/// A place in a source.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct At {
    /// Index of the source.
    pub source: usize,
    /// First byte.
    pub start: usize,
    /// Behind the last byte.
    pub end: usize,
}

/// How bad it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The file can't be used.
    Error,
    /// The file can be used, and is probably not what the cook means.
    Warning,
}

/// One fault or doubt.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnostic {
    /// How bad it is.
    pub severity: Severity,
    /// Where; `None` if it is about a whole file that could not be read.
    pub at: At,
    /// Whether `at` marks a place in the text, not the file as a whole.
    pub placed: bool,
    /// What is wrong, in one line.
    pub message: String,
    /// What stands under the mark.
    pub label: String,
    /// What would be right.
    pub help: Vec<String>,
    /// Other places that explain it, with a word on each.
    pub also: Vec<(At, String)>,
}

impl Diagnostic {
    /// An error at a place.
    pub fn error(at: At, message: impl Into<String>) -> Self {
        Self {
            severity: Severity::Error,
            at,
            placed: true,
            message: text::clean(&message.into()).into_owned(),
            label: String::new(),
            help: Vec::new(),
            also: Vec::new(),
        }
    }

    /// A warning at a place.
    pub fn warning(at: At, message: impl Into<String>) -> Self {
        Self {
            severity: Severity::Warning,
            ..Self::error(at, message)
        }
    }

    /// With a word under the mark.
    pub fn label(mut self, label: impl Into<String>) -> Self {
        self.label = text::clean(&label.into()).into_owned();
        self
    }

    /// With a word on what would be right.
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help.push(text::clean(&help.into()).into_owned());
        self
    }

    /// With another place that explains it.
    pub fn also(mut self, at: At, label: impl Into<String>) -> Self {
        self.also
            .push((at, text::clean(&label.into()).into_owned()));
        self
    }
}

/// All that is wrong with the files of one session (or other file), and the files themselves.
#[derive(Clone, Debug, Default)]
pub struct Diagnostics {
    /// The files, by the index that [`At`] has.
    pub sources: Vec<Source>,
    /// By file and place.
    pub list: Vec<Diagnostic>,
    /// How many more there are than are listed.
    pub left_out: usize,
}

/// No more are listed; a file with more faults is no session file.
const MOST: usize = 100;

impl Source {
    /// A source with its lines found.
    pub fn new(name: impl Into<String>, source: impl Into<String>) -> Self {
        let source = source.into();
        let ends = source.bytes().enumerate().filter(|(_, b)| *b == b'\n');
        let lines = std::iter::once(0)
            .chain(ends.map(|(at, _)| at + 1))
            .collect();
        Self {
            name: text::clean(&name.into()).into_owned(),
            text: source,
            lines,
        }
    }

    /// The line of a byte, from 1.
    pub fn line_of(&self, byte: usize) -> usize {
        self.lines.partition_point(|start| *start <= byte).max(1)
    }

    /// Line and column (in characters) of a byte, both from 1.
    pub fn position(&self, byte: usize) -> (usize, usize) {
        let line = self.line_of(byte);
        let start = self.lines.get(line - 1).copied().unwrap_or(0);
        let before = self
            .text
            .get(start..byte.min(self.text.len()))
            .unwrap_or("");
        (line, before.chars().count() + 1)
    }

    /// The bytes of a line, counted from 1, without its end.
    fn line(&self, line: usize) -> Range<usize> {
        let start = self.lines.get(line.saturating_sub(1)).copied().unwrap_or(0);
        let next = self
            .lines
            .get(line)
            .map_or(self.text.len(), |next| next - 1);
        let text = self.text.get(start..next).unwrap_or("");
        start..start + text.trim_end_matches('\r').len()
    }
}

impl Diagnostics {
    /// Adds a source and gives its index.
    pub fn add_source(&mut self, source: Source) -> usize {
        self.sources.push(source);
        self.sources.len() - 1
    }

    /// Adds one, unless there are too many already.
    pub fn push(&mut self, diagnostic: Diagnostic) {
        if self.is_full() {
            self.left_out += 1;
        } else {
            self.list.push(diagnostic);
        }
    }

    /// Whether more are only counted.
    pub fn is_full(&self) -> bool {
        self.list.len() >= MOST
    }

    /// An error about a whole file.
    pub fn whole_file(name: &str, message: impl Into<String>) -> Self {
        let mut all = Self::default();
        let source = all.add_source(Source::new(name, ""));
        let at = At {
            source,
            ..At::default()
        };
        all.push(Diagnostic {
            placed: false,
            ..Diagnostic::error(at, message)
        });
        all
    }

    /// Whether any is an error.
    pub fn has_errors(&self) -> bool {
        self.left_out > 0 || self.list.iter().any(|d| d.severity == Severity::Error)
    }

    /// File, line and column (from 1) of a diagnostic's place.
    pub fn position(&self, at: At) -> (&str, usize, usize) {
        match self.sources.get(at.source) {
            Some(source) => {
                let (line, column) = source.position(at.start);
                (&source.name, line, column)
            }
            None => ("", 1, 1),
        }
    }

    /// By file and place.
    pub fn sort(&mut self) {
        self.list
            .sort_by(|a, b| (a.at, a.severity, &a.message).cmp(&(b.at, b.severity, &b.message)));
        self.list.dedup();
    }

    /// In a compiler's manner, one after the other, with a count at the end; `colour` with escape sequences.
    pub fn render(&self, colour: bool) -> String {
        render::all(self, colour)
    }

    /// One line each: "file:line:column: error: message".
    pub fn brief(&self) -> String {
        let mut out = String::new();
        for diagnostic in &self.list {
            let (file, line, column) = self.position(diagnostic.at);
            let word = render::word(diagnostic.severity);
            let message = &diagnostic.message;
            if diagnostic.placed {
                out += &format!("{file}:{line}:{column}: {word}: {message}\n");
            } else {
                out += &format!("{file}: {word}: {message}\n");
            }
        }
        out
    }
}

impl std::fmt::Display for Diagnostics {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.render(false))
    }
}

impl std::error::Error for Diagnostics {}
