//! The courses' lane: each where it is expected on the table, with how late it is; what lies beyond the right edge is
//! told at that edge.

use ratatui::{
    layout::Rect,
    style::{Modifier, Style},
};

use super::scale::Scale;
use crate::{
    live::board::CourseLine,
    screen::{
        canvas::{Canvas, cut_left},
        text,
        theme::Meaning,
        time::{Clock, MINUTE, minutes_words},
    },
};

/// Draws the courses, the later ones first: where two run into each other, the one that is next is read.
pub fn draw(canvas: &mut Canvas, area: Rect, courses: &[CourseLine], scale: &Scale, clock: &Clock) {
    let mut room = beyond(canvas, area, courses, scale, clock);
    for course in courses.iter().rev() {
        let Some(x) = scale.column(course.expected) else {
            continue;
        };
        let (words, style) = words(canvas, course);
        let free = usize::from(room.saturating_sub(x.saturating_add(1)));
        let fitting = [words, course.name.clone()];
        let fitting = fitting.into_iter().find(|words| text::width(words) <= free);
        let line = cut_left(area, room, 0).0;
        match fitting {
            Some(words) => {
                canvas.dot(area.x + x, area.y, "\u{2590}", style);
                canvas.put(line, x + 1, 0, &words, style);
                room = x.saturating_sub(1).min(room);
            }
            // No room before the next: the name stands before its mark.
            None => {
                let name = text::clip(&course.name, usize::from(x));
                let from = x.saturating_sub(u16::try_from(text::width(&name)).unwrap_or(x));
                canvas.put(line, from, 0, &name, style);
                canvas.dot(area.x + x, area.y, "\u{258c}", style);
                room = from.saturating_sub(1).min(room);
            }
        }
    }
}

/// What is expected after the right edge, with its time; gives the columns that are left.
fn beyond(
    canvas: &mut Canvas,
    area: Rect,
    courses: &[CourseLine],
    scale: &Scale,
    clock: &Clock,
) -> u16 {
    let after: Vec<&CourseLine> = courses.iter().filter(|c| c.expected >= scale.to).collect();
    let Some(first) = after.first() else {
        return area.width;
    };
    let more = match after.len() {
        1 => String::new(),
        n => format!(" and {} more", n - 1),
    };
    let words = format!("{} {}{more} >", first.name, clock.at(first.expected));
    let style = match after.iter().any(|course| late(course) > 0) {
        true => canvas.style(Meaning::Late),
        false => canvas.style(Meaning::Text),
    };
    let wide = u16::try_from(text::width(&words)).unwrap_or(u16::MAX);
    let x = area.width.saturating_sub(wide);
    canvas.put(area, x, 0, &words, style);
    x.saturating_sub(2)
}

/// Whole minutes after its promise.
fn late(course: &CourseLine) -> i64 {
    let late = course.expected.saturating_sub(course.promised);
    late.div_euclid(MINUTE).max(0)
}

fn words(canvas: &Canvas, course: &CourseLine) -> (String, Style) {
    let (name, late) = (&course.name, late(course));
    let words = match late {
        0 => name.clone(),
        late => format!("{name} +{}", minutes_words(late)),
    };
    let style = match (course.served, late) {
        (true, _) => canvas.style(Meaning::Done),
        (false, 0) => canvas.style(Meaning::Text).add_modifier(Modifier::BOLD),
        (false, _) => canvas.style(Meaning::Late),
    };
    (words, style)
}
