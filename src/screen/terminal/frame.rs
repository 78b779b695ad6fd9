//! One frame is one synchronized block and one write, and none at all when nothing changed.

use std::io::{self, Write};

use crossterm::{
    cursor, queue,
    terminal::{BeginSynchronizedUpdate, Clear, ClearType, EndSynchronizedUpdate},
};
use ratatui::{
    backend::{Backend, CrosstermBackend},
    buffer::Buffer,
    layout::{Position, Rect, Size},
    style::Color,
};
use unicode_width::UnicodeWidthStr;

/// What a terminal shows, and what it is to show next.
#[derive(Debug)]
pub struct Screen<W: Write> {
    out: W,
    shown: Buffer,
    next: Buffer,
    cursor: Option<Position>,
    /// Nothing is known of what the terminal shows.
    afresh: bool,
    bytes: Vec<u8>,
}

impl<W: Write> Screen<W> {
    /// A screen of a size, of which nothing is shown yet.
    pub fn new(out: W, size: Size) -> Self {
        let area = Rect::new(0, 0, size.width, size.height);
        Screen {
            out,
            shown: Buffer::empty(area),
            next: Buffer::empty(area),
            cursor: None,
            afresh: true,
            bytes: Vec::new(),
        }
    }

    /// All there is to draw on.
    pub fn area(&self) -> Rect {
        *self.next.area()
    }

    /// The terminal has another size now.
    pub fn resize(&mut self, size: Size) {
        let area = Rect::new(0, 0, size.width, size.height);
        if area != self.area() {
            self.next = Buffer::empty(area);
            self.afresh();
        }
    }

    /// What the terminal shows is lost: the next frame writes every cell.
    pub fn afresh(&mut self) {
        self.shown = Buffer::empty(*self.next.area());
        self.afresh = true;
    }

    /// Draws a frame with `draw`, which says where the cursor stands; gives whether anything was written.
    ///
    /// # Errors
    /// When the terminal can't be written to.
    pub fn draw(&mut self, draw: impl FnOnce(&mut Buffer) -> Option<Position>) -> io::Result<bool> {
        self.next.reset();
        let cursor = draw(&mut self.next);
        close_rows(&mut self.next);
        let updates = self.shown.diff(&self.next);
        if updates.is_empty() && cursor == self.cursor && !self.afresh {
            return Ok(false);
        }
        self.bytes.clear();
        queue!(self.bytes, BeginSynchronizedUpdate)?;
        if self.afresh {
            queue!(self.bytes, Clear(ClearType::All))?;
        }
        if !updates.is_empty() {
            CrosstermBackend::new(&mut self.bytes).draw(updates.into_iter())?;
        }
        match cursor {
            Some(at) => queue!(self.bytes, cursor::MoveTo(at.x, at.y), cursor::Show)?,
            None => queue!(self.bytes, cursor::Hide)?,
        }
        queue!(self.bytes, EndSynchronizedUpdate)?;
        self.out.write_all(&self.bytes)?;
        self.out.flush()?;
        std::mem::swap(&mut self.shown, &mut self.next);
        (self.cursor, self.afresh) = (cursor, false);
        Ok(true)
    }
}

/// Ends every painted row in a blank that stays: what captures a terminal's text cuts spaces off the end of a row, and the
/// ground that they stand on with them.
fn close_rows(buffer: &mut Buffer) {
    const STAYING_BLANK: &str = "\u{a0}";
    let area = *buffer.area();
    let Some(last) = area.right().checked_sub(1) else {
        return;
    };
    for y in area.top()..area.bottom() {
        let wide = last > 0 && buffer[(last - 1, y)].symbol().width() > 1;
        let cell = &mut buffer[(last, y)];
        if !wide && cell.symbol() == " " && cell.bg != Color::Reset {
            cell.set_symbol(STAYING_BLANK);
        }
    }
}

#[cfg(test)]
mod tests {
    use std::{cell::RefCell, rc::Rc};

    use ratatui::style::Style;

    use super::*;

    #[derive(Clone, Default)]
    struct Wire(Rc<RefCell<Vec<Vec<u8>>>>);

    impl Write for Wire {
        fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
            self.0.borrow_mut().push(bytes.to_vec());
            Ok(bytes.len())
        }
        fn flush(&mut self) -> io::Result<()> {
            Ok(())
        }
    }

    fn say(words: &'static str) -> impl FnOnce(&mut Buffer) -> Option<Position> {
        move |buffer| {
            buffer.set_stringn(0, 0, words, 10, Style::new());
            None
        }
    }

    #[test]
    fn a_frame_is_one_write_and_nothing_changed_is_none() {
        let wire = Wire::default();
        let mut screen = Screen::new(wire.clone(), Size::new(10, 2));
        assert!(screen.draw(say("one")).unwrap());
        assert!(!screen.draw(say("one")).unwrap());
        assert!(screen.draw(say("two")).unwrap());
        let frames = wire.0.borrow();
        assert_eq!(frames.len(), 2);
        for frame in frames.iter() {
            let text = String::from_utf8_lossy(frame);
            assert!(
                text.starts_with("\x1b[?2026h") && text.ends_with("\x1b[?2026l"),
                "{text:?}"
            );
        }
        assert!(!String::from_utf8_lossy(&frames[1]).contains("\x1b[2J"));
    }

    #[test]
    fn a_painted_row_ends_in_a_blank_that_stays() {
        let last = |words: &str, ground: Color| {
            let mut buffer = Buffer::empty(Rect::new(0, 0, 4, 1));
            buffer.set_string(0, 0, words, Style::new());
            buffer.set_style(*buffer.area(), Style::new().bg(ground));
            close_rows(&mut buffer);
            buffer[(3, 0)].symbol().to_owned()
        };
        assert_eq!(last("one", Color::Black), "\u{a0}");
        assert_eq!(last("one", Color::Reset), " ");
        assert_eq!(last("four", Color::Black), "r");
        assert_eq!(last("on\u{5b57}", Color::Black), " ");
        close_rows(&mut Buffer::empty(Rect::ZERO));
    }

    #[test]
    fn another_size_or_a_lost_screen_is_drawn_afresh() {
        let wire = Wire::default();
        let mut screen = Screen::new(wire.clone(), Size::new(10, 2));
        screen.draw(say("one")).unwrap();
        screen.resize(Size::new(1, 1));
        screen.draw(say("one")).unwrap();
        screen.resize(Size::new(0, 0));
        screen.draw(say("one")).unwrap();
        screen.resize(Size::new(12, 3));
        screen.afresh();
        screen.draw(say("one")).unwrap();
        assert_eq!(wire.0.borrow().len(), 4);
        let clears = wire
            .0
            .borrow()
            .iter()
            .filter(|f| String::from_utf8_lossy(f).contains("\x1b[2J"))
            .count();
        assert_eq!(clears, 4);
    }
}
