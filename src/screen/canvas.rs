//! What a pane draws on: a clipped buffer, the theme, and the places that answer a tap.

use ratatui::{
    buffer::{Buffer, Cell},
    layout::{Position, Rect},
    style::Style,
};

use super::{
    Command, text,
    theme::{Meaning, Theme},
};

/// A place that answers a tap.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hit {
    /// Where.
    pub area: Rect,
    /// What a tap there asks for.
    pub command: Command,
}

/// A buffer to draw on.
pub struct Canvas<'a> {
    buffer: &'a mut Buffer,
    theme: &'a Theme,
    /// Places that answer a tap; later ones lie on top.
    pub hits: Vec<Hit>,
    /// Where the cursor stands, when something is typed.
    pub cursor: Option<Position>,
}

impl<'a> Canvas<'a> {
    /// A canvas over a whole buffer.
    pub fn new(buffer: &'a mut Buffer, theme: &'a Theme) -> Self {
        Canvas {
            buffer,
            theme,
            hits: Vec::new(),
            cursor: None,
        }
    }

    /// All there is to draw on.
    pub fn area(&self) -> Rect {
        *self.buffer.area()
    }

    /// The style of a meaning.
    pub fn style(&self, meaning: Meaning) -> Style {
        self.theme.style(meaning)
    }

    /// Lays a meaning's ground under an area.
    pub fn lay(&mut self, area: Rect, meaning: Meaning) {
        let style = self.theme.style(meaning);
        self.lay_style(area, style);
    }

    /// Lays a style under an area.
    pub fn lay_style(&mut self, area: Rect, style: Style) {
        let area = area.intersection(self.area());
        self.buffer.set_style(area, style);
    }

    /// Begins a screen: every cell empty, in the theme's ground and text.
    pub fn paper(&mut self) {
        let style = self.style(Meaning::Ground).patch(self.style(Meaning::Text));
        let mut cell = Cell::EMPTY;
        cell.set_style(style);
        self.buffer.content.fill(cell);
    }

    /// Empties an area, as paper laid over what was drawn before.
    pub fn blank(&mut self, area: Rect) {
        let area = area.intersection(self.area());
        for position in area.positions() {
            if let Some(cell) = self.buffer.cell_mut(position) {
                cell.reset();
            }
        }
        self.lay(area, Meaning::Ground);
        self.lay(area, Meaning::Text);
    }

    /// Writes one line at a place of an area, clipped to it; gives the column after it, within the area.
    pub fn put(&mut self, area: Rect, x: u16, y: u16, words: &str, style: impl Into<Style>) -> u16 {
        let clipped = area.intersection(self.area());
        let (left, row) = (area.x.saturating_add(x), area.y.saturating_add(y));
        if row >= clipped.bottom() || row < clipped.y || left >= clipped.right() {
            return x;
        }
        let room = usize::from(clipped.right() - left);
        if words.len() <= room && text::is_plain(words) {
            return self.put_plain((left, row), words, style.into()) - area.x;
        }
        let words = text::clip(words, room);
        if !words.is_empty() {
            self.unhalve(left, row);
        }
        let (end, _) = self
            .buffer
            .set_stringn(left, row, &words, room, style.into());
        end - area.x
    }

    /// Writes letters of ASCII that fit, each into its cell; gives the column after them, of the buffer.
    fn put_plain(&mut self, (left, row): (u16, u16), words: &str, style: Style) -> u16 {
        if !words.is_empty() {
            self.unhalve(left, row);
        }
        let mut x = left;
        for letter in words.chars() {
            if let Some(cell) = self.buffer.cell_mut(Position::new(x, row)) {
                cell.set_char(letter).set_style(style);
            }
            x = x.saturating_add(1);
        }
        x
    }

    /// Writes one line with a meaning.
    pub fn say(&mut self, area: Rect, x: u16, y: u16, words: &str, meaning: Meaning) -> u16 {
        let style = self.theme.style(meaning);
        self.put(area, x, y, words, style)
    }

    /// Writes one line that ends at the right edge of an area.
    pub fn say_right(&mut self, area: Rect, y: u16, words: &str, meaning: Meaning) -> u16 {
        let wide = u16::try_from(text::width(words)).unwrap_or(u16::MAX);
        let x = area.width.saturating_sub(wide);
        self.say(area, x, y, words, meaning);
        x
    }

    /// Writes a key as a cap, then a word or two; gives the column after it.
    pub fn key(
        &mut self,
        area: Rect,
        x: u16,
        y: u16,
        key: &str,
        words: &str,
        meaning: Meaning,
    ) -> u16 {
        let x = self.say(area, x, y, &format!(" {key} "), Meaning::Key);
        self.say(area, x.saturating_add(1), y, words, meaning)
    }

    /// Sets one cell. A wide letter of which that cell is the second half gives way.
    pub fn dot(&mut self, x: u16, y: u16, glyph: &str, style: Style) {
        self.unhalve(x, y);
        if let Some(cell) = self.buffer.cell_mut(Position::new(x, y)) {
            cell.set_symbol(glyph).set_style(style);
        }
    }

    /// A wide letter whose second half is at a place that is written to gives way.
    fn unhalve(&mut self, x: u16, y: u16) {
        let before = x.checked_sub(1).map(|x| Position::new(x, y));
        if let Some(cell) = before.and_then(|at| self.buffer.cell_mut(at))
            && !cell.symbol().is_ascii()
            && text::width(cell.symbol()) > 1
        {
            cell.set_symbol(" ");
        }
    }

    /// Whether a cell is still empty, and not the second half of a wide letter.
    pub fn is_empty(&self, x: u16, y: u16) -> bool {
        let symbol = |x: u16| self.buffer.cell(Position::new(x, y)).map(|c| c.symbol());
        let before = x.checked_sub(1).and_then(symbol);
        symbol(x) == Some(" ") && before.is_none_or(|s| text::width(s) < 2)
    }

    /// Makes an area answer a tap.
    pub fn hit(&mut self, area: Rect, command: Command) {
        self.hits.push(Hit { area, command });
    }
}

/// The part of a rectangle that is left when so much is taken from its sides, never less than nothing.
pub fn inset(area: Rect, left: u16, top: u16, right: u16, bottom: u16) -> Rect {
    let (dx, dy) = (left.min(area.width), top.min(area.height));
    Rect::new(
        area.x + dx,
        area.y + dy,
        area.width.saturating_sub(left.saturating_add(right)),
        area.height.saturating_sub(top.saturating_add(bottom)),
    )
}

/// The first `rows` of a rectangle, and what is below.
pub fn cut_top(area: Rect, rows: u16) -> (Rect, Rect) {
    let rows = rows.min(area.height);
    (
        Rect {
            height: rows,
            ..area
        },
        Rect {
            y: area.y + rows,
            height: area.height - rows,
            ..area
        },
    )
}

/// The last `rows` of a rectangle after what is above.
pub fn cut_bottom(area: Rect, rows: u16) -> (Rect, Rect) {
    let rows = rows.min(area.height);
    cut_top(area, area.height - rows)
}

/// The first `columns` of a rectangle, and what is right of a gap after them.
pub fn cut_left(area: Rect, columns: u16, gap: u16) -> (Rect, Rect) {
    let columns = columns.min(area.width);
    let skip = columns.saturating_add(gap).min(area.width);
    (
        Rect {
            width: columns,
            ..area
        },
        Rect {
            x: area.x + skip,
            width: area.width - skip,
            ..area
        },
    )
}
