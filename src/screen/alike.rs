//! What all screens do alike: from what the terminal reports to a command, and the commands that each of them knows.

use crossterm::event::{Event, KeyEventKind, MouseButton, MouseEventKind};
use ratatui::layout::Position;

use super::{Command, Drawn, Ui, panes::help, ui::Overlay};

/// What whoever shows a screen does about it, whichever screen it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Alike {
    /// Draw.
    Redraw,
    /// Draw every cell afresh.
    Afresh,
    /// Put the program to sleep.
    Suspend,
    /// Turn mouse reports on or off.
    Mouse(bool),
}

/// What an event asks of whoever shows a page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asked<T> {
    /// What this page alone is for.
    Own(T),
    /// Leave it.
    Leave,
    /// What every screen does.
    Alike(Alike),
}

impl<T> Asked<T> {
    /// Draw.
    pub const REDRAW: Self = Asked::Alike(Alike::Redraw);
}

/// The command that a reported event means on this screen, `None` if it means none. The wheel goes up and down; where a
/// tap hits is asked of `drawn`, a drawing of the same view.
pub fn command(event: &Event, ui: &Ui, drawn: impl FnOnce() -> Drawn) -> Option<Command> {
    match event {
        Event::Key(key) if key.kind != KeyEventKind::Release => ui.keys.command(ui.place, key),
        Event::Mouse(mouse) if ui.mouse => match mouse.kind {
            MouseEventKind::ScrollUp => Some(Command::Up),
            MouseEventKind::ScrollDown => Some(Command::Down),
            MouseEventKind::Down(MouseButton::Left) => {
                drawn().tapped(Position::new(mouse.column, mouse.row))
            }
            _ => None,
        },
        _ => None,
    }
}

/// What a command asks for that every screen knows; `None`: it is the screen's own.
pub fn obey(command: &Command, ui: &mut Ui) -> Option<Alike> {
    let asked = match command {
        Command::Suspend => Alike::Suspend,
        Command::Redraw => Alike::Afresh,
        _ if help::scrolled(command, ui) => Alike::Redraw,
        Command::Help => {
            ui.overlay = Overlay::Help(0);
            Alike::Redraw
        }
        Command::Mouse => {
            ui.mouse = !ui.mouse;
            Alike::Mouse(ui.mouse)
        }
        _ => return None,
    };
    Some(asked)
}

/// What an event asks of a page: what every screen does, else what its own `obey` says of the command. `drawn`: as for
/// [`command`].
pub fn on_event<T>(
    event: &Event,
    ui: &mut Ui,
    drawn: impl FnOnce(&Ui) -> Drawn,
    own: impl FnOnce(&Command, &mut Ui) -> Option<Asked<T>>,
) -> Option<Asked<T>> {
    if matches!(event, Event::Resize(..)) {
        return Some(Asked::REDRAW);
    }
    let command = command(event, ui, || drawn(ui))?;
    match obey(&command, ui) {
        Some(alike) => Some(Asked::Alike(alike)),
        None => own(&command, ui),
    }
}
