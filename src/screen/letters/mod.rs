//! Large letters of square dots, two dots a cell, in any whole size. Narrow letters are narrow, so that a line
//! of four rows holds about twenty of them in a hundred columns.

use ratatui::{layout::Rect, style::Style};

mod marks;

use super::canvas::Canvas;
use marks::{Mark, spelt};

const SHEET: &str = include_str!("../../../assets/letters.txt");
/// Rows of dots in a letter.
const DOTS: usize = 8;
/// Cells from the top of a line of size one to the bottom of what hangs below it.
pub const ROWS: u16 = 4;
/// The first letter of ASCII that shows, and how many there are.
const FIRST: usize = 32;
const COUNT: usize = 95;

/// The dots of a letter: one number a row, the leftmost dot in the lowest bit. No columns: there is no such letter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Letter {
    wide: u16,
    rows: [u16; DOTS],
}

/// The letters of the sheet, read when the program is compiled.
static LETTERS: [Letter; COUNT] = read(SHEET.as_bytes());

const fn read(sheet: &[u8]) -> [Letter; COUNT] {
    let none = Letter {
        wide: 0,
        rows: [0; DOTS],
    };
    let mut all = [none; COUNT];
    let mut at = 0;
    while at < sheet.len() {
        let names = at + 2;
        let block = sheet[at] == b'=';
        while at < sheet.len() && sheet[at] != b'\n' {
            at += 1;
        }
        at += 1;
        let mut row = 0;
        while block && row < DOTS {
            let (mut name, mut x) = (names, 0);
            while sheet[at] != b'\n' {
                if sheet[at] == b' ' {
                    (name, x) = (name + 1, 0);
                } else {
                    let letter = &mut all[sheet[name] as usize - FIRST];
                    if sheet[at] == b'#' {
                        letter.rows[row] |= 1 << x;
                    }
                    x += 1;
                    if letter.wide < x {
                        letter.wide = x;
                    }
                }
                at += 1;
            }
            at += 1;
            row += 1;
        }
    }
    all
}

impl Letter {
    /// With a mark: above a small letter there is room for it; a capital gives a row of its own, and stands lower.
    fn marked(mut self, c: char, mark: Mark) -> Letter {
        let edge = 1 << self.wide.saturating_sub(1);
        let right = edge >> u16::from(self.wide > 3);
        let all = (edge << 1) - 1;
        let dots = match mark {
            Mark::None => return self,
            Mark::Diaeresis => edge | 1,
            Mark::Acute => right,
            Mark::Grave => 1 << u16::from(self.wide > 3),
            Mark::Middle if self.wide % 2 == 1 => 1 << (self.wide / 2),
            Mark::Middle => 0b11 << (self.wide / 2).saturating_sub(1),
            Mark::Line => all,
            Mark::Below => {
                self.rows[DOTS - 1] |= 1 << (self.wide / 2);
                return self;
            }
        };
        if c.is_ascii_uppercase() {
            let [a, b, _, d, e, f, g, _] = self.rows;
            self.rows = [0, 0, a, b, d, e, f, g];
        }
        self.rows[0] = dots;
        self
    }
}

fn sheet(c: char) -> Option<&'static Letter> {
    let i = usize::try_from(u32::from(c)).ok()?.checked_sub(FIRST)?;
    LETTERS.get(i).filter(|letter| letter.wide > 0)
}

/// The letters of a text; `None` for what the sheet doesn't have.
fn letters(words: &str) -> impl Iterator<Item = Option<Letter>> + '_ {
    spelt(words).map(|(c, mark)| sheet(c).map(|letter| letter.marked(c, mark)))
}

/// Whether there are large letters for all of a text.
pub fn has(words: &str) -> bool {
    !words.is_empty() && letters(words).all(|letter| letter.is_some())
}

/// Columns that a text takes in a size.
pub fn width(words: &str, size: u16) -> u16 {
    let wide = |letter: Option<Letter>| letter.map_or(0, |l| l.wide + 1);
    let all = letters(words).map(wide).fold(0, u16::saturating_add);
    all.saturating_sub(1).saturating_mul(size)
}

/// Rows that a line takes in a size; what hangs below the line is in them.
pub fn height(size: u16) -> u16 {
    ROWS.saturating_mul(size)
}

/// The words of a text; a number keeps its unit ("240 C").
fn kept(words: &str) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for word in words.split(' ').filter(|w| !w.is_empty()) {
        let unit = word.len() <= 3;
        match all.last_mut() {
            Some(last) if unit && last.chars().all(|c| c.is_ascii_digit()) => {
                *last = format!("{last} {word}");
            }
            _ => all.push(word.to_owned()),
        }
    }
    all
}

/// Breaks a text into lines of at most so many columns; `None`: a word alone is too wide.
pub fn wrap(words: &str, columns: u16) -> Option<Vec<String>> {
    let mut lines: Vec<String> = Vec::new();
    for word in kept(words) {
        let word = word.as_str();
        if width(word, 1) > columns {
            return None;
        }
        match lines.last_mut() {
            Some(line) if width(&format!("{line} {word}"), 1) <= columns => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    Some(lines)
}

/// Draws a text with its upper left corner at a place of an area, clipped to it; gives the column after it.
pub fn draw(
    canvas: &mut Canvas,
    area: Rect,
    x: u16,
    y: u16,
    words: &str,
    size: u16,
    style: Style,
) -> u16 {
    let size = size.max(1);
    let mut left = x;
    for letter in letters(words).flatten() {
        for column in 0..letter.wide.saturating_mul(size) {
            for row in 0..height(size) {
                let dot = |half: u16| {
                    let dots = letter.rows.get(usize::from((row * 2 + half) / size));
                    dots.is_some_and(|dots| (dots >> (column / size)) & 1 == 1)
                };
                let glyph = match (dot(0), dot(1)) {
                    (true, true) => "█",
                    (true, false) => "▀",
                    (false, true) => "▄",
                    (false, false) => continue,
                };
                let (cx, cy) = (left.saturating_add(column), y.saturating_add(row));
                if cx < area.width && cy < area.height {
                    canvas.dot(area.x + cx, area.y + cy, glyph, style);
                }
            }
        }
        left = left.saturating_add((letter.wide + 1).saturating_mul(size));
        if left >= area.width {
            break;
        }
    }
    left
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_letter_of_the_sheet_is_eight_rows_of_the_same_width() {
        let mut lines = SHEET.lines();
        let mut count = 0;
        while let Some(line) = lines.next() {
            let Some(names) = line.strip_prefix("= ") else {
                continue;
            };
            for row in lines.by_ref().take(DOTS) {
                assert_eq!(row.split(' ').count(), names.chars().count(), "{names}");
            }
            for name in names.chars() {
                assert!(sheet(name).is_some(), "{name}");
                count += 1;
            }
        }
        assert_eq!(count, LETTERS.iter().filter(|l| l.wide > 0).count());
        assert!(has("Turn the oven down to 190 C, now!"));
        assert!(has("R\u{f6}sti") && !has("\u{84b8}\u{3059}") && !has(""));
    }

    #[test]
    fn letters_differ() {
        let drawn: Vec<_> = LETTERS.iter().filter(|l| l.wide > 0).collect();
        for (i, a) in drawn.iter().enumerate() {
            assert!(!drawn.iter().skip(i + 1).any(|b| a.rows == b.rows), "{a:?}");
        }
    }

    #[test]
    fn lines_break_between_words() {
        let lines = wrap("Turn the oven down", 40).unwrap();
        assert!(lines.len() >= 2 && lines.iter().all(|l| width(l, 1) <= 40));
        assert_eq!(wrap("Turn", 3), None);
        let lines = wrap(
            "Heat the oven to 240 C for it",
            width("Heat the oven to 240", 1),
        )
        .unwrap();
        assert_eq!(lines, ["Heat the oven to", "240 C for it"]);
    }

    #[test]
    fn a_mark_is_above_its_letter_and_touches_it_not() {
        for words in ["\u{e4}", "\u{c4}", "\u{e9}", "\u{d1}", "e\u{302}"] {
            let letter = letters(words).next().unwrap().unwrap();
            assert_ne!(letter.rows[0], 0, "{words}");
            assert_eq!(letter.rows[1], 0, "{words}");
            let plain = letters(if words == "\u{c4}" { "A" } else { "a" })
                .next()
                .unwrap()
                .unwrap();
            assert_ne!(plain.rows, letter.rows);
        }
        assert_eq!(width("s\u{fc}\u{df}", 1), width("suss", 1));
    }
}
