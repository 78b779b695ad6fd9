//! The same session as lines of words, for screen readers, pipes and tests: each line makes sense alone, times are
//! in words, and only what happened is told.

mod words;

use super::time::{Clock, ClockFormat, MINUTE};
use crate::live::{
    Action, Board, Call, Ms,
    board::{Countdown, Phase},
};
pub use words::span;
use words::{
    begun_words, call_words, course_words, focus_words, notice_words, oven_words, running_words,
    sentence, stop, typed_words, within,
};

/// How a board reads: the clock format of its lines.
#[derive(Clone, Copy, Debug, Default)]
pub struct Plain {
    /// 12 or 24 hours.
    pub clock: ClockFormat,
}

/// How things stand, with a clock of 24 hours: what to do, what runs, the ovens, what comes, the courses.
pub fn lines(board: &Board) -> Vec<String> {
    Plain::default().lines(board)
}

/// What changed between two boards of a session, with a clock of 24 hours; empty: nothing that is worth a line.
pub fn changes(before: &Board, after: &Board) -> Vec<String> {
    Plain::default().changes(before, after)
}

impl Plain {
    /// As [`lines`].
    pub fn lines(&self, board: &Board) -> Vec<String> {
        let clock = Clock::of(board, self.clock);
        let mut out = vec![format!("It is {}, {}", clock.at(board.now), board.title)];
        out.extend(other_calls(board).map(call_words));
        if let Phase::Before { begin, get_out } = &board.phase {
            let when = if begin.saturating_add(1000) < board.now {
                "The first step was planned for"
            } else {
                "Begin at"
            };
            let (at, within) = (clock.at(*begin), within(board, *begin));
            out.push(format!("{when} {at}, {within}"));
            out.extend(get_out.iter().map(|thing| format!("Get out: {thing}")));
        }
        out.extend(focus_lines(board, &clock));
        let running = board.countdowns.iter();
        out.extend(running.map(|c| running_words(board, &clock, c)));
        let ovens = board.ovens.iter();
        out.extend(ovens.flat_map(|oven| oven_words(board, &clock, oven)));
        let next = board.upcoming.iter();
        let next = next.filter(|u| !matches!(u.action, Action::SetOven(..)));
        out.extend(next.take(5).map(|next| {
            let words = sentence(&next.subject, &next.sentence);
            let (at, within) = (clock.at(next.at), within(board, next.at));
            format!("Next at {at}, {within}: {words}")
        }));
        out.extend(board.courses.iter().map(|c| course_words(&clock, c)));
        out.extend(board.notices.iter().map(notice_words));
        if let Phase::After { lines } = &board.phase {
            out.extend(lines.iter().cloned());
        }
        out.iter().map(|line| stop(line)).collect()
    }

    /// As [`changes`]: what was done, then what calls, then how the evening moved, and last what to do.
    pub fn changes(&self, before: &Board, after: &Board) -> Vec<String> {
        let clock = Clock::of(after, self.clock);
        let mut out = steps(before, after, &clock);
        for (old, new) in before.ovens.iter().zip(&after.ovens) {
            if old.set != new.set {
                out.push(format!("The {} is set to {}", new.name, new.set_words));
            } else if old.ready.is_some() && new.ready.is_none() {
                out.push(format!("The {} is at {}", new.name, new.set_words));
            }
        }
        let new = other_calls(after).filter(|call| !calls(before).any(|b| b.key == call.key));
        out.extend(new.map(call_words));
        for (old, new) in before.courses.iter().zip(&after.courses) {
            if new.served && !old.served || minute(old.expected) != minute(new.expected) {
                out.push(course_words(&clock, new));
            }
        }
        let notices = after.notices.iter();
        out.extend(
            notices
                .filter(|n| !before.notices.contains(n))
                .map(notice_words),
        );
        if is_asked_anew(before, after) {
            // What was just begun is told with its beginning.
            match begun(before, after).any(|c| after.focus.action == Some(Action::Finish(c.step))) {
                true => out.extend(typed_words(&after.focus)),
                false => out.extend(focus_lines(after, &clock)),
            }
        }
        if let (Phase::After { lines }, false) =
            (&after.phase, matches!(before.phase, Phase::After { .. }))
        {
            out.extend(lines.iter().cloned());
        }
        out.iter().map(|line| stop(line)).collect()
    }
}

/// What became of steps.
fn steps(before: &Board, after: &Board, clock: &Clock) -> Vec<String> {
    let mut out = Vec::new();
    let taken_back = after.undoable < before.undoable;
    for countdown in begun(before, after) {
        let word = if taken_back { "Running again" } else { "Begun" };
        out.push(format!("{word}: {}", begun_words(after, clock, countdown)));
    }
    for countdown in &after.countdowns {
        let Some(old) = find(before, countdown).filter(|old| old.due != countdown.due) else {
            continue;
        };
        let by = span(countdown.due.saturating_sub(old.due));
        let word = if countdown.due > old.due {
            "longer"
        } else {
            "shorter"
        };
        let until = clock.at(countdown.due);
        out.push(format!("{}: {by} {word}, until {until}", countdown.dish));
    }
    for countdown in &before.countdowns {
        if find(after, countdown).is_none() {
            let word = if taken_back { "Taken back" } else { "Done" };
            let words = sentence(&countdown.dish, &countdown.sentence);
            out.push(format!("{word}: {words}"));
        }
    }
    out
}

fn find<'a>(board: &'a Board, countdown: &Countdown) -> Option<&'a Countdown> {
    board.countdowns.iter().find(|c| c.step == countdown.step)
}

fn begun<'a>(before: &'a Board, after: &'a Board) -> impl Iterator<Item = &'a Countdown> {
    let running = after.countdowns.iter();
    running.filter(|countdown| find(before, countdown).is_none())
}

fn minute(at: Ms) -> Ms {
    at.div_euclid(MINUTE)
}

/// Whether something else is to be done, or the same is called for now.
fn is_asked_anew(before: &Board, after: &Board) -> bool {
    fn asked(board: &Board) -> (&str, &str, &str) {
        let focus = &board.focus;
        (&focus.subject, &focus.sentence, &focus.word)
    }
    let called = |board| focus_call(board).map(|call| &call.key);
    let (old, new) = (called(before), called(after));
    asked(before) != asked(after) || new.is_some() && old != new
}

/// The calls that are to be heard.
fn calls(board: &Board) -> impl Iterator<Item = &Call> {
    board.calls.iter().filter(|call| !call.silent)
}

/// The call that the focus answers.
fn focus_call(board: &Board) -> Option<&Call> {
    let action = board.focus.action.as_ref()?;
    calls(board).find(|call| call.action.as_ref() == Some(action))
}

/// The calls beside the one that the focus answers.
fn other_calls(board: &Board) -> impl Iterator<Item = &Call> {
    let own = focus_call(board).map(|call| &call.key);
    calls(board).filter(move |call| Some(&call.key) != own)
}

/// What to do, what to mind, and what to type for it.
fn focus_lines(board: &Board, clock: &Clock) -> Vec<String> {
    let focus = &board.focus;
    if focus.sentence.is_empty() && focus.action.is_none() {
        return Vec::new();
    }
    let mut out = vec![focus_words(board, clock, focus_call(board))];
    let cautions = focus.cautions.iter();
    out.extend(cautions.map(|caution| format!("Mind: {caution}")));
    out.extend(typed_words(focus));
    out
}
