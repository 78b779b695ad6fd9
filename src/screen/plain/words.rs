//! How each line of words reads.

use crate::{
    live::{
        Board, Call, Ms, Priority,
        board::{Countdown, CourseLine, Focus, Notice, OvenPane, Weight},
    },
    screen::{
        panes::focus::cue_words,
        text,
        time::{Clock, MINUTE},
    },
};

/// "12 minutes", "1 hour 5 minutes", "40 seconds".
pub fn span(ms: Ms) -> String {
    let ms = ms.saturating_abs();
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

fn plural(n: i64, what: &str) -> String {
    if n == 1 {
        format!("1 {what}")
    } else {
        format!("{n} {what}s")
    }
}

/// "in 12 minutes", "now", "3 minutes ago".
pub(super) fn within(board: &Board, moment: Ms) -> String {
    let left = moment.saturating_sub(board.now);
    if left.saturating_abs() < 1000 {
        "now".to_owned()
    } else if left > 0 {
        format!("in {}", span(left))
    } else {
        format!("{} ago", span(left))
    }
}

/// The subject before what is said of it, unless that names it.
pub(super) fn sentence(subject: &str, words: &str) -> String {
    let names = |word: &str| word.trim_end_matches(text::POINTS) == subject;
    if subject.is_empty() || words.split(' ').any(names) {
        words.to_owned()
    } else {
        format!("{subject}: {words}")
    }
}

/// A whole line: nothing that a terminal obeys, spans in words, a full stop.
pub(super) fn stop(line: &str) -> String {
    let line = spoken(&text::clean(line));
    let line = line.trim();
    if line.ends_with(['.', '?', '!', ':']) {
        line.to_owned()
    } else {
        format!("{line}.")
    }
}

/// Spans that stand in a line as "4 min", "1 h 05" and "30 s", in words.
fn spoken(line: &str) -> String {
    let mut out: Vec<String> = Vec::new();
    let mut words = line.split(' ').peekable();
    let mut before = "";
    while let Some(word) = words.next() {
        let unit = word.trim_end_matches(|c: char| !c.is_alphanumeric());
        let tail = word.get(unit.len()..).unwrap_or_default();
        let name = match unit {
            "min" => "minute",
            "h" => "hour",
            "s" => "second",
            _ => "",
        };
        let counts = before.ends_with(|c: char| c.is_ascii_digit());
        if name.is_empty() || !counts {
            out.push(word.to_owned());
        } else {
            let s = if before == "1" { "" } else { "s" };
            let minutes = words.peek().and_then(|next| two_digits(next));
            match minutes.filter(|_| unit == "h" && tail.is_empty()) {
                Some((0, tail)) => out.push(format!("{name}{s}{tail}")),
                Some((n, tail)) => out.push(format!("{name}{s} {}{tail}", plural(n, "minute"))),
                None => out.push(format!("{name}{s}{tail}")),
            }
            if minutes.is_some() && unit == "h" && tail.is_empty() {
                words.next();
            }
        }
        before = word;
    }
    out.join(" ")
}

/// "05," is 5 and ",".
fn two_digits(word: &str) -> Option<(i64, &str)> {
    let digits = word
        .get(..2)
        .filter(|d| d.bytes().all(|b| b.is_ascii_digit()))?;
    let tail = word.get(2..)?;
    let ends = !tail.contains(|c: char| c.is_alphanumeric() || c == ':');
    Some((digits.parse().ok()?, tail)).filter(|_| ends)
}

fn priority(call: &Call) -> &'static str {
    match call.priority {
        Priority::High => "At once",
        Priority::Medium => "Now",
        Priority::Low => "Soon",
    }
}

/// "At once: Turn the oven down to 190 C".
pub(super) fn call_words(call: &Call) -> String {
    let words = sentence(&call.subject, &call.sentence);
    format!("{}: {words}", priority(call))
}

/// What to do in one line, with how urgent the call is that it answers.
pub(super) fn focus_words(board: &Board, clock: &Clock, call: Option<&Call>) -> String {
    let focus = &board.focus;
    let mut line = match (&focus.action, call) {
        (None, _) => format!("{}. {}", focus.subject, focus.sentence),
        (Some(_), Some(call)) => {
            let words = sentence(&focus.subject, &focus.sentence);
            format!("{}: {words}", priority(call))
        }
        (Some(_), None) => sentence(&focus.subject, &focus.sentence),
    };
    if !focus.amounts.is_empty() {
        line = format!("{line}, with {}", focus.amounts.join(", "));
    }
    // A question already says the cue.
    if let Some(cue) = focus.cue.as_ref().filter(|_| !line.ends_with('?')) {
        line = format!("{line}, {}", cue_words(cue));
    }
    if !focus.needs.is_empty() {
        line = format!("{line}; needs {}", focus.needs.join(", "));
    }
    let moment = focus.moment.map(|at| (clock.at(at), within(board, at)));
    match moment {
        Some((_, within)) if within == "now" && call.is_some() => line,
        Some((at, within)) => {
            let line = line.trim_end_matches('.');
            let point = if line.ends_with('?') { "" } else { ";" };
            format!("{line}{point} {at}, {within}")
        }
        None => line,
    }
}

/// What to type for it, and for what else can be chosen.
pub(super) fn typed_words(focus: &Focus) -> Option<String> {
    focus.action.as_ref()?;
    let choices = focus.choices.iter().enumerate();
    let choices = choices.map(|(i, choice)| format!("; choice {}: {}", i + 1, choice.words));
    let choices: String = choices.collect();
    Some(format!("Type next: {}{choices}", focus.word))
}

/// What was begun: for how long, until what.
pub(super) fn begun_words(board: &Board, clock: &Clock, countdown: &Countdown) -> String {
    let cue = cue_part(countdown);
    let left = span(countdown.due.saturating_sub(board.now));
    let words = sentence(&countdown.dish, &countdown.sentence);
    format!("{words}, {left}, until {}{cue}", clock.at(countdown.due))
}

fn cue_part(countdown: &Countdown) -> String {
    let cue = countdown.cue.as_ref();
    cue.map_or(String::new(), |cue| format!(", {}", cue_words(cue)))
}

pub(super) fn running_words(board: &Board, clock: &Clock, countdown: &Countdown) -> String {
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
    let cue = cue_part(countdown);
    let core = countdown.core.as_ref();
    let core = core.map_or(String::new(), |c| format!(", {c}"));
    let words = sentence(&countdown.dish, &countdown.sentence);
    format!("Running: {words}{place}, {time}{cue}{core}")
}

pub(super) fn oven_words(board: &Board, clock: &Clock, oven: &OvenPane) -> Vec<String> {
    let heat = match oven.ready {
        Some(ready) => format!(", about {} C, ready {}", oven.about, within(board, ready)),
        None => String::new(),
    };
    let (name, set) = (&oven.name, &oven.set_words);
    let mut out = vec![format!("The {name} is set to {set}{heat}")];
    if let Some(next) = &oven.next {
        let when = if next.due {
            "now".to_owned()
        } else {
            format!("at {}, {}", clock.at(next.at), within(board, next.at))
        };
        out.push(format!(
            "Turn the {name} to {} {when}: {}",
            next.to, next.why
        ));
    }
    for (what, until) in &oven.inside {
        let until = clock.at(*until);
        out.push(format!("In the {name}: {what}, until {until}"));
    }
    out
}

pub(super) fn course_words(clock: &Clock, course: &CourseLine) -> String {
    let name = &course.name;
    let late = course
        .expected
        .saturating_sub(course.promised)
        .div_euclid(MINUTE);
    let (promised, expected) = (clock.at(course.promised), clock.at(course.expected));
    match (course.served, late > 0) {
        (true, false) => format!("{name} was served at {expected}, on time"),
        (true, true) => format!(
            "{name} was served at {expected}, {} late",
            span(late * MINUTE)
        ),
        (false, false) => format!("{name} is promised at {promised} and on time"),
        (false, true) => format!(
            "{name} is promised at {promised}, expected at {expected}, {} late",
            span(late * MINUTE)
        ),
    }
}

pub(super) fn notice_words(notice: &Notice) -> String {
    let words = &notice.words;
    match notice.weight {
        Weight::Wrong => format!("Wrong: {words}"),
        Weight::Caution => format!("Mind: {words}"),
        Weight::Info => words.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_are_spoken_whole() {
        assert_eq!(stop("longer: 4 min more"), "longer: 4 minutes more.");
        assert_eq!(
            stop("Bake, 1 h 05, then 1 min"),
            "Bake, 1 hour 5 minutes, then 1 minute."
        );
        assert_eq!(stop("it is 6 h 00 long"), "it is 6 hours long.");
        assert_eq!(
            stop("chill it in 2 h, or sooner"),
            "chill it in 2 hours, or sooner."
        );
        assert_eq!(stop("rest 30 s"), "rest 30 seconds.");
        assert_eq!(stop("at 2 h 19:30"), "at 2 hours 19:30.");
        assert_eq!(stop("min of the h"), "min of the h.");
    }

    #[test]
    fn what_a_line_names_is_not_said_before_it() {
        assert_eq!(sentence("oven", "Turn the oven off"), "Turn the oven off");
        assert_eq!(sentence("First", "Serve First: soup"), "Serve First: soup");
        assert_eq!(sentence("Soup", "Stir"), "Soup: Stir");
    }
}
