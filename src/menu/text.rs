//! Text that is safe to show: what a file says never moves the cursor, rings, or hides what follows.

use std::borrow::Cow;

/// Whether a character may not reach a terminal, a notification or an exported file: control characters
/// (C0, DEL, C1) and the marks that override the direction of text.
pub fn is_unsafe(character: char) -> bool {
    character.is_control()
        || matches!(character, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' | '\u{2028}' | '\u{2029}')
}

/// The first unsafe character that is not mere white space (tab, line end), and where it is.
pub fn fault(text: &str) -> Option<(usize, char)> {
    text.char_indices()
        .find(|(_, c)| is_unsafe(*c) && !matches!(c, '\t' | '\n' | '\r'))
}

/// The text on one line, trimmed, with runs of white space made one space and unsafe characters left out.
pub fn clean(text: &str) -> Cow<'_, str> {
    let tidy = !text.starts_with(' ')
        && !text.ends_with(' ')
        && !text.contains("  ")
        && !text.chars().any(is_unsafe);
    if tidy {
        return Cow::Borrowed(text);
    }
    let spaced: String = text
        .chars()
        .map(|c| {
            if matches!(c, '\t' | '\n' | '\r' | '\u{2028}' | '\u{2029}') {
                ' '
            } else {
                c
            }
        })
        .filter(|c| !is_unsafe(*c))
        .collect();
    Cow::Owned(spaced.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// The text with each byte of an unsafe character replaced by '?', so that positions stay true; line ends stay.
pub(super) fn masked(text: &str) -> Cow<'_, str> {
    let shown = |c: char| !is_unsafe(c) || c == '\n' || c == '\t';
    if text.chars().all(shown) {
        return Cow::Borrowed(text);
    }
    let mut masked = String::with_capacity(text.len());
    for c in text.chars() {
        if shown(c) {
            masked.push(c);
        } else {
            masked.extend(std::iter::repeat_n('?', c.len_utf8()));
        }
    }
    Cow::Owned(masked)
}

/// A longer line of a message is cut: a file may be one line.
const WIDEST: usize = 600;

/// Any message, as it may reach a terminal: what would move the cursor is masked, and no line is endless.
pub fn message(message: &str) -> String {
    let line = |line: &str| match line.char_indices().nth(WIDEST) {
        Some((end, _)) => format!("{}...", line.get(..end).unwrap_or(line)),
        None => line.to_owned(),
    };
    let lines: Vec<String> = message.split('\n').map(line).collect();
    masked(&lines.join("\n")).into_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_message_keeps_its_lines_and_nothing_else_that_moves_a_cursor() {
        assert_eq!(message("a\u{1b}[2J\nb\r"), "a?[2J\nb?");
        let cut = message(&"x".repeat(5_000_000));
        assert_eq!(cut.len(), WIDEST + 3);
    }

    #[test]
    fn nothing_unsafe_passes() {
        assert_eq!(clean("a\u{1b}[31mb\u{7}\u{9b}c"), "a[31mbc");
        assert_eq!(clean("  two\n  lines\t "), "two lines");
        assert_eq!(clean("right\u{202E}left"), "rightleft");
        assert_eq!(clean("crème brûlée"), "crème brûlée");
        assert_eq!(fault("ok\nline"), None);
        assert_eq!(fault("ok\u{1b}"), Some((2, '\u{1b}')));
        assert_eq!(masked("a\u{9b}b"), "a??b");
    }

    proptest::proptest! {
        #[test]
        fn clean_is_safe_and_settled(text in "\\PC*|.*|[\\x00-\\x9f]*") {
            let once = clean(&text).into_owned();
            proptest::prop_assert!(!once.chars().any(is_unsafe));
            proptest::prop_assert_eq!(&clean(&once), &once);
            proptest::prop_assert_eq!(masked(&text).len(), text.len());
        }
    }
}
