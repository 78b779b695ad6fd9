//! The first line: what is cooked, how far off the next course is, the clock.

use ratatui::{layout::Rect, style::Modifier};

use crate::{
    live::{Board, board::Phase},
    screen::{Ui, canvas::Canvas, text, theme::Meaning, time::Clock},
};

/// Draws the head of the screen.
pub fn draw(canvas: &mut Canvas, area: Rect, board: &Board, ui: &Ui) {
    let clock = Clock::of(board, ui.clock);
    let time = match board.phase {
        // After the meal nothing counts, and the clock rests with it.
        Phase::After { .. } => String::new(),
        _ => clock.at(board.now),
    };
    let bold = canvas.style(Meaning::Text).add_modifier(Modifier::BOLD);
    let wide = u16::try_from(text::width(&time)).unwrap_or(0);
    let right = area.width.saturating_sub(wide);
    canvas.put(area, right, 0, &time, bold);
    let course = course(board, &clock);
    let room = usize::from(right.saturating_sub(2));
    let title = text::clip(&board.title, room);
    let end = canvas.put(area, 0, 0, &title, bold);
    let wide = u16::try_from(text::width(&course)).unwrap_or(u16::MAX);
    if end.saturating_add(wide).saturating_add(6) < right {
        let x = right - wide - 3;
        canvas.say(area, x, 0, &course, Meaning::Muted);
    }
}

/// "Main 20:10, in 48 min": the next course.
fn course(board: &Board, clock: &Clock) -> String {
    match board.courses.iter().find(|c| !c.served) {
        Some(course) => format!(
            "{} at {}, {}",
            course.name,
            clock.at(course.expected),
            clock.within(course.expected)
        ),
        None => String::new(),
    }
}
