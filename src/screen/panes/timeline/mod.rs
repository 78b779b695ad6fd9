//! The timeline of the evening: a lane a dish (or a place), the ovens' temperature, a line at now.

pub mod bars;
pub mod heat;
pub mod scale;
pub mod served;

use ratatui::layout::Rect;

use scale::Scale;

use crate::{
    live::{Board, Ms, board::Phase},
    screen::{
        Command, Ui,
        canvas::{Canvas, cut_left},
        text,
        theme::Meaning,
        time::{Clock, MINUTE},
    },
};

/// How many rows the pane would like: the clock, the courses, the lanes, the ovens. `named`: with the names of bars above
/// them.
pub fn wanted(board: &Board, ui: &Ui, named: bool) -> u16 {
    let lanes = if ui.by_place {
        bars::places(board).len()
    } else {
        board.lanes.len()
    };
    let lanes = lanes * if ui.compares() || named { 2 } else { 1 };
    u16::try_from(2 + lanes + board.ovens.len()).unwrap_or(u16::MAX)
}

/// What the timeline shows: from a little before now to the last course, at most six hours at once.
pub fn window(board: &Board, ui: &Ui, columns: u16) -> Scale {
    let now = Clock::of(board, ui.clock).minute();
    let courses = board.courses.iter().map(|c| c.expected);
    let ends = board
        .lanes
        .iter()
        .filter_map(|l| l.bars.last())
        .map(|b| b.to);
    let last = courses.chain(ends).max().unwrap_or(now);
    if matches!(board.phase, Phase::After { .. }) {
        // Nothing comes any more: the evening as it was.
        let begins = board.lanes.iter().filter_map(|l| l.bars.first());
        let from = begins.map(|b| b.from).min().unwrap_or(now);
        return Scale {
            from: from.saturating_sub(5 * MINUTE),
            to: last.saturating_add(10 * MINUTE),
            columns,
        };
    }
    let back = 20 * MINUTE;
    let ahead = last.saturating_add(10 * MINUTE).saturating_sub(now);
    let span = ahead.clamp(60 * MINUTE, 360 * MINUTE).saturating_add(back);
    let shift = (span / 4).saturating_mul(Ms::from(ui.scroll));
    let from = now.saturating_sub(back).saturating_add(shift);
    Scale {
        from,
        to: from.saturating_add(span),
        columns,
    }
}

/// Columns for the names of lanes: as many as they take, and no more than a quarter.
pub fn name_columns<'a>(width: u16, names: impl Iterator<Item = &'a str>) -> u16 {
    let widest = names.map(|name| text::width(name) + 2).max().unwrap_or(0);
    let most = (width / 4).clamp(10, 36);
    u16::try_from(widest).unwrap_or(most).clamp(10, most)
}

/// The names of all lanes and ovens, whichever are shown: so the chart doesn't move when other lanes are.
pub fn names(board: &Board) -> impl Iterator<Item = &str> {
    let lanes = board.lanes.iter().map(|lane| lane.name.as_str());
    lanes.chain(board.ovens.iter().map(|oven| oven.name.as_str()))
}

/// Draws the timeline.
pub fn draw(canvas: &mut Canvas, area: Rect, board: &Board, ui: &Ui) {
    if area.height < 2 || area.width < 30 {
        return;
    }
    let rows = if ui.by_place {
        bars::places(board)
    } else {
        bars::dishes(&board.lanes)
    };
    let columns = name_columns(area.width, names(board));
    let (names, chart) = cut_left(area, columns, 0);
    let scale = window(board, ui, chart.width);
    let clock = Clock::of(board, ui.clock);
    let now = clock.minute();
    let (earlier, later) = cut_left(chart, chart.width / 2, 0);
    canvas.hit(earlier, Command::Earlier);
    canvas.hit(later, Command::Later);
    scale::axis(canvas, chart, &scale, &clock, Some(now));
    // After the meal nothing is set any more, and there is no line at now.
    let over = matches!(board.phase, Phase::After { .. });
    let ovens = u16::try_from(board.ovens.len()).unwrap_or(u16::MAX);
    let ovens = if over { 0 } else { ovens.min(area.height - 1) };
    let room = area.height - 1 - ovens;
    // The courses have a row if the lanes that come first leave one.
    let courses = u16::from(room >= 4 && !board.courses.is_empty());
    let room = room - courses;
    let compares = ui.compares();
    let each = if compares { 2 } else { 1 };
    let rows = bars::fitting(rows, usize::from(room / each), now);
    let count = u16::try_from(rows.len()).unwrap_or(u16::MAX);
    // With room for two rows a lane, the plan, or the names of its bars, stand above them.
    let pitch = if compares || count.saturating_mul(2) <= room {
        2
    } else {
        1
    };
    if courses > 0 {
        name(canvas, names, 1, "courses", Meaning::Muted);
        let line = Rect {
            y: chart.y + 1,
            height: 1,
            ..chart
        };
        served::draw(canvas, line, &board.courses, &scale, &clock);
    }
    let mut y = 1 + courses;
    for row in &rows {
        let line = |y: u16| Rect {
            y: chart.y + y,
            height: 1,
            ..chart
        };
        let at = y + pitch - 1;
        name(canvas, names, at, row.name, Meaning::Muted);
        if let Some(lane) = ui.planned.iter().find(|l| compares && l.name == row.name) {
            name(canvas, names, y, "planned", Meaning::Muted);
            // Grey, as what is past: the evening itself has the colours.
            let planned = bars::Row::of(lane);
            bars::draw(canvas, line(y), &planned, &scale, Ms::MAX, true);
        } else if pitch == 2 {
            bars::names(canvas, line(y), row, &scale);
        }
        bars::draw(canvas, line(at), row, &scale, now, pitch == 1 || compares);
        y += pitch;
    }
    for (i, oven) in board.ovens.iter().take(usize::from(ovens)).enumerate() {
        name(canvas, names, y, &oven.name, Meaning::Oven);
        let line = Rect {
            y: chart.y + y,
            height: 1,
            ..chart
        };
        heat::draw(canvas, line, &heat::settings(board, i, now), &scale, now);
        y += 1;
    }
    let chart = Rect {
        height: y.min(area.height),
        ..chart
    };
    if !over {
        scale::here(canvas, chart, &scale, &clock, now);
    }
}

/// Writes the name of a lane.
pub fn name(canvas: &mut Canvas, area: Rect, y: u16, words: &str, meaning: Meaning) {
    let area = Rect {
        width: area.width.saturating_sub(1),
        ..area
    };
    let words = text::name(words, usize::from(area.width));
    canvas.say(area, 0, y, &words, meaning);
}
