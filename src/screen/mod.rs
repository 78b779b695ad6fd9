//! The terminal: one file per pane, theme, keys. Draws a [`Board`], never changes it.
//!
//! [`draw`] is a pure function of a board and the view state [`Ui`]. [`app`] turns what the terminal reports into
//! named [`Command`]s and what a loop must do about them. [`terminal`] is the only part that touches the terminal.

pub mod alike;
pub mod app;
pub mod canvas;
pub mod chooser;
mod command;
mod gauge;
pub mod keys;
pub mod kitchen_form;
mod layout;
mod letters;
pub mod page;
mod panes;
pub mod plain;
pub mod plan_view;
pub mod replay_view;
pub mod review_view;
mod scrub;
pub mod terminal;
pub mod text;
pub mod theme;
pub mod time;
mod typed;
pub mod ui;

use ratatui::{Frame, buffer::Buffer, layout::Position};

pub use command::{Command, NoCommand};
pub use keys::Keys;
pub use theme::Theme;
pub use ui::Ui;

use crate::live::Board;
use canvas::{Canvas, Hit};

/// What a drawn screen answers to.
#[derive(Clone, Debug, Default)]
pub struct Drawn {
    /// Places that answer a tap; later ones lie on top.
    pub hits: Vec<Hit>,
    /// Where the cursor stands, when something is typed.
    pub cursor: Option<Position>,
}

impl Drawn {
    /// What a tap at a place asks for.
    pub fn tapped(&self, at: Position) -> Option<Command> {
        let mut hits = self.hits.iter().rev();
        let hit = hits.find(|hit| hit.area.contains(at))?;
        Some(hit.command.clone())
    }
}

/// Draws a session that is being cooked.
pub fn draw(frame: &mut Frame, board: &Board, ui: &Ui) {
    let drawn = paint(frame.buffer_mut(), board, ui);
    if let Some(cursor) = drawn.cursor {
        frame.set_cursor_position(cursor);
    }
}

/// Draws a session that is being cooked into a buffer, all of it.
pub fn paint(buffer: &mut Buffer, board: &Board, ui: &Ui) -> Drawn {
    let mut canvas = Canvas::new(buffer, &ui.theme);
    layout::screen(&mut canvas, board, ui);
    Drawn {
        hits: canvas.hits,
        cursor: canvas.cursor,
    }
}
