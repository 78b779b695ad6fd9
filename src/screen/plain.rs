//! The same session as lines of words, for screen readers, pipes and tests: each line makes sense alone, times are
//! in words, and only what happened is told.

use super::time::{Clock, ClockFormat, MINUTE};
use crate::live::{
    Board, Call, Ms, Priority,
    board::{Countdown, CourseLine, OvenPane, Phase, Weight},
};

/// How a board reads: the clock format of its lines.
#[derive(Clone, Copy, Debug, Default)]
pub struct Plain {
    /// 12 or 24 hours.
    pub clock: ClockFormat,
}

/// How things stand: what to do, what runs, the ovens, what comes, the courses.
pub fn lines(board: &Board) -> Vec<String> {
    Plain::default().lines(board)
}

/// What changed between two boards of a session, most urgent first; empty: nothing that is worth a line.
pub fn changes(before: &Board, after: &Board) -> Vec<String> {
    Plain::default().changes(before, after)
}

/// "12 minutes", "1 hour 5 minutes", "40 seconds".
pub fn span(ms: Ms) -> String {
    let ms = ms.saturating_abs();
    let plural = |n: i64, what: &str| {
        if n == 1 {
            format!("1 {what}")
        } else {
            format!("{n} {what}s")
        }
    };
    if ms < 2 * MINUTE && ms % MINUTE != 0 {
        return plural((ms + 500) / 1000, "second");
    }
    let minutes = (ms.saturating_add(MINUTE / 2)) / MINUTE;
    match (minutes / 60, minutes % 60) {
        (0, m) => plural(m, "minute"),
        (h, 0) => plural(h, "hour"),
        (h, m) => format!("{} {}", plural(h, "hour"), plural(m, "minute")),
    }
}

/// "in 12 minutes", "now", "3 minutes ago".
fn within(board: &Board, moment: Ms) -> String {
    let left = moment.saturating_sub(board.now);
    if left.saturating_abs() < 1000 {
        "now".to_owned()
    } else if left > 0 {
        format!("in {}", span(left))
    } else {
        format!("{} ago", span(left))
    }
}

fn sentence(subject: &str, words: &str) -> String {
    if subject.is_empty() {
        words.to_owned()
    } else {
        format!("{subject}: {words}")
    }
}

fn stop(line: String) -> String {
    let line = super::text::clean(&line);
    let line = line.trim();
    if line.ends_with(['.', '?', '!', ':']) {
        line.to_owned()
    } else {
        format!("{line}.")
    }
}

impl Plain {
    /// As [`lines`].
    pub fn lines(&self, board: &Board) -> Vec<String> {
        let clock = Clock::of(board, self.clock);
        let mut out = vec![stop(format!(
            "It is {}, {}",
            clock.at(board.now),
            board.title
        ))];
        for call in board.calls.iter().filter(|c| !c.silent) {
            out.push(stop(call_words(call)));
        }
        if let Phase::Before { begin, get_out } = &board.phase {
            let when = if begin.saturating_add(1000) < board.now {
                "The first step was planned for"
            } else {
                "Begin at"
            };
            out.push(stop(format!(
                "{when} {}, {}",
                clock.at(*begin),
                within(board, *begin)
            )));
            for thing in get_out {
                out.push(stop(format!("Get out: {thing}")));
            }
        }
        out.extend(focus_lines(board, &clock));
        out.extend(
            board
                .countdowns
                .iter()
                .map(|c| stop(running_words(board, &clock, c))),
        );
        for oven in &board.ovens {
            out.extend(oven_words(board, &clock, oven).into_iter().map(stop));
        }
        for next in board.upcoming.iter().take(5) {
            let words = sentence(&next.subject, &next.sentence);
            out.push(stop(format!(
                "Next at {}, {}: {words}",
                clock.at(next.at),
                within(board, next.at)
            )));
        }
        out.extend(board.courses.iter().map(|c| stop(course_words(&clock, c))));
        out.extend(
            board
                .notices
                .iter()
                .map(|n| stop(notice_words(n.weight, &n.words))),
        );
        if let Phase::After { lines } = &board.phase {
            out.extend(lines.iter().map(|l| stop(l.clone())));
        }
        out
    }

    /// As [`changes`].
    pub fn changes(&self, before: &Board, after: &Board) -> Vec<String> {
        let clock = Clock::of(after, self.clock);
        let mut out = Vec::new();
        for call in after.calls.iter().filter(|c| !c.silent) {
            if !before.calls.iter().any(|b| b.key == call.key) {
                out.push(stop(call_words(call)));
            }
        }
        for countdown in &after.countdowns {
            let old = before.countdowns.iter().find(|c| c.step == countdown.step);
            let dish = sentence(&countdown.dish, &countdown.sentence);
            match old {
                None => out.push(stop(format!(
                    "Begun: {dish}, until {}",
                    clock.at(countdown.due)
                ))),
                Some(old) if old.due != countdown.due => {
                    let by = span(countdown.due.saturating_sub(old.due));
                    let word = if countdown.due > old.due {
                        "longer"
                    } else {
                        "shorter"
                    };
                    out.push(stop(format!(
                        "{}: {by} {word}, until {}",
                        countdown.dish,
                        clock.at(countdown.due)
                    )));
                }
                Some(_) => {}
            }
        }
        for countdown in &before.countdowns {
            if !after.countdowns.iter().any(|c| c.step == countdown.step) {
                let words = if was_taken_back(before, after) {
                    "Taken back"
                } else {
                    "Done"
                };
                out.push(stop(format!(
                    "{words}: {}",
                    sentence(&countdown.dish, &countdown.sentence)
                )));
            }
        }
        for (old, new) in before.ovens.iter().zip(&after.ovens) {
            if old.set != new.set {
                out.push(stop(format!(
                    "The {} is set to {}",
                    new.name, new.set_words
                )));
            } else if old.ready.is_some() && new.ready.is_none() {
                out.push(stop(format!("The {} is at {}", new.name, new.set_words)));
            }
        }
        for (old, new) in before.courses.iter().zip(&after.courses) {
            if new.served && !old.served || minute(old.expected) != minute(new.expected) {
                out.push(stop(course_words(&clock, new)));
            }
        }
        for notice in after.notices.iter().filter(|n| !before.notices.contains(n)) {
            out.push(stop(notice_words(notice.weight, &notice.words)));
        }
        if focus_key(before) != focus_key(after) {
            out.extend(focus_lines(after, &clock));
        }
        if let (Phase::After { lines }, false) =
            (&after.phase, matches!(before.phase, Phase::After { .. }))
        {
            out.extend(lines.iter().map(|l| stop(l.clone())));
        }
        out
    }
}

fn minute(at: Ms) -> Ms {
    at.div_euclid(MINUTE)
}

fn was_taken_back(before: &Board, after: &Board) -> bool {
    after.undoable < before.undoable
}

fn focus_key(board: &Board) -> (&str, &str, &str) {
    (
        &board.focus.subject,
        &board.focus.sentence,
        &board.focus.word,
    )
}

/// "At once: Oven: Turn down to 190 C."
pub fn call_words(call: &Call) -> String {
    let word = match call.priority {
        Priority::High => "At once",
        Priority::Medium => "Now",
        Priority::Low => "Soon",
    };
    format!("{word}: {}", sentence(&call.subject, &call.sentence))
}

fn focus_lines(board: &Board, clock: &Clock) -> Vec<String> {
    let focus = &board.focus;
    let mut out = Vec::new();
    if focus.sentence.is_empty() && focus.action.is_none() {
        return out;
    }
    let mut line = sentence(&focus.subject, &focus.sentence);
    if !focus.amounts.is_empty() {
        line = format!("{line}, with {}", focus.amounts.join(", "));
    }
    if let Some(cue) = &focus.cue {
        line = format!("{line}, {}", super::panes::focus::cue_words(cue));
    }
    if let Some(moment) = focus.moment {
        line = format!("{line}, {}, {}", clock.at(moment), within(board, moment));
    }
    out.push(stop(line));
    for caution in &focus.cautions {
        out.push(stop(format!("Mind: {caution}")));
    }
    if !focus.needs.is_empty() {
        out.push(stop(format!("Needs: {}", focus.needs.join(", "))));
    }
    if focus.action.is_some() {
        let choices: Vec<String> = focus
            .choices
            .iter()
            .enumerate()
            .map(|(i, c)| format!("choice {}: {}", i + 1, c.words))
            .collect();
        let other = if choices.is_empty() {
            String::new()
        } else {
            format!("; {}", choices.join("; "))
        };
        out.push(stop(format!("Type next: {}{other}", focus.word)));
    }
    out
}

fn running_words(board: &Board, clock: &Clock, countdown: &Countdown) -> String {
    let left = countdown.due.saturating_sub(board.now);
    let time = if left < 0 {
        format!("{} over its time", span(left))
    } else {
        format!("{} left, until {}", span(left), clock.at(countdown.due))
    };
    let place = if countdown.place.is_empty() {
        String::new()
    } else {
        format!(", {}", countdown.place)
    };
    let cue = countdown.cue.as_ref().map_or(String::new(), |c| {
        format!(", {}", super::panes::focus::cue_words(c))
    });
    let core = countdown
        .core
        .as_ref()
        .map_or(String::new(), |c| format!(", {c}"));
    format!(
        "Running: {}{place}, {time}{cue}{core}",
        sentence(&countdown.dish, &countdown.sentence)
    )
}

fn oven_words(board: &Board, clock: &Clock, oven: &OvenPane) -> Vec<String> {
    let heat = match oven.ready {
        Some(ready) => format!(", about {} C, ready {}", oven.about, within(board, ready)),
        None => String::new(),
    };
    let mut out = vec![format!(
        "The {} is set to {}{heat}",
        oven.name, oven.set_words
    )];
    if let Some(next) = &oven.next {
        let when = if next.due {
            "now".to_owned()
        } else {
            format!("at {}, {}", clock.at(next.at), within(board, next.at))
        };
        out.push(format!(
            "Turn the {} to {} {when}: {}",
            oven.name, next.to, next.why
        ));
    }
    for (what, until) in &oven.inside {
        out.push(format!(
            "In the {}: {what}, until {}",
            oven.name,
            clock.at(*until)
        ));
    }
    out
}

fn course_words(clock: &Clock, course: &CourseLine) -> String {
    let late = course
        .expected
        .saturating_sub(course.promised)
        .div_euclid(MINUTE);
    let late = if late > 0 {
        format!(", {} late", span(late * MINUTE))
    } else {
        ", on time".to_owned()
    };
    if course.served {
        return format!(
            "{} was served at {}{late}",
            course.name,
            clock.at(course.expected)
        );
    }
    format!(
        "{} is promised at {}, expected at {}{late}",
        course.name,
        clock.at(course.promised),
        clock.at(course.expected)
    )
}

fn notice_words(weight: Weight, words: &str) -> String {
    match weight {
        Weight::Wrong => format!("Wrong: {words}"),
        Weight::Caution => format!("Mind: {words}"),
        Weight::Info => words.to_owned(),
    }
}
