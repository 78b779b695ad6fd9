//! How the words of the focus are arranged: as large as there is room for, leaner when there is less.

use crate::{
    live::Board,
    screen::{letters, panes::calls, text, time::Clock},
};

/// One arrangement of the words.
#[derive(Debug)]
pub struct Words {
    /// Lines in large letters.
    pub big: Vec<String>,
    /// Size of the large letters.
    pub size: u16,
    /// What of the sentence isn't in large letters.
    pub plain: Vec<String>,
    /// Amounts.
    pub amounts: Vec<String>,
    /// Cue, cautions, cookware.
    pub asides: Vec<(String, Aside)>,
    /// Other calls.
    pub others: Vec<String>,
    /// Empty rows below the subject.
    pub above: u16,
    /// Empty rows above the keys.
    pub below: u16,
}

/// What is said beside the sentence.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Aside {
    /// Until when, in what the cook sees.
    Cue,
    /// Cookware.
    Needs,
    /// What may hurt.
    Caution,
}

impl Words {
    /// Rows that it takes, with the subject above and the keys below.
    pub fn rows(&self) -> u16 {
        let big = self.big.len() * usize::from(letters::height(self.size));
        let rest = self.plain.len() + self.amounts.len() + self.asides.len() + self.others.len();
        let all = 2 + big + rest + usize::from(self.above + self.below);
        u16::try_from(all).unwrap_or(u16::MAX)
    }
}

/// How the words may be arranged.
#[derive(Clone, Copy)]
struct Shape {
    /// Lines of large letters.
    big: usize,
    /// Their size.
    size: u16,
    /// Empty rows below the subject.
    above: u16,
    /// Empty rows above the keys.
    below: u16,
    /// Cookware is told too.
    needs: bool,
}

const fn shape(big: usize, size: u16, (above, below): (u16, u16), needs: bool) -> Shape {
    Shape {
        big,
        size,
        above,
        below,
        needs,
    }
}

/// From the richest to the leanest.
const SHAPES: [Shape; 13] = [
    shape(2, 2, (1, 1), true),
    shape(3, 1, (1, 1), true),
    shape(2, 1, (1, 1), true),
    shape(2, 1, (1, 0), true),
    shape(2, 1, (1, 0), false),
    shape(2, 1, (0, 0), false),
    shape(1, 1, (1, 1), true),
    shape(1, 1, (1, 0), true),
    shape(1, 1, (0, 0), true),
    shape(1, 1, (0, 0), false),
    shape(0, 1, (1, 1), true),
    shape(0, 1, (0, 0), true),
    LEAN,
];

/// The least that can be said.
const LEAN: Shape = shape(0, 1, (0, 0), false);

/// Columns of the big time at the band's right edge; none where the band is narrow.
pub fn time_columns(width: u16) -> u16 {
    match width {
        ..96 => 0,
        96..180 => 16,
        _ => 34,
    }
}

/// The columns inside the band that words may take.
pub fn columns(width: u16) -> u16 {
    let time = time_columns(width);
    let gap = if time > 0 { 3 } else { 0 };
    width.saturating_sub(5 + time + gap)
}

/// The richest arrangement that fits.
pub fn choose(board: &Board, clock: &Clock, width: u16, height: u16) -> Words {
    let fits = SHAPES
        .iter()
        .filter(|shape| shape.big == 0 || (height >= 8 && width >= 60))
        // Letters of the second size, and three lines, are for terminals where they leave room for the rest.
        .filter(|shape| shape.size < 2 || (height >= 20 && width >= 180))
        .filter(|shape| shape.big < 3 || height >= 18)
        .map(|shape| arrange(board, clock, width, *shape))
        .find(|words| words.rows() <= height);
    fits.unwrap_or_else(|| arrange(board, clock, width, LEAN))
}

fn arrange(board: &Board, clock: &Clock, width: u16, shape: Shape) -> Words {
    let focus = &board.focus;
    let room = columns(width);
    let columns = usize::from(room);
    let (head, rest) = headline(&focus.sentence, room / shape.size.max(1), shape.big);
    let mut asides: Vec<(String, Aside)> = Vec::new();
    let mut aside = |words: String, kind: Aside| {
        asides.extend(text::wrap(&words, columns).into_iter().map(|l| (l, kind)));
    };
    if let Some(cue) = &focus.cue {
        aside(cue_words(cue), Aside::Cue);
    }
    for caution in &focus.cautions {
        aside(format!("Mind: {caution}"), Aside::Caution);
    }
    if !focus.needs.is_empty() && shape.needs {
        aside(format!("with {}", focus.needs.join(", ")), Aside::Needs);
    }
    Words {
        big: head,
        size: shape.size,
        plain: text::wrap(&rest, columns),
        amounts: text::wrap(&focus.amounts.join(",  "), columns),
        asides,
        others: calls::others(board, clock),
        above: shape.above,
        below: shape.below,
    }
}

/// A cue reads "until ...", whether it was written so or not.
pub fn cue_words(cue: &str) -> String {
    if cue.starts_with("until ") {
        cue.to_owned()
    } else {
        format!("until {cue}")
    }
}

/// The part of a sentence that so many large lines hold, and the rest; broken at a comma if that is needed.
fn headline(sentence: &str, columns: u16, lines: usize) -> (Vec<String>, String) {
    if lines == 0 || columns < 40 || !letters::has(sentence) {
        return (vec![], sentence.to_owned());
    }
    let Some(mut wrapped) = letters::wrap(sentence, columns) else {
        return (vec![], sentence.to_owned());
    };
    if wrapped.len() <= lines {
        return (wrapped, String::new());
    }
    if let Some((head, rest)) = sentence.split_once(", ")
        && let Some(head) =
            letters::wrap(&format!("{head},"), columns).filter(|head| head.len() <= lines)
    {
        return (head, rest.to_owned());
    }
    let rest = wrapped.split_off(lines).join(" ");
    (wrapped, rest)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_headline_breaks_at_a_comma_rather_than_in_a_clause() {
        let (head, rest) = headline("Roast on the middle rack, breast up", 75, 2);
        assert_eq!((head.len(), rest.as_str()), (2, "breast up"));
        let (head, rest) = headline("Turn the oven down to 190 C", 100, 2);
        assert_eq!((head.len(), rest.as_str()), (2, ""));
        let (head, rest) = headline("Turn the oven down to 190 C", 72, 1);
        assert_eq!(head.join(" ") + " " + &rest, "Turn the oven down to 190 C");
        assert_eq!(headline("R\u{f6}sten", 100, 2).1, "R\u{f6}sten");
    }
}
