//! An evening held against its plan: for each dish the planned lane, and the actual one below it, under a scrubber on which
//! the calls lie.

use crossterm::event::{Event, MouseButton, MouseEventKind};
use jiff::ZonedDateTime;
use ratatui::{
    buffer::Buffer,
    layout::{Position, Rect},
    style::Modifier,
};

use super::{
    Command, Drawn, Ui,
    alike::{self, Asked},
    canvas::{Canvas, cut_left, cut_top, inset},
    page::{self, Taken},
    panes::{
        calls,
        timeline::{
            bars::{self, Row},
            scale::{self, Scale},
        },
    },
    scrub, text,
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

/// What of a review is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Look {
    /// The line at the top of what is told.
    pub first: usize,
    /// The moment under the cursor.
    pub at: Ms,
}

impl Look {
    /// At the beginning of an evening.
    pub fn new(review: &Review) -> Self {
        Look {
            first: 0,
            at: begin_and_end(review).0,
        }
    }
}

/// Draws a review.
pub fn paint(buffer: &mut Buffer, review: &Review, ui: &Ui, look: &Look) -> Drawn {
    page::paint(buffer, ui, |canvas, area| {
        draw(canvas, area, review, ui, look)
    })
}

/// The last line that may stand at the top of what is told.
fn last_row(review: &Review) -> usize {
    (review.courses.len() + review.lines.len()).saturating_sub(1)
}

/// What a reported event asks for: arrows move the cursor by a column, `next-call` and a tap go where they say, the rest
/// turns the page.
pub fn on_event(
    event: &Event,
    look: &mut Look,
    review: &Review,
    area: Rect,
    ui: &mut Ui,
) -> Option<Asked<Taken>> {
    let (_, chart) = chart(area, review);
    let scale = scale(review, chart.width);
    if let Event::Mouse(mouse) = event
        && ui.mouse
        && matches!(mouse.kind, MouseEventKind::Down(MouseButton::Left))
        && chart.contains(Position::new(mouse.column, mouse.row))
    {
        look.at = scale.moment(mouse.column - chart.x);
        return Some(Asked::REDRAW);
    }
    let seen = *look;
    let drawn = |ui: &Ui| paint(&mut Buffer::empty(area), review, ui, &seen);
    alike::on_event(event, ui, drawn, |command, ui| {
        let calls = || review.calls.iter().map(|(at, _)| *at);
        let column = scale.moment(1).saturating_sub(scale.from).max(MINUTE);
        look.at = match command {
            Command::Left => look.at.saturating_sub(column),
            Command::Right => look.at.saturating_add(column),
            Command::NextCall => calls().find(|at| *at > look.at).unwrap_or(look.at),
            Command::PreviousCall => calls().rfind(|at| *at < look.at).unwrap_or(look.at),
            _ => return page::obey(command, &mut look.first, last_row(review), ui),
        };
        let (from, to) = begin_and_end(review);
        look.at = look.at.clamp(from, to);
        Some(Asked::REDRAW)
    })
}

fn draw(canvas: &mut Canvas, area: Rect, review: &Review, ui: &Ui, look: &Look) {
    let commands = [
        (Command::NextCall, "next call"),
        (Command::PreviousCall, "call before"),
        (Command::Right, "later"),
        (Command::Left, "earlier"),
        (Command::Down, "read on"),
        (Command::Help, "help"),
        (Command::Back, "back"),
    ];
    let title = format!("{}: planned, and as it was", review.title);
    let day = review.opened.strftime("%A, %-d %B %Y").to_string();
    let rest = page::sheet(canvas, area, ui, &title, &day, &commands);
    let clock = Clock::new(0, &review.opened, ui.clock);
    let rows = lanes_rows(rest, review);
    let below = cut_top(rest, rows).1;
    lanes(canvas, chart(area, review), review, &clock, look.at);
    let (line, below) = cut_top(below, 1);
    under(canvas, line, review, &clock, look.at);
    tell(canvas, below, review, &clock, look.first);
}

/// Rows for the clock, the calls, the scrubber and every dish's two lanes, with air between the dishes where there is room.
fn lanes_rows(rest: Rect, review: &Review) -> u16 {
    let wanted = u16::try_from(HEAD + 3 * review.dishes.len()).unwrap_or(u16::MAX);
    let told = u16::try_from(review.courses.len() + review.lines.len() + 2).unwrap_or(u16::MAX);
    wanted.min(rest.height.saturating_sub(told.min(rest.height / 3)))
}

/// Rows above the lanes: the clock, the calls, the scrubber.
const HEAD: usize = 3;

/// Where the names of the lanes are, and the lanes.
fn chart(area: Rect, review: &Review) -> (Rect, Rect) {
    let rest = page::inner(area);
    let above = cut_top(rest, lanes_rows(rest, review)).0;
    cut_left(above, (above.width / 4).clamp(18, 30), 0)
}

fn begin_and_end(review: &Review) -> (Ms, Ms) {
    let bars = || {
        let dishes = review.dishes.iter();
        dishes.flat_map(|(_, a, b)| a.bars.iter().chain(&b.bars))
    };
    let from = bars().map(|b| b.from).min().unwrap_or(0);
    let served = review.courses.iter().filter_map(|(_, _, served)| *served);
    let to = bars().map(|b| b.to).chain(served).max();
    (from, to.unwrap_or(60 * MINUTE).max(from))
}

fn scale(review: &Review, columns: u16) -> Scale {
    let (from, to) = begin_and_end(review);
    Scale {
        from: from.saturating_sub(5 * MINUTE),
        to: to.saturating_add(10 * MINUTE),
        columns,
    }
}

fn lanes(
    canvas: &mut Canvas,
    (names, chart): (Rect, Rect),
    review: &Review,
    clock: &Clock,
    at: Ms,
) {
    if chart.height < 5 || chart.width < 20 {
        return;
    }
    let scale = scale(review, chart.width);
    scale::axis(canvas, chart, &scale, clock, Some(at));
    let names = inset(names, 0, 0, 1, 0);
    canvas.say_right(names, 1, "calls", Meaning::Muted);
    let (calls, bar) = cut_top(inset(chart, 0, 1, 0, 0), 1);
    calls::marks(canvas, calls, &review.calls, |at| scale.column(at));
    if let Some(here) = scale.column(at) {
        scrub::draw(canvas, bar, here);
    }
    let top = u16::try_from(HEAD).unwrap_or(u16::MAX);
    let count = u16::try_from(review.dishes.len()).unwrap_or(u16::MAX);
    let airy = count.saturating_mul(3).saturating_add(top) <= chart.height;
    let pitch = if airy { 3 } else { 2 };
    for (i, (name, planned, actual)) in (0..count).zip(&review.dishes) {
        let y = i.saturating_mul(pitch).saturating_add(top);
        if y.saturating_add(1) >= chart.height {
            break;
        }
        let room = usize::from(names.width.saturating_sub(6));
        canvas.say(names, 0, y, &text::name(name, room), Meaning::Text);
        canvas.say_right(names, y, "plan", Meaning::Muted);
        canvas.say_right(names, y + 1, "was", Meaning::Muted);
        // The plan is grey, as what is past; the evening itself has its colours.
        for (lane, y, now) in [(planned, y, i64::MAX), (actual, y + 1, i64::MIN)] {
            let line = Rect {
                y: chart.y + y,
                height: 1,
                ..chart
            };
            bars::draw(canvas, line, &Row::of(lane), &scale, now, true);
        }
    }
    scale::here(canvas, chart, &scale, clock, at);
}

/// What was planned and what was done at the moment under the cursor, and whether something called.
fn under(canvas: &mut Canvas, area: Rect, review: &Review, clock: &Clock, at: Ms) {
    let during = |lane: &Lane| {
        let bars = lane.bars.iter().filter(|b| (b.from..b.to).contains(&at));
        bars.map(|b| b.label.clone()).collect::<Vec<_>>()
    };
    let list = |labels: Vec<String>| match labels.is_empty() {
        true => "nothing".to_owned(),
        false => labels.join(", "),
    };
    let planned = list(
        review
            .dishes
            .iter()
            .flat_map(|(_, p, _)| during(p))
            .collect(),
    );
    let actual = list(
        review
            .dishes
            .iter()
            .flat_map(|(_, _, a)| during(a))
            .collect(),
    );
    let style = canvas.style(Meaning::Here).add_modifier(Modifier::BOLD);
    let mut x = canvas.put(area, 0, 0, &clock.at(at), style) + 2;
    let near = |call: &&(Ms, Priority)| call.0.div_euclid(MINUTE) == at.div_euclid(MINUTE);
    if let Some((_, priority)) = review.calls.iter().find(near) {
        let words = format!(" {} ", calls::priority_word(*priority));
        x = canvas.say(area, x, 0, &words, Meaning::CallLow) + 2;
    }
    x = canvas.say(area, x, 0, "was: ", Meaning::Muted);
    x = canvas.say(area, x, 0, &actual, Meaning::Text) + 3;
    x = canvas.say(area, x, 0, "planned: ", Meaning::Muted);
    canvas.say(area, x, 0, &planned, Meaning::Muted);
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
