//! The ovens, always there: set to, must become, when, what is inside and until when.

use ratatui::{layout::Rect, style::Modifier};

use crate::{
    live::{Board, board::OvenPane},
    screen::{Ui, canvas::Canvas, letters, text, theme::Meaning, time::Clock},
};

/// How many rows the pane would like.
pub fn wanted(board: &Board, big: bool) -> u16 {
    let rows = |oven: &OvenPane| {
        let set = if big { letters::ROWS + 2 } else { 2 };
        let next = oven.next.as_ref().map_or(0, |_| 2);
        set + next + u16::try_from(oven.inside.len()).unwrap_or(9)
    };
    let all: u16 = board.ovens.iter().map(rows).fold(0, u16::saturating_add);
    all.saturating_add(u16::try_from(board.ovens.len().saturating_sub(1)).unwrap_or(0))
}

/// Draws the ovens; `big`: what they are set to in big digits.
pub fn draw(canvas: &mut Canvas, area: Rect, board: &Board, ui: &Ui, big: bool) {
    let clock = Clock::of(board, ui.clock);
    let mut y = 0;
    for oven in &board.ovens {
        if y >= area.height {
            break;
        }
        let left = Rect {
            y: area.y + y,
            height: area.height - y,
            ..area
        };
        y += one(canvas, left, oven, &clock, big) + 1;
    }
}

fn one(canvas: &mut Canvas, area: Rect, oven: &OvenPane, clock: &Clock, big: bool) -> u16 {
    canvas.say(area, 0, 0, &oven.name, Meaning::Muted);
    let racks = format!("racks {} of {}", oven.racks.0, oven.racks.1);
    if text::width(&racks) + text::width(&oven.name) + 2 <= usize::from(area.width) {
        canvas.say_right(area, 0, &racks, Meaning::Muted);
    }
    let style = canvas.style(Meaning::Oven).add_modifier(Modifier::BOLD);
    // The richest words that fit: when it is hot matters more than how hot it is.
    let heat = |columns: u16| match oven.ready {
        Some(ready) => {
            let ready = format!("ready {}", clock.within(ready));
            let long = format!("about {} C, {ready}", oven.about);
            if text::width(&long) <= usize::from(columns) {
                long
            } else {
                ready
            }
        }
        None if oven.set_words == "off" => format!("about {} C", oven.about),
        None => "at temperature".to_owned(),
    };
    let mut y = 1;
    if big && letters::has(&oven.set_words) && letters::width(&oven.set_words, 1) <= area.width {
        letters::draw(canvas, area, 0, y, &oven.set_words, 1, style);
        y += letters::ROWS;
        canvas.say(area, 0, y, &heat(area.width), Meaning::Muted);
        y += 1;
    } else {
        let x = canvas.put(area, 0, y, &oven.set_words, style);
        let heat = heat(area.width.saturating_sub(x + 2));
        canvas.say(area, x + 2, y, &heat, Meaning::Muted);
        y += 1;
    }
    if let Some(next) = &oven.next {
        let when = format!("{}, {}", clock.at(next.at), clock.within(next.at));
        if next.due {
            let x = canvas.say(area, 0, y, &format!(" turn to {} ", next.to), Meaning::Soon);
            canvas.say(area, x + 1, y, "now", Meaning::Late);
        } else {
            let x = canvas.say(area, 0, y, "turn to ", Meaning::Text);
            let x = canvas.put(area, x, y, &next.to, style);
            let fits = usize::from(x) + 2 + text::width(&when) <= usize::from(area.width);
            let when = if fits { when } else { clock.within(next.at) };
            canvas.say(area, x + 2, y, &when, Meaning::Text);
        }
        y += 1;
        let why = text::clause(&next.why, usize::from(area.width.saturating_sub(2)));
        canvas.say(area, 2, y, &why, Meaning::Muted);
        y += 1;
    }
    for (what, until) in &oven.inside {
        let long = format!("inside until {}", clock.at(*until));
        let short = format!("until {}", clock.at(*until));
        let room = usize::from(area.width);
        let fits = text::width(what) + 2 + text::width(&long) <= room;
        let until = if fits { long } else { short };
        let what = text::name(what, room.saturating_sub(text::width(&until) + 2));
        let x = canvas.say(area, 0, y, &what, Meaning::Text);
        canvas.say(area, x + 2, y, &until, Meaning::Muted);
        y += 1;
    }
    y
}
