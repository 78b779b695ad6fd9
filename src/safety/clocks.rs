//! Clocks of food safety: what starts when food leaves the heat, what cooling must reach by when, and until
//! when leftovers keep. Moments are milliseconds on whatever clock the caller has; nothing here reads one.

use std::{borrow::Cow, collections::BTreeSet};

use jiff::civil::Date;

use super::{
    Source, Tables,
    lint::{storage::kept_foods, view::View},
    tables::{ClockRow, StorageRow},
    thermometer::Reading,
    words::tokens,
};
use crate::menu::Session;

/// A moment by which something must have happened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Deadline {
    /// Stable name of the limit: "danger zone", "cooling, first step".
    pub limit: &'static str,
    /// When, in ms.
    pub at_ms: i64,
    /// When to say so before, in ms: a quarter of the time is left, half an hour at most.
    pub warn_ms: i64,
    /// What must be done by then.
    pub task: Task,
    /// Where the limit is from.
    pub source: &'static Source,
}

/// What must be done by a limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Task {
    /// As it stands here.
    Is(&'static str),
    /// Not to leave it out any longer.
    BackIn {
        /// What else than serving and heating it is possible.
        or: &'static str,
        /// For how long it is out by then, in hours.
        hours: u32,
    },
}

impl Task {
    /// In words, verb first, to follow "By 19:30".
    #[must_use]
    pub fn sentence(&self) -> Cow<'static, str> {
        match self {
            Self::Is(words) => Cow::Borrowed(words),
            Self::BackIn { or, hours } => {
                format!("serve it, heat it over 63 C or {or}: then it is {hours} h out of the heat")
                    .into()
            }
        }
    }
}

/// What kind of food runs against the clock.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Kind {
    /// Cooked rice is in it: an hour to cool.
    pub rice: bool,
    /// It is hotter than 90 F (32.2 C) where it stands: one hour instead of two.
    pub hot_day: bool,
}

fn deadline(row: &'static ClockRow, from_ms: i64, task: Task) -> Deadline {
    let within = i64::from(row.within) * 1000;
    let at_ms = from_ms.saturating_add(within);
    Deadline {
        limit: &row.id,
        at_ms,
        warn_ms: at_ms.saturating_sub((within / 4).min(30 * 60_000)),
        task,
        source: &row.source,
    }
}

/// Food that left the heat (or the refrigerator) and stands: by when it is eaten, hot again or cold. Rice has the
/// hour of the UK's advice, stricter than the two of the USDA.
#[must_use]
pub fn out_of_heat(off_ms: i64, kind: Kind) -> Option<Deadline> {
    let (id, then) = match kind {
        Kind { rice: true, .. } => ("rice, cooling", "cool the rice"),
        Kind { hot_day: true, .. } => ("danger zone, hot day", "chill it"),
        _ => ("danger zone", "chill it"),
    };
    let row = Tables::get().clock(id)?;
    let hours = row.within / 3600;
    Some(deadline(row, off_ms, Task::BackIn { or: then, hours }))
}

/// Cooling that began at 57 C (135 F) or above: to 21 C (70 F), and to 5 C (41 F); rice an hour in all.
#[must_use]
pub fn cooling(begun_ms: i64, kind: Kind) -> Vec<Deadline> {
    let tables = Tables::get();
    let steps: &[(&str, &'static str)] = if kind.rice {
        &[(
            "rice, cooling",
            "have the rice cold: eat or throw away what is not",
        )]
    } else {
        &[
            (
                "cooling, first step",
                "have it at 21 C (70 F): if it isn't, reheat it to 74 C (165 F) at once and cool it again, in shallow layers",
            ),
            (
                "cooling, total",
                "have it at 5 C (41 F): throw away what isn't",
            ),
        ]
    };
    let rows = steps
        .iter()
        .filter_map(|(id, sentence)| Some((tables.clock(id)?, *sentence)));
    rows.map(|(row, sentence)| deadline(row, begun_ms, Task::Is(sentence)))
        .collect()
}

/// What readings of cooling food say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cooling {
    /// It was at 135 F (57.2 C) or above until then; `None`: never seen that hot, so the first reading counts.
    pub begun_ms: Option<i64>,
    /// It was at 70 F (21.1 C) by then.
    pub first_ms: Option<i64>,
    /// It was at 41 F (5 C) by then.
    pub total_ms: Option<i64>,
    /// Both steps were kept, as far as they are over.
    pub kept: bool,
}

/// Longest gap across which a straight line between two readings is believed, ms.
const LONGEST_GAP_MS: i64 = 30 * 60_000;

/// Follows cooling by readings, in the order of time. Between close readings the crossing is on the straight line; across a gap it
/// counts against the cook: begun at the earlier reading, reached at the later one.
#[must_use]
pub fn follow(readings: &[Reading], now_ms: i64) -> Option<Cooling> {
    let first = readings.first()?;
    let limits = [(135.0 - 32.0) / 1.8, (70.0 - 32.0) / 1.8, 5.0];
    let [begun, at_21, at_5] = limits.map(|limit| crossing(readings, limit));
    let begun_ms = begun.map(|(earlier, _)| earlier);
    let (first_ms, total_ms) = (at_21.map(|c| c.1), at_5.map(|c| c.1));
    let start = begun_ms.unwrap_or(first.at_ms);
    let within = |id: &str, reached: Option<i64>| {
        let limit = Tables::get()
            .clock(id)
            .map_or(0, |row| i64::from(row.within) * 1000);
        reached.unwrap_or(now_ms).saturating_sub(start) <= limit
    };
    let kept = within("cooling, first step", first_ms) && within("cooling, total", total_ms);
    Some(Cooling {
        begun_ms,
        first_ms,
        total_ms,
        kept,
    })
}

/// When a falling temperature crossed `limit`: the earliest and the latest moment that can be believed.
fn crossing(readings: &[Reading], limit: f64) -> Option<(i64, i64)> {
    let pair = readings.windows(2).rev().find_map(|pair| match pair {
        [above, below] if above.celsius > limit && below.celsius <= limit => Some((*above, *below)),
        _ => None,
    });
    let Some((above, below)) = pair else {
        // At or under it from the first reading on.
        return readings
            .first()
            .filter(|first| first.celsius <= limit && limit < 50.0)
            .map(|r| (r.at_ms, r.at_ms));
    };
    if below.at_ms - above.at_ms > LONGEST_GAP_MS {
        return Some((above.at_ms, below.at_ms));
    }
    let share = (above.celsius - limit) / (above.celsius - below.celsius);
    let at = above.at_ms + ((below.at_ms - above.at_ms) as f64 * share) as i64;
    Some((at, at))
}

/// Until when a dish's leftovers keep in the refrigerator.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UseBy {
    /// Position of the dish.
    pub dish: usize,
    /// The last day.
    pub date: Date,
    /// Days from the day it was cooked.
    pub days: u32,
    /// For what: "cooked rice, eaten within 24 hours".
    pub what: String,
    /// Where it is from; where authorities differ, of the stricter first.
    pub sources: Vec<Source>,
    /// Positions in the dish of the steps that put it in the cold.
    pub chilled: Vec<usize>,
    /// Cooked rice is in it.
    pub rice: bool,
}

/// Use-by dates of what is left, for each dish in which something spoils, cooked on `cooked`. The shorter figure of the table, and of
/// several foods or authorities the strictest.
#[must_use]
pub fn leftovers(session: &Session, cooked: Date) -> Vec<UseBy> {
    let view = View::new(session);
    let dishes = session.dishes.iter().enumerate();
    dishes
        .filter_map(|(position, dish)| {
            let steps: Vec<_> = view
                .steps
                .iter()
                .filter(|step| step.dish.id == dish.id)
                .collect();
            let mut classes: BTreeSet<String> = view.dish_classes.get(dish.id.as_str())?.clone();
            classes.extend(steps.iter().flat_map(|step| step.upstream.iter().cloned()));
            let hot = steps.iter().any(|step| step.hot);
            let ends = view.ends(&dish.id);
            if steps.iter().all(|step| step.is_stable()) || ends.iter().all(|s| s.is_dry_bake()) {
                return None;
            }
            let mut names = kept_foods(&classes, hot, &tokens(&dish.title));
            if names.is_empty() && (classes.contains("dairy") || classes.contains("raw vegetable"))
            {
                names.push("leftovers");
            }
            let mut rows: Vec<&StorageRow> = names
                .iter()
                .flat_map(|name| Tables::get().storage_of(name))
                .collect();
            rows.sort_by_key(|row| (row.days, row.most));
            let row = *rows.first()?;
            let mut sources = vec![row.source.clone()];
            sources.extend(
                rows.iter()
                    .filter(|o| o.food == row.food)
                    .map(|o| o.source.clone())
                    .filter(|s| *s != row.source),
            );
            let date = cooked
                .checked_add(jiff::Span::new().days(i64::from(row.days)))
                .ok()?;
            Some(UseBy {
                dish: position,
                date,
                days: row.days,
                what: row.what.clone(),
                sources,
                rice: classes.contains("rice"),
                chilled: (0..steps.len())
                    .filter(|&i| steps.get(i).is_some_and(|s| s.is_cold() && !s.hot))
                    .collect(),
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const HOUR: i64 = 3_600_000;

    fn readings(list: &[(f64, f64)]) -> Vec<Reading> {
        list.iter()
            .map(|&(hours, celsius)| Reading {
                at_ms: (hours * HOUR as f64) as i64,
                celsius,
            })
            .collect()
    }

    /// USDA 2016: two hours, one above 90 F.
    #[test]
    fn food_out_of_the_heat_has_two_hours() {
        let plain = out_of_heat(1000, Kind::default()).unwrap();
        assert_eq!(
            (plain.at_ms, plain.warn_ms),
            (1000 + 2 * HOUR, 1000 + 3 * HOUR / 2)
        );
        let hot = out_of_heat(
            0,
            Kind {
                hot_day: true,
                ..Kind::default()
            },
        )
        .unwrap();
        assert_eq!(hot.at_ms, HOUR);
    }

    /// FDA 3-501.14(A): 2 h and 6 h; UK advice for rice: 1 h.
    #[test]
    fn cooling_has_two_steps_and_rice_one() {
        let steps: Vec<_> = cooling(0, Kind::default())
            .iter()
            .map(|d| d.at_ms)
            .collect();
        assert_eq!(steps, [2 * HOUR, 6 * HOUR]);
        let rice: Vec<_> = cooling(
            0,
            Kind {
                rice: true,
                ..Kind::default()
            },
        )
        .iter()
        .map(|d| d.at_ms)
        .collect();
        assert_eq!(rice, [HOUR]);
    }

    #[test]
    fn crossings_lie_between_close_readings() {
        let close = readings(&[
            (0.0, 67.222_222),
            (0.25, 47.222_222),
            (1.0, 31.1),
            (1.4, 21.2),
            (1.5, 21.0),
            (5.0, 5.5),
            (5.2, 4.9),
        ]);
        let cooling = follow(&close, 6 * HOUR).unwrap();
        assert_eq!(cooling.begun_ms.map(|ms| (ms + 500) / 1000), Some(450));
        assert!(cooling.kept);
        assert!(
            cooling
                .total_ms
                .is_some_and(|ms| ms > 5 * HOUR && ms < 6 * HOUR)
        );
    }

    #[test]
    fn a_gap_counts_against_the_cook() {
        // Seen at 80 C, then, two hours later, at 20 C: it may have begun at once.
        let gap = follow(&readings(&[(0.0, 80.0), (2.1, 20.0)]), 3 * HOUR).unwrap();
        assert_eq!(gap.begun_ms, Some(0));
        assert!(!gap.kept);
        let still_warm = follow(
            &readings(&[(0.0, 60.0), (0.2, 50.0), (1.9, 30.0)]),
            2 * HOUR + HOUR / 2,
        )
        .unwrap();
        assert!(!still_warm.kept);
        assert_eq!(follow(&[], 0), None);
    }
}
