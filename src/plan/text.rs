//! The plan as a timetable to read.

use super::{
    frame::Part,
    json::Remedy,
    knobs::Setting,
    problem::Tick,
    timetable::{Timetable, minutes},
};
use crate::menu::Hands;

/// One line of the timetable, by its moment.
struct Entry {
    at: Tick,
    /// What comes first among what happens at the same moment: services, then knobs, then steps.
    rank: u8,
    times: String,
    head: String,
    below: Vec<String>,
}

/// The whole timetable, at most `width` columns wide where words allow it.
pub fn timetable(plan: &Timetable, remedies: &[Remedy], width: usize) -> String {
    let mut out = String::new();
    for line in heading(plan) {
        push(&mut out, "", &line, width);
    }
    out.push('\n');
    let mut entries = steps(plan);
    entries.extend(turns(plan));
    entries.extend(services(plan));
    entries.sort_by_key(|e| (e.at, e.rank));
    let column = entries
        .iter()
        .map(|e| e.times.chars().count())
        .max()
        .unwrap_or(0)
        + 2;
    for entry in &entries {
        let pad = column - entry.times.chars().count().min(column);
        push(
            &mut out,
            &format!("{}{}", entry.times, " ".repeat(pad)),
            &entry.head,
            width,
        );
        if !entry.below.is_empty() {
            push(
                &mut out,
                &" ".repeat(column + 2),
                &entry.below.join("; "),
                width,
            );
        }
    }
    let faults = faults(plan);
    if !faults.is_empty() {
        out.push('\n');
        for line in faults {
            push(&mut out, "", &line, width);
        }
    }
    if !remedies.is_empty() {
        out.push_str("\nWhat would help:\n");
        for remedy in remedies {
            push(&mut out, "  ", &gain(remedy), width);
        }
    }
    out
}

/// What is planned, by whom, how good it is, and when to begin.
pub(super) fn heading(plan: &Timetable) -> Vec<String> {
    let (session, frame) = (plan.session, &plan.built.frame);
    let day = frame.serve.strftime("%A %-d %B %Y").to_string();
    let mut lines = vec![match frame.part {
        Part::Service => format!(
            "{}, for {}: {day}, {}",
            session.title,
            session.guests,
            frame.clock(&frame.serve)
        ),
        Part::Ahead => format!("{}: what is made ahead of {day}", session.title),
    }];
    if let Some(begin) = plan.begin() {
        lines.push(format!("Begin at {}.", plan.clock(begin)));
    }
    lines.push(quality(plan));
    lines.extend(parts(plan));
    lines
}

/// How good the plan is, in a sentence.
fn quality(plan: &Timetable) -> String {
    let s = plan.solution;
    if s.relaxed {
        return "No plan keeps everything as long as it may wait; this one breaks the least that was found.".into();
    }
    if s.proven() {
        return "No better plan exists (proven).".into();
    }
    // A lateness that the bound doesn't exclude: the part of the gap that would be late ticks.
    let late = (s.cost.late - s.least.late).min((s.total - s.bound) / 1000);
    if late > 0 {
        format!(
            "The best plan found in the time given; up to {} of lateness might still be saved.",
            minutes(Tick::try_from(late).unwrap_or(Tick::MAX))
        )
    } else {
        "The best plan found in the time given; only waits could still be shorter.".into()
    }
}

/// What a plan that isn't proven costs and what any must, as a whole and part by part.
fn parts(plan: &Timetable) -> Vec<String> {
    let s = plan.solution;
    if s.relaxed || s.proven() {
        return Vec::new();
    }
    let long = |ticks: i64| minutes(Tick::try_from(ticks).unwrap_or(Tick::MAX));
    let part = |name: &str, has: i64, least: i64| match (has, has - least) {
        (0, _) => format!("{name} none"),
        (_, ..=0) => format!("{name} {}, the least there can be", long(has)),
        _ => format!("{name} {}, in any plan at least {}", long(has), long(least)),
    };
    let gap = 100.0 * (s.total - s.bound).max(0) as f64 / s.total.max(1) as f64;
    vec![
        format!(
            "Cost {}, in any plan at least {}: gap {gap:.1} %.",
            s.total,
            s.bound.min(s.total)
        ),
        format!(
            "{}; {}; {}; {}.",
            part("Lateness", s.cost.late, s.least.late),
            part("kept too long", s.cost.over, s.least.over),
            part("waits of what goes stale", s.cost.stale, s.least.stale),
            part(
                "from the first begin to the last service",
                s.cost.span,
                s.least.span
            ),
        ),
    ]
}

fn steps(plan: &Timetable) -> Vec<Entry> {
    let made = plan.in_order().into_iter().map(|i| {
        let step = plan.step(i);
        Entry {
            at: plan.start(i),
            rank: 2,
            times: format!(
                "{} - {}",
                plan.clock(plan.start(i)),
                plan.clock(plan.end(i))
            ),
            head: format!("{}: {}", plan.dish(i).title, step.instruction),
            below: taken(plan, i),
        }
    });
    made.collect()
}

/// Who and where, what is taken, what goes in, what ends it.
pub(super) fn taken(plan: &Timetable, i: usize) -> Vec<String> {
    let step = plan.step(i);
    let mut all = vec![match step.hands {
        Hands::On => "hands on".into(),
        Hands::Off => "unattended".into(),
        checked => super::timetable::hands(checked),
    }];
    all.extend(plan.in_the_oven(i));
    all.extend(step.needs.iter().map(|n| match n.count {
        1 => n.name.clone(),
        count => format!("{count} x {}", n.name),
    }));
    all.extend(plan.amounts(i));
    if let Some(cue) = &step.until {
        all.push(format!("until {cue}"));
    }
    if let Some(core) = step.core {
        all.push(format!("core {}", super::timetable::degrees(core)));
    }
    all
}

fn turns(plan: &Timetable) -> Vec<Entry> {
    let made = plan.turns.iter().map(|turn| {
        let oven = plan.knob(turn);
        Entry {
            at: turn.at,
            rank: 1,
            times: plan.clock(turn.at),
            head: match turn.to {
                Setting::Off => format!("[{oven}] turn off: {}", plan.why(turn)),
                Setting::At(_) => {
                    format!("[{oven}] turn to {}: {}", plan.dial(turn), plan.why(turn))
                }
            },
            below: Vec::new(),
        }
    });
    made.collect()
}

fn services(plan: &Timetable) -> Vec<Entry> {
    let courses = plan
        .built
        .problem
        .courses
        .iter()
        .zip(&plan.solution.schedule.served)
        .enumerate();
    let made = courses.map(|(k, (course, &served))| {
        let name = &plan.built.frame.courses[k];
        let promise = match served - course.promised {
            by if plan.built.frame.part == Part::Service && by > 0 => format!(
                " {} late: promised at {}",
                minutes(by),
                plan.clock(course.promised)
            ),
            _ => String::new(),
        };
        let (word, below) = match plan.built.frame.part {
            Part::Ahead => ("Everything is made ahead.".to_owned(), Vec::new()),
            Part::Service => (format!("SERVE {name}{promise}"), dishes(plan, k)),
        };
        Entry {
            at: served,
            rank: 0,
            times: plan.clock(served),
            head: word,
            below,
        }
    });
    made.collect()
}

fn dishes(plan: &Timetable, course: usize) -> Vec<String> {
    let dishes = plan.built.problem.courses[course].dishes.iter();
    dishes
        .map(|&d| plan.session.dishes[d].title.clone())
        .collect()
}

/// What is late, over-kept or broken: one sentence each.
pub(super) fn faults(plan: &Timetable) -> Vec<String> {
    let mut lines: Vec<String> = plan
        .late()
        .into_iter()
        .map(|(k, by)| {
            let name = &plan.built.frame.courses[k];
            format!("Late: {name} comes {} after its promise.", minutes(by))
        })
        .collect();
    lines.extend(plan.broken().into_iter().map(|b| {
        format!(
            "Too long a wait: {} waits {} longer for {} than it keeps.",
            plan.built.frame.steps[b.step],
            minutes(b.ticks),
            plan.built.frame.steps[b.follower],
        )
    }));
    lines.extend(plan.over_kept().into_iter().map(|o| {
        let title = &plan.dish(o.step).title;
        format!(
            "Over-kept: {title} waits {} longer for its service than it keeps.",
            minutes(o.ticks)
        )
    }));
    lines
}

/// A remedy in a sentence: what it gains, then what it costs.
pub(super) fn gain(remedy: &Remedy) -> String {
    let kinds = [
        (remedy.late_minutes, "less late", "later"),
        (remedy.over_minutes, "less over-kept", "more over-kept"),
        (
            remedy.broken_minutes,
            "less of too long waits",
            "more of too long waits",
        ),
    ];
    // They are whole ticks.
    let say = |saved: f64, word: &str| format!("{} {word}", minutes((saved.abs() * 2.0) as Tick));
    let better = kinds.iter().filter(|(saved, ..)| *saved > 0.0);
    let worse = kinds.iter().filter(|(saved, ..)| *saved < 0.0);
    let better: Vec<String> = better.map(|(saved, less, _)| say(*saved, less)).collect();
    let worse: Vec<String> = worse.map(|(saved, _, more)| say(*saved, more)).collect();
    let but = if worse.is_empty() { "" } else { ", but " };
    let (better, worse) = (better.join(" and "), worse.join(" and "));
    format!("{}: {better}{but}{worse}.", remedy.what)
}

/// Appends `text` behind `indent`, its further lines below it, broken at blanks.
fn push(out: &mut String, indent: &str, text: &str, width: usize) {
    use unicode_width::UnicodeWidthStr;
    let column = indent.width();
    let room = width.saturating_sub(column).max(20);
    let mut line = String::new();
    let mut first = true;
    let mut flush = |line: &mut String| {
        let lead = if first {
            indent.to_owned()
        } else {
            " ".repeat(column)
        };
        first = false;
        out.push_str(format!("{lead}{line}").trim_end());
        out.push('\n');
        line.clear();
    };
    for word in text.split_whitespace() {
        if !line.is_empty() && line.width() + 1 + word.width() > room {
            flush(&mut line);
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    flush(&mut line);
}
