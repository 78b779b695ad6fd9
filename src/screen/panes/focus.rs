//! The one thing to do now: the largest thing on the screen, and a call's band when something calls.

use ratatui::{
    layout::Rect,
    style::{Modifier, Style},
};

use crate::{
    live::{Board, Call, Priority, board::Focus},
    screen::{
        Command, Ui,
        canvas::{Canvas, inset},
        keys::Place,
        letters, text,
        theme::Meaning,
        time::Clock,
        ui::Chosen,
    },
};

/// A blink is lit for this many ms of each second of the wall clock.
pub const BLINK: i16 = 500;

/// The unanswered calls that are to be seen, most urgent first.
pub fn calling(board: &Board) -> impl Iterator<Item = &Call> {
    board.calls.iter().filter(|call| !call.silent)
}

/// The priority of the most urgent call.
pub fn urgency(board: &Board) -> Option<Priority> {
    calling(board).map(|call| call.priority).max()
}

/// How the band is written.
struct Face {
    band: Style,
    plain: Style,
    strong: Style,
    quiet: Style,
    accent: Style,
    key: Style,
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
                Face {
                    band,
                    plain: quiet,
                    strong: band.add_modifier(Modifier::BOLD),
                    quiet,
                    accent: band.add_modifier(Modifier::BOLD),
                    key: band.add_modifier(Modifier::BOLD),
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
                    filled: false,
                }
            }
        }
    }
}

/// One arrangement of the words.
struct Words {
    big: Vec<String>,
    plain: Vec<String>,
    amounts: Vec<String>,
    asides: Vec<(String, Aside)>,
    others: Vec<String>,
    air: u16,
}

#[derive(Clone, Copy, PartialEq)]
enum Aside {
    Cue,
    Needs,
    Caution,
}

impl Words {
    fn rows(&self) -> u16 {
        let big = self.big.len() * usize::from(letters::ROWS);
        let rest = self.plain.len() + self.amounts.len() + self.asides.len() + self.others.len();
        // The subject above, the keys below.
        let all = 2 + big + rest + usize::from(self.air) * 2;
        u16::try_from(all).unwrap_or(u16::MAX)
    }
}

/// How the words may be arranged.
#[derive(Clone, Copy)]
struct Shape {
    /// Lines of large letters.
    big: usize,
    /// Empty rows above and below.
    air: u16,
    /// Cookware is told too.
    needs: bool,
}

const fn shape(big: usize, air: u16, needs: bool) -> Shape {
    Shape { big, air, needs }
}

/// From the richest to the leanest.
const SHAPES: [Shape; 9] = [
    shape(3, 1, true),
    shape(2, 1, true),
    shape(1, 1, true),
    shape(2, 0, true),
    shape(1, 0, true),
    shape(1, 0, false),
    shape(0, 1, true),
    shape(0, 0, true),
    shape(0, 0, false),
];

/// The columns inside the band that words may take, and those of the big time at its right.
fn columns(width: u16) -> (u16, u16) {
    let inner = width.saturating_sub(5);
    if width >= 96 {
        (inner - 25, 22)
    } else {
        (inner, 0)
    }
}

fn arrange(board: &Board, clock: &Clock, width: u16, shape: Shape) -> Words {
    let focus = &board.focus;
    let room = columns(width).0;
    let columns = usize::from(room);
    let (head, rest) = headline(&focus.sentence, room, shape.big);
    let mut asides: Vec<(String, Aside)> = Vec::new();
    let mut aside = |words: String, kind: Aside| {
        asides.extend(text::wrap(&words, columns).into_iter().map(|l| (l, kind)));
    };
    if let Some(cue) = &focus.cue {
        aside(cue_words(cue), Aside::Cue);
    }
    for caution in &focus.cautions {
        aside(format!("Mind: {caution}"), Aside::Caution);
    }
    if !focus.needs.is_empty() && shape.needs {
        aside(format!("with {}", focus.needs.join(", ")), Aside::Needs);
    }
    Words {
        big: head,
        plain: text::wrap(&rest, columns),
        amounts: text::wrap(&focus.amounts.join(",  "), columns),
        asides,
        others: others(board, clock),
        air: shape.air,
    }
}

/// A cue reads "until ...", whether it was written so or not.
pub fn cue_words(cue: &str) -> String {
    if cue.starts_with("until ") {
        cue.to_owned()
    } else {
        format!("until {cue}")
    }
}

/// The part of a sentence that so many large lines hold, and the rest; broken at a comma if that is needed.
fn headline(sentence: &str, columns: u16, lines: usize) -> (Vec<String>, String) {
    if lines == 0 || columns < 40 || !letters::has(sentence) {
        return (vec![], sentence.to_owned());
    }
    let Some(mut wrapped) = letters::wrap(sentence, columns) else {
        return (vec![], sentence.to_owned());
    };
    if wrapped.len() <= lines {
        return (wrapped, String::new());
    }
    if let Some((head, rest)) = sentence.split_once(", ")
        && let Some(head) = letters::wrap(head, columns).filter(|head| head.len() <= lines)
    {
        return (head, rest.to_owned());
    }
    let rest = wrapped.split_off(lines).join(" ");
    (wrapped, rest)
}

/// The other calls of the same minute, one a line.
fn others(board: &Board, clock: &Clock) -> Vec<String> {
    let focus = &board.focus;
    calling(board)
        .filter(|call| !is_focus(call, focus))
        .map(|call| {
            let word = priority_word(call.priority);
            let age = match clock.now() - call.since {
                ..=999 => String::new(),
                _ => format!("  ({})", clock.left(call.since)),
            };
            format!("{word}: {}: {}{age}", call.subject, call.sentence)
        })
        .collect()
}

fn is_focus(call: &Call, focus: &Focus) -> bool {
    let same = call.action.is_some() && call.action == focus.action;
    same || (call.subject == focus.subject && call.sentence == focus.sentence)
}

/// What a priority is called on the screen.
pub fn priority_word(priority: Priority) -> &'static str {
    match priority {
        Priority::High => "AT ONCE",
        Priority::Medium => "NOW",
        Priority::Low => "SOON",
    }
}

fn choose(board: &Board, clock: &Clock, width: u16, height: u16) -> Words {
    let fits = SHAPES
        .iter()
        .filter(|shape| shape.big == 0 || (height >= 8 && width >= 60))
        // Three large lines are for large terminals, where they leave room for the rest.
        .filter(|shape| shape.big < 3 || height >= 18)
        .map(|shape| arrange(board, clock, width, *shape))
        .find(|words| words.rows() <= height);
    fits.unwrap_or_else(|| arrange(board, clock, width, shape(0, 0, false)))
}

/// How many rows the band would like, at most `most`.
pub fn wanted(board: &Board, clock: &Clock, width: u16, most: u16) -> u16 {
    choose(board, clock, width, most)
        .rows()
        .clamp(3, most.max(3))
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
    let (columns, time) = columns(area.width);
    let inner = inset(area, 3, 0, 2, 0);
    let column = Rect {
        width: columns.min(inner.width),
        ..inner
    };
    let spare = area.height.saturating_sub(words.rows());
    // Lines stand in the middle of what is left over.
    let mut y = spare.div_ceil(2);
    y = subject(canvas, column, y, board, &clock, &face, time == 0);
    y += words.air;
    y = body(canvas, column, y, &words, &face);
    let last = area.height - 1;
    let keys = (y + words.air).min(last);
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

/// The bar at the left edge; on a call it blinks, once a second.
fn side(canvas: &mut Canvas, area: Rect, board: &Board, face: &Face) {
    let lit = calling(board)
        .next()
        .is_none_or(|_| board.clock.millisecond() < BLINK);
    let style = face.accent;
    for y in area.y..area.bottom() {
        canvas.dot(area.x, y, if lit { "█" } else { " " }, style);
        if face.filled {
            canvas.dot(
                area.right().saturating_sub(1),
                y,
                if lit { "█" } else { " " },
                style,
            );
        }
    }
}

fn subject(
    canvas: &mut Canvas,
    area: Rect,
    y: u16,
    board: &Board,
    clock: &Clock,
    face: &Face,
    when: bool,
) -> u16 {
    let mut x = 0;
    if let Some(call) = calling(board).next() {
        let style = match call.priority {
            Priority::Low => canvas.style(Meaning::CallLow),
            _ => face.strong.add_modifier(Modifier::UNDERLINED),
        };
        let word = priority_word(call.priority);
        x = canvas.put(area, x, y, &format!(" {word} "), style) + 2;
    }
    x = canvas.put(area, x, y, &board.focus.subject, face.accent);
    if let Some(moment) = board.focus.moment.filter(|_| when) {
        let when = format!("   {}, {}", clock.at(moment), clock.within(moment));
        canvas.put(area, x, y, &when, face.quiet);
    }
    y + 1
}

fn body(canvas: &mut Canvas, area: Rect, mut y: u16, words: &Words, face: &Face) -> u16 {
    // The last row belongs to the keys.
    let area = Rect {
        height: area.height.saturating_sub(1),
        ..area
    };
    for line in &words.big {
        letters::draw(canvas, area, 0, y, line, 1, face.strong);
        y += letters::ROWS;
    }
    for line in &words.plain {
        canvas.put(area, 0, y, line, face.strong);
        y += 1;
    }
    for line in &words.amounts {
        canvas.put(area, 0, y, line, face.strong);
        y += 1;
    }
    for (line, kind) in &words.asides {
        let style = match kind {
            Aside::Caution if !face.filled => canvas.style(Meaning::Caution),
            Aside::Cue => face.plain.add_modifier(Modifier::ITALIC),
            Aside::Caution | Aside::Needs => face.quiet,
        };
        canvas.put(area, 0, y, line, style);
        y += 1;
    }
    for line in &words.others {
        canvas.put(area, 0, y, line, face.strong);
        y += 1;
    }
    y
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
        let style = if ui.chosen == Some(Chosen::Choice(i)) {
            face.strong.add_modifier(Modifier::UNDERLINED)
        } else {
            face.plain
        };
        let command = Command::Choice(u8::try_from(i + 1).unwrap_or(9));
        x = cap(canvas, line, x, &command, &choice.words, style, ui, face);
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
    let past = moment <= clock.now() - 1000;
    let (digits, unit) = big_words(&clock.left(moment));
    let wide = letters::width(&digits, 1);
    let top = area.height.saturating_sub(letters::ROWS + 2) / 2;
    let word = if past { "since" } else { "at" };
    let label = match of {
        Some(of) => format!("{of}  {}", clock.at(moment)),
        None => format!("{word} {}", clock.at(moment)),
    };
    let label = text::clip(&label, usize::from(area.width));
    let right = |words: &str| {
        area.width
            .saturating_sub(u16::try_from(text::width(words)).unwrap_or(0))
    };
    canvas.put(area, right(&label), top, &label, face.quiet);
    letters::draw(
        canvas,
        area,
        area.width.saturating_sub(wide),
        top + 1,
        &digits,
        1,
        face.accent,
    );
    canvas.put(
        area,
        right(&unit),
        top + 1 + letters::ROWS,
        &unit,
        face.plain,
    );
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

/// "12 min" is "12" in big digits and a small "min"; "2 h 05" is "2:05" and "h".
pub fn big_words(span: &str) -> (String, String) {
    let (span, after) = match span.strip_suffix(" ago") {
        Some(span) => (span, " ago"),
        None => (span, ""),
    };
    let (digits, unit) = match span.split_once(' ') {
        Some((minutes, "min")) => (minutes.to_owned(), "min"),
        Some((hours, rest)) => match rest.strip_prefix("h ") {
            Some(minutes) => (format!("{hours}:{minutes}"), "h"),
            None => (hours.to_owned(), "h"),
        },
        None => (span.to_owned(), ""),
    };
    (digits, format!("{unit}{after}").trim().to_owned())
}
