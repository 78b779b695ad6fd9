//! Before the first step: what to get out, and when to begin, or that it is already later than that.

use ratatui::{layout::Rect, style::Modifier};

use super::next;
use crate::{
    live::{Board, Ms},
    screen::{
        Ui,
        canvas::{Canvas, cut_top, inset},
        text,
        theme::Meaning,
        time::Clock,
    },
};

/// Draws what to get out, in as many columns as fit.
pub fn draw(
    canvas: &mut Canvas,
    area: Rect,
    board: &Board,
    ui: &Ui,
    begin: Ms,
    get_out: &[String],
) {
    if area.height == 0 {
        return;
    }
    let clock = Clock::of(board, ui.clock);
    let bold = canvas.style(Meaning::Text).add_modifier(Modifier::BOLD);
    let late = begin.saturating_sub(board.now) <= -1000;
    let words = if late {
        format!(
            "It is already later than planned: the first step was for {}, {}.",
            clock.at(begin),
            clock.left(begin)
        )
    } else {
        format!("Begin at {}, {}.", clock.at(begin), clock.within(begin))
    };
    if late {
        canvas.say(area, 0, 0, &words, Meaning::Late);
    } else {
        canvas.put(area, 0, 0, &words, bold);
    }
    if area.height < 8 {
        let area = inset(area, 0, 1, 0, 0);
        // On the smallest screens what comes first has a row of its own; elsewhere it is told beside.
        let first = u16::from(canvas.area().height < 18 && area.height >= 2);
        next::rows(canvas, cut_top(area, first).0, board, ui);
        let area = inset(area, 0, first, 0, 0);
        // No room for a list: one after the other.
        let words = format!("get out: {}", get_out.join("; "));
        let lines = text::wrap_in(&words, usize::from(area.width), usize::from(area.height));
        for (y, line) in (0..area.height).zip(&lines) {
            canvas.say(area, 0, y, line, Meaning::Text);
        }
        return;
    }
    canvas.say(area, 0, 2, "get out", Meaning::Muted);
    let room = inset(area, 0, 3, 0, 0);
    if fits(room, get_out) {
        list(canvas, room, get_out);
        return;
    }
    let lines = text::wrap_in(
        &get_out.join("; "),
        usize::from(room.width),
        usize::from(room.height),
    );
    for (y, line) in (0..room.height).zip(&lines) {
        canvas.say(room, 0, y, line, Meaning::Text);
    }
}

/// Columns that the widest line takes in a list.
fn widest(area: Rect, lines: &[String]) -> u16 {
    let widest = lines.iter().map(|l| text::width(l)).max().unwrap_or(1) + 3;
    let widest = u16::try_from(widest).unwrap_or(u16::MAX);
    widest.min(area.width).max(1)
}

fn fits(area: Rect, lines: &[String]) -> bool {
    let columns = (area.width / widest(area, lines)).max(1);
    lines.len() <= usize::from(columns) * usize::from(area.height)
}

/// Draws lines down one column after the other, as many as fit; what doesn't fit is counted.
pub fn list(canvas: &mut Canvas, area: Rect, lines: &[String]) {
    if area.height == 0 || area.width == 0 {
        return;
    }
    let widest = widest(area, lines);
    let columns = (area.width / widest).max(1);
    let room = usize::from(columns) * usize::from(area.height);
    let shown = if lines.len() > room {
        room.saturating_sub(1)
    } else {
        lines.len()
    };
    for (i, line) in lines.iter().take(shown).enumerate() {
        let (column, y) = (i / usize::from(area.height), i % usize::from(area.height));
        let x = u16::try_from(column).unwrap_or(0) * widest;
        let cell = Rect {
            x: area.x + x,
            width: widest.saturating_sub(2).min(area.width - x),
            ..area
        };
        canvas.say(cell, 0, u16::try_from(y).unwrap_or(0), line, Meaning::Text);
    }
    if shown < lines.len() {
        let (column, y) = (
            shown / usize::from(area.height),
            shown % usize::from(area.height),
        );
        let x = u16::try_from(column).unwrap_or(0) * widest;
        let words = format!("and {} more", lines.len() - shown);
        canvas.say(
            area,
            x,
            u16::try_from(y).unwrap_or(0),
            &words,
            Meaning::Muted,
        );
    }
}
