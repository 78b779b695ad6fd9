//! How the form of the kitchen looks.

use ratatui::{
    buffer::Buffer,
    layout::{Position, Rect},
    style::Modifier,
};

use super::{Form, Line};
use crate::screen::{
    Command, Drawn, Ui,
    canvas::{Canvas, cut_bottom, cut_top, inset},
    letters, page,
    panes::hints,
    text,
    theme::Meaning,
};

/// Columns of the names of the lines.
const NAMES: u16 = 12;

/// Draws the form into a buffer, all of it.
pub fn paint(buffer: &mut Buffer, form: &Form, ui: &Ui) -> Drawn {
    page::paint(buffer, ui, |canvas, area| draw(canvas, area, form, ui))
}

fn draw(canvas: &mut Canvas, area: Rect, form: &Form, ui: &Ui) {
    let large = area.width >= 60 && area.height >= 18;
    let side = if large { 3 } else { 1 };
    let (rest, foot) = cut_bottom(area, 1);
    hints(canvas, inset(foot, side, 0, side, 0), ui, keys(form));
    let rest = inset(rest, side, u16::from(large), side, 1);
    let rest = if large {
        let (top, rest) = cut_top(rest, letters::ROWS + 2);
        let tone = canvas.style(Meaning::Now);
        letters::draw(canvas, top, 0, 0, "Your kitchen", 1, tone);
        let (words, rest) = cut_top(rest, 2);
        let about = "Meals are planned for what is here: hands, burners, racks, and pots that can't be in two places.";
        let line = if text::width(about) <= usize::from(words.width) {
            about
        } else {
            "Meals are planned for what is here."
        };
        canvas.say(words, 0, 0, line, Meaning::Muted);
        rest
    } else {
        canvas.say(rest, 0, 0, "Your kitchen", Meaning::Now);
        inset(rest, 0, 1, 0, 0)
    };
    let (list, told) = cut_bottom(rest, u16::from(form.fault.is_some()));
    lines(canvas, list, form, ui);
    if let Some(why) = &form.fault {
        canvas.say(told, 0, 0, why, Meaning::Late);
    }
}

fn keys(form: &Form) -> &'static [(Command, &'static str)] {
    match (&form.typing, form.line()) {
        (Some(_), _) => &[(Command::Take, "take it"), (Command::Back, "leave it")],
        (None, Line::Cooks | Line::Burners) => &[
            (Command::Right, "more"),
            (Command::Left, "fewer"),
            (Command::Down, "next line"),
            (Command::Quit, "leave"),
        ],
        (None, Line::AddOven | Line::AddWare) => &[
            (Command::Take, "add"),
            (Command::Down, "next line"),
            (Command::Quit, "leave"),
        ],
        (None, Line::Write) => &[(Command::Take, "write it"), (Command::Quit, "leave")],
        (None, _) => &[
            (Command::Take, "change; an empty line takes it away"),
            (Command::Down, "next line"),
            (Command::Quit, "leave"),
        ],
    }
}

/// The lines, scrolled so that the chosen one is seen; groups have air between where there is room.
fn lines(canvas: &mut Canvas, area: Rect, form: &Form, ui: &Ui) {
    let all = form.lines();
    let air = all.len() + 3 <= usize::from(area.height);
    let mut rows: Vec<Option<(usize, Line)>> = Vec::new();
    for (i, line) in all.into_iter().enumerate() {
        let begins = match line {
            Line::Oven(0) | Line::Ware(0) | Line::Write => true,
            Line::AddOven => form.ovens.is_empty(),
            Line::AddWare => form.ware.is_empty(),
            _ => false,
        };
        if begins && air {
            rows.push(None);
        }
        rows.push(Some((i, line)));
    }
    let at = rows
        .iter()
        .position(|row| row.is_some_and(|(i, _)| i == form.chosen));
    let height = usize::from(area.height);
    let skip = at.unwrap_or(0).saturating_sub(height.saturating_sub(1));
    for (y, row) in (0..area.height).zip(rows.into_iter().skip(skip)) {
        let Some((i, line)) = row else { continue };
        let row = Rect {
            y: area.y + y,
            height: 1,
            ..area
        };
        if i == form.chosen {
            canvas.lay(row, Meaning::Chosen);
            let accent = canvas.style(Meaning::Now);
            canvas.dot(row.x, row.y, "\u{2588}", accent);
        }
        if let Ok(n) = u8::try_from(i + 1) {
            canvas.hit(row, Command::Row(n));
        }
        one(
            canvas,
            inset(row, 2, 0, 1, 0),
            form,
            line,
            i == form.chosen,
            ui,
        );
    }
}

fn one(canvas: &mut Canvas, row: Rect, form: &Form, line: Line, chosen: bool, ui: &Ui) {
    let name = match line {
        Line::Cooks => "cooks",
        Line::Burners => "burners",
        Line::Oven(0) => "ovens",
        Line::Ware(0) => "cookware",
        Line::AddOven if form.ovens.is_empty() => "ovens",
        Line::AddWare if form.ware.is_empty() => "cookware",
        _ => "",
    };
    canvas.say(row, 0, 0, name, Meaning::Muted);
    let field = inset(row, NAMES, 0, 0, 0);
    if let (true, Some(input)) = (chosen, &form.typing) {
        let x = canvas.say(field, 0, 0, "> ", Meaning::Now);
        let room = usize::from(field.width.saturating_sub(x + 1));
        let scroll = input.visual_scroll(room);
        let shown = text::from_column(input.value(), scroll);
        canvas.say(field, x, 0, &shown, Meaning::Text);
        let at = u16::try_from(input.visual_cursor().saturating_sub(scroll)).unwrap_or(0);
        let at = field.x.saturating_add(x).saturating_add(at);
        canvas.cursor = Some(Position::new(
            at.min(field.right().saturating_sub(1)),
            field.y,
        ));
        return;
    }
    let bold = canvas.style(Meaning::Text).add_modifier(Modifier::BOLD);
    match line {
        Line::Cooks | Line::Burners => {
            let number = if line == Line::Cooks {
                form.cooks
            } else {
                form.burners
            };
            canvas.put(field, 0, 0, &number.to_string(), bold);
        }
        Line::Oven(i) => parts(canvas, field, form.ovens.get(i), ["rack", "racks"]),
        Line::Ware(i) => parts(canvas, field, form.ware.get(i), ["piece", "pieces"]),
        Line::AddOven => {
            canvas.say(
                field,
                0,
                0,
                "add an oven: name, racks, dial (C, F, gas or fan)",
                Meaning::Muted,
            );
        }
        Line::AddWare => {
            let words = "add cookware: name, how many, what one holds";
            canvas.say(field, 0, 0, words, Meaning::Muted);
        }
        Line::Write => {
            if let Some(key) = ui.keys.label(ui.place, &Command::Take).filter(|_| chosen) {
                canvas.key(row, 0, 0, &key, "", Meaning::Text);
            }
            let x = canvas.put(field, 0, 0, "write it down", bold);
            canvas.say(field, x + 2, 0, &form.path, Meaning::Muted);
        }
    }
}

/// "stockpot   1 piece   6 L".
fn parts(canvas: &mut Canvas, field: Rect, words: Option<&String>, unit: [&str; 2]) {
    let mut parts = words.map_or("", String::as_str).split(',').map(str::trim);
    let bold = canvas.style(Meaning::Text).add_modifier(Modifier::BOLD);
    let name = (field.width / 3).min(24);
    let shown = text::clip(parts.next().unwrap_or(""), usize::from(name));
    canvas.put(field, 0, 0, &shown, bold);
    let count = parts.next().map(|count| {
        let [one, more] = unit;
        format!("{count} {}", if count == "1" { one } else { more })
    });
    canvas.say(
        field,
        name + 2,
        0,
        &count.unwrap_or_default(),
        Meaning::Text,
    );
    canvas.say(
        field,
        name + 14,
        0,
        parts.next().unwrap_or(""),
        Meaning::Muted,
    );
}
