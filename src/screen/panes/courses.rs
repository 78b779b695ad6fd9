//! The courses: promised, expected, moved.

use ratatui::{layout::Rect, style::Modifier};

use crate::{
    live::{Board, board::CourseLine},
    screen::{
        Ui,
        canvas::Canvas,
        text,
        theme::Meaning,
        time::{Clock, MINUTE, minutes_words},
    },
};

/// How many rows the pane would like, its title included.
pub fn wanted(board: &Board, dishes: bool) -> u16 {
    let rows = |c: &CourseLine| 1 + if dishes { c.dishes.len() } else { 0 };
    let all: usize = board.courses.iter().map(rows).sum();
    u16::try_from(all + 1).unwrap_or(u16::MAX)
}

/// Draws the courses, with their dishes if there is room.
pub fn draw(canvas: &mut Canvas, area: Rect, board: &Board, ui: &Ui) {
    if area.height == 0 {
        return;
    }
    // A course more tells more than the title.
    let tight = wanted(board, false) > area.height;
    if !tight {
        canvas.say(area, 0, 0, "courses", Meaning::Muted);
    }
    let clock = Clock::of(board, ui.clock);
    let dishes = wanted(board, true) <= area.height;
    let name = board
        .courses
        .iter()
        .map(|c| text::width(&c.name))
        .max()
        .unwrap_or(0);
    let name = u16::try_from(name).unwrap_or(u16::MAX).min(area.width / 3);
    let mut y = u16::from(!tight);
    // Where they don't all fit, what is served is told last.
    let first = board.courses.iter().filter(|c| !(tight && c.served));
    let last = board.courses.iter().filter(|c| tight && c.served);
    for course in first.chain(last) {
        line(canvas, area, y, name, course, &clock);
        y = y.saturating_add(1);
        if !dishes {
            continue;
        }
        for (dish, done, all) in &course.dishes {
            let words = if done == all {
                "ready".to_owned()
            } else {
                format!("{done} of {all}")
            };
            let meaning = if done == all {
                Meaning::Good
            } else {
                Meaning::Muted
            };
            let room = usize::from(area.width).saturating_sub(text::width(&words) + 4);
            canvas.say(area, 2, y, &text::name(dish, room), Meaning::Muted);
            canvas.say_right(area, y, &words, meaning);
            y = y.saturating_add(1);
        }
    }
}

fn line(canvas: &mut Canvas, area: Rect, y: u16, name: u16, course: &CourseLine, clock: &Clock) {
    let bold = canvas.style(Meaning::Text).add_modifier(Modifier::BOLD);
    canvas.put(
        Rect {
            width: name,
            ..area
        },
        0,
        y,
        &course.name,
        bold,
    );
    let (words, meaning) = state(course, clock);
    let x = name + 2;
    let end = canvas.say(area, x, y, &clock.at(course.promised), Meaning::Text);
    let words = if usize::from(end) + 2 + text::width(&words) <= usize::from(area.width) {
        words
    } else {
        short(course, clock)
    };
    canvas.say(area, end + 2, y, &words, meaning);
    let moved = moved_words(course);
    if !moved.is_empty() {
        let wide = text::width(&moved);
        if usize::from(end) + 4 + text::width(&words) + wide <= usize::from(area.width) {
            canvas.say_right(area, y, &moved, Meaning::Text);
        }
    }
}

/// "on time", "20:14, 4 min late", "served 19:33".
pub fn state(course: &CourseLine, clock: &Clock) -> (String, Meaning) {
    let late = course
        .expected
        .saturating_sub(course.promised)
        .div_euclid(MINUTE);
    if course.served {
        let words = match late {
            1.. => format!(
                "served {}, {} late",
                clock.at(course.expected),
                minutes_words(late)
            ),
            _ => format!("served {}", clock.at(course.expected)),
        };
        return (words, Meaning::Done);
    }
    match late {
        1.. => (
            format!(
                "{}, {} late",
                clock.at(course.expected),
                minutes_words(late)
            ),
            Meaning::Late,
        ),
        _ => ("on time".to_owned(), Meaning::Good),
    }
}

/// As `state`, in few columns: "+4 min", "served".
fn short(course: &CourseLine, clock: &Clock) -> String {
    let late = course
        .expected
        .saturating_sub(course.promised)
        .div_euclid(MINUTE);
    if course.served {
        format!("served {}", clock.at(course.expected))
    } else {
        format!("{} +{}", clock.at(course.expected), minutes_words(late))
    }
}

/// "moved +3 min".
pub fn moved_words(course: &CourseLine) -> String {
    let minutes = course
        .moved
        .saturating_add(course.moved.signum() * MINUTE / 2)
        / MINUTE;
    match minutes {
        0 => String::new(),
        1.. => format!("moved +{}", minutes_words(minutes)),
        _ => format!("moved -{}", minutes_words(-minutes)),
    }
}
