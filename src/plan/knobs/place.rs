//! The settings that steps need of one oven, at their places in time.

use super::{Setting, value};
use crate::{
    measure::{Ratio, temperature::Accepts, to_f64},
    plan::{
        oven::span,
        problem::{Oven, Problem, Tick},
        schedule::Schedule,
    },
};

/// A setting that a step needs, for a while.
pub(super) struct Placed {
    pub step: usize,
    /// Position among the segments of its step.
    pub segment: usize,
    pub from: Tick,
    pub to: Tick,
    /// From when the oven has to be within the span: later than `from` while it is on its way from the step's setting
    /// before; at or after `to`: never.
    pub binds: Tick,
    pub off: bool,
    pub lo: f64,
    pub hi: f64,
    /// What the knob is set to for it: the middle of the span, as near as the others that run when it begins allow.
    pub target: Setting,
    /// The same in C.
    pub aim: f64,
    /// The ends of its span.
    pub edges: [Setting; 2],
}

/// All settings needed of an oven from its known moment on, in order of time.
pub(super) fn placed(problem: &Problem, schedule: &Schedule, oven: usize) -> Vec<Placed> {
    let known = &problem.ovens[oven];
    let mut all: Vec<(Placed, Accepts)> = Vec::new();
    for (i, step) in problem.steps.iter().enumerate() {
        let Some(need) = step
            .oven
            .as_ref()
            .filter(|_| schedule.ovens[i] == Some(oven))
        else {
            continue;
        };
        let start = schedule.starts[i];
        for (n, segment) in need.segments.iter().enumerate() {
            let (lo, hi) = span(known, &segment.accepts);
            let mut binds = start + segment.from;
            for before in &need.segments[..n] {
                binds = binds.max(start + before.to + way(known, &before.accepts, (lo, hi)));
            }
            if step.begun.is_some() {
                // The cook put it in before the oven was there: it binds from when it can be.
                let now = (known.temperature, known.temperature);
                binds = binds.max(known.from + farthest(known, now, (lo, hi)));
            }
            let off = segment.accepts == Accepts::Off;
            let edge = |c: Ratio| if off { Setting::Off } else { Setting::At(c) };
            let placed = Placed {
                step: i,
                segment: n,
                from: start + segment.from,
                to: start + segment.to,
                binds,
                off,
                lo: to_f64(lo),
                hi: to_f64(hi),
                target: Setting::Off,
                aim: 0.0,
                edges: [edge(lo), edge(hi)],
            };
            if placed.to > known.from {
                all.push((placed, segment.accepts));
            }
        }
    }
    all.sort_by_key(|(p, _)| (p.from, p.step));
    let targets: Vec<Setting> = all.iter().map(|(p, a)| target(known, p, a, &all)).collect();
    let with = all.into_iter().zip(targets);
    with.map(|((placed, _), target)| Placed {
        target,
        aim: value(known, target),
        ..placed
    })
    .collect()
}

/// Ticks for the longest way from anywhere in a setting to a span.
fn way(oven: &Oven, from: &Accepts, to: (Ratio, Ratio)) -> Tick {
    farthest(oven, span(oven, from), to)
}

fn farthest(oven: &Oven, (lo, hi): (Ratio, Ratio), (next_lo, next_hi): (Ratio, Ratio)) -> Tick {
    let zero = Ratio::from_integer(0);
    let up = crate::plan::oven::ticks((next_lo - lo).max(zero), oven.heats);
    let down = crate::plan::oven::ticks((hi - next_hi).max(zero), oven.cools);
    up.max(down).min(Tick::MAX / 4)
}

fn target(oven: &Oven, placed: &Placed, accepts: &Accepts, all: &[(Placed, Accepts)]) -> Setting {
    if placed.off {
        return Setting::Off;
    }
    let (mut lo, mut hi) = span(oven, accepts);
    let nominal = (lo + hi) / Ratio::from_integer(2);
    for (other, accepts) in all {
        if other.step != placed.step && other.from <= placed.from && placed.from < other.to {
            let (l, h) = span(oven, accepts);
            // Without a temperature in common (a plan at fault) its own span stands.
            if l.max(lo) <= h.min(hi) {
                (lo, hi) = (l.max(lo), h.min(hi));
            }
        }
    }
    Setting::At(nominal.max(lo).min(hi))
}
