//! A review in words and as a timeline.

use std::fmt::Write;

use jiff::SignedDuration;
use unicode_width::UnicodeWidthChar;

use super::{Cause, CourseReview, Review, Span, StepReview, Why};
use crate::live::Ms;

/// The narrowest timeline, in columns of the terminal.
const NARROWEST: usize = 40;

impl Review {
    /// All of it as text for a terminal of `width` columns.
    pub fn text(&self, width: usize) -> String {
        let mut out = String::new();
        // Writing to a string cannot fail.
        let _ = self.write(&mut out, width);
        out
    }

    fn write(&self, out: &mut String, width: usize) -> std::fmt::Result {
        let day = self.opened.strftime("%A, %-d %B %Y");
        let ended = if self.closed {
            ""
        } else {
            ", not ended by the cook"
        };
        writeln!(out, "{}, {day}{ended}", plain(&self.title))?;
        let again = match self.replans {
            0 => "The plan held from beginning to end".to_owned(),
            1 => "The plan was made again once".to_owned(),
            2 => "The plan was made again twice".to_owned(),
            times => format!("The plan was made again {times} times"),
        };
        writeln!(
            out,
            "{again}; courses were moved by {} in all.",
            length(self.moved)
        )?;
        if self.away > 0 {
            writeln!(out, "Nobody was there for {}.", length(self.away))?;
        }
        writeln!(out)?;
        for course in &self.courses {
            self.course(out, course)?;
        }
        writeln!(out, "\nSteps, as planned and as they were\n")?;
        let names: Vec<String> = self
            .steps
            .iter()
            .map(|step| plain(&step.step.to_string()))
            .collect();
        let wide = names
            .iter()
            .map(|name| columns(name))
            .max()
            .unwrap_or(0)
            .min(width / 2);
        for (step, name) in self.steps.iter().zip(&names) {
            writeln!(out, "  {}  {}", padded(name, wide), self.step(step))?;
        }
        writeln!(out)?;
        self.timeline(out, &names, width.max(NARROWEST))
    }

    fn course(&self, out: &mut String, course: &CourseReview) -> std::fmt::Result {
        let name = plain(&course.name);
        let promised = self.clock(course.promised);
        let Some((served, late)) = course.served.zip(course.late) else {
            return writeln!(out, "{name}: promised {promised}, not served");
        };
        let early = course.promised - served;
        let how = if late >= 30_000 {
            format!("{} late", length(late))
        } else if early >= 30_000 {
            format!("{} early", length(early))
        } else {
            "on time".to_owned()
        };
        write!(
            out,
            "{name}: promised {promised}, served {}, {how}",
            self.clock(served)
        )?;
        if course.moved > 0 {
            write!(out, "; moved by {} on the way", length(course.moved))?;
        }
        writeln!(out)?;
        for cause in course
            .causes
            .iter()
            .filter(|cause| cause.cost.abs() >= 30_000)
        {
            writeln!(out, "  {}", words(cause))?;
        }
        Ok(())
    }

    fn step(&self, step: &StepReview) -> String {
        let Span { from, .. } = step.planned;
        let planned = format!("{} {:>11}", self.clock(from), length(step.planned.length()));
        let Some(is) = step.actual else {
            let why = if step.skipped { "left out" } else { "not done" };
            return format!("{planned}  {why}");
        };
        let off = is.length() - step.planned.length();
        format!(
            "{planned}  {} {:>11}  {:>10}",
            self.clock(is.from),
            length(is.length()),
            signed(off)
        )
    }

    /// Two lanes a step, the plan above what was.
    fn timeline(&self, out: &mut String, names: &[String], width: usize) -> std::fmt::Result {
        let spans = self
            .steps
            .iter()
            .flat_map(|step| [Some(step.planned), step.actual])
            .flatten();
        let ends = spans.fold(None, |ends: Option<Span>, span| {
            let (from, to) = ends.map_or((span.from, span.to), |ends| {
                (ends.from.min(span.from), ends.to.max(span.to))
            });
            Some(Span { from, to })
        });
        let Some(ends) = ends.filter(|ends| ends.length() > 0) else {
            return Ok(());
        };
        let label = names
            .iter()
            .map(|name| columns(name))
            .max()
            .unwrap_or(0)
            .min(width / 3);
        let room = width - label - 6;
        let place = |at: Ms| {
            let share = (at - ends.from) as f64 / ends.length() as f64;
            (share * room as f64).round() as usize
        };
        let bar = |span: Span, mark: &str| {
            let (from, to) = (place(span.from), place(span.to));
            let from = from.min(room - 1);
            format!(
                "{}{}",
                " ".repeat(from),
                mark.repeat(to.saturating_sub(from).max(1))
            )
        };
        let last = self.clock(ends.to);
        let gap = room.saturating_sub(10);
        writeln!(
            out,
            "{}{}{}{last}",
            " ".repeat(label + 6),
            self.clock(ends.from),
            " ".repeat(gap)
        )?;
        for (step, name) in self.steps.iter().zip(names) {
            writeln!(
                out,
                "{} plan {}",
                padded(name, label),
                bar(step.planned, "-")
            )?;
            match step.actual {
                Some(is) => writeln!(out, "{}  was {}", " ".repeat(label), bar(is, "="))?,
                None => writeln!(out, "{}  was", " ".repeat(label))?,
            }
        }
        Ok(())
    }

    /// "18:05", where the cook was.
    pub fn clock(&self, at: Ms) -> String {
        let moment = self.opened.saturating_add(SignedDuration::from_millis(at));
        self.hours.words(moment.time())
    }
}

/// "roast-chicken/roast took 9 min longer".
pub fn words(cause: &Cause) -> String {
    let step = cause
        .step
        .as_ref()
        .map_or_else(String::new, |step| plain(&step.to_string()));
    let cost = length(cause.cost.abs());
    match (cause.why, cause.cost < 0) {
        (Why::Longer, false) => format!("{step} took {cost} longer"),
        (Why::Longer, true) => format!("{step} was {cost} shorter"),
        (Why::Waited, false) => format!("{step} could have begun {cost} sooner"),
        (Why::Waited, true) => format!("{step} was begun {cost} more promptly than planned"),
        (Why::Began, false) => format!("{step} was begun {cost} later than planned"),
        (Why::Began, true) => format!("{step} was begun {cost} sooner than planned"),
        (Why::Served, false) => format!("it was ready {cost} before it was served"),
        (Why::Served, true) => {
            format!("it was served {cost} sooner after it was ready than planned")
        }
    }
}

/// "45 s", "12 min", "1 h 05 min".
pub fn length(ms: Ms) -> String {
    let seconds = (ms + 500).div_euclid(1_000);
    let minutes = (seconds + 30).div_euclid(60);
    match (seconds, minutes) {
        (..60, _) => format!("{seconds} s"),
        (_, ..60) => format!("{minutes} min"),
        _ => format!("{} h {:02} min", minutes / 60, minutes % 60),
    }
}

fn signed(ms: Ms) -> String {
    match ms {
        -29_999..30_000 => "as planned".to_owned(),
        ..=-30_000 => format!("-{}", length(-ms)),
        _ => format!("+{}", length(ms)),
    }
}

/// Text from a file, without what a terminal would obey.
pub fn plain(text: &str) -> String {
    let seen = |letter: char| {
        if letter.is_control() {
            '\u{fffd}'
        } else {
            letter
        }
    };
    text.chars().map(seen).collect()
}

fn columns(text: &str) -> usize {
    text.chars().filter_map(UnicodeWidthChar::width).sum()
}

/// Exactly `wide` columns of a text.
fn padded(text: &str, wide: usize) -> String {
    let mut used = 0;
    let mut out: String = text
        .chars()
        .take_while(|letter| {
            used += letter.width().unwrap_or(0);
            used <= wide
        })
        .collect();
    let left = wide.saturating_sub(columns(&out));
    out.push_str(&" ".repeat(left));
    out
}
