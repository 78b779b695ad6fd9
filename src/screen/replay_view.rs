//! A log played back: the cooking screen with a scrubber below it, on which the calls lie.

use ratatui::{buffer::Buffer, layout::Rect, style::Modifier};

use super::{
    Drawn, Ui,
    canvas::{Canvas, cut_bottom, cut_top, inset},
    layout,
    panes::calls,
    scrub,
    theme::Meaning,
    time::{Clock, MINUTE},
};
use crate::live::{Board, Ms, Priority};

/// Where a replay is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Scrubber {
    /// The end of the log, in session time; it begins at 0.
    pub end: Ms,
    /// When calls fell due, in order.
    pub marks: Vec<(Ms, Priority)>,
    /// How many times as fast as the evening was.
    pub speed: u32,
    /// It stands still.
    pub paused: bool,
}

/// Rows of the scrubber.
const ROWS: u16 = 3;

/// Draws a replay into a buffer, all of it.
pub fn paint(buffer: &mut Buffer, board: &Board, ui: &Ui, scrubber: &Scrubber) -> Drawn {
    let mut canvas = Canvas::new(buffer, &ui.theme);
    let area = canvas.area();
    canvas.paper();
    let rows = if area.height >= 12 { ROWS } else { 1 };
    let (above, bar) = cut_bottom(area, rows);
    layout::cook(&mut canvas, above, board, ui);
    draw(&mut canvas, bar, board, ui, scrubber);
    layout::over(&mut canvas, area, board, ui);
    Drawn {
        hits: canvas.hits,
        cursor: canvas.cursor,
    }
}

fn draw(canvas: &mut Canvas, area: Rect, board: &Board, ui: &Ui, scrubber: &Scrubber) {
    canvas.lay(area, Meaning::Raised);
    let area = inset(area, 2, 0, 2, 0);
    let clock = Clock::of(board, ui.clock);
    let bold = canvas.style(Meaning::Text).add_modifier(Modifier::BOLD);
    let state = match scrubber.paused {
        true => "paused".to_owned(),
        false => format!("playing, {} times as fast", scrubber.speed),
    };
    let words = format!(
        "{}  session clock {}  ",
        clock.at(board.now),
        hours(board.now)
    );
    let x = canvas.put(area, 0, 0, &words, bold);
    let x = canvas.say(area, x, 0, &state, Meaning::Now);
    let end = format!("ends {}", hours(scrubber.end));
    if x + 16 < area.width {
        canvas.say_right(area, 0, &end, Meaning::Muted);
    }
    if area.height < ROWS || area.width == 0 {
        return;
    }
    let end = scrubber.end.max(1);
    let column = |at: Ms| {
        let x = i128::from(at.clamp(0, end)) * i128::from(area.width - 1) / i128::from(end);
        u16::try_from(x).unwrap_or(0)
    };
    let (line, bar) = cut_top(inset(area, 0, 1, 0, 0), 1);
    calls::marks(canvas, line, &scrubber.marks, |at| Some(column(at)));
    scrub::draw(canvas, bar, column(board.now));
}

/// The session clock: "3:05:12".
fn hours(at: Ms) -> String {
    let seconds = at.max(0) / 1000;
    format!(
        "{}:{:02}:{:02}",
        seconds / 3600,
        seconds / 60 % 60,
        seconds % 60
    )
}

/// The session time that a column of the scrubber means, for taps: `None` when the tap is elsewhere.
pub fn at_column(size: Rect, scrubber: &Scrubber, column: u16, row: u16) -> Option<Ms> {
    let top = size.bottom().saturating_sub(ROWS);
    if size.height < 12 || row < top || size.width < 6 {
        return None;
    }
    let columns = Ms::from(size.width - 5);
    let x = Ms::from(column.saturating_sub(2)).min(columns);
    // To the minute before it, so that what happens there is seen to happen.
    Some(
        (scrubber.end / columns.max(1))
            .saturating_mul(x)
            .saturating_sub(MINUTE / 4)
            .max(0),
    )
}
