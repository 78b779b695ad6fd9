//! How the chooser looks.

use ratatui::{buffer::Buffer, layout::Rect, style::Modifier};

use super::{Chooser, Entry, Source};
use crate::screen::{
    Command, Drawn, Ui,
    canvas::{Canvas, cut_bottom, cut_left, cut_top, inset},
    keys::Place,
    letters, page,
    panes::hints,
    text,
    theme::Meaning,
    time::{Clock, MINUTE, minutes_words},
};

/// Rows of one entry in the list.
const ROWS: u16 = 3;

/// What the program is, for who sees it first, with the keys as they are.
fn first(ui: &Ui) -> [String; 6] {
    let key = |place: Place, command: &Command| {
        let label = ui.keys.label(place, command);
        label.unwrap_or_else(|| format!("`{command}`"))
    };
    let (next, undo, more) = (
        key(Place::Cook, &Command::Next),
        key(Place::Cook, &Command::Undo),
        key(Place::Cook, &Command::More(None)),
    );
    let (take, plan, help) = (
        key(Place::List, &Command::Take),
        key(Place::List, &Command::Plan),
        key(Place::List, &Command::Help),
    );
    // Each in one line of 80 columns: it is read whole on the smallest terminal that is laid out for.
    [
        "A session is a meal: its courses, and when they are to be on the table.".into(),
        "Its plan says when each step begins, and when the oven is turned.".into(),
        format!("While you cook, one key does the next thing all evening: {next}."),
        format!("What takes longer gets more minutes: {more}. {undo} takes a wrong key back."),
        "All that happens is kept: an evening is taken up where it was left.".into(),
        format!("{take} cooks the chosen session, {plan} shows its plan, {help} every key."),
    ]
}

/// Draws the chooser into a buffer, all of it.
pub fn paint(buffer: &mut Buffer, chooser: &Chooser, ui: &Ui) -> Drawn {
    page::paint(buffer, ui, |canvas, area| sheet(canvas, area, chooser, ui))
}

fn sheet(canvas: &mut Canvas, area: Rect, chooser: &Chooser, ui: &Ui) {
    let wide = area.width >= 60 && area.height >= 18;
    let side = if wide { 3 } else { 1 };
    let (rest, foot) = cut_bottom(area, 1);
    let commands = [
        (Command::Take, "cook"),
        (Command::Plan, "plan"),
        (Command::Down, "next session"),
        (Command::Help, "help"),
        (Command::Quit, "leave"),
    ];
    let foot = inset(foot, side, 0, side, 0);
    match &ui.message {
        Some((words, _)) => {
            canvas.say(foot, 0, 0, words, Meaning::Now);
        }
        None => {
            hints(canvas, foot, ui, &commands);
        }
    }
    let rest = inset(rest, side, 0, side, 0);
    let rest = if wide {
        let (top, rest) = cut_top(inset(rest, 0, 1, 0, 0), letters::ROWS + 1);
        let tone = canvas.style(Meaning::Now);
        letters::draw(canvas, top, 0, 0, "Mealtide", 1, tone);
        inset(rest, 0, 1, 0, 1)
    } else {
        canvas.say(rest, 0, 0, "Mealtide", Meaning::Now);
        inset(rest, 0, 1, 0, 0)
    };
    let rest = if chooser.first_run && rest.height > 12 {
        let columns = usize::from(rest.width);
        let lines: Vec<String> = first(ui)
            .iter()
            .flat_map(|l| text::wrap(l, columns))
            .collect();
        let rows = u16::try_from(lines.len()).unwrap_or(0).min(rest.height / 2);
        let (words, rest) = cut_top(rest, rows + 1);
        for (y, line) in (0..rows).zip(&lines) {
            canvas.say(words, 0, y, line, Meaning::Text);
        }
        rest
    } else {
        rest
    };
    if rest.width >= 90 {
        let (left, right) = cut_left(rest, rest.width / 2, 4);
        list(canvas, left, chooser, ui);
        if let Some(entry) = chooser.entries.get(chooser.chosen) {
            detail(canvas, right, entry, chooser, ui);
        }
    } else {
        let rows = if rest.height >= 16 {
            rest.height / 2
        } else {
            0
        };
        let (top, bottom) = cut_bottom(rest, rows);
        list(canvas, top, chooser, ui);
        if let Some(entry) = chooser.entries.get(chooser.chosen).filter(|_| rows > 0) {
            detail(canvas, inset(bottom, 0, 1, 0, 0), entry, chooser, ui);
        }
    }
}

fn list(canvas: &mut Canvas, area: Rect, chooser: &Chooser, ui: &Ui) {
    if chooser.entries.is_empty() {
        canvas.say(area, 0, 0, "No session is at hand.", Meaning::Text);
        return;
    }
    let roomy = usize::from(area.height / ROWS) >= chooser.entries.len();
    let tall = if roomy { ROWS } else { 2 };
    let shown = usize::from(area.height / tall).max(1);
    let first = (chooser.chosen + 1).saturating_sub(shown);
    let visible = chooser.entries.iter().enumerate().skip(first).take(shown);
    for (row, (i, entry)) in visible.enumerate() {
        let y = area.y + u16::try_from(row).unwrap_or(0) * tall;
        let place = Rect {
            y,
            height: 2.min(area.bottom().saturating_sub(y)),
            ..area
        };
        line(canvas, place, i, entry, chooser, ui);
    }
}

fn line(canvas: &mut Canvas, area: Rect, i: usize, entry: &Entry, chooser: &Chooser, ui: &Ui) {
    if let Some(n) = u8::try_from(i + 1).ok().filter(|n| *n <= 200) {
        canvas.hit(area, Command::Row(n));
    }
    if i == chooser.chosen {
        canvas.lay(area, Meaning::Chosen);
        let accent = canvas.style(Meaning::Now);
        for y in area.y..area.bottom() {
            canvas.dot(area.x, y, "\u{2588}", accent);
        }
    }
    let bold = canvas.style(Meaning::Text).add_modifier(Modifier::BOLD);
    let row = inset(area, 2, 0, 1, 0);
    let badge = match &entry.source {
        Source::Unfinished(words) => (format!("unfinished, {words}"), Meaning::Now),
        _ if entry.broken => ("can't be cooked yet".to_owned(), Meaning::Late),
        Source::BuiltIn => ("comes with the program".to_owned(), Meaning::Muted),
        Source::File(path) => (path.clone(), Meaning::Muted),
    };
    let end = canvas.put(row, 0, 0, &entry.title, bold);
    let room = usize::from(row.width.saturating_sub(end + 2));
    canvas.say_right(row, 0, &text::clip(&badge.0, room), badge.1);
    let (words, meaning) = summary(entry, chooser, ui);
    canvas.say(row, 0, 1, &words, meaning);
}

/// "6 guests, begin at 15:10 for 19:30", or what is wrong.
fn summary(entry: &Entry, chooser: &Chooser, ui: &Ui) -> (String, Meaning) {
    if let Some(trouble) = entry.troubles.first() {
        let more = entry.troubles.len() - 1;
        let more = if more > 0 {
            format!(" (and {more} more)")
        } else {
            String::new()
        };
        return (format!("{trouble}{more}"), Meaning::Late);
    }
    let clock = Clock::new(0, &chooser.now, ui.clock);
    let guests = entry.guests.map(|n| match n {
        1 => "1 guest".to_owned(),
        n => format!("{n} guests"),
    });
    let begin = entry.begin.as_ref();
    let begin = begin.map(|b| format!("begin {}", words_of(&clock, chooser, b)));
    let serve = entry.serve.as_ref();
    let serve = serve.map(|s| format!("serve {}", words_of(&clock, chooser, s)));
    let parts: Vec<String> = guests.into_iter().chain(begin).chain(serve).collect();
    (parts.join(", "), Meaning::Muted)
}

/// The clock time, with the day of the week unless it is today.
fn words_of(clock: &Clock, chooser: &Chooser, moment: &jiff::ZonedDateTime) -> String {
    let time = clock.at(ms_to(chooser, moment));
    if moment.date() == chooser.now.date() {
        time
    } else {
        format!("{} {time}", moment.strftime("%a"))
    }
}

fn ms_to(chooser: &Chooser, moment: &jiff::ZonedDateTime) -> i64 {
    moment.timestamp().as_millisecond() - chooser.now.timestamp().as_millisecond()
}

fn detail(canvas: &mut Canvas, area: Rect, entry: &Entry, chooser: &Chooser, ui: &Ui) {
    let clock = Clock::new(0, &chooser.now, ui.clock);
    let mut y = 0;
    let columns = usize::from(area.width);
    let tell = |canvas: &mut Canvas, y: &mut u16, words: &str, meaning: Meaning| {
        for part in text::wrap(words, columns) {
            canvas.say(area, 0, *y, &part, meaning);
            *y += 1;
        }
    };
    match (&entry.source, &entry.begin) {
        (Source::Unfinished(_), _) => {
            let words = "This evening was left before its end. Go on with it from where it was: no timer is lost.";
            tell(canvas, &mut y, words, Meaning::Now);
            y += 1;
        }
        (_, Some(begin)) if !entry.broken => {
            let left = ms_to(chooser, begin);
            if left < 0 {
                let late = minutes_words(-left / MINUTE);
                let words = format!("Begin at once: it is {late} later than it should be.");
                tell(canvas, &mut y, &words, Meaning::Late);
            } else {
                tell(
                    canvas,
                    &mut y,
                    &format!("begin {}", clock.within(left)),
                    Meaning::Muted,
                );
            }
            if left >= 0 && area.height >= 14 {
                let tone = canvas.style(Meaning::Text);
                letters::draw(canvas, area, 0, y + 1, &clock.at(left), 1, tone);
                y += letters::ROWS + 2;
            }
        }
        _ => {}
    }
    for course in &entry.courses {
        for (i, part) in text::wrap(course, columns.saturating_sub(2))
            .iter()
            .enumerate()
        {
            canvas.say(area, if i == 0 { 0 } else { 2 }, y, part, Meaning::Text);
            y += 1;
        }
    }
    y += 1;
    let troubles = entry.troubles.iter().map(|words| (words, Meaning::Late));
    let notes = entry.notes.iter().map(|words| (words, Meaning::Muted));
    for (words, meaning) in troubles.chain(notes) {
        for part in text::wrap(words, columns) {
            canvas.say(area, 0, y, &part, meaning);
            y += 1;
        }
    }
}
