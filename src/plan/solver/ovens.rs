//! Which distances between the starts of two oven steps an oven forbids.
//!
//! A temperature curve of bounded slope through a set of segments exists exactly when every ordered
//! pair of segments without a common temperature is as far apart as the oven needs to change from
//! one to the other. So an oven is, for each pair of steps, a set of open intervals that the
//! difference of their starts must avoid; no temperature is ever searched for.

use crate::measure::{Ratio, temperature::Accepts};
use crate::plan::problem::{Oven, OvenUse, Problem, Tick};

/// An open interval of differences of starts: `after < s_j - s_i < before` is forbidden.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Forbidden {
    /// The greatest allowed difference below the interval.
    pub after: Tick,
    /// The least allowed difference above the interval.
    pub before: Tick,
}

/// A segment with its accepted span replaced by a class.
#[derive(Clone, Copy, Debug)]
struct Stretch {
    from: Tick,
    to: Tick,
    class: usize,
}

/// The pairs of all ovens, computed once for a problem.
#[derive(Clone, Debug)]
pub struct OvenPairs {
    stretches: Vec<Vec<Stretch>>,
    /// `[oven][later class][earlier class]`: ticks between them, `None` when they can meet.
    gaps: Vec<Vec<Vec<Option<Tick>>>>,
    /// `[oven][class]`: the first tick at which the oven can be there.
    ready: Vec<Vec<Tick>>,
    racks: Vec<u32>,
    uses: Vec<u32>,
    lengths: Vec<Tick>,
}

impl OvenPairs {
    /// Reads the segments of all steps.
    pub fn new(problem: &Problem) -> Self {
        let mut classes: Vec<Accepts> = Vec::new();
        let mut stretches = Vec::with_capacity(problem.steps.len());
        for step in &problem.steps {
            stretches.push(match &step.oven {
                Some(usage) => classify(usage, &mut classes),
                None => Vec::new(),
            });
        }
        let table = |oven: &Oven| {
            let line =
                |late: &Accepts| classes.iter().map(|early| gap(oven, early, late)).collect();
            classes.iter().map(line).collect::<Vec<Vec<_>>>()
        };
        let ready = |oven: &Oven| {
            classes
                .iter()
                .map(|c| oven.from + warm_up(oven, c))
                .collect()
        };
        OvenPairs {
            stretches,
            gaps: problem.ovens.iter().map(table).collect(),
            ready: problem.ovens.iter().map(ready).collect(),
            racks: problem.ovens.iter().map(|o| o.racks).collect(),
            uses: problem
                .steps
                .iter()
                .map(|s| s.oven.as_ref().map_or(0, |o| o.racks))
                .collect(),
            lengths: problem.steps.iter().map(|s| s.length).collect(),
        }
    }

    /// Whether the step can be in the oven at all.
    pub fn admits(&self, oven: usize, step: usize) -> bool {
        !self.stretches[step].is_empty() && self.uses[step] <= self.racks[oven]
    }

    /// The first tick at which the oven can have the temperature that the step begins with.
    pub fn ready(&self, oven: usize, step: usize) -> Tick {
        self.stretches[step]
            .first()
            .map_or(0, |s| self.ready[oven][s.class])
    }

    /// The longest change between two temperatures, in ticks.
    pub fn longest_change(&self) -> Tick {
        self.gaps
            .iter()
            .flatten()
            .flatten()
            .filter_map(|g| *g)
            .max()
            .unwrap_or(0)
    }

    /// The forbidden values of `start of j - start of i` in an oven, disjoint and increasing.
    pub fn forbidden(&self, oven: usize, i: usize, j: usize) -> Vec<Forbidden> {
        let mut out = Vec::new();
        self.forbidden_into(oven, i, j, &mut out);
        out
    }

    /// As [`OvenPairs::forbidden`], into a buffer.
    pub fn forbidden_into(&self, oven: usize, i: usize, j: usize, out: &mut Vec<Forbidden>) {
        out.clear();
        let gaps = &self.gaps[oven];
        for a in &self.stretches[i] {
            for b in &self.stretches[j] {
                let (Some(a_then_b), Some(b_then_a)) =
                    (gaps[b.class][a.class], gaps[a.class][b.class])
                else {
                    continue;
                };
                let span = Forbidden {
                    after: a.from - b.to - b_then_a,
                    before: a.to + a_then_b - b.from,
                };
                if span.before - span.after > 1 {
                    out.push(span);
                }
            }
        }
        if self.uses[i] + self.uses[j] > self.racks[oven] && self.lengths[i] + self.lengths[j] > 1 {
            out.push(Forbidden {
                after: -self.lengths[j],
                before: self.lengths[i],
            });
        }
        if out.len() > 1 {
            merge(out);
        }
    }
}

/// Joins intervals that leave no whole number between them.
fn merge(spans: &mut Vec<Forbidden>) {
    spans.sort_unstable_by_key(|s| (s.after, s.before));
    let mut kept = 0;
    for k in 1..spans.len() {
        if spans[k].after < spans[kept].before {
            spans[kept].before = spans[kept].before.max(spans[k].before);
        } else {
            kept += 1;
            spans[kept] = spans[k];
        }
    }
    spans.truncate(kept + 1);
}

fn classify(usage: &OvenUse, classes: &mut Vec<Accepts>) -> Vec<Stretch> {
    let class = |accepts: &Accepts, classes: &mut Vec<Accepts>| {
        classes
            .iter()
            .position(|c| c == accepts)
            .unwrap_or_else(|| {
                classes.push(*accepts);
                classes.len() - 1
            })
    };
    let stretch = |s: &crate::plan::problem::Segment, classes: &mut Vec<Accepts>| Stretch {
        from: s.from,
        to: s.to,
        class: class(&s.accepts, classes),
    };
    usage.segments.iter().map(|s| stretch(s, classes)).collect()
}

/// The span of temperatures meant, in C; "off" is the room's.
fn span(oven: &Oven, accepts: &Accepts) -> (Ratio, Ratio) {
    match accepts {
        Accepts::Span { lo, hi } => (*lo, *hi),
        Accepts::Off => (oven.room, oven.room),
    }
}

/// Ticks from the end of `early` to the start of `late`; `None` when they have a temperature in common.
fn gap(oven: &Oven, early: &Accepts, late: &Accepts) -> Option<Tick> {
    let (a, b) = (span(oven, early), span(oven, late));
    let both_off = early == &Accepts::Off && late == &Accepts::Off;
    let one_off = !both_off && (early == &Accepts::Off || late == &Accepts::Off);
    if both_off || (!one_off && a.0 <= b.1 && b.0 <= a.1) {
        return None;
    }
    if b.0 > a.1 {
        Some(ticks(b.0 - a.1, oven.heats))
    } else if a.0 > b.1 {
        Some(ticks(a.0 - b.1, oven.cools))
    } else {
        Some(0)
    }
}

/// Ticks from the known temperature to the nearest accepted one.
fn warm_up(oven: &Oven, accepts: &Accepts) -> Tick {
    let (lo, hi) = span(oven, accepts);
    if oven.temperature < lo {
        ticks(lo - oven.temperature, oven.heats)
    } else if oven.temperature > hi {
        ticks(oven.temperature - hi, oven.cools)
    } else {
        0
    }
}

/// Whole ticks (of half a minute) for a distance in C at a rate in C per minute, rounded up.
fn ticks(distance: Ratio, rate: Ratio) -> Tick {
    if *rate.numer() <= 0 {
        return Tick::MAX / 8;
    }
    let exact = distance * Ratio::from_integer(2) / rate;
    Tick::try_from(exact.ceil().to_integer()).unwrap_or(Tick::MAX / 8)
}
