//! Unanswered calls: which are to be seen, how they are called, when they blink.

use ratatui::{layout::Rect, style::Modifier};

use crate::{
    live::{Board, Call, Ms, Priority},
    screen::{canvas::Canvas, theme::Meaning, time::Clock},
};

/// A blink is lit for this many ms of each second of the wall clock.
pub const BLINK: i16 = 500;
/// Calls beside the one in focus that are told one by one; more are counted.
const TOLD: usize = 4;

/// The unanswered calls that are to be seen, most urgent first.
pub fn calling(board: &Board) -> impl Iterator<Item = &Call> {
    board.calls.iter().filter(|call| !call.silent)
}

/// The priority of the most urgent call.
pub fn urgency(board: &Board) -> Option<Priority> {
    calling(board).map(|call| call.priority).max()
}

/// Whether what blinks is lit now: always, unless something calls.
pub fn lit(board: &Board) -> bool {
    calling(board).next().is_none() || board.clock.millisecond() < BLINK
}

/// What a priority is called on the screen.
pub fn priority_word(priority: Priority) -> &'static str {
    match priority {
        Priority::High => "AT ONCE",
        Priority::Medium => "NOW",
        Priority::Low => "SOON",
    }
}

/// A call's mark on a line of time, told without colour too: higher is more urgent.
fn mark(priority: Priority) -> (&'static str, Meaning) {
    match priority {
        Priority::Low => (".", Meaning::Muted),
        Priority::Medium => ("!", Meaning::Now),
        Priority::High => ("\u{2588}", Meaning::Late),
    }
}

/// Draws calls on a line of time; where several share a column, the most urgent. `column`: where on the line a moment is.
pub fn marks(
    canvas: &mut Canvas,
    line: Rect,
    calls: &[(Ms, Priority)],
    column: impl Fn(Ms) -> Option<u16>,
) {
    let mut calls: Vec<_> = calls.iter().collect();
    calls.sort_by_key(|(_, priority)| *priority);
    for (at, priority) in calls {
        let (glyph, meaning) = mark(*priority);
        let style = canvas.style(meaning).remove_modifier(Modifier::UNDERLINED);
        if let Some(x) = column(*at) {
            canvas.dot(line.x + x, line.y, glyph, style);
        }
    }
}

/// The calls beside the one in focus, one a line.
pub fn others(board: &Board, clock: &Clock) -> Vec<String> {
    let others: Vec<&Call> = calling(board).filter(|c| !is_focus(c, board)).collect();
    let mut lines: Vec<String> = others.iter().take(TOLD).map(|c| line(c, clock)).collect();
    if others.len() > TOLD {
        lines.push(format!("and {} more calls", others.len() - TOLD));
    }
    lines
}

fn line(call: &Call, clock: &Clock) -> String {
    let word = priority_word(call.priority);
    let age = match clock.now().saturating_sub(call.since) {
        ..=999 => String::new(),
        _ => format!("  ({})", clock.left(call.since)),
    };
    format!("{word}  {}: {}{age}", call.subject, call.sentence)
}

fn is_focus(call: &Call, board: &Board) -> bool {
    let focus = &board.focus;
    let same = call.action.is_some() && call.action == focus.action;
    same || (call.subject == focus.subject && call.sentence == focus.sentence)
}
