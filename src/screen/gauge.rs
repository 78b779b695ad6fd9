//! Bars of eighth blocks.

use ratatui::{layout::Rect, style::Style};

use super::{canvas::Canvas, theme::Meaning};

/// The left eighths of a cell, from one to all.
pub const EIGHTHS: [&str; 8] = ["▏", "▎", "▍", "▌", "▋", "▊", "▉", "█"];
/// The lower eighths of a cell, from one to all.
pub const HEIGHTS: [&str; 8] = ["▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"];

/// What a gauge of so many cells is filled with: whole cells, and eighths of the one after.
pub fn filled(part: i64, whole: i64, cells: u16) -> (u16, usize) {
    if whole <= 0 {
        return (cells, 0);
    }
    let eighths = i128::from(part.clamp(0, whole)) * i128::from(cells) * 8 / i128::from(whole);
    let eighths = u64::try_from(eighths).unwrap_or(0);
    (
        u16::try_from(eighths / 8).unwrap_or(cells).min(cells),
        usize::try_from(eighths % 8).unwrap_or(0),
    )
}

/// Draws a gauge of one row: how much of `whole` is `part`, on a track that is seen without colour too.
pub fn draw(canvas: &mut Canvas, area: Rect, part: i64, whole: i64, style: Style) {
    if area.height == 0 {
        return;
    }
    let (full, eighths) = filled(part, whole, area.width);
    let track = canvas.style(Meaning::Rule);
    for i in 0..area.width {
        let (glyph, style) = if i < full {
            ("█", style)
        } else if i == full && eighths > 0 {
            (EIGHTHS.get(eighths - 1).copied().unwrap_or(" "), style)
        } else {
            ("▁", track)
        };
        canvas.dot(area.x + i, area.y, glyph, style);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gauge_fills_by_eighths_and_never_overflows() {
        assert_eq!(filled(0, 10, 5), (0, 0));
        assert_eq!(filled(1, 40, 5), (0, 1));
        assert_eq!(filled(39, 40, 5), (4, 7));
        assert_eq!(filled(99, 40, 5), (5, 0));
        assert_eq!(filled(-3, 40, 5), (0, 0));
        assert_eq!(filled(i64::MAX, i64::MAX, u16::MAX), (u16::MAX, 0));
        assert_eq!(filled(1, 0, 5), (5, 0));
    }
}
