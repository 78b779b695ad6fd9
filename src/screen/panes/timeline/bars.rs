//! Lanes and their bars.
//!
//! Hands-on parts are thick, unattended ones thin, so that they are told apart without colour. What is written
//! on a thick bar is reversed, on a thin one underlined: the bar goes on under its name.

use ratatui::{
    layout::Rect,
    style::{Modifier, Style},
};

use super::scale::Scale;
use crate::{
    live::{
        Board, Ms,
        board::{Bar, Lane, Progress},
    },
    screen::{canvas::Canvas, gauge::EIGHTHS, text, theme::Meaning},
};

/// A row of bars that don't overlap; empty names are the further rows of a lane.
#[derive(Debug)]
pub struct Row<'a> {
    /// Its name.
    pub name: &'a str,
    /// Its bars.
    pub bars: Vec<&'a Bar>,
}

impl<'a> Row<'a> {
    /// A lane as one row.
    pub fn of(lane: &'a Lane) -> Self {
        Row {
            name: &lane.name,
            bars: lane.bars.iter().collect(),
        }
    }
}

/// One row a dish.
pub fn dishes(lanes: &[Lane]) -> Vec<Row<'_>> {
    lanes.iter().map(Row::of).collect()
}

/// Rows by place: hands, each oven, burners; bars that overlap take rows of their own.
pub fn places(board: &Board) -> Vec<Row<'_>> {
    let mut rows = Vec::new();
    let bars = || board.lanes.iter().flat_map(|l| &l.bars);
    stack(&mut rows, "hands", bars().filter(|b| b.hands).collect());
    for (i, oven) in board.ovens.iter().enumerate() {
        let inside = bars().filter(|b| b.oven == Some(i)).collect();
        stack(&mut rows, &oven.name, inside);
    }
    let burning = bars().filter(|b| b.burners > 0).collect();
    stack(&mut rows, "burners", burning);
    rows
}

fn stack<'a>(rows: &mut Vec<Row<'a>>, name: &'a str, mut bars: Vec<&'a Bar>) {
    bars.sort_by_key(|b| (b.from, b.to, b.step));
    let first = rows.len();
    rows.push(Row { name, bars: vec![] });
    for bar in bars {
        let fits = |row: &&mut Row| row.bars.last().is_none_or(|b| b.to <= bar.from);
        match rows.iter_mut().skip(first).find(fits) {
            Some(row) => row.bars.push(bar),
            None => rows.push(Row {
                name: "",
                bars: vec![bar],
            }),
        }
    }
}

/// The rows that fit: those with nothing left go first, then those whose turn comes last.
pub fn fitting(rows: Vec<Row<'_>>, room: usize, now: Ms) -> Vec<Row<'_>> {
    if rows.len() <= room {
        return rows;
    }
    let turn = |row: &Row| {
        let left = row.bars.iter().filter(|b| b.to > now).map(|b| b.from);
        left.min().unwrap_or(Ms::MAX)
    };
    let mut turns: Vec<(Ms, usize)> = rows.iter().map(turn).zip(0..).collect();
    turns.sort_unstable();
    let kept: Vec<usize> = turns.into_iter().take(room).map(|(_, i)| i).collect();
    let all = rows.into_iter().enumerate();
    all.filter(|(i, _)| kept.contains(i))
        .map(|(_, row)| row)
        .collect()
}

/// Draws the bars of one row; what lies before `now` is drawn as done. `labels`: names on the bars.
pub fn draw(canvas: &mut Canvas, area: Rect, row: &Row, scale: &Scale, now: Ms, labels: bool) {
    for bar in visible(row, scale) {
        one(canvas, area, bar, scale, now);
    }
    let bars: Vec<&Bar> = visible(row, scale).filter(|_| labels).collect();
    for (i, bar) in bars.iter().enumerate() {
        // Where a later bar lies over it, it has no room for its name.
        let over = bars.iter().skip(i + 1).map(|b| b.from).min();
        let to = over.map_or(bar.to, |over| bar.to.min(over));
        label(canvas, area, bar, to, scale, now);
    }
}

/// Draws the names of a row's bars on a row of their own, each above its bar's beginning, or as far before it as it takes
/// to end before the next name begins. A name that has no room whole is not written.
pub fn names(canvas: &mut Canvas, area: Rect, row: &Row, scale: &Scale) {
    let bars: Vec<&Bar> = visible(row, scale).collect();
    let mut end = scale.columns;
    let mut places: Vec<(u16, &Bar)> = Vec::new();
    for (i, bar) in bars.iter().enumerate().rev() {
        let from = u16::try_from(scale.eighths(bar.from) / 8).unwrap_or(u16::MAX);
        let wide = u16::try_from(text::width(&bar.label)).unwrap_or(u16::MAX);
        // It may reach back over a gap, not over the bar before it.
        let before = match i.checked_sub(1).and_then(|i| bars.get(i)) {
            Some(before) => scale.eighths(before.from) / 8 + 1,
            None => 0,
        };
        let x = from.min(end.saturating_sub(wide));
        if wide > end || i64::from(x) < before {
            continue;
        }
        end = x.saturating_sub(1);
        places.push((x, bar));
    }
    for (x, bar) in places {
        let meaning = match bar.progress {
            Progress::Running => Meaning::Text,
            _ => Meaning::Muted,
        };
        canvas.say(area, x, 0, &bar.label, meaning);
    }
}

fn visible<'a>(row: &'a Row, scale: &'a Scale) -> impl Iterator<Item = &'a Bar> {
    let bars = row.bars.iter().copied();
    bars.filter(|bar| bar.to > scale.from && bar.from < scale.to)
        .filter(|bar| bar.progress != Progress::Skipped)
}

fn bar_style(canvas: &Canvas, bar: &Bar, now: Ms) -> Style {
    let style = match bar.progress {
        // Without a now nothing is past.
        Progress::Done if now > Ms::MIN => canvas.style(Meaning::Done),
        _ if bar.hands => canvas.style(Meaning::Hands),
        _ => canvas.style(Meaning::Rest),
    };
    if bar.progress == Progress::Running {
        style.add_modifier(Modifier::BOLD)
    } else {
        style
    }
}

fn one(canvas: &mut Canvas, area: Rect, bar: &Bar, scale: &Scale, now: Ms) {
    let style = bar_style(canvas, bar, now);
    let from = scale.eighths(bar.from);
    // One eighth is left free at the end, so that two bars that meet are seen as two.
    let to = (scale.eighths(bar.to) - 1).max(from + 1);
    let (first, last) = (from / 8, (to - 1).max(from) / 8);
    let columns = u16::try_from(last - first + 1).unwrap_or(1);
    let Ok(left) = u16::try_from(first) else {
        return;
    };
    for i in 0..columns.min(scale.columns.saturating_sub(left)) {
        let at = (first + i64::from(i)) * 8;
        let part = usize::try_from((to - at).clamp(1, 8)).unwrap_or(8);
        let glyph = match (bar.hands, part) {
            (true, part) => EIGHTHS.get(part - 1).copied().unwrap_or("\u{2588}"),
            (false, 5..) => "\u{2584}",
            (false, _) if columns == 1 => "\u{2584}",
            (false, _) => "\u{2596}",
        };
        let past = scale.moment(left + i) < now;
        let style = if past {
            canvas.style(Meaning::Done)
        } else {
            style
        };
        canvas.dot(area.x + left + i, area.y, glyph, style);
    }
}

/// Writes a bar's name on it, where from its beginning to `to` there is room for all of it.
fn label(canvas: &mut Canvas, area: Rect, bar: &Bar, to: Ms, scale: &Scale, now: Ms) {
    let column = |at: Ms| u16::try_from(scale.eighths(at) / 8).unwrap_or(u16::MAX);
    let (mut left, right) = (column(bar.from), column(to));
    if bar.progress == Progress::Running && now > Ms::MIN && column(now) < right {
        // What is past of it is grey.
        left = left.max(column(now).saturating_add(1));
    }
    let wide = u16::try_from(text::width(&bar.label)).unwrap_or(u16::MAX);
    // A cell of the bar is seen at each side.
    if wide == 0 || right.saturating_sub(left) < wide.saturating_add(3) {
        return;
    }
    let under = if bar.hands {
        Modifier::REVERSED
    } else {
        Modifier::UNDERLINED
    };
    let style = bar_style(canvas, bar, now).add_modifier(under);
    canvas.put(area, left + 1, 0, &bar.label, style);
}
