//! How the words of the focus are arranged: as large as there is room for, leaner when there is less.

use crate::{
    live::Board,
    screen::{
        letters,
        panes::calls,
        text::{self, POINTS},
        time::Clock,
    },
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
        let lines = self.plain.len() + self.amounts.len() + self.asides.len() + self.others.len();
        rows(self.big.len(), self.size, lines, (self.above, self.below))
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
    // Wider than a blank between large words, so that the time reads as one of its own.
    let gap = if time > 0 { 5 } else { 0 };
    width.saturating_sub(5 + time + gap)
}

/// Rows that all that there is to say takes without large letters.
pub fn least_rows(board: &Board, clock: &Clock, width: u16) -> u16 {
    let said = Said::new(board, clock, usize::from(columns(width)));
    let headline = Headline::default().shaped(&board.focus.sentence, width, LEAN);
    said.rows(&headline, LEAN)
}

/// The richest arrangement that fits.
pub fn choose(board: &Board, clock: &Clock, width: u16, height: u16) -> Words {
    let said = Said::new(board, clock, usize::from(columns(width)));
    let mut headline = Headline::default();
    for shape in SHAPES {
        let fits = shape.big == 0 || (height >= 8 && width >= 60);
        // Letters of the second size, and three lines, are for terminals where they leave room for the rest.
        let fits = fits && (shape.size < 2 || (height >= 20 && width >= 180));
        let fits = fits && (shape.big < 3 || height >= 18);
        if fits {
            headline = headline.shaped(&board.focus.sentence, width, shape);
            // What doesn't make sense in the largest letters may do so in smaller ones.
            let sense = headline.sense || shape.size < 2;
            if sense && said.rows(&headline, shape) <= height {
                return said.arranged(headline, shape);
            }
        }
    }
    let headline = headline.shaped(&board.focus.sentence, width, LEAN);
    said.arranged(headline, LEAN)
}

/// The sentence, in large letters as far as they go.
#[derive(Default)]
struct Headline {
    big: Vec<String>,
    plain: Vec<String>,
    sense: bool,
    shape: Option<(usize, u16)>,
}

impl Headline {
    /// In another shape; as it is if that asks for the same letters.
    fn shaped(self, sentence: &str, width: u16, shape: Shape) -> Self {
        let wanted = Some((shape.big, shape.size));
        if self.shape == wanted {
            return self;
        }
        let room = columns(width);
        let parts = headline(sentence, room / shape.size.max(1), shape.big);
        Headline {
            big: parts.big,
            plain: text::wrap(&parts.rest, usize::from(room)),
            sense: parts.sense,
            shape: wanted,
        }
    }
}

/// What is said beside the sentence, in lines: the same in every shape.
struct Said {
    asides: Vec<(String, Aside)>,
    needs: Vec<String>,
    amounts: Vec<String>,
    others: Vec<String>,
}

impl Said {
    fn new(board: &Board, clock: &Clock, columns: usize) -> Self {
        let focus = &board.focus;
        let cue = focus.cue.iter().map(|cue| (cue_words(cue), Aside::Cue));
        let cautions = focus.cautions.iter();
        let cautions = cautions.map(|words| (format!("Mind: {words}"), Aside::Caution));
        let lines = |(words, kind): (String, Aside)| {
            let lines = text::wrap(&words, columns).into_iter();
            lines.map(move |line| (line, kind))
        };
        let needs = match focus.needs.is_empty() {
            true => Vec::new(),
            false => text::wrap(&format!("with {}", focus.needs.join(", ")), columns),
        };
        Said {
            asides: cue.chain(cautions).flat_map(lines).collect(),
            needs,
            amounts: text::wrap(&focus.amounts.join(",  "), columns),
            others: calls::others(board, clock),
        }
    }

    fn rows(&self, headline: &Headline, shape: Shape) -> u16 {
        let needs = if shape.needs { self.needs.len() } else { 0 };
        let lines = headline.plain.len() + self.amounts.len() + self.asides.len();
        let lines = lines + needs + self.others.len();
        rows(
            headline.big.len(),
            shape.size,
            lines,
            (shape.above, shape.below),
        )
    }

    fn arranged(self, headline: Headline, shape: Shape) -> Words {
        let mut asides = self.asides;
        if shape.needs {
            asides.extend(self.needs.into_iter().map(|line| (line, Aside::Needs)));
        }
        Words {
            big: headline.big,
            size: shape.size,
            plain: headline.plain,
            amounts: self.amounts,
            asides,
            others: self.others,
            above: shape.above,
            below: shape.below,
        }
    }
}

/// Rows of large lines, of other lines and of what is left empty, with the subject above and the keys below.
fn rows(big: usize, size: u16, lines: usize, (above, below): (u16, u16)) -> u16 {
    let all = 2 + big * usize::from(letters::height(size)) + lines;
    u16::try_from(all + usize::from(above + below)).unwrap_or(u16::MAX)
}

/// A cue reads "until ...", whether it was written so or not.
pub fn cue_words(cue: &str) -> String {
    if cue.starts_with("until ") {
        cue.to_owned()
    } else {
        format!("until {cue}")
    }
}

/// Where a sentence may be broken: what is before it makes sense alone.
const BREAKS: [&str; 6] = [", ", "; ", ": ", " for ", " until ", " with "];
/// Words that belong to the word after them: no line in large letters that goes on in small ones ends with one.
const LEADING: [&str; 17] = [
    "a", "an", "and", "as", "at", "by", "for", "from", "in", "into", "of", "on", "or", "the", "to",
    "until", "with",
];

/// A sentence of which a part is in large letters.
pub struct Parts {
    /// Lines in large letters.
    pub big: Vec<String>,
    /// What isn't in them.
    pub rest: String,
    /// What is in large letters makes sense alone.
    pub sense: bool,
}

/// Whether a comma stands in a list: "with salt, thyme and butter".
fn lists(sentence: &str, at: usize, mark: &str) -> bool {
    let Some((head, rest)) = sentence.split_at_checked(at).filter(|_| mark == ", ") else {
        return false;
    };
    let first = head.rsplit_once(" with ").map(|(_, first)| first);
    let short = first.is_some_and(|first| first.split(' ').count() <= 3);
    let rest = rest.trim_start_matches(POINTS).trim_start();
    short && !rest.starts_with("then ") && [" and ", " or "].iter().any(|and| rest.contains(and))
}

/// The part of a sentence that so many large lines hold, and the rest; broken where a part of it ends
/// if that is needed.
pub fn headline(sentence: &str, columns: u16, lines: usize) -> Parts {
    let small = || Parts {
        big: vec![],
        rest: sentence.to_owned(),
        sense: true,
    };
    if lines == 0 || columns < 40 || !letters::has(sentence) {
        return small();
    }
    let Some(mut wrapped) = letters::wrap(sentence, columns) else {
        return small();
    };
    if wrapped.len() <= lines {
        return Parts {
            big: wrapped,
            rest: String::new(),
            sense: true,
        };
    }
    let cuts = BREAKS.iter().flat_map(|at| sentence.match_indices(at));
    let cuts = cuts.filter(|(at, words)| !lists(sentence, *at, words));
    let parts = cuts.filter_map(|(at, _)| sentence.split_at_checked(at));
    let fitting = parts.filter_map(|(head, rest)| {
        let head = letters::wrap(head, columns).filter(|head| head.len() <= lines)?;
        Some((head, rest.trim_start_matches(POINTS).trim_start()))
    });
    if let Some((big, rest)) = fitting.min_by_key(|(_, rest)| rest.len()) {
        return Parts {
            big,
            rest: rest.to_owned(),
            sense: true,
        };
    }
    let mut rest = wrapped.split_off(lines);
    if let Some(last) = wrapped.last_mut() {
        while let Some((head, word)) = last.rsplit_once(' ')
            && LEADING.contains(&word)
        {
            rest.insert(0, word.to_owned());
            *last = head.to_owned();
        }
    }
    Parts {
        big: wrapped,
        rest: rest.join(" "),
        sense: false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_headline_breaks_at_a_comma_rather_than_in_a_clause() {
        let roast = headline("Roast on the middle rack, breast up", 75, 2);
        assert_eq!((roast.big.len(), roast.rest.as_str()), (2, "breast up"));
        let down = headline("Turn the oven down to 190 C", 100, 2);
        assert_eq!((down.big.len(), down.rest.as_str()), (2, ""));
        let down = headline("Turn the oven down to 190 C", 72, 1);
        let whole = down.big.join(" ") + " " + &down.rest;
        assert_eq!(whole, "Turn the oven down to 190 C");
        assert_eq!(headline("R\u{f6}sten", 100, 2).big, ["R\u{f6}sten"]);
        assert_eq!(
            headline("\u{84b8}\u{3059}", 100, 2).rest,
            "\u{84b8}\u{3059}"
        );
    }

    #[test]
    fn large_letters_end_in_no_comma_and_in_no_word_that_waits_for_another() {
        let peel = headline("Peel the potatoes, cut them to the size of an egg", 75, 2);
        assert_eq!(peel.big.join(" "), "Peel the potatoes");
        assert_eq!(peel.rest, "cut them to the size of an egg");
        let look = headline("Look in 1 min: Boil in well salted water", 60, 2);
        assert_eq!(look.big.join(" "), "Look in 1 min");
        assert_eq!(look.rest, "Boil in well salted water");
        let rub = headline("Rub the chicken with salt, thyme and soft butter", 95, 2);
        assert_eq!(rub.big.join(" "), "Rub the chicken");
        assert_eq!(rub.rest, "with salt, thyme and soft butter");
        let peel = headline("Peel the potatoes", 42, 1);
        assert_eq!((peel.big.join(" ").as_str(), peel.sense), ("Peel", false));
        assert_eq!(peel.rest, "the potatoes");
    }
}
