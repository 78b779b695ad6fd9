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

/// What an oven was set to, what it is set to at `now`, and each coming turn of the knob.
pub fn settings(board: &Board, oven: usize, now: Ms) -> Vec<Set> {
    let degrees = |setting: &Setting| match setting {
        Setting::Off => None,
        Setting::At(t) => i64::try_from(t.to_integer()).ok(),
    };
    let Some(pane) = board.ovens.get(oven) else {
        return Vec::new();
    };
    let past = pane.past.iter().map(|(at, set)| (*at, set));
    let past = past.chain([(pane.since, &pane.set), (now, &pane.set)]);
    let past = past.filter(|(at, _)| *at <= now).map(|(at, set)| Set {
        at,
        degrees: degrees(set),
    });
    let turns = board.upcoming.iter().filter_map(|next| match &next.action {
        Action::SetOven(o, setting) if *o == oven => Some(Set {
            // What is due is not done: now shows what the oven is set to.
            at: next.at.max(now.saturating_add(1)),
            degrees: degrees(setting),
        }),
        _ => None,
    });
    past.chain(turns).collect()
}

/// Draws settings as a bar as high as the oven is hot, what was before `now` as past; each has its temperature at its
/// beginning where it is long enough.
pub fn draw(canvas: &mut Canvas, area: Rect, settings: &[Set], scale: &Scale, now: Ms) {
    let rule = canvas.style(Meaning::Rule);
    for x in 0..scale.columns {
        // The column of now shows what it is set to now.
        let end = match scale.column(now) == Some(x) {
            true => now.saturating_add(1),
            false => scale.moment(x + 1),
        };
        let Some(set) = settings.iter().rev().find(|set| set.at < end) else {
            continue;
        };
        let style = match scale.moment(x) < now {
            true => canvas.style(Meaning::Done),
            false => canvas.style(Meaning::Oven),
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
    let mut free = 0;
    for (i, set) in settings.iter().enumerate() {
        let end = settings
            .get(i + 1)
            .map_or(scale.to, |next| next.at.min(scale.to));
        let (Some(from), Some(last)) = (
            scale.column(set.at.max(scale.from)),
            scale.column(end.saturating_sub(1)),
        ) else {
            continue;
        };
        // Set again to what it was: told once, at now.
        let again = settings
            .get(i + 1)
            .is_some_and(|next| next.at == now && next.degrees == set.degrees);
        if again && set.at < now {
            continue;
        }
        let due = set.at == now.saturating_add(1);
        let words = match due {
            true => format!("to {}", set.words()),
            false => set.words(),
        };
        let wide = u16::try_from(words.len()).unwrap_or(u16::MAX);
        // The line at now keeps its column, and what the oven is set to now is always told.
        let is_now = set.at == now;
        let x = if is_now { from + 1 } else { from.max(free) };
        let room = (last + 1).saturating_sub(x);
        if !is_now && room < wide + 2 {
            continue;
        }
        let meaning = if set.at < now {
            Meaning::Done
        } else {
            Meaning::Oven
        };
        let bold = canvas.style(meaning).add_modifier(Modifier::BOLD);
        free = canvas.put(area, x, 0, &format!("{words} "), bold);
    }
}
