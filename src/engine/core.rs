//! The session, the planner and the ringer as one: actions and moments go in, records and sounds come out.
//! No clock and no file: the loop in real time and the rehearsal in virtual time drive the same core.

use std::sync::Arc;

use crate::{
    live::{Action, Call, Event, Impossible, Ms, Opening, Ring, Ringer, State},
    measure::hours::ClockFormat,
    plan::{
        problem::Problem,
        solver::{Engine, Solution, Watch},
        verify::verify,
    },
};

/// An event with its moment, as it goes into the log.
#[derive(Clone, Debug, PartialEq)]
pub struct Record {
    /// When it happened, on the session clock.
    pub at: Ms,
    /// What happened.
    pub event: Event,
}

/// How long a plan may be searched for: how often the search may ask whether to stop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// For the plan before the meal.
    pub first: u32,
    /// For a plan that is made again.
    pub again: u32,
}

impl Default for Effort {
    /// A few hundred milliseconds before the meal, a few within it.
    fn default() -> Self {
        Self {
            first: 2_000,
            again: 50,
        }
    }
}

/// A session that runs.
pub struct Core<S> {
    state: State,
    ringer: Ringer,
    solver: S,
    effort: Effort,
    /// What the plan that the cook reads was made for.
    problem: Arc<Problem>,
    records: Vec<Record>,
    /// The calls at the moment at which they were last asked for; `None`: something has happened since.
    standing: Option<(Ms, Vec<Call>)>,
}

impl<S: Engine> Core<S> {
    /// Opens a session at session-clock 0 and plans it.
    ///
    /// # Errors
    /// When the session can't be used, or has no plan at all.
    pub fn open(opening: Opening, solver: S, effort: Effort) -> Result<Self, Stuck> {
        let state = State::open(&opening)?;
        Self::opened(opening, state, solver, effort)
    }

    /// The same with the state of the opening, where that is known already: to lay it out is most of the work.
    ///
    /// # Errors
    /// When it has no plan at all.
    pub fn opened(
        opening: Opening,
        state: State,
        solver: S,
        effort: Effort,
    ) -> Result<Self, Stuck> {
        let problem = Arc::new(state.problem(0));
        let opened = Record {
            at: 0,
            event: Event::Opened(Box::new(opening)),
        };
        let mut core = Self {
            state,
            ringer: Ringer::default(),
            solver,
            effort,
            problem,
            records: vec![opened],
            standing: None,
        };
        core.replan(0)?;
        Ok(core)
    }

    /// Takes a session up from its records; they are not to be logged again.
    ///
    /// # Errors
    /// When the records are not those of a session.
    pub fn resume(records: &[Record], solver: S, effort: Effort) -> Result<Self, Stuck> {
        Ok(Self::taken_up(replay(records)?, solver, effort))
    }

    /// Takes a session up as it stands; what led to it is not to be logged again.
    pub fn taken_up(state: State, solver: S, effort: Effort) -> Self {
        let problem = Arc::new(state.problem(state.planned_at));
        Self {
            state,
            ringer: Ringer::default(),
            solver,
            effort,
            problem,
            records: Vec::new(),
            standing: None,
        }
    }

    /// The session as it is.
    pub fn state(&self) -> &State {
        &self.state
    }

    /// How clock times are told from now on.
    pub fn tell_time_in(&mut self, hours: ClockFormat) {
        self.state.hours = hours;
        self.standing = None;
    }

    /// What the plan that the cook reads was made for.
    pub fn problem(&self) -> &Arc<Problem> {
        &self.problem
    }

    /// What the cook does.
    ///
    /// # Errors
    /// When it is impossible now; nothing has changed then.
    pub fn act(&mut self, action: &Action, now: Ms) -> Result<(), Impossible> {
        let event = self.state.act(action)?;
        self.tell(event, now)
    }

    /// What else happens: a clock that jumped, a log that can't be written.
    ///
    /// # Errors
    /// When it is impossible; nothing has changed then.
    pub fn tell(&mut self, event: Event, now: Ms) -> Result<(), Impossible> {
        self.state.after(&event, now)?;
        self.standing = None;
        self.records.push(Record { at: now, event });
        Ok(())
    }

    /// Brings plan and calls up to `now`, and says what is to be heard.
    ///
    /// # Errors
    /// When the rest of the meal has no plan at all.
    pub fn wake(&mut self, now: Ms) -> Result<Option<Ring>, Stuck> {
        if self.state.wants_plan(now) {
            self.replan(now)?;
        }
        let touched = self.state.touched;
        let calls = standing(&mut self.standing, &self.state, now);
        Ok(self.ringer.ring(calls, touched, now))
    }

    /// The calls that stand at `now`.
    pub fn standing(&mut self, now: Ms) -> &[Call] {
        standing(&mut self.standing, &self.state, now)
    }

    /// When to wake next: something is due, or rings again, or makes the plan untrue.
    pub fn deadline(&mut self, now: Ms) -> Option<Ms> {
        let touched = self.state.touched;
        let calls = standing(&mut self.standing, &self.state, now);
        let rings = self.ringer.next(calls, touched);
        [self.state.next_deadline(now), rings]
            .into_iter()
            .flatten()
            .min()
    }

    /// The records since the last call, in order: log them before anything is shown.
    pub fn drain(&mut self) -> Vec<Record> {
        std::mem::take(&mut self.records)
    }

    /// Takes a better plan that was found in the background for the plan made at `planned_at`, unless something has
    /// happened since, or time has passed over it.
    pub fn improve(&mut self, solution: &Solution, planned_at: Ms, now: Ms) {
        let state = &self.state;
        let Some(plan) = &state.plan else { return };
        let news = plan.cost > solution.total || plan.bound < solution.bound;
        if state.changed || state.planned_at != planned_at || !news {
            return;
        }
        // Time may have passed over a start, or over the end of what still runs.
        let problem = state.problem(now);
        if !verify(&problem, &solution.schedule).is_empty() {
            return;
        }
        let event = state.plan_event(&problem, solution);
        self.problem = Arc::new(problem);
        // It fits by construction; a plan that doesn't is not worth a word to the cook.
        let _ = self.tell(event, now);
    }

    fn replan(&mut self, now: Ms) -> Result<(), Stuck> {
        let problem = self.state.problem(now);
        let first = self.state.plan.is_none();
        let mut watch = Asked {
            left: if first {
                self.effort.first
            } else {
                self.effort.again
            },
        };
        let solution = self
            .solver
            .solve(&problem, self.state.hint().as_ref(), &mut watch);
        let mut solution = solution.map_err(|error| Stuck::NoPlan(error.to_string()))?;
        // A hurried search from the plan before can end in one that breaks a rule; a longer one from nothing is tried
        // before such a plan is shown.
        if !first && !verify(&problem, &solution.schedule).is_empty() {
            watch.left = self.effort.first;
            let afresh = self.solver.solve(&problem, None, &mut watch).ok();
            let sound = |found: &Solution| verify(&problem, &found.schedule).is_empty();
            if let Some(afresh) = afresh.filter(sound) {
                solution = afresh;
            }
        }
        let event = self.state.plan_event(&problem, &solution);
        self.problem = Arc::new(problem);
        self.tell(event, now)?;
        Ok(())
    }
}

/// Worked out once for a moment: the loop asks several times.
fn standing<'a>(known: &'a mut Option<(Ms, Vec<Call>)>, state: &State, now: Ms) -> &'a [Call] {
    if known.as_ref().is_some_and(|(at, _)| *at != now) {
        *known = None;
    }
    &known.get_or_insert_with(|| (now, state.calls(now))).1
}

/// The state after all of `records`.
///
/// # Errors
/// When they are not the records of a session, from its opening on.
pub fn replay(records: &[Record]) -> Result<State, Impossible> {
    let Some((Event::Opened(opening), rest)) = records
        .split_first()
        .map(|(first, rest)| (&first.event, rest))
    else {
        return Err(Impossible::Opening);
    };
    fold(State::open(opening)?, rest)
}

/// A state, and all of `records` after it.
///
/// # Errors
/// When one of them cannot have happened.
pub fn fold(mut state: State, records: &[Record]) -> Result<State, Impossible> {
    for record in records {
        state.after(&record.event, record.at)?;
    }
    Ok(state)
}

/// Why a session can't go on.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Stuck {
    /// What happened cannot have happened.
    #[error(transparent)]
    Impossible(#[from] Impossible),
    /// No plan exists.
    #[error("there is no plan: {0}")]
    NoPlan(String),
}

/// Ends a search after it has asked so often: the same search on any machine.
struct Asked {
    left: u32,
}

impl Watch for Asked {
    fn stop(&mut self) -> bool {
        self.left = self.left.saturating_sub(1);
        self.left == 0
    }
}
