//! The bar of a scrubber: what lies behind the place that is looked at, and that place.

use ratatui::{layout::Rect, style::Modifier};

use super::{canvas::Canvas, theme::Meaning};

/// Draws the bar over the first row of an area; `here`: the column that is looked at.
pub fn draw(canvas: &mut Canvas, area: Rect, here: u16) {
    let (run, rule) = (canvas.style(Meaning::Run), canvas.style(Meaning::Rule));
    for x in 0..area.width {
        let (glyph, style) = match x <= here {
            true => ("\u{2584}", run),
            false => ("\u{2581}", rule),
        };
        canvas.dot(area.x + x, area.y, glyph, style);
    }
    let style = canvas.style(Meaning::Here).add_modifier(Modifier::BOLD);
    canvas.dot(area.x + here, area.y, "\u{2588}", style);
}
