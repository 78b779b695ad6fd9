//! The one thing to do now: the largest thing on the screen, and a call's band when something calls.

mod words;

use ratatui::{
    layout::Rect,
    style::{Modifier, Style},
};

use words::{Aside, Words, choose, columns, least_rows, time_columns};
pub use words::{cue_words, headline};

use super::calls::{calling, lit, priority_word, urgency};
use crate::{
    live::{Action, Board, Ms, Priority},
    screen::{
        Command, Ui,
        canvas::{Canvas, inset},
        keys::Place,
        letters, text,
        theme::Meaning,
        time::{Clock, SOON},
        ui::Chosen,
    },
};

/// How the band is written.
struct Face {
    band: Style,
    plain: Style,
    strong: Style,
    quiet: Style,
    accent: Style,
    key: Style,
    chip: Style,
    filled: bool,
}

impl Face {
    fn of(canvas: &Canvas, board: &Board) -> Face {
        let meaning = match urgency(board) {
            Some(Priority::High) => Some(Meaning::CallHigh),
            Some(Priority::Medium) => Some(Meaning::CallMedium),
            _ => None,
        };
        match meaning {
            Some(meaning) => {
                let band = canvas.style(meaning);
                let quiet = band.remove_modifier(Modifier::BOLD);
                let bold = band.add_modifier(Modifier::BOLD);
                // The word in the colours turned around; without colours, underlined.
                let chip = match (band.fg, band.bg) {
                    (Some(fg), Some(bg)) => bold.fg(bg).bg(fg),
                    _ => bold.add_modifier(Modifier::UNDERLINED),
                };
                Face {
                    band,
                    plain: quiet,
                    strong: band.add_modifier(Modifier::BOLD),
                    quiet,
                    accent: band.add_modifier(Modifier::BOLD),
                    key: band.add_modifier(Modifier::BOLD),
                    chip,
                    filled: true,
                }
            }
            None => {
                let text = canvas.style(Meaning::Text);
                Face {
                    band: canvas.style(Meaning::Raised),
                    plain: text,
                    strong: text.add_modifier(Modifier::BOLD),
                    quiet: canvas.style(Meaning::Muted),
                    accent: canvas.style(Meaning::Now),
                    key: canvas.style(Meaning::Key),
                    chip: canvas.style(Meaning::CallLow),
                    filled: false,
                }
            }
        }
    }
}

/// Rows that the one thing to do takes at the least, at a width.
pub fn wanted(board: &Board, ui: &Ui, width: u16) -> u16 {
    least_rows(board, &Clock::of(board, ui.clock), width)
}

/// Draws the one thing to do.
pub fn draw(canvas: &mut Canvas, area: Rect, board: &Board, ui: &Ui) {
    if area.width == 0 || area.height == 0 {
        return;
    }
    let clock = Clock::of(board, ui.clock);
    let face = Face::of(canvas, board);
    let words = choose(board, &clock, area.width, area.height);
    canvas.lay_style(area, face.band);
    canvas.hit(area, Command::Next);
    side(canvas, area, board, &face);
    let (columns, time) = (columns(area.width), time_columns(area.width));
    let inner = inset(area, 3, 0, 2, 0);
    let column = Rect {
        width: columns.min(inner.width),
        ..inner
    };
    let spare = area.height.saturating_sub(words.rows());
    let close = words.above == 0 && !words.big.is_empty();
    // Who it is for stands at the top and the keys at the bottom, whatever is said between them: nothing jumps from one
    // step to the next. What is left over is below the words, but for a row at each edge.
    let edge = u16::from(spare >= 2 && area.height >= 10);
    let y = subject(canvas, column, edge, board, &clock, &face, time == 0, close);
    body(canvas, column, y + words.above, &words, &face);
    let keys = area.height - 1 - edge;
    choices(canvas, inset(area, 3, 0, 2, 0), keys, board, ui, &face);
    if time > 0 && area.height >= 6 {
        let corner = Rect {
            x: area.right().saturating_sub(time + 2),
            width: time,
            ..area
        };
        big_time(canvas, corner, board, &clock, &face);
    }
}

/// The bars at the edges; on a call they blink, once a second.
fn side(canvas: &mut Canvas, area: Rect, board: &Board, face: &Face) {
    let glyph = if lit(board) { "█" } else { " " };
    for y in area.y..area.bottom() {
        canvas.dot(area.x, y, glyph, face.accent);
        if face.filled {
            canvas.dot(area.right().saturating_sub(1), y, glyph, face.accent);
        }
    }
}

/// The call's word, the subject, and where there are no big digits, when.
#[allow(clippy::too_many_arguments)]
fn subject(
    canvas: &mut Canvas,
    area: Rect,
    y: u16,
    board: &Board,
    clock: &Clock,
    face: &Face,
    when: bool,
    close: bool,
) -> u16 {
    let mut x = 0;
    if let Some(call) = calling(board).next() {
        let style = match call.priority {
            Priority::Low => canvas.style(Meaning::CallLow),
            // Next to large letters a patch of their colour would look like one of them.
            _ if close => face.strong.add_modifier(Modifier::UNDERLINED),
            _ => face.chip,
        };
        let word = priority_word(call.priority);
        x = canvas.put(area, x, y, &format!(" {word} "), style) + 2;
    }
    let time = board.focus.moment.filter(|_| when);
    let time = time.map(|at| (format!("{}  ", clock.at(at)), clock.within(at)));
    // How long there is matters more than all of a name, and that more than at what time it is.
    let (at, left) = time.unwrap_or_default();
    let room = usize::from(area.width.saturating_sub(x)).saturating_sub(text::width(&left) + 3);
    let name = text::name(&board.focus.subject, room);
    let end = canvas.put(area, x, y, &name, face.accent);
    let mut at = (end.saturating_add(3), at);
    if usize::from(end - x) + text::width(&at.1) > room {
        at.1.clear();
    }
    at.0 = canvas.put(area, at.0, y, &at.1, face.quiet);
    canvas.put(area, at.0, y, &left, face.strong);
    y + 1
}

fn body(canvas: &mut Canvas, area: Rect, mut y: u16, words: &Words, face: &Face) {
    // The last row belongs to the keys.
    let area = Rect {
        height: area.height.saturating_sub(1),
        ..area
    };
    for line in &words.big {
        letters::draw(canvas, area, 0, y, line, words.size, face.strong);
        y += letters::height(words.size);
    }
    let strong = words.plain.iter().chain(&words.amounts);
    let mut lines: Vec<(&str, Style)> = strong.map(|line| (line.as_str(), face.strong)).collect();
    lines.extend(words.asides.iter().map(|(line, kind)| {
        let style = match kind {
            Aside::Caution if !face.filled => canvas.style(Meaning::Caution),
            Aside::Cue => face.plain.add_modifier(Modifier::ITALIC),
            Aside::Caution => face.quiet,
            Aside::Needs => face.plain,
        };
        (line.as_str(), style)
    }));
    lines.extend(words.others.iter().map(|line| (line.as_str(), face.strong)));
    let room = usize::from(area.height.saturating_sub(y));
    let cut = lines.len() > room;
    for (i, (line, style)) in lines.into_iter().take(room).enumerate() {
        let line = match cut && i + 1 == room {
            true => text::cut(line, usize::from(area.width)),
            false => line.to_owned(),
        };
        canvas.put(area, 0, y, &line, style);
        y += 1;
    }
}

fn choices(canvas: &mut Canvas, area: Rect, y: u16, board: &Board, ui: &Ui, face: &Face) {
    let line = Rect {
        y: area.y.saturating_add(y),
        height: 1,
        ..area
    };
    let mut x = 0;
    if board.focus.action.is_some() {
        x = cap(
            canvas,
            line,
            x,
            &Command::Next,
            &board.focus.word,
            face.strong,
            ui,
            face,
        );
    }
    for (i, choice) in board.focus.choices.iter().enumerate().take(9) {
        // A substitute has a key of its own, whatever it stands beside.
        if matches!(choice.action, Action::Substitute(..)) {
            continue;
        }
        let style = if ui.chosen == Some(Chosen::Choice(i)) {
            face.strong.add_modifier(Modifier::UNDERLINED)
        } else {
            face.plain
        };
        let command = Command::Choice(u8::try_from(i + 1).unwrap_or(9));
        x = cap(canvas, line, x, &command, &choice.words, style, ui, face);
    }
    substitutes(canvas, line, x, board, ui, face);
}

/// What may go in instead; the first of them has the key.
fn substitutes(canvas: &mut Canvas, line: Rect, mut x: u16, board: &Board, ui: &Ui, face: &Face) {
    let mut key = Command::Substitute;
    for (i, choice) in board.focus.choices.iter().enumerate().take(9) {
        if !matches!(choice.action, Action::Substitute(..)) {
            continue;
        }
        let chosen = ui.chosen == Some(Chosen::Choice(i));
        let room = usize::from(line.width.saturating_sub(x.saturating_add(4)));
        // One that can't be read whole is not offered, but for the one that the arrows chose.
        if text::width(&choice.words) > room && !chosen {
            continue;
        }
        let style = match chosen {
            true => face.strong.add_modifier(Modifier::UNDERLINED),
            false => face.quiet,
        };
        x = cap(canvas, line, x, &key, &choice.words, style, ui, face);
        key = Command::Choice(u8::try_from(i + 1).unwrap_or(9));
    }
}

/// One key and what it does; without a key of its own, what the arrows or a tap reach.
#[allow(clippy::too_many_arguments)]
fn cap(
    canvas: &mut Canvas,
    line: Rect,
    x: u16,
    command: &Command,
    words: &str,
    style: Style,
    ui: &Ui,
    face: &Face,
) -> u16 {
    let mut end = x;
    if let Some(key) = ui.keys.label(Place::Cook, command) {
        let cap = if face.filled {
            format!("[{key}]")
        } else {
            format!(" {key} ")
        };
        end = canvas.put(line, end, 0, &cap, face.key).saturating_add(1);
    }
    end = canvas.put(line, end, 0, words, style);
    let place = Rect {
        x: line.x.saturating_add(x),
        width: end.saturating_sub(x),
        ..line
    };
    canvas.hit(place, command.clone());
    end.saturating_add(3)
}

/// How long there is: the moment of the focus, or else of what ends or begins next, in big digits.
fn big_time(canvas: &mut Canvas, area: Rect, board: &Board, clock: &Clock, face: &Face) {
    let Some((moment, of)) = next_moment(board) else {
        return;
    };
    let past = moment <= clock.now().saturating_sub(1000);
    let (digits, unit) = big_time_words(clock, moment);
    // The second size goes with sentences of the second size.
    let sizes = [if area.width > 20 { 2 } else { 1 }, 1].into_iter();
    let fits = |size: &u16| {
        letters::width(&digits, *size) <= area.width && letters::height(*size) + 2 <= area.height
    };
    let size = sizes.clone().find(fits);
    let rows = size.map_or(1, letters::height);
    let top = area.height.saturating_sub(rows + 2) / 2;
    let label = match of {
        Some(of) => format!("{of} {}", clock.at(moment)),
        None => format!("{} {}", if past { "since" } else { "at" }, clock.at(moment)),
    };
    let label = text::clip(&label, usize::from(area.width));
    let right = |words: &str| {
        area.width
            .saturating_sub(u16::try_from(text::width(words)).unwrap_or(0))
    };
    canvas.put(area, right(&label), top, &label, face.quiet);
    match size {
        Some(size) => {
            let x = area.width.saturating_sub(letters::width(&digits, size));
            letters::draw(canvas, area, x, top + 1, &digits, size, face.accent);
        }
        None => {
            canvas.put(area, right(&digits), top + 1, &digits, face.strong);
        }
    }
    canvas.put(area, right(&unit), top + 1 + rows, &unit, face.plain);
}

/// The moment that matters next, and of what it is unless it is the focus's own.
pub fn next_moment(board: &Board) -> Option<(i64, Option<String>)> {
    if let Some(moment) = board.focus.moment {
        return Some((moment, None));
    }
    let running = board
        .countdowns
        .first()
        .map(|c| (c.due, Some(c.dish.clone())));
    let coming = board
        .upcoming
        .first()
        .map(|u| (u.at, Some(u.subject.clone())));
    running.into_iter().chain(coming).min_by_key(|(at, _)| *at)
}

/// How long there is, in big letters, and a small unit: "now" for the first minute after a moment, when there is nothing to
/// count.
pub fn big_time_words(clock: &Clock, moment: Ms) -> (String, String) {
    let left = moment.saturating_sub(clock.now());
    if (-SOON..=0).contains(&left) {
        return ("now".to_owned(), String::new());
    }
    big_words(&clock.left(moment))
}

/// "12 min" is "12" in big digits and a small "min"; "2 h 05" is "2:05" and "h".
fn big_words(span: &str) -> (String, String) {
    let span = span.strip_suffix(" ago").unwrap_or(span);
    let (digits, unit) = match span.split_once(' ') {
        Some((minutes, "min")) => (minutes.to_owned(), "min"),
        Some((hours, rest)) => match rest.strip_prefix("h ") {
            Some(minutes) => (format!("{hours}:{minutes}"), "h"),
            None => (hours.to_owned(), "h"),
        },
        None => (span.to_owned(), ""),
    };
    (digits, unit.to_owned())
}
