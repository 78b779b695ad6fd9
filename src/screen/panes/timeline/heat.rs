//! The ovens' lane: what each is set to, from now on.

use ratatui::{layout::Rect, style::Modifier};

use super::scale::Scale;
use crate::{
    live::{Action, Board, Ms, event::Setting},
    screen::{canvas::Canvas, gauge::HEIGHTS, theme::Meaning},
};

/// What an oven is set to from a moment on.
#[derive(Clone, Debug)]
pub struct Set {
    /// From when.
    pub at: Ms,
    /// Degrees C; `None`: off.
    pub degrees: Option<i64>,
}

impl Set {
    fn words(&self) -> String {
        match self.degrees {
            Some(t) => format!("{t} C"),
            None => "off".to_owned(),
        }
    }
}

/// The setting from `now` on, then each coming turn of the knob.
pub fn settings(board: &Board, oven: usize, now: Ms) -> Vec<Set> {
    let degrees = |setting: &Setting| match setting {
        Setting::Off => None,
        Setting::At(t) => i64::try_from(t.to_integer()).ok(),
    };
    let first = board.ovens.get(oven).map(|pane| Set {
        at: now,
        degrees: degrees(&pane.set),
    });
    let turns = board.upcoming.iter().filter_map(|next| match &next.action {
        Action::SetOven(o, setting) if *o == oven => Some(Set {
            at: next.at.max(now),
            degrees: degrees(setting),
        }),
        _ => None,
    });
    first.into_iter().chain(turns).collect()
}

/// Draws settings as a bar as high as the oven is hot, each with its temperature at its beginning.
pub fn draw(canvas: &mut Canvas, area: Rect, settings: &[Set], scale: &Scale) {
    let style = canvas.style(Meaning::Oven);
    let rule = canvas.style(Meaning::Rule);
    for x in 0..scale.columns {
        let end = scale.moment(x + 1);
        let Some(set) = settings.iter().rev().find(|set| set.at < end) else {
            continue;
        };
        match set.degrees {
            Some(t) => {
                // 32 C a step: 220 C is seven eighths high, 50 C one.
                let step = usize::try_from((t / 32).clamp(1, 7)).unwrap_or(1);
                let glyph = HEIGHTS.get(step - 1).copied().unwrap_or("\u{2581}");
                canvas.dot(area.x + x, area.y, glyph, style);
            }
            None => canvas.dot(area.x + x, area.y, "\u{2581}", rule),
        }
    }
    let bold = style.add_modifier(Modifier::BOLD);
    let mut free = 0;
    for set in settings {
        let at = set.at.max(scale.from);
        if let Some(x) = scale.column(at).filter(|x| *x >= free) {
            // The line at now keeps its column.
            let x = if free == 0 { x + 1 } else { x };
            free = canvas.put(area, x, 0, &format!("{} ", set.words()), bold);
        }
    }
}
