//! A stretch of time laid over columns, with the clock along the top.

use ratatui::{layout::Rect, style::Modifier};

use crate::{
    live::Ms,
    screen::{
        canvas::Canvas,
        theme::Meaning,
        time::{Clock, MINUTE},
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
    pub fn eighths(&self, at: Ms) -> i64 {
        let span = i128::from(self.to.saturating_sub(self.from).max(1));
        let all = i128::from(self.columns) * 8;
        let x = i128::from(at.saturating_sub(self.from)) * all / span;
        i64::try_from(x.clamp(0, all)).unwrap_or(0)
    }

    /// The column of a moment, if it is on the scale.
    pub fn column(&self, at: Ms) -> Option<u16> {
        if at < self.from || at >= self.to {
            return None;
        }
        let x = u16::try_from(self.eighths(at) / 8).ok();
        x.filter(|x| *x < self.columns)
    }

    /// The moment at the left edge of a column.
    pub fn moment(&self, column: u16) -> Ms {
        let span = i128::from(self.to.saturating_sub(self.from).max(1));
        let x = span * i128::from(column) / i128::from(self.columns.max(1));
        self.from.saturating_add(i64::try_from(x).unwrap_or(0))
    }
}

/// The clock along the top: as many round times as fit, none under the time now.
pub fn axis(canvas: &mut Canvas, area: Rect, scale: &Scale, clock: &Clock, now: Option<Ms>) {
    let label = clock.columns();
    let span = scale.to.saturating_sub(scale.from);
    let least = span.saturating_mul(Ms::from(label + 5)) / Ms::from(scale.columns.max(1));
    let step = [5, 10, 15, 30, 60, 120, 240, 480]
        .into_iter()
        .map(|m| m * MINUTE)
        .find(|s| *s >= least)
        .unwrap_or(960 * MINUTE);
    let here = now.and_then(|now| scale.column(now));
    let mut at = clock.round_up(scale.from, step);
    for _ in 0..64 {
        if at >= scale.to {
            break;
        }
        let free = |x: &u16| {
            let fits = x.saturating_add(label) <= scale.columns;
            fits && here.is_none_or(|now| now.abs_diff(*x) > label)
        };
        if let Some(x) = scale.column(at).filter(free) {
            canvas.say(area, x, 0, &clock.at(at), Meaning::Muted);
        }
        at = at.saturating_add(step);
    }
}

/// The line at now: its time on the axis, and down through every empty cell.
pub fn here(canvas: &mut Canvas, area: Rect, scale: &Scale, clock: &Clock, now: Ms) {
    let Some(x) = scale.column(now) else {
        return;
    };
    let style = canvas.style(Meaning::Here).add_modifier(Modifier::BOLD);
    let words = clock.at(now);
    canvas.put(area, x, 0, &words, style.add_modifier(Modifier::UNDERLINED));
    for y in 1..area.height {
        if canvas.is_empty(area.x + x, area.y + y) {
            canvas.dot(area.x + x, area.y + y, "\u{254e}", style);
        }
    }
}
