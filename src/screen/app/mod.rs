//! From what the terminal reports to what a loop must do: pure, so that every key can be tested without a terminal.

mod meaning;
mod redraw;
mod typing;

use crossterm::event::{Event, MouseButton, MouseEvent, MouseEventKind};
use ratatui::{
    buffer::Buffer,
    layout::{Position, Rect},
};

pub use meaning::action;
use meaning::{measured, oven, running};
pub use redraw::next_redraw;
use typing::{taken, typing};

use super::{
    Command, Ui,
    alike::{self, Alike},
    keys::Place,
    ui::{Ask, Chosen, Overlay, rows},
};
use crate::live::{Action, Board, Ms, board::Phase};

/// How long a message at the foot of the screen is to be read, in ms.
const MESSAGE: Ms = 4_000;
/// Rows that digits and arrows reach.
const REACH: usize = 40;

/// What a loop must do.
#[derive(Clone, Debug, PartialEq)]
pub enum Effect {
    /// The cook does something.
    Act(Action),
    /// The view changed: draw.
    Redraw,
    /// Draw every cell afresh.
    Afresh,
    /// Put the program to sleep.
    Suspend,
    /// Turn mouse reports on or off.
    Mouse(bool),
    /// Leave the screen; the session is kept.
    Leave,
    /// A command that is not of the cooking screen: for the replay, the chooser, the plan.
    Other(Command),
}

impl From<Alike> for Effect {
    fn from(alike: Alike) -> Self {
        match alike {
            Alike::Redraw => Effect::Redraw,
            Alike::Afresh => Effect::Afresh,
            Alike::Suspend => Effect::Suspend,
            Alike::Mouse(on) => Effect::Mouse(on),
        }
    }
}

/// What one reported event asks for. `size` is the terminal's, for taps.
pub fn on_event(event: &Event, size: Rect, board: &Board, ui: &mut Ui) -> Vec<Effect> {
    match event {
        Event::Key(key) => {
            if key.kind == crossterm::event::KeyEventKind::Release {
                return vec![];
            }
            ui.last_input = board.now;
            // What was said of the key before is read, or is of no use any more.
            ui.message = None;
            if matches!(ui.overlay, Overlay::Ask(..)) {
                return typing(event, board, ui);
            }
            match ui.keys.command(ui.place, key) {
                Some(command) => obey(&command, board, ui),
                None => vec![],
            }
        }
        Event::Mouse(mouse) if ui.mouse => {
            ui.last_input = board.now;
            tap(*mouse, size, board, ui)
        }
        Event::Paste(_) if matches!(ui.overlay, Overlay::Ask(..)) => typing(event, board, ui),
        Event::Resize(..) => vec![Effect::Redraw],
        _ => vec![],
    }
}

/// What a command asks for.
pub fn obey(command: &Command, board: &Board, ui: &mut Ui) -> Vec<Effect> {
    if let Some(effects) = under_overlay(command, ui) {
        return effects;
    }
    if let Some(asked) = alike::obey(command, ui) {
        return known(asked, board, ui);
    }
    match command {
        Command::Up => step_rows(board, ui, false),
        Command::Down => step_rows(board, ui, true),
        Command::Left => step_choices(board, ui, false),
        Command::Right => step_choices(board, ui, true),
        Command::Row(n) => {
            let row = rows(board).nth(usize::from(*n).saturating_sub(1));
            if row.is_some() && row == ui.chosen {
                return act(&Command::Take, board, ui);
            }
            match row {
                Some(row) => ui.chosen = Some(row),
                None => say(board, ui, format!("there is no row {n}")),
            }
            vec![Effect::Redraw]
        }
        Command::Earlier => scroll(ui, -1),
        Command::Later => scroll(ui, 1),
        Command::Lanes => toggled(|ui| ui.by_place = !ui.by_place, ui),
        Command::Glance => toggled(|ui| ui.glance = !ui.glance, ui),
        Command::Back => toggled(
            |ui| (ui.chosen, ui.scroll, ui.message) = (None, 0, None),
            ui,
        ),
        Command::Quit if matches!(board.phase, Phase::After { .. }) || ui.place != Place::Cook => {
            vec![Effect::Leave]
        }
        Command::Quit => toggled(|ui| ui.overlay = Overlay::Leave, ui),
        Command::More(None) => match running(board, ui) {
            Some(step) => ask(Ask::Minutes(step), ui),
            None => nothing(board, ui, "nothing is running"),
        },
        Command::Core(None) => match measured(board, ui) {
            Some(step) => ask(Ask::Core(step), ui),
            None => nothing(board, ui, "nothing is running to be measured"),
        },
        Command::Oven(None) if board.ovens.is_empty() => nothing(board, ui, "there is no oven"),
        Command::Oven(None) => ask(Ask::Oven(oven(board)), ui),
        Command::Note(None) => ask(Ask::Note, ui),
        command => act(command, board, ui),
    }
}

/// What every screen does; here it is told too that the mouse was turned on or off.
fn known(asked: Alike, board: &Board, ui: &mut Ui) -> Vec<Effect> {
    let Alike::Mouse(on) = asked else {
        return vec![asked.into()];
    };
    let words = match on {
        true => "mouse on",
        false => "mouse off: text can be selected",
    };
    say(board, ui, words.to_owned());
    vec![asked.into(), Effect::Redraw]
}

/// Commands while something is asked over the screen; `None`: nothing is.
fn under_overlay(command: &Command, ui: &mut Ui) -> Option<Vec<Effect>> {
    match &mut ui.overlay {
        Overlay::None | Overlay::Help(_) => None,
        Overlay::Ask(..) if *command == Command::Back => {
            ui.overlay = Overlay::None;
            Some(vec![Effect::Redraw])
        }
        Overlay::Ask(..) => Some(vec![]),
        Overlay::Leave => Some(match command {
            Command::Take => {
                ui.overlay = Overlay::None;
                vec![Effect::Leave]
            }
            Command::Done => {
                ui.overlay = Overlay::None;
                vec![Effect::Act(Action::Close), Effect::Leave]
            }
            Command::Suspend => vec![Effect::Suspend],
            Command::Mouse | Command::Redraw | Command::Up | Command::Down => vec![],
            _ => {
                ui.overlay = Overlay::None;
                vec![Effect::Redraw]
            }
        }),
    }
}

fn act(command: &Command, board: &Board, ui: &mut Ui) -> Vec<Effect> {
    match action(command, board, ui) {
        Ok(Some(action)) => {
            ui.chosen = None;
            acknowledge(&action, board, ui);
            vec![Effect::Act(action)]
        }
        Ok(None) => vec![Effect::Other(command.clone())],
        Err(words) => {
            say(board, ui, words);
            vec![Effect::Redraw]
        }
    }
}

/// Says that something is done of which the screen shows little else. Whoever refuses it says so over that.
fn acknowledge(action: &Action, board: &Board, ui: &mut Ui) {
    let words = match action {
        Action::Undo => "taken back",
        Action::Note(_) => "noted",
        Action::Measure(..) => "the reading is written down",
        _ => return,
    };
    say(board, ui, words.to_owned());
}

/// Says something at the foot of the screen for a few seconds.
pub fn say(board: &Board, ui: &mut Ui, words: String) {
    ui.message = Some((words, board.now.saturating_add(MESSAGE)));
}

fn nothing(board: &Board, ui: &mut Ui, words: &str) -> Vec<Effect> {
    say(board, ui, words.to_owned());
    vec![Effect::Redraw]
}

fn toggled(change: impl FnOnce(&mut Ui), ui: &mut Ui) -> Vec<Effect> {
    change(ui);
    vec![Effect::Redraw]
}

fn scroll(ui: &mut Ui, by: i32) -> Vec<Effect> {
    ui.scroll = ui.scroll.saturating_add(by).clamp(-200, 200);
    vec![Effect::Redraw]
}

fn ask(ask: Ask, ui: &mut Ui) -> Vec<Effect> {
    ui.overlay = Overlay::Ask(ask, Box::default());
    vec![Effect::Redraw]
}

fn step_rows(board: &Board, ui: &mut Ui, down: bool) -> Vec<Effect> {
    let all: Vec<Chosen> = rows(board).take(REACH).collect();
    let at = ui
        .chosen
        .as_ref()
        .and_then(|c| all.iter().position(|row| row == c));
    let to = match (at, down) {
        (None, true) => 0,
        (None, false) => all.len().saturating_sub(1),
        (Some(i), true) => (i + 1).min(all.len().saturating_sub(1)),
        (Some(i), false) => i.saturating_sub(1),
    };
    ui.chosen = all.get(to).cloned();
    vec![Effect::Redraw]
}

fn step_choices(board: &Board, ui: &mut Ui, right: bool) -> Vec<Effect> {
    let last = board.focus.choices.len().checked_sub(1);
    ui.chosen = match (&ui.chosen, last) {
        (_, None) => None,
        (Some(Chosen::Choice(i)), Some(last)) if right => Some(Chosen::Choice((i + 1).min(last))),
        (Some(Chosen::Choice(i)), Some(_)) => i.checked_sub(1).map(Chosen::Choice),
        (_, Some(_)) if right => Some(Chosen::Choice(0)),
        _ => None,
    };
    vec![Effect::Redraw]
}

/// What a tap or a turned wheel asks for: where it hits is asked of a drawing of the same view.
fn tap(mouse: MouseEvent, size: Rect, board: &Board, ui: &mut Ui) -> Vec<Effect> {
    match mouse.kind {
        MouseEventKind::ScrollUp => return obey(&Command::Earlier, board, ui),
        MouseEventKind::ScrollDown => return obey(&Command::Later, board, ui),
        MouseEventKind::Down(MouseButton::Left) => {}
        _ => return vec![],
    }
    let drawn = super::paint(&mut Buffer::empty(size), board, ui);
    let Some(command) = drawn.tapped(Position::new(mouse.column, mouse.row)) else {
        return vec![];
    };
    match &command {
        // A tap on a row acts at once; undo takes it back.
        Command::Row(n) => act(&Command::Row(*n), board, ui),
        command if matches!(ui.overlay, Overlay::Ask(..)) => match (command, &ui.overlay) {
            (Command::Take, Overlay::Ask(ask, _)) => taken(*ask, board, ui),
            (command, _) => obey(command, board, ui),
        },
        command => obey(command, board, ui),
    }
}
