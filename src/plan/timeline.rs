//! The plan as a timeline for a terminal: a lane for each dish, the cooks, and each oven's temperature.
//!
//! Hands-on work is solid, unattended work is shaded: told apart without colour.

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use super::{
    knobs::{self, Setting, Turn},
    problem::{Problem, Tick},
    timetable::{Timetable, degrees},
};

/// Blocks that fill a cell from the left, by eighths.
const LEFT: [char; 9] = [' ', '▏', '▎', '▍', '▌', '▋', '▊', '▉', '█'];
/// Blocks that fill a cell from below, by eighths.
const BELOW: [char; 9] = [' ', '▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];
/// The right half of a cell.
const RIGHT_HALF: char = '▐';
/// Unattended work.
const SHADE: char = '░';

/// Narrowest chart that is drawn, in columns.
const NARROWEST: usize = 20;

/// Draws the timeline from the first thing to do to the last service, `width` columns wide.
pub fn timeline(plan: &Timetable, width: usize) -> String {
    let Some(begin) = plan.begin() else {
        return String::new();
    };
    let served = plan
        .solution
        .schedule
        .served
        .iter()
        .copied()
        .max()
        .unwrap_or(begin);
    let ends = (0..plan.built.problem.steps.len())
        .map(|i| plan.end(i))
        .max()
        .unwrap_or(begin);
    let last = served.max(ends).max(begin + 1);
    let names = plan.session.dishes.iter().map(|d| d.title.as_str());
    let others = ["Cooks", "Serve"].into_iter();
    let ovens = plan.session.kitchen.ovens.iter().map(|o| o.name.as_str());
    let longest = names
        .chain(others)
        .chain(ovens)
        .map(UnicodeWidthStr::width)
        .max()
        .unwrap_or(0);
    let label = longest
        .min((width / 4).max(22))
        .min(width.saturating_sub(NARROWEST + 1));
    let scale = Scale {
        begin,
        last,
        columns: width.saturating_sub(label + 1).max(NARROWEST),
    };
    let mut out = String::new();
    let mut lane = |name: &str, cells: String| {
        let line = format!("{} {cells}", fit(name, label));
        out.push_str(line.trim_end());
        out.push('\n');
    };
    lane("", axis(plan, &scale));
    for (d, dish) in plan.built.problem.dishes.iter().enumerate() {
        if !dish.steps.is_empty() {
            lane(
                &plan.session.dishes[d].title,
                bars(plan, &dish.steps, &scale),
            );
        }
    }
    lane("Cooks", cooks(plan, &scale));
    for (o, oven) in plan.session.kitchen.ovens.iter().enumerate() {
        if plan.turns.iter().any(|t| t.oven == o) {
            lane(&oven.name, heat(&plan.built.problem, o, plan.turns, &scale));
            lane("", knob_labels(plan, o, &scale));
        }
    }
    lane("Serve", services(plan, &scale));
    out.push_str(&legend(width));
    out
}

fn legend(width: usize) -> String {
    let text = format!(
        "{0}{0} hands on   {SHADE}{SHADE} unattended   ^ served",
        LEFT[8]
    );
    if text.width() <= width {
        format!("{text}\n")
    } else {
        String::new()
    }
}

/// How ticks fall on columns.
struct Scale {
    begin: Tick,
    last: Tick,
    columns: usize,
}

impl Scale {
    /// The column of a tick, with its fraction.
    fn at(&self, tick: Tick) -> f64 {
        let span = f64::from(self.last - self.begin);
        f64::from(tick - self.begin) / span * self.columns as f64
    }

    /// The tick in the middle of a column.
    fn middle(&self, column: usize) -> f64 {
        let span = f64::from(self.last - self.begin);
        f64::from(self.begin) + (column as f64 + 0.5) * span / self.columns as f64
    }

    fn column(&self, tick: Tick) -> usize {
        let column = self.at(tick).max(0.0) as usize;
        column.min(self.columns.saturating_sub(1))
    }
}

/// A text cut or padded to a width in columns.
fn fit(text: &str, width: usize) -> String {
    let mut out = String::new();
    let mut taken = 0;
    for c in text.chars() {
        let w = c.width().unwrap_or(0);
        if taken + w > width {
            break;
        }
        out.push(c);
        taken += w;
    }
    out.extend(std::iter::repeat_n(' ', width - taken));
    out
}

/// Clock times at even distances, as many as fit.
fn axis(plan: &Timetable, scale: &Scale) -> String {
    let room = (scale.columns / 9).max(1);
    let span = scale.last - scale.begin;
    let steps = [10, 20, 30, 60, 120, 240, 360, 720, 1440, 2880];
    let every = steps
        .into_iter()
        .find(|s| span / s <= Tick::try_from(room).unwrap_or(1))
        .unwrap_or(5760);
    let mut cells = vec![' '; scale.columns];
    // The first tick at or after the begin whose clock time is a multiple of the distance, counted from midnight.
    let zero = plan.built.frame.at(scale.begin);
    let since_midnight =
        i32::from(zero.hour()) * 120 + i32::from(zero.minute()) * 2 + i32::from(zero.second() / 30);
    let mut tick = scale.begin + (-since_midnight).rem_euclid(every);
    let mut free = 0;
    while tick <= scale.last {
        let text = plan
            .built
            .frame
            .hours
            .words(plan.built.frame.at(tick).time());
        let column = scale.column(tick);
        if column >= free {
            write(&mut cells, column, &format!("|{text}"));
            free = column + text.len() + 2;
        }
        tick += every;
    }
    cells.into_iter().collect()
}

/// Writes a text into cells from a column on, if all of it fits.
fn write(cells: &mut [char], column: usize, text: &str) -> bool {
    let count = text.chars().count();
    let Some(place) = cells.get_mut(column..column + count) else {
        return false;
    };
    for (cell, c) in place.iter_mut().zip(text.chars()) {
        *cell = c;
    }
    true
}

/// The steps of a dish; where two run at once, the one with hands in it is seen.
fn bars(plan: &Timetable, steps: &[usize], scale: &Scale) -> String {
    let mut cells = vec![' '; scale.columns];
    let hands = |&i: &usize| plan.built.problem.steps[i].hands;
    let mut order: Vec<usize> = steps.to_vec();
    order.sort_by_key(|i| (hands(i), plan.start(*i)));
    for i in order {
        let (from, to) = (scale.at(plan.start(i)), scale.at(plan.end(i)));
        bar(&mut cells, from, to, hands(&i));
    }
    cells.into_iter().collect()
}

/// Fills the cells from one place to another; at least an eighth of a cell is seen.
fn bar(cells: &mut [char], from: f64, to: f64, solid: bool) {
    let to = to.max(from + 0.125).min(cells.len() as f64);
    for (c, cell) in cells.iter_mut().enumerate() {
        let (left, right) = (
            (from - c as f64).clamp(0.0, 1.0),
            (to - c as f64).clamp(0.0, 1.0),
        );
        let covered = right - left;
        if covered <= 0.0 {
            continue;
        }
        *cell = if !solid {
            // Shades have no eighths: a cell belongs to it from a half on, so that neighbours stay apart.
            if covered >= 0.5 || (to - from) < 1.0 {
                SHADE
            } else {
                *cell
            }
        } else if left == 0.0 {
            LEFT[eighths(covered)]
        } else if covered >= 0.75 {
            LEFT[8]
        } else if covered >= 0.25 || (to - from) < 1.0 {
            RIGHT_HALF
        } else {
            *cell
        };
    }
}

fn eighths(share: f64) -> usize {
    ((share * 8.0).round() as usize).clamp(1, 8)
}

/// How many of the cooks are busy, as a height: full when all are.
fn cooks(plan: &Timetable, scale: &Scale) -> String {
    let problem = &plan.built.problem;
    let mut uses: Vec<(Tick, Tick)> = (0..problem.steps.len())
        .filter(|&i| problem.steps[i].hands)
        .map(|i| (plan.start(i), plan.end(i)))
        .collect();
    let served = problem.courses.iter().zip(&plan.solution.schedule.served);
    uses.extend(served.map(|(c, &at)| (at, at + c.plating)));
    let cells = (0..scale.columns).map(|c| {
        let middle = scale.middle(c);
        let busy = uses
            .iter()
            .filter(|&&(a, b)| f64::from(a) <= middle && middle < f64::from(b))
            .count();
        let share = busy as f64 / f64::from(problem.cooks.max(1));
        if busy == 0 {
            ' '
        } else {
            BELOW[eighths(share.min(1.0))]
        }
    });
    cells.collect()
}

/// The temperature of an oven as a height, from its room to the hottest it gets.
fn heat(problem: &Problem, oven: usize, turns: &[Turn], scale: &Scale) -> String {
    let curve = knobs::temperatures(problem, oven, turns, scale.begin, scale.last);
    let lowest = curve.iter().copied().fold(f64::INFINITY, f64::min);
    let highest = curve.iter().copied().fold(lowest + 1.0, f64::max);
    let cells = (0..scale.columns).map(|c| {
        let t = (scale.middle(c) - f64::from(scale.begin)).max(0.0) as usize;
        let here = curve.get(t).copied().unwrap_or(lowest);
        let share = (here - lowest) / (highest - lowest);
        if share < 0.03 {
            ' '
        } else {
            BELOW[eighths(share)]
        }
    });
    cells.collect()
}

/// What the knob is turned to, where it is, as many as fit.
fn knob_labels(plan: &Timetable, oven: usize, scale: &Scale) -> String {
    let mut cells = vec![' '; scale.columns];
    let mut free = 0;
    for turn in plan.turns.iter().filter(|t| t.oven == oven) {
        let text = match turn.to {
            Setting::Off => "off".into(),
            Setting::At(c) => degrees(c),
        };
        let column = scale
            .column(turn.at)
            .min(scale.columns.saturating_sub(text.len()));
        if column >= free && write(&mut cells, column, &text) {
            free = column + text.len() + 1;
        }
    }
    cells.into_iter().collect()
}

/// Where the courses are served, with their names where they fit.
fn services(plan: &Timetable, scale: &Scale) -> String {
    let mut cells = vec![' '; scale.columns];
    let mut free = 0;
    for (k, &served) in plan.solution.schedule.served.iter().enumerate() {
        let column = scale.column(served);
        write(&mut cells, column, "^");
        let name = &plan.built.frame.courses[k];
        let (len, wide) = (name.chars().count(), name.width());
        if len != wide {
            continue;
        }
        let before = column.checked_sub(len + 1).filter(|&c| c >= free);
        let place = before.unwrap_or(column + 2);
        if place >= free && write(&mut cells, place, name) {
            free = place.max(column) + len + 2;
        }
    }
    cells.into_iter().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bar_is_seen_however_short_and_ends_on_an_eighth() {
        let mut cells = vec![' '; 4];
        bar(&mut cells, 1.0, 2.5, true);
        assert_eq!(cells.iter().collect::<String>(), " █▌ ");
        let mut cells = vec![' '; 4];
        bar(&mut cells, 1.5, 3.0, true);
        assert_eq!(cells.iter().collect::<String>(), " ▐█ ");
        let mut cells = vec![' '; 4];
        bar(&mut cells, 2.0, 2.01, true);
        assert_eq!(cells.iter().collect::<String>(), "  ▏ ");
        let mut cells = vec![' '; 4];
        bar(&mut cells, 0.0, 2.5, false);
        assert_eq!(cells.iter().collect::<String>(), "░░░ ");
    }

    #[test]
    fn a_label_is_cut_at_its_width() {
        assert_eq!(fit("Roast chicken", 8), "Roast ch");
        assert_eq!(fit("日本", 3), "日 ");
    }
}
