//! When standing calls are sounded: merged, repeated by priority, rising, until answered.
//!
//! Intervals lie within those of IEC 60601-1-8 (high 2.5 to 15 s, medium 2.5 to 30 s, low above 15 s; from memory),
//! the rates within UK HSE CHIS6 step 1, citing EEMUA 191: at most 10 new alarms in 10 minutes.

use std::collections::{BTreeMap, VecDeque};

use super::{Call, CallKey, Ms, Priority};

/// New calls that come within this time of another sound wait for each other, unless they are high.
const MERGES: Ms = 10_000;

/// The same, once there were many in ten minutes.
const MERGES_IN_FLOOD: Ms = 60_000;

/// The same for what will have to be done only later: it is read on the screen meanwhile, and told with the next sound.
const LOW_IN_FLOOD: Ms = 300_000;

/// The span over which the rate is counted, and the rate at which a flood begins: well before the ten of the source.
const FLOOD: (Ms, usize) = (600_000, 7);

/// A cook who touched a key is at the screen: what to begin next is read there, and sounds only after this time.
const AT_THE_SCREEN: Ms = 30_000;

/// A sound: what is called, all at once.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ring {
    /// The highest of the calls.
    pub priority: Priority,
    /// What is called, most urgent first.
    pub calls: Vec<Call>,
    /// How often the oldest of them has sounded before: the sound rises with it.
    pub round: u32,
    /// How long the first of them has stood without having sounded, in ms: it fell due while nobody could be called.
    pub late: Ms,
}

/// Decides when to sound. It is told every call that stands, and forgets those that don't.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ringer {
    known: BTreeMap<CallKey, Known>,
    last: Option<Ms>,
    fresh: VecDeque<Ms>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Known {
    appeared: Ms,
    priority: Priority,
    sounded: Option<Ms>,
    rounds: u32,
}

impl Ringer {
    /// The sound that is due at `now`, if any. `calls` are all that stand; `touched` is the last key of the cook.
    pub fn ring(&mut self, calls: &[Call], touched: Option<Ms>, now: Ms) -> Option<Ring> {
        self.notice(calls, now);
        if self.next(calls, touched)? > now {
            return None;
        }
        let audible: Vec<Call> = calls.iter().filter(|call| !call.silent).cloned().collect();
        let round = audible
            .iter()
            .filter_map(|call| self.known.get(&call.key))
            .map(|known| known.rounds)
            .max();
        let unheard = |call: &&Call| {
            self.known
                .get(&call.key)
                .is_some_and(|known| known.rounds == 0)
        };
        let late = audible.first().filter(unheard);
        let late = late.map_or(0, |call| now - call.since);
        let fresh = audible.iter().any(|call| unheard(&call));
        if fresh {
            self.fresh.push_back(now);
        }
        for call in &audible {
            if let Some(known) = self.known.get_mut(&call.key) {
                known.sounded = Some(now);
                known.rounds += 1;
            }
        }
        self.last = Some(now);
        let priority = audible.iter().map(|call| call.priority).max()?;
        Some(Ring {
            priority,
            calls: audible,
            round: round.unwrap_or(0),
            late,
        })
    }

    /// When the next sound is due, with the calls as they stand.
    pub fn next(&self, calls: &[Call], touched: Option<Ms>) -> Option<Ms> {
        calls
            .iter()
            .filter(|call| !call.silent)
            .filter_map(|call| Some(self.due(call, self.known.get(&call.key)?, touched)))
            .min()
    }

    /// Learns of new calls and of risen ones, and forgets answered ones.
    fn notice(&mut self, calls: &[Call], now: Ms) {
        self.known
            .retain(|key, _| calls.iter().any(|call| call.key == *key));
        while self.fresh.front().is_some_and(|&at| now - at > FLOOD.0) {
            self.fresh.pop_front();
        }
        for call in calls {
            let new = Known {
                appeared: now,
                priority: call.priority,
                sounded: None,
                rounds: 0,
            };
            let known = self.known.entry(call.key.clone()).or_insert(new);
            if call.priority > known.priority {
                *known = Known {
                    appeared: now,
                    sounded: None,
                    priority: call.priority,
                    ..*known
                };
            }
        }
    }

    fn due(&self, call: &Call, known: &Known, touched: Option<Ms>) -> Ms {
        let Some(sounded) = known.sounded else {
            return self.first(call, known, touched);
        };
        sounded
            + match (call.priority, known.rounds) {
                (Priority::High, _) => 10_000,
                (Priority::Medium, _) => 30_000,
                (Priority::Low, _) => 120_000,
            }
    }

    fn first(&self, call: &Call, known: &Known, touched: Option<Ms>) -> Ms {
        if call.priority == Priority::High {
            return known.appeared;
        }
        let flood = self.fresh.len() >= FLOOD.1;
        let merges = match (flood, call.priority) {
            (false, _) => MERGES,
            (true, Priority::Low) => LOW_IN_FLOOD,
            (true, _) => MERGES_IN_FLOOD,
        };
        // In a flood a key keeps the next sound back as a sound does: whoever answers one call after the other reads the
        // next one.
        let last = self.last.max(touched.filter(|_| flood));
        let after_last = last.map_or(known.appeared, |last| {
            (last + merges).min(known.appeared + merges)
        });
        let at_the_screen = match (&call.key, touched) {
            (CallKey::Begin { .. } | CallKey::Serve { .. }, Some(touched))
                if known.appeared - touched < MERGES =>
            {
                touched + AT_THE_SCREEN
            }
            _ => known.appeared,
        };
        known.appeared.max(after_last).max(at_the_screen)
    }
}

#[cfg(test)]
mod tests;
