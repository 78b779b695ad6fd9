//! What is running, in order of its end, each with its time, its gauge and its cue.

use ratatui::{layout::Rect, style::Modifier};

use super::focus::cue_words;
use crate::{
    live::{Board, board::Countdown},
    screen::{
        Command, Ui,
        canvas::Canvas,
        gauge, text,
        theme::Meaning,
        time::{Clock, SOON},
        ui::Chosen,
    },
};

/// Rows that one countdown takes when there is room for its cue.
const ROOMY: u16 = 2;

/// How many rows the pane would like, its title included.
pub fn wanted(board: &Board) -> u16 {
    let rows = u16::try_from(board.countdowns.len()).unwrap_or(u16::MAX);
    rows.max(1).saturating_mul(ROOMY).saturating_add(1)
}

/// Draws the running steps; gives how many are shown.
pub fn draw(canvas: &mut Canvas, area: Rect, board: &Board, ui: &Ui) -> usize {
    if area.height == 0 {
        return 0;
    }
    canvas.say(area, 0, 0, "running", Meaning::Muted);
    if board.countdowns.is_empty() {
        canvas.say(area, 0, 1, "nothing yet", Meaning::Done);
        return 0;
    }
    let room = area.height - 1;
    let count = u16::try_from(board.countdowns.len()).unwrap_or(u16::MAX);
    let tall = if count.saturating_mul(ROOMY) <= room { ROOMY } else { 1 };
    let clock = Clock::of(board, ui.clock);
    let shown = usize::from(room / tall);
    for (i, countdown) in board.countdowns.iter().take(shown).enumerate() {
        let y = area.y + 1 + u16::try_from(i).unwrap_or(0) * tall;
        let row = Rect { y, height: tall, ..area };
        draw_row(canvas, row, i, countdown, &clock, ui);
    }
    let hidden = board.countdowns.len().saturating_sub(shown);
    if hidden > 0 {
        canvas.say_right(area, 0, &format!("{hidden} more"), Meaning::Muted);
    }
    shown.min(board.countdowns.len())
}

/// Draws one countdown in one or two rows.
pub fn draw_row(canvas: &mut Canvas, row: Rect, i: usize, countdown: &Countdown, clock: &Clock, ui: &Ui) {
    let chosen = ui.chosen == Some(Chosen::Running(countdown.step));
    if chosen {
        canvas.lay(row, Meaning::Chosen);
    }
    if i < 9 {
        let command = Command::Row(u8::try_from(i + 1).unwrap_or(9));
        canvas.hit(row, command);
        canvas.say(row, 0, 0, &(i + 1).to_string(), Meaning::Muted);
    }
    let left = countdown.due - clock.now();
    let time = text::fit_right(&clock.over(countdown.due), 10);
    let (style, name) = if left <= -1000 {
        (canvas.style(Meaning::Late), Modifier::BOLD)
    } else if left <= SOON {
        (canvas.style(Meaning::Soon), Modifier::BOLD)
    } else {
        (canvas.style(Meaning::Text), Modifier::empty())
    };
    // The ground of "soon" is laid under the time alone, one column wider than it.
    let words = text::clean(time.trim_start());
    let x = 12_u16.saturating_sub(u16::try_from(text::width(&words)).unwrap_or(0));
    let soon = left <= SOON && left > -1000;
    if soon {
        canvas.put(row, x.saturating_sub(1), 0, &format!(" {words} "), style);
    } else {
        canvas.put(row, x, 0, &words, style);
    }
    let bar = match row.width {
        ..44 => 0,
        44..60 => 10,
        60..90 => 16,
        _ => 24,
    };
    let name_room = row.width.saturating_sub(14 + bar + u16::from(bar > 0));
    let line = Rect { width: (14 + name_room).min(row.width), height: 1, ..row };
    let strong = canvas.style(Meaning::Text).add_modifier(Modifier::BOLD | name);
    let end = canvas.put(line, 14, 0, &countdown.dish, strong);
    let place = if countdown.place.is_empty() { String::new() } else { format!("  {}", countdown.place) };
    let end = canvas.say(line, end, 0, &place, Meaning::Muted);
    if row.height == 1 && !place.is_empty() && name_room > 24 {
        canvas.say(line, end, 0, &format!("  {}", countdown.sentence), Meaning::Muted);
    }
    if bar > 0 {
        let area = Rect { x: row.right() - bar, width: bar, height: 1, ..row };
        let done = clock.drawn(countdown.due).saturating_sub(countdown.begun);
        let whole = countdown.due.saturating_sub(countdown.begun);
        let meaning = if left <= -1000 { Meaning::Late } else { Meaning::Run };
        let style = canvas.style(meaning).remove_modifier(Modifier::UNDERLINED);
        gauge::draw(canvas, area, done, whole, style);
    }
    if row.height >= 2 {
        let mut words = match &countdown.cue {
            Some(cue) => cue_words(cue),
            None => countdown.sentence.clone(),
        };
        if let Some(core) = &countdown.core {
            words = format!("{words}, {core}");
        }
        canvas.say(row, 14, 1, &words, Meaning::Muted);
        if bar > 0 {
            // The clock time stands under the gauge's end.
        }
    }
}
