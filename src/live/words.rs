//! The sentences of the live session: short, verb first, each makes sense alone.

use super::{
    Ms,
    event::{Setting, Trouble},
    kitchen::Unseen,
    script::{Script, ScriptStep},
};

/// A setting in words of the dial: "190 C", "off".
pub fn setting(setting: &Setting) -> String {
    match setting.celsius() {
        None => "off".into(),
        Some(celsius) => format!("{celsius} C"),
    }
}

/// "Turn the oven down to 190 C for Roast chicken"; `dial`: what it is turned to, in words.
pub(super) fn turn(
    oven: &str,
    from: &Setting,
    to: &Setting,
    dial: &str,
    dish: Option<&str>,
) -> String {
    let oven = if oven.to_lowercase().contains("oven") {
        oven.to_owned()
    } else {
        format!("{oven} oven")
    };
    let what = match (from.celsius(), to.celsius()) {
        (_, None) => return format!("Turn the {oven} off"),
        (None, Some(_)) => format!("Heat the {oven} to {dial}"),
        (Some(from), Some(to)) if to < from => format!("Turn the {oven} down to {dial}"),
        (Some(_), Some(_)) => format!("Turn the {oven} up to {dial}"),
    };
    dish.map_or(what.clone(), |dish| format!("{what} for {dish}"))
}

/// The question at a cue: "Look: do the juices run clear?" can't be formed from any text, so the cue stands as it is.
pub(super) fn look(step: &ScriptStep, cue: &str) -> String {
    format!("Look: {cue}? ({})", step.instruction)
}

/// A step whose time is over.
pub(super) fn over(step: &ScriptStep) -> String {
    if step.oven {
        format!("Take out: {}", step.instruction)
    } else {
        format!("Time is up: {}", step.instruction)
    }
}

/// What a running step comes to next.
pub(super) fn next_look(script: &Script, step: usize) -> String {
    let title = dish(script, step);
    match &script.steps[step].until {
        Some(cue) => format!("look whether {cue} ({title})"),
        None => format!("{title} is done: {}", script.steps[step].instruction),
    }
}

/// A step that ends in so long.
pub(super) fn soon(step: &ScriptStep, left: Ms) -> String {
    let what = step.until.as_ref().map_or("Ends", |_| "Look");
    let when = match left {
        ..60_000 => "less than 1 min".to_owned(),
        _ => span(left),
    };
    format!("{what} in {when}: {}", step.instruction)
}

/// "Serve Main: roast chicken, roots".
pub(super) fn serve(course: &str, dishes: &[&str]) -> String {
    if dishes.is_empty() {
        format!("Serve {course}")
    } else {
        format!("Serve {course}: {}", dishes.join(", "))
    }
}

/// "Put away: parsnip soup", for what is made ahead of the day.
pub(super) fn put_away(dishes: &[&str]) -> String {
    format!("Put away, with its name and the day: {}", dishes.join(", "))
}

/// Time that passed unseen.
pub(super) fn unseen(unseen: Unseen) -> String {
    match unseen {
        Unseen::Exactly(ms) => format!(
            "{} passed while nobody was here; every timer ran on",
            span(ms)
        ),
        Unseen::SinceEntry(ms) => format!(
            "Taken up {} after the last entry; every timer ran on",
            span(ms)
        ),
    }
}

/// What a trouble is about.
pub(super) fn trouble(about: Trouble) -> &'static str {
    match about {
        Trouble::Log => "Log",
        Trouble::Sound => "Sound",
        Trouble::Speech => "Speech",
        Trouble::Notification => "Notification",
        Trouble::Clock => "Clock",
    }
}

/// The title of a step's dish.
pub(super) fn dish(script: &Script, step: usize) -> &str {
    &script.dishes[script.steps[step].dish].title
}

/// A span for people, rounded to what matters: "45 s", "8 min", "1 h 15 min".
pub fn span(ms: Ms) -> String {
    let seconds = (ms.unsigned_abs() + 500) / 1000;
    let minutes = (seconds + 30) / 60;
    match (seconds, minutes) {
        (60, _) => "1 min".into(),
        (0..90, _) => format!("{seconds} s"),
        (_, 0..60) => format!("{minutes} min"),
        (_, m) if m % 60 == 0 => format!("{} h", m / 60),
        (_, m) => format!("{} h {} min", m / 60, m % 60),
    }
}
