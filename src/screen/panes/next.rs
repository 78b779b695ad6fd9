//! What comes next, with clock times and how long from now.

use ratatui::{layout::Rect, style::Modifier};

use crate::{
    live::{Board, board::Upcoming},
    screen::{
        Command, Ui,
        canvas::{Canvas, cut_top},
        text,
        theme::Meaning,
        time::{Clock, ClockFormat, length_words},
        ui::Chosen,
    },
};

/// Draws what comes; rows are numbered after those that run.
pub fn draw(canvas: &mut Canvas, area: Rect, board: &Board, ui: &Ui) {
    if area.height == 0 {
        return;
    }
    canvas.say(area, 0, 0, "next", Meaning::Muted);
    if board.upcoming.is_empty() {
        canvas.say(area, 0, 1, "nothing more", Meaning::Done);
        return;
    }
    rows(canvas, cut_top(area, 1).1, board, ui);
}

/// Draws what comes without a title.
pub fn rows(canvas: &mut Canvas, area: Rect, board: &Board, ui: &Ui) {
    let clock = Clock::of(board, ui.clock);
    let room = area.height;
    let count = u16::try_from(board.upcoming.len()).unwrap_or(u16::MAX);
    // One wide row, or a row for when and what and one for the sentence.
    let tall = if area.width < 70 && count.min(4) * 2 <= room {
        2
    } else {
        1
    };
    let shown = usize::from(room / tall);
    // The chosen row is always among those shown.
    let first = match &ui.chosen {
        Some(Chosen::Coming(action)) => {
            let chosen = board.upcoming.iter().position(|u| u.action == *action);
            chosen.map_or(0, |i| (i + 1).saturating_sub(shown))
        }
        _ => 0,
    };
    let rows = board.upcoming.iter().enumerate().skip(first).take(shown);
    for (y, (i, upcoming)) in (0..).zip(rows) {
        let y = area.y + y * tall;
        let row = Rect {
            y,
            height: tall,
            ..area
        };
        draw_row(
            canvas,
            row,
            board.countdowns.len() + i,
            upcoming,
            &clock,
            ui,
        );
    }
}

/// The fewest columns in which a part of a sentence is worth reading.
const SENTENCE: usize = 12;

fn draw_row(canvas: &mut Canvas, row: Rect, i: usize, upcoming: &Upcoming, clock: &Clock, ui: &Ui) {
    let chosen = matches!(&ui.chosen, Some(Chosen::Coming(a)) if *a == upcoming.action);
    if chosen {
        canvas.lay(row, Meaning::Chosen);
    }
    if i < 9 {
        canvas.hit(row, Command::Row(u8::try_from(i + 1).unwrap_or(9)));
        canvas.say(row, 0, 0, &(i + 1).to_string(), Meaning::Muted);
    }
    let text = canvas.style(Meaning::Text);
    let bold = text.add_modifier(Modifier::BOLD);
    let wide = if ui.clock == ClockFormat::H12 { 8 } else { 5 };
    canvas.put(
        row,
        2,
        0,
        &text::fit_right(&clock.at(upcoming.at), usize::from(wide)),
        text,
    );
    let late = upcoming.at.saturating_sub(clock.now()) <= -1000;
    let meaning = if late { Meaning::Late } else { Meaning::Muted };
    let when = clock.within(upcoming.at);
    let name = 2 + wide + 2;
    let waits = upcoming.waits_for.as_ref().filter(|_| chosen);
    if row.height == 1 {
        canvas.say(row, name, 0, &text::fit_right(&when, 9), meaning);
        // The sentence keeps half of the row, where that half can say something.
        let room = row.width.saturating_sub(name + 11);
        let long = text::width(&upcoming.subject) > usize::from(room / 2);
        let room = match room / 2 {
            half if long && usize::from(half) >= SENTENCE + 2 => half,
            _ => room,
        };
        let subject = text::name(&upcoming.subject, usize::from(room));
        let end = canvas.put(row, name + 11, 0, &subject, bold);
        let words = waits.unwrap_or(&upcoming.sentence);
        let room = usize::from(row.width.saturating_sub(end + 2));
        // A word or two of a sentence say nothing.
        if room >= SENTENCE || text::width(words) <= room {
            canvas.say(row, end + 2, 0, &text::clause(words, room), Meaning::Muted);
        }
        return;
    }
    let span = u16::try_from(text::width(&when)).unwrap_or(0);
    let line = Rect {
        width: row.width.saturating_sub(span + 2),
        height: 1,
        ..row
    };
    let subject = text::name(
        &upcoming.subject,
        usize::from(line.width.saturating_sub(name)),
    );
    let end = canvas.put(line, name, 0, &subject, bold);
    let hands = if upcoming.hands { "hands " } else { "" };
    let length = format!("{hands}{}", length_words(upcoming.length));
    if upcoming.length > 0 && usize::from(end) + 2 + text::width(&length) <= usize::from(line.width)
    {
        canvas.say(line, end + 2, 0, &length, Meaning::Muted);
    }
    canvas.say_right(row, 0, &when, meaning);
    let words = waits.unwrap_or(&upcoming.sentence);
    let meaning = if waits.is_some() {
        Meaning::Late
    } else {
        Meaning::Muted
    };
    let room = usize::from(row.width.saturating_sub(name));
    canvas.say(row, name, 1, &text::clause(words, room), meaning);
}
