//! The timeline of the evening: a lane a dish (or a place), the ovens' temperature, a line at now.
//!
//! Hands-on parts are thick, unattended ones thin, so that they are told apart without colour. What is written
//! on a thick bar is reversed, on a thin one underlined: the bar goes on under its name.

use ratatui::{
    layout::Rect,
    style::{Modifier, Style},
};

use crate::{
    live::{
        Action, Board, Ms,
        board::{Bar, Progress},
        event::Setting,
    },
    screen::{
        Command, Ui,
        canvas::Canvas,
        gauge::{EIGHTHS, HEIGHTS},
        text,
        theme::Meaning,
        time::{Clock, ClockFormat, MINUTE},
    },
};

/// A stretch of time laid over columns.
#[derive(Clone, Copy, Debug)]
pub struct Scale {
    /// At the left edge.
    pub from: Ms,
    /// At the right edge.
    pub to: Ms,
    /// How many columns.
    pub columns: u16,
}

impl Scale {
    /// Eighths of a column from the left edge to a moment, kept within the columns.
    fn eighths(&self, at: Ms) -> i64 {
        let span = i128::from((self.to - self.from).max(1));
        let all = i128::from(self.columns) * 8;
        let x = i128::from(at.saturating_sub(self.from)) * all / span;
        i64::try_from(x.clamp(0, all)).unwrap_or(0)
    }

    /// The column of a moment, if it is on the scale.
    fn column(&self, at: Ms) -> Option<u16> {
        if at < self.from || at >= self.to {
            return None;
        }
        u16::try_from(self.eighths(at) / 8)
            .ok()
            .filter(|x| *x < self.columns)
    }

    /// The moment at the left edge of a column.
    pub fn moment(&self, column: u16) -> Ms {
        let span = i128::from((self.to - self.from).max(1));
        let x = span * i128::from(column) / i128::from(self.columns.max(1));
        self.from.saturating_add(i64::try_from(x).unwrap_or(0))
    }
}

/// A lane to be drawn: its name, and rows of bars that don't overlap.
#[derive(Debug)]
pub struct Row<'a> {
    /// Its name; empty for the further rows of a lane.
    pub name: String,
    /// Its bars.
    pub bars: Vec<&'a Bar>,
}

/// How many rows the pane would like: the clock, the lanes, the ovens.
pub fn wanted(board: &Board, ui: &Ui) -> u16 {
    let lanes = if ui.by_place {
        places(board).len()
    } else {
        board.lanes.len()
    };
    u16::try_from(1 + lanes + board.ovens.len()).unwrap_or(u16::MAX)
}

/// What the timeline shows: from a little before now to the last course, at most six hours at once.
pub fn window(board: &Board, ui: &Ui, columns: u16) -> Scale {
    let clock = Clock::of(board, ui.clock);
    let now = clock.minute();
    let last = board
        .courses
        .iter()
        .map(|c| c.expected)
        .max()
        .unwrap_or(now);
    let ends = board
        .lanes
        .iter()
        .filter_map(|l| l.bars.last())
        .map(|b| b.to)
        .max();
    let to = last.max(ends.unwrap_or(last)).saturating_add(10 * MINUTE);
    let back = 20 * MINUTE;
    let span = (to.saturating_sub(now))
        .clamp(60 * MINUTE, 360 * MINUTE)
        .saturating_add(back);
    let shift = (span / 4).saturating_mul(Ms::from(ui.scroll));
    let from = now.saturating_sub(back).saturating_add(shift);
    Scale {
        from,
        to: from.saturating_add(span),
        columns,
    }
}

/// Lanes by place: hands, each oven, burners; bars that overlap take rows of their own.
pub fn places(board: &Board) -> Vec<Row<'_>> {
    let mut rows = Vec::new();
    let bars = || board.lanes.iter().flat_map(|l| &l.bars);
    stack(&mut rows, "hands", bars().filter(|b| b.hands).collect());
    for (i, oven) in board.ovens.iter().enumerate() {
        stack(
            &mut rows,
            &oven.name,
            bars().filter(|b| b.oven == Some(i)).collect(),
        );
    }
    stack(
        &mut rows,
        "burners",
        bars().filter(|b| b.burners > 0).collect(),
    );
    rows
}

fn stack<'a>(rows: &mut Vec<Row<'a>>, name: &str, mut bars: Vec<&'a Bar>) {
    bars.sort_by_key(|b| (b.from, b.to, b.step));
    let first = rows.len();
    rows.push(Row {
        name: name.to_owned(),
        bars: vec![],
    });
    for bar in bars {
        let free = rows
            .iter_mut()
            .skip(first)
            .find(|r| r.bars.last().is_none_or(|b| b.to <= bar.from));
        match free {
            Some(row) => row.bars.push(bar),
            None => rows.push(Row {
                name: String::new(),
                bars: vec![bar],
            }),
        }
    }
}

/// Lanes by dish.
fn dishes(board: &Board) -> Vec<Row<'_>> {
    let row = |l: &'_ crate::live::board::Lane| l.name.clone();
    board
        .lanes
        .iter()
        .map(|l| Row {
            name: row(l),
            bars: l.bars.iter().collect(),
        })
        .collect()
}

/// Draws the timeline.
pub fn draw(canvas: &mut Canvas, area: Rect, board: &Board, ui: &Ui) {
    if area.height < 2 || area.width < 30 {
        return;
    }
    let lanes = if ui.by_place {
        places(board)
    } else {
        dishes(board)
    };
    let names = (area.width / 5).clamp(10, 24);
    let chart = Rect {
        x: area.x + names,
        width: area.width - names,
        ..area
    };
    let scale = window(board, ui, chart.width);
    let clock = Clock::of(board, ui.clock);
    canvas.hit(
        Rect {
            width: chart.width / 2,
            ..chart
        },
        Command::Earlier,
    );
    canvas.hit(
        Rect {
            x: chart.x + chart.width / 2,
            width: chart.width - chart.width / 2,
            ..chart
        },
        Command::Later,
    );
    axis(canvas, chart, &scale, &clock, ui.clock);
    let ovens = u16::try_from(board.ovens.len())
        .unwrap_or(0)
        .min(area.height - 1);
    let room = area.height - 1 - ovens;
    let lanes = chosen(lanes, usize::from(room), clock.minute());
    for (i, row) in lanes.iter().enumerate() {
        let y = 1 + u16::try_from(i).unwrap_or(0);
        canvas.say(
            Rect {
                width: names - 1,
                ..area
            },
            0,
            y,
            &row.name,
            Meaning::Muted,
        );
        bars(
            canvas,
            Rect {
                y: chart.y + y,
                height: 1,
                ..chart
            },
            row,
            &scale,
            clock.minute(),
        );
    }
    let used = u16::try_from(lanes.len()).unwrap_or(u16::MAX).min(room);
    for (i, oven) in board.ovens.iter().take(usize::from(ovens)).enumerate() {
        let y = 1 + used + u16::try_from(i).unwrap_or(0);
        canvas.say(
            Rect {
                width: names - 1,
                ..area
            },
            0,
            y,
            &oven.name,
            Meaning::Oven,
        );
        heat(
            canvas,
            Rect {
                y: chart.y + y,
                height: 1,
                ..chart
            },
            board,
            i,
            &scale,
            &clock,
        );
    }
    here(
        canvas,
        Rect {
            height: (1 + used + ovens).min(area.height),
            ..chart
        },
        &scale,
        &clock,
    );
}

/// The lanes that fit: those with nothing left go first, then those whose turn comes last.
fn chosen(lanes: Vec<Row<'_>>, room: usize, now: Ms) -> Vec<Row<'_>> {
    if lanes.len() <= room {
        return lanes;
    }
    let turn = |row: &Row| {
        row.bars
            .iter()
            .filter(|b| b.to > now)
            .map(|b| b.from)
            .min()
            .unwrap_or(Ms::MAX)
    };
    let mut turns: Vec<(Ms, usize)> = lanes.iter().map(turn).zip(0..).collect();
    turns.sort_unstable();
    let kept: Vec<usize> = turns.into_iter().take(room).map(|(_, i)| i).collect();
    let all = lanes.into_iter().enumerate();
    all.filter(|(i, _)| kept.contains(i))
        .map(|(_, row)| row)
        .collect()
}

/// The clock along the top: as many round times as fit.
pub fn axis(canvas: &mut Canvas, area: Rect, scale: &Scale, clock: &Clock, format: ClockFormat) {
    let label = if format == ClockFormat::H12 { 8 } else { 5 };
    let least = Ms::from(label + 5) * (scale.to - scale.from) / Ms::from(scale.columns.max(1));
    let step = [5, 10, 15, 30, 60, 120, 240, 480]
        .into_iter()
        .map(|m| m * MINUTE)
        .find(|s| *s >= least)
        .unwrap_or(960 * MINUTE);
    // Round times of the wall clock, not of the session.
    let words = clock.at(scale.from);
    let minutes = minutes_of_day(&words);
    let first = scale.from.div_euclid(MINUTE) * MINUTE + clock.minute().rem_euclid(MINUTE);
    let past = (minutes * MINUTE).rem_euclid(step);
    let mut at = first + (step - past) % step;
    let mut guard = 0;
    while at < scale.to && guard < 64 {
        let free = |x: &u16| {
            scale
                .column(clock.minute())
                .is_none_or(|now| now.abs_diff(*x) > label + 1)
        };
        if let Some(x) = scale.column(at).filter(free) {
            canvas.say(area, x, 0, &clock.at(at), Meaning::Muted);
        }
        at += step;
        guard += 1;
    }
}

fn minutes_of_day(words: &str) -> Ms {
    let half = if words.ends_with("pm") { 720 } else { 0 };
    let digits = words.trim_end_matches([' ', 'a', 'p', 'm']);
    let (h, m) = digits.split_once(':').unwrap_or(("0", "0"));
    let (h, m) = (h.parse::<Ms>().unwrap_or(0), m.parse::<Ms>().unwrap_or(0));
    let h = if words.ends_with('m') { h % 12 } else { h };
    h * 60 + m + half
}

/// Draws the bars of one row.
///
/// What lies before `now` is drawn as done.
pub fn bars(canvas: &mut Canvas, area: Rect, row: &Row, scale: &Scale, now: Ms) {
    for bar in &row.bars {
        if bar.to <= scale.from || bar.from >= scale.to || bar.progress == Progress::Skipped {
            continue;
        }
        one(canvas, area, bar, scale, now);
    }
}

fn bar_style(canvas: &Canvas, bar: &Bar) -> Style {
    let style = match bar.progress {
        Progress::Done => canvas.style(Meaning::Done),
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
    let style = bar_style(canvas, bar);
    let from = scale.eighths(bar.from);
    // One eighth is left free at the end, so that two bars that meet are seen as two.
    let to = (scale.eighths(bar.to) - 1).max(from + 1);
    let (first, last) = (from / 8, (to - 1).max(from) / 8);
    let columns = u16::try_from(last - first + 1).unwrap_or(1);
    let Ok(left) = u16::try_from(first) else {
        return;
    };
    let x0 = area.x + left;
    for i in 0..columns {
        let at = (first + i64::from(i)) * 8;
        let part = usize::try_from((to - at).clamp(1, 8)).unwrap_or(8);
        let glyph = if bar.hands {
            EIGHTHS.get(part - 1).copied().unwrap_or("█")
        } else if part >= 5 || columns == 1 {
            "▄"
        } else {
            "▖"
        };
        let past = scale.moment(left + i) < now;
        let style = if past {
            canvas.style(Meaning::Done)
        } else {
            style
        };
        if x0 + i < area.right() {
            canvas.dot(x0 + i, area.y, glyph, style);
        }
    }
    let past = scale
        .column(now)
        .map_or(0, |x| (x + 1).saturating_sub(left));
    let (skip, style) = if bar.progress == Progress::Running && past < columns {
        (past, style)
    } else {
        (0, style)
    };
    let (x0, columns) = (x0 + skip, columns - skip);
    let wide = text::width(&bar.label);
    if usize::from(columns) >= wide + 3 && wide > 0 {
        let room = Rect {
            x: x0 + 1,
            width: columns - 2,
            ..area
        };
        let (words, style) = if bar.hands {
            (bar.label.clone(), style.add_modifier(Modifier::REVERSED))
        } else {
            (bar.label.clone(), style.add_modifier(Modifier::UNDERLINED))
        };
        canvas.put(room, 0, 0, &words, style);
    }
}

/// The temperature that an oven is set to, from now on: the setting, then each coming turn of its knob.
fn settings(board: &Board, oven: usize) -> Vec<(Ms, Option<i64>, String)> {
    let degrees = |setting: &Setting| match setting {
        Setting::Off => None,
        Setting::At(t) => i64::try_from(t.to_integer()).ok(),
    };
    let mut all = Vec::new();
    if let Some(pane) = board.ovens.get(oven) {
        all.push((board.now, degrees(&pane.set), pane.set_words.clone()));
    }
    for next in &board.upcoming {
        if let Action::SetOven(o, setting) = &next.action
            && *o == oven
        {
            let words = match degrees(setting) {
                Some(t) => format!("{t} C"),
                None => "off".to_owned(),
            };
            all.push((next.at.max(board.now), degrees(setting), words));
        }
    }
    all
}

fn heat(canvas: &mut Canvas, area: Rect, board: &Board, oven: usize, scale: &Scale, clock: &Clock) {
    let settings = settings(board, oven);
    let style = canvas.style(Meaning::Oven);
    let rule = canvas.style(Meaning::Rule);
    let now = clock.minute();
    for x in 0..area.width {
        let at = scale.moment(x);
        if at < now {
            continue;
        }
        let set = settings
            .iter()
            .rev()
            .find(|(from, ..)| *from <= at.max(board.now))
            .and_then(|(_, t, _)| *t);
        match set {
            Some(t) => {
                let height = usize::try_from((t / 32).clamp(1, 7)).unwrap_or(0);
                canvas.dot(
                    area.x + x,
                    area.y,
                    HEIGHTS.get(height - 1).copied().unwrap_or("▁"),
                    style,
                );
            }
            None => canvas.dot(area.x + x, area.y, "▁", rule),
        }
    }
    let mut free = 0;
    for (from, _, words) in &settings {
        let at = from.max(&scale.from);
        if let Some(x) = scale.column(*at).filter(|x| *x >= free) {
            let x = if *from <= board.now { x + 1 } else { x };
            let bold = canvas.style(Meaning::Oven).add_modifier(Modifier::BOLD);
            let end = canvas.put(area, x, 0, &format!("{words} "), bold);
            free = end;
        }
    }
}

/// The line at now: through every row, over empty cells and under bars' names.
pub fn here(canvas: &mut Canvas, area: Rect, scale: &Scale, clock: &Clock) {
    let Some(x) = scale.column(clock.minute()) else {
        return;
    };
    let style = canvas.style(Meaning::Here).add_modifier(Modifier::BOLD);
    let words = clock.at(clock.now());
    canvas.put(area, x, 0, &words, style.add_modifier(Modifier::UNDERLINED));
    for y in 1..area.height {
        if canvas.is_empty(area.x + x, area.y + y) {
            canvas.dot(area.x + x, area.y + y, "╎", style);
        }
    }
}
