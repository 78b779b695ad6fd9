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

/// Draws the running steps; gives how many are shown.
pub fn draw(canvas: &mut Canvas, area: Rect, board: &Board, ui: &Ui) -> usize {
    if area.height == 0 {
        return 0;
    }
    canvas.say(area, 0, 0, "running", Meaning::Muted);
    if board.countdowns.is_empty() {
        canvas.say(area, 0, 1, "nothing", Meaning::Done);
        return 0;
    }
    let room = area.height - 1;
    let clock = Clock::of(board, ui.clock);
    let count = u16::try_from(board.countdowns.len()).unwrap_or(u16::MAX);
    let (rows, air) = if count.saturating_mul(4) <= room + 1 {
        // With room to spare a cue has as many rows as it takes, if there is room for all of them.
        let whole = |c: &Countdown| 2 + cue_rows(c, area.width);
        let all: u16 = board.countdowns.iter().map(|c| whole(c) + 1).sum();
        match all <= room + 1 {
            true => (None, 1),
            false => (Some(3), 1),
        }
    } else {
        // Name and gauge; the cue below; the gauge on a row of its own.
        let fits = |tall: &u16| count.saturating_mul(*tall) <= room;
        (Some((1..=3).rev().find(fits).unwrap_or(1)), 0)
    };
    let mut y = 1;
    let mut shown = 0;
    for (i, countdown) in board.countdowns.iter().enumerate() {
        let height = rows.unwrap_or_else(|| 2 + cue_rows(countdown, area.width));
        if y + height > area.height {
            break;
        }
        let row = Rect {
            y: area.y + y,
            height,
            ..area
        };
        draw_row(canvas, row, i, countdown, &clock, ui);
        y += height + air;
        shown += 1;
    }
    let hidden = board.countdowns.len().saturating_sub(shown);
    if hidden > 0 {
        canvas.say_right(area, 0, &format!("{hidden} more"), Meaning::Muted);
    }
    shown.min(board.countdowns.len())
}

/// What is said below a name: the core's temperature, the cue, or else the sentence.
fn below(countdown: &Countdown) -> String {
    let cue = countdown.cue.as_ref().map(|cue| cue_words(cue));
    let parts: Vec<String> = countdown.core.clone().into_iter().chain(cue).collect();
    match parts.is_empty() {
        true => countdown.sentence.clone(),
        false => parts.join(", "),
    }
}

/// Rows that what is said below a name takes, at most three.
fn cue_rows(countdown: &Countdown, width: u16) -> u16 {
    let lines = text::wrap(&below(countdown), usize::from(width.saturating_sub(NAME)));
    u16::try_from(lines.len()).unwrap_or(3).clamp(1, 3)
}

/// Column at which names begin.
const NAME: u16 = 11;

/// How a countdown's time is written.
fn time(canvas: &mut Canvas, row: Rect, countdown: &Countdown, clock: &Clock) -> Tone {
    let left = countdown.due.saturating_sub(clock.now());
    let tone = if left <= -1000 {
        Tone::Over
    } else if left <= SOON {
        Tone::Soon
    } else {
        Tone::Calm
    };
    let (words, meaning) = match tone {
        Tone::Over => (
            format!("+{}", clock.left(countdown.due).trim_end_matches(" ago")),
            Meaning::Late,
        ),
        Tone::Soon => (format!(" {} ", clock.left(countdown.due)), Meaning::Soon),
        Tone::Calm => (clock.left(countdown.due), Meaning::Text),
    };
    let wide = u16::try_from(text::width(&words)).unwrap_or(0);
    let end = if tone == Tone::Soon {
        NAME - 1
    } else {
        NAME - 2
    };
    canvas.say(row, end.saturating_sub(wide), 0, &words, meaning);
    tone
}

#[derive(Clone, Copy, PartialEq)]
enum Tone {
    Calm,
    Soon,
    Over,
}

/// Draws one countdown: one row with its gauge; two, its cue; three, a gauge across.
pub fn draw_row(
    canvas: &mut Canvas,
    row: Rect,
    i: usize,
    countdown: &Countdown,
    clock: &Clock,
    ui: &Ui,
) {
    if ui.chosen == Some(Chosen::Running(countdown.step)) {
        canvas.lay(row, Meaning::Chosen);
    }
    if i < 9 {
        canvas.hit(row, Command::Row(u8::try_from(i + 1).unwrap_or(9)));
        canvas.say(row, 0, 0, &(i + 1).to_string(), Meaning::Muted);
    }
    let tone = time(canvas, row, countdown, clock);
    let bar = match row.width {
        ..36 => 0,
        36..60 => 9,
        60..90 => 16,
        _ => 24,
    };
    // At the right, the gauge, or where it has a row of its own, the clock time.
    let right = if row.height >= 3 {
        clock.columns() + 1
    } else {
        bar
    };
    let line = Rect {
        width: row.width.saturating_sub(right + 1),
        height: 1,
        ..row
    };
    let strong = canvas.style(Meaning::Text).add_modifier(Modifier::BOLD);
    let over = if tone == Tone::Over { 5 } else { 0 };
    let room = usize::from(line.width.saturating_sub(NAME + over));
    let dish = text::name(&countdown.dish, room);
    let mut end = canvas.put(line, NAME, 0, &dish, strong);
    if tone == Tone::Over {
        end = canvas.say(line, end + 1, 0, "over", Meaning::Late);
    }
    let wide = u16::try_from(text::width(&countdown.place)).unwrap_or(u16::MAX);
    if wide > 0 && end.saturating_add(wide).saturating_add(2) <= line.width {
        end = canvas.say(line, end + 2, 0, &countdown.place, Meaning::Muted);
    }
    if row.height == 1 && line.width > end + 14 {
        let room = usize::from(line.width.saturating_sub(end + 2));
        let words = text::clause(&countdown.sentence, room);
        canvas.say(line, end + 2, 0, &words, Meaning::Muted);
    }
    let area = match row.height {
        3.. => Rect {
            x: row.x + NAME.min(row.width),
            width: row.width.saturating_sub(NAME),
            y: row.bottom().saturating_sub(1),
            height: 1,
        },
        _ => Rect {
            x: row.right() - bar.min(row.width),
            width: bar,
            height: 1,
            ..row
        },
    };
    let done = clock.drawn(countdown.due).saturating_sub(countdown.begun);
    let whole = countdown.due.saturating_sub(countdown.begun);
    let meaning = if tone == Tone::Over {
        Meaning::Late
    } else {
        Meaning::Run
    };
    let style = canvas.style(meaning).remove_modifier(Modifier::UNDERLINED);
    gauge::draw(canvas, area, done, whole, style);
    if row.height >= 3 {
        canvas.say_right(row, 0, &clock.at(countdown.due), Meaning::Muted);
    }
    if row.height >= 2 {
        let rows = row.height.saturating_sub(2).max(1);
        let room = usize::from(row.width.saturating_sub(NAME));
        let lines = text::wrap_in(&below(countdown), room, usize::from(rows));
        for (y, words) in (1..=rows).zip(&lines) {
            canvas.say(row, NAME, y, words, Meaning::Muted);
        }
    }
}
