//! One file a pane. Each draws into the area it is given and asks for nothing else.

pub mod after;
pub mod before;
pub mod calls;
pub mod courses;
pub mod focus;
pub mod foot;
pub mod glance;
pub mod head;
pub mod help;
pub mod next;
pub mod oven;
pub mod prompt;
pub mod running;
pub mod timeline;

use ratatui::layout::Rect;

use super::{Command, Ui, canvas::Canvas, text, theme::Meaning};

/// Writes keys and what they do on one line, as many as fit; taps reach them too. Gives the column after them.
pub fn hints(canvas: &mut Canvas, area: Rect, ui: &Ui, commands: &[(Command, &str)]) -> u16 {
    let mut x: u16 = 0;
    for (command, words) in commands {
        let Some(key) = ui.keys.label(ui.place, command) else {
            continue;
        };
        let wide = u16::try_from(text::width(&key) + text::width(words) + 3).unwrap_or(u16::MAX);
        if x.saturating_add(wide) > area.width.saturating_add(2) {
            break;
        }
        let start = x;
        x = canvas.say(area, x, 0, &key, Meaning::Text);
        x = canvas.say(area, x + 1, 0, words, Meaning::Muted) + 3;
        let place = Rect {
            x: area.x + start,
            width: x - start,
            ..area
        };
        canvas.hit(place, command.clone());
    }
    x
}
