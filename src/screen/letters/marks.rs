//! Letters beyond ASCII in large letters: a letter of the sheet with a mark above or below it, or several letters for one.

/// What stands above a letter, or hangs below it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// Nothing.
    None,
    /// Two dots.
    Diaeresis,
    /// A dot at the right.
    Acute,
    /// A dot at the left.
    Grave,
    /// A short line in the middle.
    Middle,
    /// A line as wide as the letter.
    Line,
    /// Something below the line.
    Below,
}

/// Letters with the same mark, each above its letter without it.
const MARKED: [(&str, &str, Mark); 7] = [
    ("äëöüÿÄËÖÜ", "aeouyAEOU", Mark::Diaeresis),
    (
        "áéóúýńćśźőűÁÉÓÚÝŃĆŚŹŐŰ",
        "aeouyncszouAEOUYNCSZOU",
        Mark::Acute,
    ),
    ("àèòùÀÈÒÙ", "aeouAEOU", Mark::Grave),
    ("âêôûåůżėâÂÊÔÛÅŮŻĖ", "aeouauzeaAEOUAUZE", Mark::Middle),
    (
        "ãõñāēōūčšžřěňăğĀÃÕÑŌŪČŠŽŘĚŇĂĞ",
        "aonaeoucszrenagAAONOUCSZRENAG",
        Mark::Line,
    ),
    ("çşţąęÇŞŢĄĘ", "cstaeCSTAE", Mark::Below),
    ("íìîïīıøłđðÍÌÎÏĪØŁĐÐ", "iiiiiioldaIIIIIOLDD", Mark::None),
];

/// Letters and signs that several stand for, as they are written where there is no other way.
const SPELT: [(char, &str); 22] = [
    ('ß', "ss"),
    ('æ', "ae"),
    ('Æ', "Ae"),
    ('œ', "oe"),
    ('Œ', "Oe"),
    ('þ', "th"),
    ('½', "1/2"),
    ('¼', "1/4"),
    ('¾', "3/4"),
    ('⅓', "1/3"),
    ('⅔', "2/3"),
    ('⅛', "1/8"),
    ('×', "x"),
    ('°', ""),
    ('–', "-"),
    ('—', "-"),
    ('…', "..."),
    ('’', "'"),
    ('‘', "'"),
    ('“', "\""),
    ('”', "\""),
    ('„', "\""),
];

/// Marks that stand alone after their letter (Unicode's combining marks).
fn combining(c: char) -> Option<Mark> {
    Some(match c {
        '\u{308}' => Mark::Diaeresis,
        '\u{301}' | '\u{30b}' => Mark::Acute,
        '\u{300}' => Mark::Grave,
        '\u{302}' | '\u{30a}' | '\u{307}' => Mark::Middle,
        '\u{303}' | '\u{304}' | '\u{306}' | '\u{30c}' => Mark::Line,
        '\u{327}' | '\u{328}' => Mark::Below,
        _ => return None,
    })
}

/// The letters of the sheet that a text is drawn with, each with its mark.
pub fn spelt(words: &str) -> impl Iterator<Item = (char, Mark)> + '_ {
    let mut rest = words.chars().peekable();
    let mut waiting = "".chars();
    std::iter::from_fn(move || {
        loop {
            if let Some(c) = waiting.next() {
                return Some((c, Mark::None));
            }
            let c = rest.next()?;
            let (base, mark) = if c.is_ascii() {
                (c, Mark::None)
            } else if let Some((_, text)) = SPELT.iter().find(|(known, _)| *known == c) {
                waiting = text.chars();
                continue;
            } else {
                marked(c)
            };
            let mark = rest
                .next_if(|c| combining(*c).is_some())
                .and_then(combining)
                .unwrap_or(mark);
            return Some((base, mark));
        }
    })
}

fn marked(c: char) -> (char, Mark) {
    let find = |(with, without, mark): &(&str, &str, Mark)| {
        let at = with.chars().position(|known| known == c)?;
        Some((without.chars().nth(at)?, *mark))
    };
    MARKED.iter().find_map(find).unwrap_or((c, Mark::None))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_marked_letter_has_its_own_below_it() {
        for (with, without, _) in MARKED {
            assert_eq!(with.chars().count(), without.chars().count(), "{with}");
            assert!(without.is_ascii());
        }
        let spelt = |words: &str| spelt(words).map(|(c, _)| c).collect::<String>();
        assert_eq!(spelt("Rösti, ½ süß"), "Rosti, 1/2 suss");
        assert_eq!(
            spelt("cre\u{300}me fraîche, 180 °C"),
            "creme fraiche, 180 C"
        );
        assert_eq!(spelt("蒸す"), "蒸す");
    }
}
