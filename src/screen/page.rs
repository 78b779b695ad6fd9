//! A page of which a part scrolls, as the plan's and a review's: its frame, and what turns it.

use crossterm::event::{Event, KeyEventKind, MouseButton, MouseEventKind};
use ratatui::{
    buffer::Buffer,
    layout::{Position, Rect},
    style::Modifier,
};

use super::{
    Command, Drawn, Ui,
    canvas::{Canvas, cut_bottom, cut_top, inset},
    panes::{help, hints},
    text,
    theme::Meaning,
    ui::Overlay,
};

/// Rows that one turn of the page goes on.
const TURN: usize = 10;

/// What an event asks of whoever shows the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turned {
    /// Draw.
    Redraw,
    /// Draw every cell afresh.
    Afresh,
    /// What is shown is taken.
    Take,
    /// Leave the page.
    Leave,
    /// Put the program to sleep.
    Suspend,
    /// Turn mouse reports on or off.
    Mouse(bool),
}

/// Draws a page, or help over it.
pub fn paint(buffer: &mut Buffer, ui: &Ui, draw: impl FnOnce(&mut Canvas, Rect)) -> Drawn {
    let mut canvas = Canvas::new(buffer, &ui.theme);
    let area = canvas.area();
    canvas.lay(area, Meaning::Ground);
    canvas.lay(area, Meaning::Text);
    match ui.overlay {
        Overlay::Help(scroll) => help::draw(&mut canvas, area, ui, scroll),
        _ => draw(&mut canvas, area),
    }
    Drawn {
        hits: canvas.hits,
        cursor: canvas.cursor,
    }
}

/// The title, what stands at its right if there is room, and the keys at the foot; gives what is between.
pub fn sheet(
    canvas: &mut Canvas,
    area: Rect,
    ui: &Ui,
    title: &str,
    aside: &str,
    keys: &[(Command, &str)],
) -> Rect {
    let side = if area.width >= 72 { 2 } else { 1 };
    let (rest, foot) = cut_bottom(area, 1);
    hints(canvas, inset(foot, side, 0, side, 0), ui, keys);
    let rest = inset(rest, side, u16::from(area.height >= 30), side, 0);
    let (head, rest) = cut_top(rest, 1);
    let bold = canvas.style(Meaning::Text).add_modifier(Modifier::BOLD);
    canvas.put(head, 0, 0, title, bold);
    if text::width(aside) + text::width(title) + 3 < usize::from(head.width) {
        canvas.say_right(head, 0, aside, Meaning::Muted);
    }
    let air = u16::from(area.height >= 20);
    inset(rest, 0, air, 0, u16::from(area.height >= 30))
}

/// What a reported event asks for; `first` is the row at the top, `last` the last that may stand there. Where taps hit
/// is asked of `hits`, a drawing of the same page.
pub fn on_event(
    event: &Event,
    first: &mut usize,
    last: usize,
    ui: &mut Ui,
    hits: impl FnOnce(&Ui) -> Drawn,
) -> Option<Turned> {
    let command = match event {
        Event::Key(key) if key.kind != KeyEventKind::Release => ui.keys.command(ui.place, key)?,
        Event::Mouse(mouse) if ui.mouse => match mouse.kind {
            MouseEventKind::ScrollUp => Command::Up,
            MouseEventKind::ScrollDown => Command::Down,
            MouseEventKind::Down(MouseButton::Left) => {
                let at = Position::new(mouse.column, mouse.row);
                let drawn = hits(ui);
                let hit = drawn.hits.iter().rev().find(|hit| hit.area.contains(at))?;
                hit.command.clone()
            }
            _ => return None,
        },
        Event::Resize(..) => return Some(Turned::Redraw),
        _ => return None,
    };
    obey(&command, first, last, ui)
}

fn obey(command: &Command, first: &mut usize, last: usize, ui: &mut Ui) -> Option<Turned> {
    if help::scrolled(command, ui) {
        return Some(Turned::Redraw);
    }
    *first = match command {
        Command::Down => *first + 1,
        Command::Up => first.saturating_sub(1),
        Command::Later => *first + TURN,
        Command::Earlier => first.saturating_sub(TURN),
        Command::Lanes => {
            ui.by_place = !ui.by_place;
            *first
        }
        Command::Help => {
            ui.overlay = Overlay::Help(0);
            *first
        }
        Command::Mouse => {
            ui.mouse = !ui.mouse;
            return Some(Turned::Mouse(ui.mouse));
        }
        Command::Take | Command::Next => return Some(Turned::Take),
        Command::Back | Command::Quit | Command::Plan => return Some(Turned::Leave),
        Command::Redraw => return Some(Turned::Afresh),
        Command::Suspend => return Some(Turned::Suspend),
        _ => return None,
    }
    .min(last);
    Some(Turned::Redraw)
}
