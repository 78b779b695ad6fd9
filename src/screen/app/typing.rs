//! A line being typed: a note, a thermometer's reading, an oven's setting, minutes.

use crossterm::event::Event;
use tui_input::backend::crossterm::EventHandler;

use super::{Effect, acknowledge, say};
use crate::{
    live::{Action, Board},
    screen::{
        Command, Ui,
        keys::Place,
        text,
        time::MINUTE,
        typed,
        ui::{Ask, Overlay},
    },
};

/// A key or a paste while a line is typed.
pub fn typing(event: &Event, board: &Board, ui: &mut Ui) -> Vec<Effect> {
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
            for c in text::clean(words).chars() {
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
pub fn taken(ask: Ask, board: &Board, ui: &mut Ui) -> Vec<Effect> {
    let Overlay::Ask(_, input) = std::mem::take(&mut ui.overlay) else {
        return vec![];
    };
    let text = input.value().trim().to_owned();
    if text.is_empty() {
        return vec![Effect::Redraw];
    }
    let action = match ask {
        Ask::Note => Ok(Action::Note(text::clean(&text))),
        Ask::Core(step) => typed::core(&text, ui.fahrenheit).map(|t| Action::Measure(step, t)),
        Ask::Oven(oven) => typed::oven(&text, ui.fahrenheit).map(|s| Action::SetOven(oven, s)),
        Ask::Minutes(step) => typed::minutes(&text).map(|n| Action::Extend(step, n * MINUTE)),
    };
    match action {
        Ok(action) => {
            ui.chosen = None;
            acknowledge(&action, board, ui);
            vec![Effect::Act(action)]
        }
        Err(words) => {
            say(board, ui, words);
            ui.overlay = Overlay::Ask(ask, input);
            vec![Effect::Redraw]
        }
    }
}
