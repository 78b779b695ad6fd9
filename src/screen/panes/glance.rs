//! Giant digits, to be read from across the kitchen: how long, and the action in one line.

use ratatui::{
    layout::Rect,
    style::{Modifier, Style},
};

use super::{
    calls::{calling, lit, priority_word, urgency},
    focus::{big_time_words, cue_words, headline, next_moment},
};
use crate::{
    live::{Board, Priority},
    screen::{
        Command, Ui,
        canvas::{Canvas, cut_bottom, inset},
        keys::Place,
        letters, text,
        theme::Meaning,
        time::Clock,
    },
};

/// Draws the glance view over a whole area.
pub fn draw(canvas: &mut Canvas, area: Rect, board: &Board, ui: &Ui) {
    let clock = Clock::of(board, ui.clock);
    let band = match urgency(board) {
        Some(Priority::High) => Some(Meaning::CallHigh),
        Some(Priority::Medium) => Some(Meaning::CallMedium),
        _ => None,
    };
    if let Some(meaning) = band {
        canvas.lay(area, meaning);
    }
    canvas.hit(area, Command::Next);
    let style = |canvas: &Canvas, meaning: Meaning| canvas.style(band.unwrap_or(meaning));
    let (top, foot) = cut_bottom(area, 1);
    let row = inset(top, 1, 0, 1, 0);
    let strong = style(canvas, Meaning::Text).add_modifier(Modifier::BOLD);
    let strong = match lit(board) {
        true => strong,
        false => strong.add_modifier(Modifier::UNDERLINED),
    };
    let told = told(
        canvas,
        row,
        board,
        &clock,
        strong,
        style(canvas, Meaning::Text),
    );
    let middle = inset(top, 1, told, 1, 0);
    let moment = next_moment(board)
        .map(|(m, _)| m)
        .filter(|_| middle.height >= 4);
    if let Some(moment) = moment {
        let (digits, unit) = big_time_words(&clock, moment);
        let tone = style(canvas, Meaning::Now);
        let at = clock.at(moment);
        let beside = text::width(&unit).max(text::width(&at)) + 2;
        let beside = u16::try_from(beside).unwrap_or(u16::MAX);
        let end = digits_at(canvas, middle, beside, &digits, tone);
        let side = Rect {
            x: end.min(area.right()),
            width: area.right().saturating_sub(end),
            ..middle
        };
        let y = middle.height / 2;
        canvas.put(side, 2, y.saturating_sub(1), &unit, strong);
        canvas.put(side, 2, y, &at, style(canvas, Meaning::Muted));
    }
    foot_line(
        canvas,
        inset(foot, 1, 0, 1, 0),
        board,
        ui,
        &clock,
        style(canvas, Meaning::Muted),
    );
}

/// The action in one line, of large letters where there is room (in two where there is more), and what it leaves unsaid;
/// gives the rows that it took.
fn told(
    canvas: &mut Canvas,
    area: Rect,
    board: &Board,
    clock: &Clock,
    strong: Style,
    plain: Style,
) -> u16 {
    let sentence = sentence(board, clock);
    let size = match area.width {
        ..180 => 1,
        _ => 2,
    };
    let lines = if area.height >= 22 { 2 } else { 1 };
    let sizes = (1..=size).rev();
    let large = |size: u16| area.height >= letters::height(size) * lines + 12;
    let fitting = sizes.filter(|size| large(*size) && area.width >= 72);
    let parts = fitting.map(|size| {
        let columns = area.width / size;
        (size, headline(&sentence, columns, usize::from(lines)))
    });
    // Part of a sentence that says nothing alone is read sooner in a smaller line that says all.
    let Some((size, parts)) = parts
        .into_iter()
        .find(|(_, parts)| parts.sense && !parts.big.is_empty())
    else {
        let line = match who(board) {
            who if who.is_empty() => sentence,
            who => format!("{who}: {sentence}"),
        };
        let room = usize::from(area.width);
        let rows = if area.height >= 8 { 2 } else { 1 };
        let mut y = 0;
        for line in text::wrap_in(&line, room, rows) {
            canvas.put(area, 0, y, &line, strong);
            y += 1;
        }
        let aside = aside(board);
        if !aside.is_empty() && area.height >= 8 {
            canvas.put(area, 0, y, &text::clause(&aside, room), plain);
            y += 1;
        }
        return y;
    };
    canvas.put(area, 0, 0, &who(board), strong);
    let mut y = 2;
    for line in &parts.big {
        letters::draw(canvas, area, 0, y, line, size, strong);
        y += letters::height(size);
    }
    for (words, style) in [(parts.rest, strong), (aside(board), plain)] {
        if !words.is_empty() {
            canvas.put(
                area,
                0,
                y,
                &text::clause(&words, usize::from(area.width)),
                style,
            );
            y += 1;
        }
    }
    y
}

/// How urgent it is, and for what: "NOW  Gougeres".
fn who(board: &Board) -> String {
    let word = calling(board).next().map(|c| priority_word(c.priority));
    let parts = word.into_iter().chain([board.focus.subject.as_str()]);
    parts
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>()
        .join("  ")
}

fn sentence(board: &Board, clock: &Clock) -> String {
    if !board.focus.sentence.is_empty() {
        return board.focus.sentence.clone();
    }
    match next_moment(board) {
        Some((at, Some(of))) => format!("{of} at {}", clock.at(at)),
        _ => "Nothing to do".to_owned(),
    }
}

/// Amounts and cue, in one line.
fn aside(board: &Board) -> String {
    let amounts = board.focus.amounts.join(", ");
    let cue = board.focus.cue.as_ref().map(|cue| cue_words(cue));
    let parts = Some(amounts)
        .filter(|a| !a.is_empty())
        .into_iter()
        .chain(cue);
    parts.collect::<Vec<_>>().join(", ")
}

/// Draws digits as large as the area allows, at least four rows high, in its middle with what stands `beside` them; gives
/// the column after them.
fn digits_at(canvas: &mut Canvas, area: Rect, beside: u16, digits: &str, style: Style) -> u16 {
    let room = area.width.saturating_sub(beside);
    let size = (1..=12)
        .rev()
        .find(|size| {
            letters::width(digits, *size) <= room
                && letters::height(*size) <= (area.height * 3 / 4).max(4)
        })
        .unwrap_or(1);
    let y = area.height.saturating_sub(letters::height(size)) / 2;
    let wide = letters::width(digits, size);
    let x = room.saturating_sub(wide) / 2;
    letters::draw(canvas, area, x, y, digits, size, style);
    area.x.saturating_add(x).saturating_add(wide)
}

/// What Space does, and what ends next.
fn foot_line(canvas: &mut Canvas, area: Rect, board: &Board, ui: &Ui, clock: &Clock, quiet: Style) {
    let mut x = 0;
    if board.focus.action.is_some()
        && let Some(key) = ui.keys.label(Place::Cook, &Command::Next)
    {
        x = canvas.put(
            area,
            0,
            0,
            &format!("[{key}] {}", board.focus.word),
            quiet.add_modifier(Modifier::BOLD),
        ) + 3;
    }
    let mut parts: Vec<String> = board
        .ovens
        .iter()
        .map(|o| match &o.next {
            Some(next) if next.due => {
                format!("{} {}: turn to {} now", o.name, o.set_words, next.to)
            }
            _ => format!("{} {}", o.name, o.set_words),
        })
        .collect();
    parts.extend(
        board
            .countdowns
            .iter()
            .take(3)
            .map(|c| format!("{} {}", c.dish, clock.over(c.due))),
    );
    canvas.put(area, x, 0, &parts.join("   "), quiet);
}
