//! Diagnostics drawn with the lines they are about.

use annotate_snippets::{Annotation, AnnotationKind, Group, Level, Renderer, Snippet};

use super::{At, Diagnostic, Diagnostics, Severity, Source};
use crate::menu::text;

/// A longer line is shown in part.
const WIDEST: usize = 600;

pub(super) fn word(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
    }
}

pub(super) fn all(all: &Diagnostics, colour: bool) -> String {
    let renderer = if colour {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    let mut out = String::new();
    for diagnostic in &all.list {
        out += &one(all, diagnostic, &renderer);
        out += "\n\n";
    }
    out += &summary(all);
    out
}

fn summary(all: &Diagnostics) -> String {
    let count = |severity| all.list.iter().filter(|d| d.severity == severity).count();
    let told = |count: usize, word: &str| match count {
        0 => None,
        1 => Some(format!("1 {word}")),
        _ => Some(format!("{count} {word}s")),
    };
    let mut parts: Vec<String> = [
        told(count(Severity::Error), "error"),
        told(count(Severity::Warning), "warning"),
    ]
    .into_iter()
    .flatten()
    .collect();
    if all.left_out > 0 {
        parts.push(format!("{} more not shown", all.left_out));
    }
    if parts.is_empty() {
        return String::new();
    }
    format!("{}\n", parts.join(", "))
}

fn one(all: &Diagnostics, diagnostic: &Diagnostic, renderer: &Renderer) -> String {
    let level = match diagnostic.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
    };
    let file = all.sources.get(diagnostic.at.source);
    let title = match file {
        Some(file) if !diagnostic.placed => format!("{}: {}", file.name, diagnostic.message),
        _ => diagnostic.message.clone(),
    };
    let mut group = Group::with_title(level.primary_title(title));
    if let Some(file) = file.filter(|_| diagnostic.placed) {
        group = group.element(snippet(file, diagnostic.at, &diagnostic.label, true));
        for (at, label) in &diagnostic.also {
            if let Some(other) = all.sources.get(at.source) {
                group = group.element(snippet(other, *at, label, false));
            }
        }
    }
    for help in &diagnostic.help {
        group = group.element(Level::HELP.message(help.clone()));
    }
    renderer.render(&[group])
}

/// The line of a place, or the part of it around the place if it is very long.
fn snippet<'a>(
    file: &'a Source,
    at: At,
    label: &'a str,
    primary: bool,
) -> Snippet<'a, Annotation<'a>> {
    let (line, _) = file.position(at.start);
    let whole = file.line(line);
    let start = at.start.clamp(whole.start, whole.end);
    let end = at.end.clamp(start, whole.end);
    let (from, to) = if whole.len() <= WIDEST {
        (whole.start, whole.end)
    } else {
        let from = start.saturating_sub(WIDEST / 2).max(whole.start);
        let to = (start + WIDEST / 2).min(whole.end);
        (window_edge(&file.text, from), window_edge(&file.text, to))
    };
    let shown = text::masked(file.text.get(from..to).unwrap_or(""));
    // The parser of the file counts bytes: its place may end within a character.
    let shown_to = |byte: usize| window_edge(&file.text, byte.clamp(from, to)) - from;
    let span = shown_to(start)..shown_to(end);
    let kind = if primary {
        AnnotationKind::Primary
    } else {
        AnnotationKind::Context
    };
    let mut annotation = kind.span(span);
    if !label.is_empty() {
        annotation = annotation.label(label);
    }
    Snippet::source(shown)
        .line_start(line)
        .path(file.name.as_str())
        .annotation(annotation)
}

/// The nearest boundary of a character at or before `byte`.
fn window_edge(text: &str, byte: usize) -> usize {
    (0..=byte.min(text.len()))
        .rev()
        .find(|at| text.is_char_boundary(*at))
        .unwrap_or(0)
}
