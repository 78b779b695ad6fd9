//! After the last course: what was late, what to cool and store, where the log is.

use ratatui::layout::Rect;

use crate::screen::{canvas::Canvas, text, theme::Meaning};

/// Draws the closing lines.
pub fn draw(canvas: &mut Canvas, area: Rect, lines: &[String]) {
    canvas.say(area, 0, 0, "to close the evening", Meaning::Muted);
    let mut y = 1;
    let columns = usize::from(area.width.saturating_sub(2));
    for line in lines {
        for (i, part) in text::wrap(line, columns).into_iter().enumerate() {
            if y >= area.height {
                return;
            }
            canvas.say(area, if i == 0 { 0 } else { 2 }, y, &part, Meaning::Text);
            y += 1;
        }
    }
}
