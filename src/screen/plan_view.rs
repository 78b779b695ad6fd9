//! The plan on a whole screen: the timeline, and below it every step and turn of an oven with its time.
//! Drawn from the board of a session that has not begun.

use ratatui::{buffer::Buffer, layout::Rect, style::Modifier};

use super::{
    Command, Drawn, Ui,
    canvas::{Canvas, cut_left, cut_top, inset},
    page,
    panes::{
        courses,
        timeline::{
            self, bars, heat,
            scale::{self, Scale},
        },
    },
    text,
    theme::Meaning,
    time::{Clock, MINUTE, length_words},
};
use crate::live::{Action, Board, board::Upcoming};

/// Draws the plan; `first` is the row of the timetable at its top.
pub fn paint(buffer: &mut Buffer, board: &Board, ui: &Ui, first: usize) -> Drawn {
    page::paint(buffer, ui, |canvas, area| {
        draw(canvas, area, board, ui, first)
    })
}

/// The last row that may stand at the top of the timetable.
pub fn last_row(board: &Board) -> usize {
    board.upcoming.len().saturating_sub(1)
}

fn draw(canvas: &mut Canvas, area: Rect, board: &Board, ui: &Ui, first: usize) {
    let commands = [
        (Command::Take, "cook"),
        (Command::Down, "read on"),
        (Command::Up, "read back"),
        (Command::Lanes, "lanes"),
        (Command::Help, "help"),
        (Command::Back, "back"),
    ];
    let clock = Clock::of(board, ui.clock);
    let served = board
        .courses
        .iter()
        .map(|c| format!("{} {}", c.name, clock.at(c.expected)));
    let served = served.collect::<Vec<_>>().join("   ");
    let title = format!("{}: the plan", board.title);
    let rest = page::sheet(canvas, area, ui, &title, &served, &commands);
    let rest = lanes(canvas, rest, board, ui, &clock);
    let (table, side) = if area.width >= 120 {
        cut_left(rest, rest.width.saturating_sub(44), 4)
    } else {
        (rest, Rect::default())
    };
    timetable(canvas, table, board, &clock, first);
    courses::draw(canvas, side, board, ui);
}

/// The whole evening on one scale; gives what is below.
fn lanes(canvas: &mut Canvas, area: Rect, board: &Board, ui: &Ui, clock: &Clock) -> Rect {
    let rows = if ui.by_place {
        bars::places(board)
    } else {
        bars::dishes(&board.lanes)
    };
    let count = u16::try_from(rows.len() + board.ovens.len()).unwrap_or(u16::MAX);
    let room = area.height / 2;
    if room < 4 {
        return area;
    }
    let pitch = if count.saturating_mul(2) < room { 2 } else { 1 };
    let (top, below) = cut_top(
        area,
        count.saturating_mul(pitch).saturating_add(1).min(room),
    );
    let columns = timeline::name_columns(top.width, timeline::names(board));
    let (names, chart) = cut_left(top, columns, 0);
    let all = board.lanes.iter().flat_map(|l| &l.bars);
    let turns = board.upcoming.iter().map(|u| u.at);
    let from = all
        .clone()
        .map(|b| b.from)
        .chain(turns)
        .min()
        .unwrap_or(board.now);
    let to = all
        .map(|b| b.to)
        .chain(board.courses.iter().map(|c| c.expected))
        .max();
    let scale = Scale {
        from: from.saturating_sub(5 * MINUTE),
        to: to.unwrap_or(from).saturating_add(10 * MINUTE),
        columns: chart.width,
    };
    scale::axis(canvas, chart, &scale, clock, None);
    let mut y = 1;
    let line = |y: u16| Rect {
        y: chart.y + y,
        height: u16::from(y < chart.height),
        ..chart
    };
    for row in &rows {
        if pitch == 2 {
            bars::names(canvas, line(y), row, &scale);
        }
        let at = y + pitch - 1;
        timeline::name(canvas, names, at, row.name, Meaning::Muted);
        if line(at).height > 0 {
            bars::draw(canvas, line(at), row, &scale, i64::MIN, pitch == 1);
        }
        y += pitch;
    }
    for (i, oven) in board.ovens.iter().enumerate() {
        timeline::name(canvas, names, y, &oven.name, Meaning::Oven);
        if line(y).height > 0 {
            heat::draw(
                canvas,
                line(y),
                &heat::settings(board, i, board.now),
                &scale,
                board.now,
            );
        }
        y += 1;
    }
    inset(below, 0, 1, 0, 0)
}

fn timetable(canvas: &mut Canvas, area: Rect, board: &Board, clock: &Clock, first: usize) {
    let left = board.upcoming.len().saturating_sub(first);
    let all = left <= usize::from(area.height);
    let rows = if all {
        area.height
    } else {
        area.height.saturating_sub(1)
    };
    for (y, next) in (0..rows).zip(board.upcoming.iter().skip(first)) {
        row(canvas, area, y, next, clock);
    }
    if !all {
        let words = format!("{} more below", left - usize::from(rows));
        canvas.say(area, 0, rows, &words, Meaning::Now);
    }
}

fn row(canvas: &mut Canvas, area: Rect, y: u16, next: &Upcoming, clock: &Clock) {
    let bold = canvas.style(Meaning::Text).add_modifier(Modifier::BOLD);
    let time = text::fit_right(&clock.at(next.at), usize::from(clock.columns()));
    let x = canvas.put(area, 0, y, &time, bold) + 2;
    let (tone, words) = match next.action {
        Action::SetOven(..) => (canvas.style(Meaning::Oven), next.sentence.clone()),
        Action::Serve(_) => (canvas.style(Meaning::Now), next.sentence.clone()),
        _ => (bold, next.sentence.clone()),
    };
    let names = 20.min(area.width / 4);
    let subject = text::name(&next.subject, usize::from(names));
    canvas.put(area, x, y, &subject, tone);
    let hands = if next.hands { "hands " } else { "" };
    let length = match next.length {
        0 => String::new(),
        length => format!("{hands}{}", length_words(length)),
    };
    let x = canvas.say(
        area,
        x + names + 1,
        y,
        &text::fit_right(&length, 12),
        Meaning::Muted,
    ) + 2;
    canvas.say(area, x, y, &words, Meaning::Text);
}
