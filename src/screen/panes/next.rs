//! What comes next, with clock times and how long from now.

use ratatui::{layout::Rect, style::Modifier};

use crate::{
    live::{Board, board::Upcoming},
    screen::{
        Command, Ui, canvas::Canvas, text, theme::Meaning,
        time::{Clock, length_words},
        ui::Chosen,
    },
};

/// How many rows the pane would like, its title included.
pub fn wanted(board: &Board) -> u16 {
    u16::try_from(board.upcoming.len().clamp(1, 12)).unwrap_or(12) * 2 + 1
}

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
    let clock = Clock::of(board, ui.clock);
    let room = area.height - 1;
    let count = u16::try_from(board.upcoming.len()).unwrap_or(u16::MAX);
    let wide = area.width >= 80;
    let tall = if !wide && (count.min(4) * 2) <= room { 2 } else { 1 };
    for (i, upcoming) in board.upcoming.iter().take(usize::from(room / tall)).enumerate() {
        let y = area.y + 1 + u16::try_from(i).unwrap_or(0) * tall;
        let row = Rect { y, height: tall, ..area };
        draw_row(canvas, row, board.countdowns.len() + i, upcoming, &clock, ui);
    }
}

fn draw_row(canvas: &mut Canvas, row: Rect, i: usize, upcoming: &Upcoming, clock: &Clock, ui: &Ui) {
    let chosen = ui.chosen.as_ref().is_some_and(|c| matches!(c, Chosen::Coming(a) if *a == upcoming.action));
    if chosen {
        canvas.lay(row, Meaning::Chosen);
    }
    if i < 9 {
        canvas.hit(row, Command::Row(u8::try_from(i + 1).unwrap_or(9)));
        canvas.say(row, 0, 0, &(i + 1).to_string(), Meaning::Muted);
    }
    let text = canvas.style(Meaning::Text);
    let wide = if matches!(ui.clock, crate::screen::time::ClockFormat::H12) { 8 } else { 5 };
    canvas.put(row, 2, 0, &text::fit_right(&clock.at(upcoming.at), wide), text);
    let late = upcoming.at - clock.now() <= -1000;
    let x = 3 + u16::try_from(wide).unwrap_or(8);
    let when = text::fit_right(&clock.within(upcoming.at), 11);
    canvas.say(row, x, 0, &when, if late { Meaning::Late } else { Meaning::Muted });
    let x = x + 13;
    let end = canvas.put(row, x, 0, &upcoming.subject, text.add_modifier(Modifier::BOLD));
    let hands = if upcoming.hands { "hands, " } else { "" };
    let more = format!("{hands}{}", length_words(upcoming.length));
    let more = if upcoming.length > 0 { more } else { String::new() };
    if row.height == 1 {
        canvas.say(row, end + 2, 0, &upcoming.sentence, Meaning::Muted);
        return;
    }
    canvas.say(row, x, 1, &upcoming.sentence, Meaning::Muted);
    let wide = u16::try_from(text::width(&more)).unwrap_or(0);
    if end + wide + 2 <= row.width {
        canvas.say_right(row, 0, &more, Meaning::Muted);
    }
    if chosen && let Some(why) = &upcoming.waits_for {
        canvas.lay(Rect { x: row.x + x.min(row.width), width: row.width.saturating_sub(x), y: row.y + 1, height: 1 }, Meaning::Chosen);
        canvas.say(row, x, 1, &text::fit(why, usize::from(row.width.saturating_sub(x))), Meaning::Late);
    }
}
