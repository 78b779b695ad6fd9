//! From what the terminal reports to what a loop must do: pure, so that every key can be tested without a terminal.

use crossterm::event::{Event, MouseButton, MouseEvent, MouseEventKind};
use ratatui::{
    buffer::Buffer,
    layout::{Position, Rect},
};
use tui_input::{Input, backend::crossterm::EventHandler};

use super::{
    Command, Ui,
    keys::Place,
    panes::{calls, help},
    time::{Clock, MINUTE},
    typed,
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

/// What one reported event asks for. `size` is the terminal's, for taps.
pub fn on_event(event: &Event, size: Rect, board: &Board, ui: &mut Ui) -> Vec<Effect> {
    match event {
        Event::Key(key) => {
            if key.kind == crossterm::event::KeyEventKind::Release {
                return vec![];
            }
            ui.last_input = board.now;
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
        Command::Mouse => {
            ui.mouse = !ui.mouse;
            let words = if ui.mouse {
                "mouse on"
            } else {
                "mouse off: text can be selected"
            };
            say(board, ui, words.to_owned());
            vec![Effect::Mouse(ui.mouse), Effect::Redraw]
        }
        Command::Help => toggled(|ui| ui.overlay = Overlay::Help(0), ui),
        Command::Back => toggled(
            |ui| (ui.chosen, ui.scroll, ui.message) = (None, 0, None),
            ui,
        ),
        Command::Quit if matches!(board.phase, Phase::After { .. }) || ui.place != Place::Cook => {
            vec![Effect::Leave]
        }
        Command::Quit => toggled(|ui| ui.overlay = Overlay::Leave, ui),
        Command::Suspend => vec![Effect::Suspend],
        Command::Redraw => vec![Effect::Afresh],
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

/// Commands while something lies over the screen; `None`: nothing does.
fn under_overlay(command: &Command, ui: &mut Ui) -> Option<Vec<Effect>> {
    let lines = u16::try_from(help::lines(ui)).unwrap_or(u16::MAX);
    match &mut ui.overlay {
        Overlay::None => None,
        Overlay::Ask(..) if *command == Command::Back => {
            ui.overlay = Overlay::None;
            Some(vec![Effect::Redraw])
        }
        Overlay::Ask(..) => Some(vec![]),
        Overlay::Help(at) => {
            match command {
                Command::Down | Command::Later => *at = at.saturating_add(1).min(lines),
                Command::Up | Command::Earlier => *at = at.saturating_sub(1),
                Command::Suspend => return Some(vec![Effect::Suspend]),
                _ => ui.overlay = Overlay::None,
            }
            Some(vec![Effect::Redraw])
        }
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
            vec![Effect::Act(action)]
        }
        Ok(None) => vec![Effect::Other(command.clone())],
        Err(words) => {
            say(board, ui, words);
            vec![Effect::Redraw]
        }
    }
}

/// The action that a command means on a board; `None`: the command is about something else than the meal.
///
/// # Errors
/// Why it means nothing now, in words for the cook.
pub fn action(command: &Command, board: &Board, ui: &Ui) -> Result<Option<Action>, String> {
    let focus = &board.focus;
    let need = |step: Option<usize>, words: &str| step.ok_or_else(|| words.to_owned());
    let action = match command {
        Command::Next => focus.action.clone().ok_or("nothing is to be done now")?,
        Command::Take => return take(board, ui).map(Some),
        Command::Choice(n) => {
            let choice = focus.choices.get(usize::from(*n).saturating_sub(1));
            choice.ok_or("there is no other choice now")?.action.clone()
        }
        Command::Heard => {
            let call = calls::calling(board).next().ok_or("nothing calls")?;
            Action::Answer(call.key.clone())
        }
        Command::Undo if board.undoable == 0 => {
            return Err("nothing is left to take back".to_owned());
        }
        Command::Undo => Action::Undo,
        Command::Begin => Action::Begin(need(begun(board, ui), "nothing is left to begin")?),
        Command::Done => Action::Finish(need(running(board, ui), "nothing is running")?),
        Command::Skip => Action::Skip(need(any_step(board, ui), "choose a step to leave out")?),
        Command::More(Some(n)) => {
            Action::Extend(need(running(board, ui), "nothing is running")?, n * MINUTE)
        }
        Command::Fewer(n) => {
            Action::Extend(need(running(board, ui), "nothing is running")?, -n * MINUTE)
        }
        Command::Oven(Some(text)) => {
            Action::SetOven(oven(board), typed::oven(text, ui.fahrenheit)?)
        }
        Command::Core(Some(text)) => {
            let step = need(measured(board, ui), "nothing is running to be measured")?;
            Action::Measure(step, typed::core(text, ui.fahrenheit)?)
        }
        Command::Substitute => {
            let offered = focus
                .choices
                .iter()
                .find(|c| matches!(c.action, Action::Substitute(..)));
            offered
                .ok_or("no substitute is offered now")?
                .action
                .clone()
        }
        Command::Note(Some(text)) => Action::Note(text.clone()),
        Command::Row(n) => {
            let row = rows(board).nth(usize::from(*n).saturating_sub(1));
            row_action(row.ok_or_else(|| format!("there is no row {n}"))?)
        }
        _ => return Ok(None),
    };
    Ok(Some(action))
}

fn row_action(row: Chosen) -> Action {
    match row {
        Chosen::Running(step) => Action::Finish(step),
        Chosen::Coming(action) => action,
        Chosen::Choice(_) => Action::Undo,
    }
}

fn take(board: &Board, ui: &Ui) -> Result<Action, String> {
    match &ui.chosen {
        Some(Chosen::Choice(i)) => {
            let choice = board.focus.choices.get(*i);
            Ok(choice.ok_or("that choice is gone")?.action.clone())
        }
        Some(chosen) if rows(board).any(|row| row == *chosen) => Ok(row_action(chosen.clone())),
        Some(_) => Err("that row is gone; choose again".to_owned()),
        None => Ok(board
            .focus
            .action
            .clone()
            .ok_or("nothing is to be done now")?),
    }
}

fn step_of(action: &Action) -> Option<usize> {
    match action {
        Action::Begin(step)
        | Action::Finish(step)
        | Action::Extend(step, _)
        | Action::Skip(step)
        | Action::Measure(step, _) => Some(*step),
        _ => None,
    }
}

fn chosen_step(ui: &Ui) -> Option<usize> {
    match &ui.chosen {
        Some(Chosen::Running(step)) => Some(*step),
        Some(Chosen::Coming(action)) => step_of(action),
        _ => None,
    }
}

fn focus_step(board: &Board) -> Option<usize> {
    let choices = board.focus.choices.iter().map(|c| &c.action);
    board.focus.action.iter().chain(choices).find_map(step_of)
}

fn is_running(board: &Board, step: usize) -> bool {
    board.countdowns.iter().any(|c| c.step == step)
}

/// The running step that a command is about: the chosen one, else that in focus, else the first to end.
fn running(board: &Board, ui: &Ui) -> Option<usize> {
    if ui.chosen.is_some() {
        return chosen_step(ui).filter(|s| is_running(board, *s));
    }
    let focus = focus_step(board).filter(|s| is_running(board, *s));
    focus.or(board.countdowns.first().map(|c| c.step))
}

/// The step to begin: the chosen one, else that in focus, else the first that comes.
fn begun(board: &Board, ui: &Ui) -> Option<usize> {
    if ui.chosen.is_some() {
        return chosen_step(ui).filter(|s| !is_running(board, *s));
    }
    let begins = |a: &Action| match a {
        Action::Begin(step) => Some(*step),
        _ => None,
    };
    let focus = board.focus.action.as_ref().and_then(begins);
    focus.or(board.upcoming.iter().find_map(|u| begins(&u.action)))
}

fn any_step(board: &Board, ui: &Ui) -> Option<usize> {
    chosen_step(ui).or(focus_step(board))
}

/// The step that a thermometer is in: the chosen one, else the first with a core temperature to reach, else in the oven.
fn measured(board: &Board, ui: &Ui) -> Option<usize> {
    let chosen = chosen_step(ui).filter(|s| is_running(board, *s));
    let cored = board
        .countdowns
        .iter()
        .find(|c| c.core.is_some())
        .map(|c| c.step);
    chosen.or(cored).or(running(board, ui))
}

/// The oven that is meant: the one whose knob is to be turned next.
fn oven(board: &Board) -> usize {
    if let Some(Action::SetOven(oven, _)) = board.focus.action {
        return oven;
    }
    let next = |i: &usize| {
        board
            .ovens
            .get(*i)
            .and_then(|o| o.next.as_ref())
            .map_or(Ms::MAX, |n| n.at)
    };
    (0..board.ovens.len()).min_by_key(next).unwrap_or(0)
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
    ui.overlay = Overlay::Ask(ask, Box::new(Input::default()));
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

/// A key or a paste while a line is typed.
fn typing(event: &Event, board: &Board, ui: &mut Ui) -> Vec<Effect> {
    let command = match event {
        Event::Key(key) => ui.keys.command(Place::Cook, key),
        _ => None,
    };
    let Overlay::Ask(ask, input) = &mut ui.overlay else {
        return vec![];
    };
    let ask = *ask;
    match command {
        Some(Command::Back) => {
            ui.overlay = Overlay::None;
            return vec![Effect::Redraw];
        }
        Some(Command::Suspend) => return vec![Effect::Suspend],
        Some(Command::Take) => return taken(ask, board, ui),
        _ => {}
    }
    match event {
        Event::Paste(words) => {
            for c in super::text::clean(words).chars() {
                input.handle(tui_input::InputRequest::InsertChar(c));
            }
        }
        event => {
            input.handle_event(event);
        }
    }
    // A thermometer in C is read with three keys: the two digits take themselves.
    let two = matches!(ask, Ask::Core(_)) && !ui.fahrenheit && is_two_digits(input.value());
    if two {
        taken(ask, board, ui)
    } else {
        vec![Effect::Redraw]
    }
}

fn is_two_digits(text: &str) -> bool {
    let mut bytes = text.bytes();
    let first = bytes.next().is_some_and(|b| (b'2'..=b'9').contains(&b));
    first && bytes.next().is_some_and(|b| b.is_ascii_digit()) && bytes.next().is_none()
}

/// The typed line is taken.
fn taken(ask: Ask, board: &Board, ui: &mut Ui) -> Vec<Effect> {
    let Overlay::Ask(_, input) = std::mem::take(&mut ui.overlay) else {
        return vec![];
    };
    let text = input.value().trim().to_owned();
    if text.is_empty() {
        return vec![Effect::Redraw];
    }
    let action = match ask {
        Ask::Note => Ok(Action::Note(super::text::clean(&text))),
        Ask::Core(step) => typed::core(&text, ui.fahrenheit).map(|t| Action::Measure(step, t)),
        Ask::Oven(oven) => typed::oven(&text, ui.fahrenheit).map(|s| Action::SetOven(oven, s)),
        Ask::Minutes(step) => typed::minutes(&text).map(|n| Action::Extend(step, n * MINUTE)),
    };
    match action {
        Ok(action) => {
            ui.chosen = None;
            vec![Effect::Act(action)]
        }
        Err(words) => {
            say(board, ui, words);
            ui.overlay = Overlay::Ask(ask, input);
            vec![Effect::Redraw]
        }
    }
}

/// What a tap or a turned wheel asks for: where it hits is asked of a drawing of the same view.
fn tap(mouse: MouseEvent, size: Rect, board: &Board, ui: &mut Ui) -> Vec<Effect> {
    match mouse.kind {
        MouseEventKind::ScrollUp => return obey(&Command::Earlier, board, ui),
        MouseEventKind::ScrollDown => return obey(&Command::Later, board, ui),
        MouseEventKind::Down(MouseButton::Left) => {}
        _ => return vec![],
    }
    let mut buffer = Buffer::empty(size);
    let hits = super::paint(&mut buffer, board, ui).hits;
    let at = Position::new(mouse.column, mouse.row);
    let Some(hit) = hits.iter().rev().find(|hit| hit.area.contains(at)) else {
        return vec![];
    };
    match &hit.command {
        // A tap on a row acts at once; undo takes it back.
        Command::Row(n) => act(&Command::Row(*n), board, ui),
        command if matches!(ui.overlay, Overlay::Ask(..)) => match (command, &ui.overlay) {
            (Command::Take, Overlay::Ask(ask, _)) => taken(*ask, board, ui),
            (command, _) => obey(command, board, ui),
        },
        command => obey(command, board, ui),
    }
}

/// The next moment at which anything that is shown changes by time alone; `None`: nothing counts.
pub fn next_redraw(board: &Board, ui: &Ui) -> Option<Ms> {
    let clock = Clock::of(board, ui.clock);
    let mut next: Option<Ms> = None;
    let mut at = |moment: Ms| {
        if moment > board.now {
            next = Some(next.map_or(moment, |n| n.min(moment)));
        }
    };
    if let Some((_, until)) = &ui.message {
        at(*until);
    }
    let called = calls::calling(board).next().is_some();
    if called {
        let ms = Ms::from(board.clock.millisecond());
        let half = Ms::from(calls::BLINK);
        at(board.now + if ms < half { half - ms } else { 1000 - ms });
    }
    if matches!(board.phase, Phase::After { .. }) && board.countdowns.is_empty() && !called {
        return next;
    }
    at(clock.minute() + MINUTE);
    if let (Some(after), false) = (ui.glance_after, ui.glance) {
        at(ui.last_input.saturating_add(after));
    }
    let moments = board.countdowns.iter().map(|c| c.due);
    let moments = moments.chain(board.upcoming.iter().map(|u| u.at));
    let moments = moments.chain(board.focus.moment);
    let moments = moments.chain(
        board
            .courses
            .iter()
            .filter(|c| !c.served)
            .map(|c| c.expected),
    );
    let ovens = board.ovens.iter();
    let moments =
        moments.chain(ovens.flat_map(|o| o.ready.into_iter().chain(o.next.as_ref().map(|n| n.at))));
    let moments = moments.chain(board.calls.iter().map(|c| c.since));
    for moment in moments {
        at(clock.changes(moment));
    }
    next
}
