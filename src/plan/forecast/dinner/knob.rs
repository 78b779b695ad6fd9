//! The oven of a simulated dinner: its knob is turned by hand, and then it takes its time.

use std::cmp::Reverse;

use super::{Dinner, LOOK};

impl Dinner<'_> {
    /// Turns the knob for a step when its time has come: not before what needs another temperature is about to end.
    pub(super) fn try_turn(&mut self, i: usize, now: i64) -> bool {
        let Some(due) = self.turn_due(i) else {
            return false;
        };
        if due > now {
            self.events.push(Reverse((due, LOOK)));
            return false;
        }
        self.answered = self.answered.max(now) + self.turn[i];
        self.turned[i] = Some(self.answered);
        true
    }

    /// When the knob is to be turned for a step; `None` while what comes before it in the oven hasn't begun.
    fn turn_due(&self, i: usize) -> Option<i64> {
        let step = &self.script.steps[i];
        let need = step.oven.as_ref()?;
        let planned = need.turn?;
        let changes = &self.script.changes[need.oven];
        let mut due = planned;
        for (j, other) in self.script.steps.iter().enumerate() {
            let Some(use_of) = other.oven.as_ref().filter(|o| o.oven == need.oven) else {
                continue;
            };
            let (last, first) = (use_of.settings.last(), need.settings.first());
            let differs = last
                .zip(first)
                .is_some_and(|(a, b)| changes[a.1][b.1].is_some());
            if j == i || other.start >= step.start || !differs {
                continue;
            }
            if !self.begun[j] {
                return None;
            }
            // Turned while it is still inside, as long before its expected end as planned: that is the next look. If it
            // isn't done then, the knob goes back, and the oven is as warm as before.
            let early = (other.start + other.planned - planned).max(0);
            let (before, next) = other.looks(self.lengths[j]);
            let turn = (next - early).clamp(before, next).min(self.lengths[j]);
            due = due.max(self.starts[j] + turn);
        }
        Some(due)
    }

    /// The first moment from `now` at which what is or was in the oven lets the step's settings in; `None` until the knob
    /// has been turned for it.
    pub(super) fn oven_ready(&self, i: usize, now: i64) -> Option<(i64, Option<usize>)> {
        let Some(need) = &self.script.steps[i].oven else {
            return Some((now, None));
        };
        let changes = &self.script.changes[need.oven];
        let (mut at, mut because) = (now, None);
        if need.turn.is_some() {
            let turned = self.turned[i]?;
            let last = self.in_oven[need.oven]
                .iter()
                .max_by_key(|&&j| self.starts[j]);
            let kinds =
                last.and_then(|&j| Some((self.settings(j).last()?.2, need.settings.first()?.1)));
            let whole = match kinds {
                None => need.warm_up,
                Some((from, to)) => changes[from][to].map_or(0, |change| change.whole),
            };
            if turned + whole > at {
                at = turned + whole;
                because = last.copied();
            }
        }
        loop {
            let before = at;
            for &j in &self.in_oven[need.oven] {
                for (from, to, kind) in self.settings(j) {
                    let (from, to) = (self.starts[j] + from, self.starts[j] + to);
                    for (mine, end, my_kind) in self.settings(i) {
                        let Some(there) = changes[kind][my_kind] else {
                            continue;
                        };
                        let back = changes[my_kind][kind].unwrap_or(there).least;
                        if at + mine < to + there.least && from < at + end + back {
                            at = to + there.least - mine;
                            because = Some(j);
                        }
                    }
                }
            }
            if at == before {
                // An oven that isn't there yet is planned for the next tick.
                return Some((if at > now { next_tick(at) } else { at }, because));
            }
        }
    }

    /// The settings of an oven step that are reached within its drawn length: from, to, kind.
    fn settings(&self, i: usize) -> impl Iterator<Item = (i64, i64, usize)> + '_ {
        let length = self.lengths[i];
        let all: &[(i64, usize)] = self.script.steps[i]
            .oven
            .as_ref()
            .map_or(&[], |o| &o.settings);
        let reached = all
            .iter()
            .enumerate()
            .filter(move |(n, s)| *n == 0 || s.0 < length);
        reached.map(move |(n, &(from, kind))| {
            let to = all.get(n + 1).map_or(length, |next| next.0.min(length));
            (from, to, kind)
        })
    }
}

/// The first whole tick from a moment on.
fn next_tick(ms: i64) -> i64 {
    ms + (-ms).rem_euclid(crate::plan::problem::TICK_MS)
}
