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
    let count = u16::try_from(board.countdowns.len()).unwrap_or(u16::MAX);
    // Name and gauge; the cue below; the gauge on a row of its own; air between.
    let fits = |tall: &u16| count.saturating_mul(*tall) <= room + u16::from(*tall == 4);
    let tall = (1..=4).rev().find(fits).unwrap_or(1);
    let clock = Clock::of(board, ui.clock);
    let shown = usize::from((room + u16::from(tall == 4)) / tall);
    for (i, countdown) in board.countdowns.iter().take(shown).enumerate() {
        let y = area.y + 1 + u16::try_from(i).unwrap_or(0) * tall;
        let height = tall.min(3).min(area.bottom().saturating_sub(y));
        draw_row(canvas, Rect { y, height, ..area }, i, countdown, &clock, ui);
    }
    let hidden = board.countdowns.len().saturating_sub(shown);
    if hidden > 0 {
        canvas.say_right(area, 0, &format!("{hidden} more"), Meaning::Muted);
    }
    shown.min(board.countdowns.len())
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
    if !countdown.place.is_empty() {
        end = canvas.say(line, end + 2, 0, &countdown.place, Meaning::Muted);
    }
    if row.height == 1 && line.width > end + 14 {
        canvas.say(line, end + 2, 0, &countdown.sentence, Meaning::Muted);
    }
    let area = match row.height {
        3.. => Rect {
            x: row.x + NAME.min(row.width),
            width: row.width.saturating_sub(NAME),
            y: row.y + 2,
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
        let cue = countdown.cue.as_ref().map(|cue| cue_words(cue));
        let words = countdown
            .core
            .clone()
            .into_iter()
            .chain(cue)
            .collect::<Vec<_>>()
            .join(", ");
        let words = if words.is_empty() {
            countdown.sentence.clone()
        } else {
            words
        };
        canvas.say(row, NAME, 1, &words, Meaning::Muted);
    }
}
