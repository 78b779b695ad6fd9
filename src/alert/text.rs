//! Text that is safe to hand to a terminal, a notification server or a voice.

/// The most characters that are announced.
const LIMIT: usize = 200;

/// The text without control characters, in one line, at most 200 characters.
///
/// C0, DEL and C1 go, and so do the characters that reverse or hide text. Line breaks and tabs become spaces. A leading
/// hyphen goes too: no command takes the text for an option.
pub fn tame(text: &str) -> String {
    let spaced = text.chars().map(|letter| match letter {
        '\n' | '\r' | '\t' | '\u{2028}' | '\u{2029}' => ' ',
        other => other,
    });
    let kept: String = spaced.filter(|&letter| !dangerous(letter)).collect();
    let words = kept.split_whitespace().collect::<Vec<_>>().join(" ");
    words
        .trim_start_matches(['-', ' '])
        .chars()
        .take(LIMIT)
        .collect()
}

/// Controls, and what changes the direction of text or can't be seen.
fn dangerous(letter: char) -> bool {
    letter.is_control()
        || matches!(letter, '\u{200b}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}')
}

#[cfg(test)]
mod tests {
    use super::tame;

    /// Security practice (no formal source): escape, bell, C0, C1 and line breaks never reach a terminal sequence.
    #[test]
    fn nothing_that_controls_a_terminal_is_left() {
        let nasty: String = ('\0'..='\u{ff}')
            .chain("\u{202e}\u{2066}\u{2028}ab".chars())
            .collect();
        let tamed = tame(&nasty);
        assert!(!tamed.chars().any(char::is_control), "{tamed:?}");
        assert!(!tamed.contains(['\u{202e}', '\u{2066}', '\u{2028}']));
        assert!(tamed.ends_with("ab"));
    }

    #[test]
    fn a_text_is_one_line_and_not_an_option() {
        assert_eq!(
            tame("  --pipe\r\nTurn  down\tthe oven "),
            "pipe Turn down the oven"
        );
        assert_eq!(tame("\x1b]9;x\x07"), "]9;x");
        assert_eq!(tame(&"ü".repeat(1000)).chars().count(), 200);
    }

    #[test]
    fn ordinary_text_stays_as_it_is() {
        let text = "Crème brûlée: 190 °C, jetzt (½ h)";
        assert_eq!(tame(text), text);
    }
}
