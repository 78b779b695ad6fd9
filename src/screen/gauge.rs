//! Bars of block elements.

use ratatui::{layout::Rect, style::Style};

use super::{canvas::Canvas, theme::Meaning};

/// The left eighths of a cell, from one to all.
pub const EIGHTHS: [&str; 8] = ["▏", "▎", "▍", "▌", "▋", "▊", "▉", "█"];
/// The lower eighths of a cell, from one to all.
pub const HEIGHTS: [&str; 8] = ["▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"];

/// What a gauge of so many cells is filled with, in half cells.
pub fn filled(part: i64, whole: i64, cells: u16) -> u16 {
    if whole <= 0 {
        return cells.saturating_mul(2);
    }
    let halves = i128::from(part.clamp(0, whole)) * i128::from(cells) * 2 / i128::from(whole);
    u16::try_from(halves).unwrap_or(u16::MAX)
}

/// Draws a gauge of one row, half a row high: how much of `whole` is `part`, on a track that is seen without
/// colour too. Half height keeps the gauges of two rows apart.
pub fn draw(canvas: &mut Canvas, area: Rect, part: i64, whole: i64, style: Style) {
    if area.height == 0 {
        return;
    }
    let halves = filled(part, whole, area.width);
    let track = canvas.style(Meaning::Rule);
    for i in 0..area.width {
        let (glyph, style) = match halves.saturating_sub(i.saturating_mul(2)) {
            0 => ("▁", track),
            1 => ("▖", style),
            _ => ("▄", style),
        };
        canvas.dot(area.x + i, area.y, glyph, style);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gauge_fills_by_halves_and_never_overflows() {
        assert_eq!(filled(0, 10, 5), 0);
        assert_eq!(filled(1, 10, 5), 1);
        assert_eq!(filled(39, 40, 5), 9);
        assert_eq!(filled(99, 40, 5), 10);
        assert_eq!(filled(-3, 40, 5), 0);
        assert_eq!(filled(i64::MAX, i64::MAX, u16::MAX), u16::MAX);
        assert_eq!(filled(1, 0, 5), 10);
    }
}
