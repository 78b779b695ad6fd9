//! An evening held against its plan: for each dish the planned lane, and the actual one below it.

use jiff::ZonedDateTime;
use ratatui::{buffer::Buffer, layout::Rect};

use super::{
    Command, Drawn, Ui,
    canvas::{Canvas, cut_left, cut_top, inset},
    page,
    panes::{
        calls,
        timeline::{
            bars::{self, Row},
            scale::{self, Scale},
        },
    },
    text,
    theme::Meaning,
    time::{Clock, MINUTE, minutes_words},
};
use crate::live::{Ms, Priority, board::Lane};

/// An evening and its plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Review {
    /// What the meal was called.
    pub title: String,
    /// Civil time at session time 0.
    pub opened: ZonedDateTime,
    /// For each dish: its name, the lane as planned, the lane as it was.
    pub dishes: Vec<(String, Lane, Lane)>,
    /// When calls fell due, in order, and how urgent they were.
    pub calls: Vec<(Ms, Priority)>,
    /// For each course: its name, when promised, when served.
    pub courses: Vec<(String, Ms, Option<Ms>)>,
    /// What else is to be told, one a line: what made a course late, what was learnt.
    pub lines: Vec<String>,
}

/// Draws a review; `first` is the line at the top of what is told.
pub fn paint(buffer: &mut Buffer, review: &Review, ui: &Ui, first: usize) -> Drawn {
    page::paint(buffer, ui, |canvas, area| {
        draw(canvas, area, review, ui, first)
    })
}

/// The last line that may stand at the top of what is told.
pub fn last_row(review: &Review) -> usize {
    (review.courses.len() + review.lines.len()).saturating_sub(1)
}

fn draw(canvas: &mut Canvas, area: Rect, review: &Review, ui: &Ui, first: usize) {
    let commands = [
        (Command::Down, "down"),
        (Command::Up, "up"),
        (Command::Help, "help"),
        (Command::Back, "back"),
    ];
    let title = format!("{}: planned, and as it was", review.title);
    let day = review.opened.strftime("%A, %-d %B %Y").to_string();
    let rest = page::sheet(canvas, area, ui, &title, &day, &commands);
    let clock = Clock::new(0, &review.opened, ui.clock);
    let told = u16::try_from(review.courses.len() + review.lines.len() + 1).unwrap_or(u16::MAX);
    let most = rest.height.saturating_sub(told.min(rest.height / 3));
    let (above, below) = cut_top(rest, lanes_wanted(review).min(most));
    lanes(canvas, above, review, &clock);
    tell(canvas, below, review, &clock, first);
}

/// Rows for the clock, the calls and every dish's two lanes, with air between the dishes.
fn lanes_wanted(review: &Review) -> u16 {
    let calls = usize::from(!review.calls.is_empty());
    u16::try_from(1 + calls + 3 * review.dishes.len()).unwrap_or(u16::MAX)
}

fn lanes(canvas: &mut Canvas, area: Rect, review: &Review, clock: &Clock) {
    if area.height < 3 || area.width < 30 {
        return;
    }
    let (names, chart) = cut_left(area, (area.width / 4).clamp(18, 30), 0);
    let bars = || {
        review
            .dishes
            .iter()
            .flat_map(|(_, a, b)| a.bars.iter().chain(&b.bars))
    };
    let from = bars().map(|b| b.from).min().unwrap_or(0);
    let to = bars().map(|b| b.to).max().unwrap_or(60 * MINUTE);
    let scale = Scale {
        from: from.saturating_sub(5 * MINUTE),
        to: to.saturating_add(10 * MINUTE),
        columns: chart.width,
    };
    scale::axis(canvas, chart, &scale, clock, None);
    let names = inset(names, 0, 0, 1, 0);
    let top = 1 + u16::from(!review.calls.is_empty());
    if top > 1 {
        canvas.say_right(names, 1, "calls", Meaning::Muted);
        let line = Rect {
            y: chart.y + 1,
            ..chart
        };
        calls::marks(canvas, line, &review.calls, |at| scale.column(at));
    }
    let count = u16::try_from(review.dishes.len()).unwrap_or(u16::MAX);
    let pitch = if count.saturating_mul(3) + top <= area.height {
        3
    } else {
        2
    };
    for (i, (name, planned, actual)) in review.dishes.iter().enumerate() {
        let y = u16::try_from(i)
            .unwrap_or(u16::MAX)
            .saturating_mul(pitch)
            .saturating_add(top);
        if y.saturating_add(1) >= area.height {
            break;
        }
        canvas.say(
            names,
            0,
            y,
            &text::name(name, usize::from(names.width.saturating_sub(6))),
            Meaning::Text,
        );
        canvas.say_right(names, y, "plan", Meaning::Muted);
        canvas.say_right(names, y + 1, "was", Meaning::Muted);
        // The plan is grey, as what is past; the evening itself has its colours.
        for (lane, y, now) in [(planned, y, i64::MAX), (actual, y + 1, i64::MIN)] {
            let row = Row::of(lane);
            let line = Rect {
                y: chart.y + y,
                height: 1,
                ..chart
            };
            bars::draw(canvas, line, &row, &scale, now, true);
        }
    }
}

fn tell(canvas: &mut Canvas, area: Rect, review: &Review, clock: &Clock, first: usize) {
    let course = |(name, promised, served): &(String, Ms, Option<Ms>)| match served {
        None => (
            format!("{name}: promised at {}, not served", clock.at(*promised)),
            Meaning::Late,
        ),
        Some(at) => {
            let late = at.saturating_sub(*promised).div_euclid(MINUTE);
            let (words, meaning) = match late {
                1.. => (format!("{} late", minutes_words(late)), Meaning::Late),
                _ => ("on time".to_owned(), Meaning::Good),
            };
            let times = format!(
                "promised at {}, served at {}",
                clock.at(*promised),
                clock.at(*at)
            );
            (format!("{name}: {times}, {words}"), meaning)
        }
    };
    let lines = review.lines.iter().map(|l| (l.clone(), Meaning::Text));
    let all = review.courses.iter().map(course).chain(lines);
    for (y, (words, meaning)) in (1..area.height).zip(all.skip(first)) {
        canvas.say(area, 0, y, &words, meaning);
    }
}
