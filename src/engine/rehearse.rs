//! A session cooked by a simulated cook in virtual time. Same seed, same records.

use rand_pcg::{
    Pcg64Mcg,
    rand_core::{Rng, SeedableRng},
};

use super::core::{Core, Effort, Record, Stuck};
use crate::{
    live::{Action, CallKey, Ms, Opening, Ring, State},
    plan::solver::Engine,
};

/// A dinner that takes longer than this beyond its last promise is given up.
const GIVEN_UP: Ms = 24 * 3_600_000;

/// What the simulated cook is like.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Manner {
    /// Longest time from a call to the hand at the key, in ms.
    pub reacts: Ms,
    /// Share of the actions that are taken back and done again.
    pub fumbles: f64,
}

impl Default for Manner {
    fn default() -> Self {
        Self {
            reacts: 20_000,
            fumbles: 0.02,
        }
    }
}

/// A dinner that was cooked.
#[derive(Clone, Debug, PartialEq)]
pub struct Rehearsed {
    /// All that happened.
    pub records: Vec<Record>,
    /// What was heard, and when.
    pub rings: Vec<(Ms, Ring)>,
    /// The session after the last event.
    pub state: State,
}

/// Cooks a session to its end.
///
/// # Errors
/// When the session has no plan, or the dinner doesn't end.
pub fn rehearse<S: Engine>(
    opening: Opening,
    solver: S,
    effort: Effort,
    manner: Manner,
    seed: u64,
) -> Result<Rehearsed, Stuck> {
    let mut core = Core::open(opening, solver, effort)?;
    let mut cook = Cook {
        random: Pcg64Mcg::seed_from_u64(seed),
        manner,
        truths: vec![None; core.state().steps.len()],
        intent: None,
    };
    let last = core
        .state()
        .script
        .courses
        .iter()
        .map(|course| course.promised)
        .max()
        .unwrap_or(0);
    let (mut now, mut records, mut rings) = (0, Vec::new(), Vec::new());
    while !core.state().closed {
        rings.extend(core.wake(now)?.map(|ring| (now, ring)));
        records.append(&mut core.drain());
        let due = cook.next(core.state(), now);
        let wakes = core.deadline(now);
        now = match (due, wakes) {
            (Some((at, action)), wakes) if wakes.is_none_or(|wakes| at <= wakes) => {
                cook.act(&mut core, &action, at)?;
                at
            }
            (_, Some(wakes)) => wakes,
            (_, None) => return Err(Stuck::NoPlan("the dinner came to a standstill".into())),
        };
        if now > last + GIVEN_UP {
            return Err(Stuck::NoPlan("the dinner doesn't end".into()));
        }
    }
    records.append(&mut core.drain());
    Ok(Rehearsed {
        records,
        rings,
        state: core.state().clone(),
    })
}

/// The simulated cook: does what is expected, some seconds late, and finishes steps when they are truly done.
struct Cook {
    random: Pcg64Mcg,
    manner: Manner,
    /// For each step that was begun: when it is truly done.
    truths: Vec<Option<Ms>>,
    /// The call that the cook is on the way to answer, and when the hand is at the key.
    intent: Option<(CallKey, Ms)>,
}

impl Cook {
    /// What the cook does next, and when, if nothing else happens before.
    fn next(&mut self, state: &State, now: Ms) -> Option<(Ms, Action)> {
        let done = self.truly_done(state, now);
        // Nobody begins what hands, burners or vessels are missing for.
        let possible = |action: &Action| match action {
            Action::Begin(step) => state.can_begin(*step),
            _ => true,
        };
        let called = state.calls(now).into_iter().find_map(|call| {
            let action = call.action.filter(possible)?;
            Some((call.key, action))
        });
        let asked = match called {
            Some((key, action)) => {
                let at = self.arrives(key, now);
                Some(match action {
                    // A cue that isn't reached yet: look, and give it the time that is proposed.
                    Action::Finish(step) if self.truths[step].is_some_and(|truth| truth > at) => {
                        (at, Action::Extend(step, state.proposal(step, at)))
                    }
                    action => (at, action),
                })
            }
            None if state.finished() => Some((now, Action::Close)),
            None => None,
        };
        [done, asked]
            .into_iter()
            .flatten()
            .min_by_key(|&(at, _)| at)
    }

    /// The first running step that the cook will see to be done. Hands that are in it, and eyes on its cue, know.
    fn truly_done(&mut self, state: &State, now: Ms) -> Option<(Ms, Action)> {
        let running = (0..state.steps.len()).filter(|&i| state.steps[i].running());
        let known = running.filter_map(|i| Some((self.truths[i]?, i)));
        let (at, step) = known.min()?;
        Some((at.max(now), Action::Finish(step)))
    }

    fn act<S: Engine>(&mut self, core: &mut Core<S>, action: &Action, at: Ms) -> Result<(), Stuck> {
        core.act(action, at)?;
        if self.chance() < self.manner.fumbles && *action != Action::Close {
            core.act(&Action::Undo, at)?;
            core.act(action, at)?;
        }
        if let Action::Begin(step) = *action {
            let script = &core.state().script.steps[step];
            let (lo, hi) = (script.lo as f64, script.hi as f64);
            // Triangular with its mode in the middle: the mean of two even draws.
            let share = f64::midpoint(self.chance(), self.chance());
            self.truths[step] = Some(at + (lo + (hi - lo) * share).round() as Ms);
        }
        Ok(())
    }

    /// When the cook, called by `key`, will be at the key.
    fn arrives(&mut self, key: CallKey, now: Ms) -> Ms {
        if let Some((_, at)) = self.intent.as_ref().filter(|(known, _)| *known == key) {
            return (*at).max(now);
        }
        let at = now + (self.chance() * self.manner.reacts as f64).round() as Ms;
        self.intent = Some((key, at));
        at
    }

    /// Evenly between 0 and 1.
    fn chance(&mut self) -> f64 {
        (self.random.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
    }
}
