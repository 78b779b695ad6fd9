//! A page of which a part scrolls, as the plan's and a review's: its frame, and what turns it.

use crossterm::event::Event;
use ratatui::{buffer::Buffer, layout::Rect, style::Modifier};

use super::{
    Command, Drawn, Ui,
    alike::{self, Asked},
    canvas::{Canvas, cut_bottom, inset},
    panes::{help, hints},
    text,
    theme::Meaning,
    ui::Overlay,
};

/// Rows that one turn of the page goes on.
const TURN: usize = 10;

/// What is shown is taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Taken;

/// Draws a page, or help over it.
pub fn paint(buffer: &mut Buffer, ui: &Ui, draw: impl FnOnce(&mut Canvas, Rect)) -> Drawn {
    let mut canvas = Canvas::new(buffer, &ui.theme);
    let area = canvas.area();
    canvas.paper();
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
    let (above, foot) = cut_bottom(area, 1);
    hints(canvas, inset(foot, side, 0, side, 0), ui, keys);
    let head = inset(above, side, u16::from(area.height >= 30), side, 0);
    let bold = canvas.style(Meaning::Text).add_modifier(Modifier::BOLD);
    canvas.put(head, 0, 0, title, bold);
    if text::width(aside) + text::width(title) + 3 < usize::from(head.width) {
        canvas.say_right(head, 0, aside, Meaning::Muted);
    }
    inner(area)
}

/// What is between a page's title and its keys.
pub fn inner(area: Rect) -> Rect {
    let side = if area.width >= 72 { 2 } else { 1 };
    let air = u16::from(area.height >= 30);
    let title = 1 + air + u16::from(area.height >= 20);
    inset(area, side, title, side, 1 + air)
}

/// What a reported event asks for; `first` is the row at the top, `last` the last that may stand there. Where taps hit
/// is asked of `drawn`, a drawing of the same page.
pub fn on_event(
    event: &Event,
    first: &mut usize,
    last: usize,
    ui: &mut Ui,
    drawn: impl FnOnce(&Ui) -> Drawn,
) -> Option<Asked<Taken>> {
    alike::on_event(event, ui, drawn, |command, ui| {
        obey(command, first, last, ui)
    })
}

/// Does what a command asks of every page that scrolls; `None`: it asks for something else.
pub fn obey(
    command: &Command,
    first: &mut usize,
    last: usize,
    ui: &mut Ui,
) -> Option<Asked<Taken>> {
    let to = match command {
        Command::Down => *first + 1,
        Command::Up => first.saturating_sub(1),
        Command::Later => *first + TURN,
        Command::Earlier => first.saturating_sub(TURN),
        Command::Lanes => {
            ui.by_place = !ui.by_place;
            *first
        }
        Command::Take | Command::Next => return Some(Asked::Own(Taken)),
        Command::Back | Command::Quit | Command::Plan => return Some(Asked::Leave),
        _ => return None,
    };
    *first = to.min(last);
    Some(Asked::REDRAW)
}
