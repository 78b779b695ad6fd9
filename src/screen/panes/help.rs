//! All keys, over the screen.

use ratatui::{layout::Rect, style::Modifier};

use crate::screen::{
    Command, Ui,
    canvas::{Canvas, inset},
    text,
    theme::Meaning,
    ui::Overlay,
};

fn lines(ui: &Ui) -> usize {
    ui.keys.help(ui.place).len()
}

/// Whether a command was for the help that lies over the screen: it scrolls it, or closes it.
pub fn scrolled(command: &Command, ui: &mut Ui) -> bool {
    let last = u16::try_from(lines(ui)).unwrap_or(u16::MAX);
    let Overlay::Help(at) = &mut ui.overlay else {
        return false;
    };
    match command {
        Command::Down | Command::Later => *at = at.saturating_add(1).min(last),
        Command::Up | Command::Earlier => *at = at.saturating_sub(1),
        _ => ui.overlay = Overlay::None,
    }
    true
}

/// Draws help over the whole area.
pub fn draw(canvas: &mut Canvas, area: Rect, ui: &Ui, scroll: u16) {
    canvas.blank(area);
    let area = inset(area, 2, 1, 2, 0);
    let bold = canvas.style(Meaning::Text).add_modifier(Modifier::BOLD);
    canvas.put(area, 0, 0, "Keys", bold);
    canvas.say(area, 6, 0, "every one of them can be changed in the configuration; a wrong one is taken back with undo", Meaning::Muted);
    let rows = ui.keys.help(ui.place);
    let names = rows
        .iter()
        .map(|(keys, _)| text::width(keys))
        .max()
        .unwrap_or(0);
    let names = u16::try_from(names).unwrap_or(0).min(area.width / 3);
    let body = inset(area, 0, 2, 0, 1);
    let height = usize::from(body.height).max(1);
    let two = area.width >= 140 && rows.len() > height;
    let columns = if two { 2 } else { 1 };
    let wide = area.width / columns;
    let skip = usize::from(scroll).min(rows.len().saturating_sub(height));
    for (i, (keys, words)) in rows
        .iter()
        .skip(skip)
        .take(height * usize::from(columns))
        .enumerate()
    {
        let x = body.x + u16::try_from(i / height).unwrap_or(0) * wide;
        let cell = Rect {
            x,
            width: wide.saturating_sub(2),
            ..body
        };
        let y = u16::try_from(i % height).unwrap_or(0);
        canvas.put(
            Rect {
                width: names,
                ..cell
            },
            0,
            y,
            keys,
            bold,
        );
        canvas.say(cell, names + 2, y, words, Meaning::Text);
    }
    let foot = area.height.saturating_sub(1);
    let back = ui.keys.label(ui.place, &Command::Back).unwrap_or_default();
    canvas.say(
        area,
        0,
        foot,
        &format!("{back} closes this, the arrows scroll it"),
        Meaning::Muted,
    );
}
