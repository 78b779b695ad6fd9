//! A saved session, played again: forwards, back, from call to call. Pure but for what the records say.

use super::core::Record;
use crate::{
    live::{Call, Event, Impossible, Ms, Priority, State, board::Lane},
    measure::hours::ClockFormat,
    measure::units::Units,
};

/// Speeds, in session time per real time.
pub const SPEEDS: &[u32] = &[1, 2, 5, 10, 30, 60, 120, 300];

/// The state is kept after every so many records, so that going back is short.
const CHECKPOINT: usize = 64;

/// A session that is played.
#[derive(Clone, Debug)]
pub struct Player {
    records: Vec<Record>,
    /// The states after 1, 1 + CHECKPOINT, ... records.
    checkpoints: Vec<State>,
    state: State,
    /// Records folded into `state`.
    done: usize,
    now: Ms,
    end: Ms,
    /// Position in [`SPEEDS`].
    speed: usize,
    paused: bool,
    marks: Vec<(Ms, Priority)>,
}

impl Player {
    /// Takes the records of a log; clock times are told in `hours`.
    ///
    /// # Errors
    /// When they are not those of a session.
    pub fn new(records: Vec<Record>, hours: ClockFormat) -> Result<Self, Impossible> {
        let mut first = super::core::replay(records.get(..1).unwrap_or_default())?;
        first.hours = hours;
        let mut state = first.clone();
        let mut checkpoints = vec![first.clone()];
        let mut marks: Vec<(Ms, Priority)> = Vec::new();
        let mut standing: Vec<Call> = Vec::new();
        for (i, record) in records.iter().enumerate().skip(1) {
            mark(&state, record.at, &mut standing, &mut marks);
            state.after(&record.event, record.at)?;
            if i % CHECKPOINT == 0 {
                checkpoints.push(state.clone());
            }
        }
        marks.sort_unstable();
        let end = records.last().map_or(0, |record| record.at);
        Ok(Self {
            records,
            checkpoints,
            state: first,
            done: 1,
            now: 0,
            end,
            speed: 3,
            paused: false,
            marks,
        })
    }

    /// The session as it was.
    pub fn state(&self) -> &State {
        &self.state
    }

    /// The lanes of the first plan, before anything was begun.
    pub fn planned(&self, units: Units) -> Vec<Lane> {
        let first = self.records.iter().position(is_plan).unwrap_or(0);
        let Some(opened) = self.checkpoints.first() else {
            return Vec::new();
        };
        let records = self.records.get(1..=first).unwrap_or_default();
        // They were folded before, when the log was taken.
        match super::core::fold(opened.clone(), records) {
            Ok(state) => state.board(0, units).lanes,
            Err(_) => Vec::new(),
        }
    }

    /// Where on the session clock.
    pub fn now(&self) -> Ms {
        self.now
    }

    /// The last record's moment.
    pub fn end(&self) -> Ms {
        self.end
    }

    /// When calls fell due, and how urgent they were.
    pub fn marks(&self) -> &[(Ms, Priority)] {
        &self.marks
    }

    /// Session time per real time.
    pub fn speed(&self) -> u32 {
        SPEEDS[self.speed]
    }

    /// Whether it stands still.
    pub fn paused(&self) -> bool {
        self.paused || self.now >= self.end
    }

    /// Stops, or goes on; at the end it begins again.
    pub fn pause(&mut self) {
        if self.now >= self.end {
            self.go_to(0);
            self.paused = false;
        } else {
            self.paused = !self.paused;
        }
    }

    /// One speed faster, or slower.
    pub fn pace(&mut self, faster: bool) {
        let next = if faster {
            self.speed + 1
        } else {
            self.speed.saturating_sub(1)
        };
        self.speed = next.min(SPEEDS.len() - 1);
    }

    /// Lets so much real time pass, in ms.
    pub fn pass(&mut self, real: Ms) {
        if !self.paused() {
            self.go_to(
                self.now
                    .saturating_add(real.saturating_mul(Ms::from(self.speed()))),
            );
        }
    }

    /// To the next record, or the one before.
    pub fn step(&mut self, forwards: bool) {
        self.paused = true;
        let next = if forwards {
            self.records
                .iter()
                .map(|record| record.at)
                .find(|&at| at > self.now)
        } else {
            self.records
                .iter()
                .rev()
                .map(|record| record.at)
                .find(|&at| at < self.now)
        };
        self.go_to(next.unwrap_or(if forwards { self.end } else { 0 }));
    }

    /// To the next call.
    pub fn next_call(&mut self) {
        let next = self
            .marks
            .iter()
            .map(|&(at, _)| at)
            .find(|&at| at > self.now);
        self.go_to(next.unwrap_or(self.end));
    }

    /// To the call before.
    pub fn previous_call(&mut self) {
        let before = self
            .marks
            .iter()
            .rev()
            .map(|&(at, _)| at)
            .find(|&at| at < self.now);
        self.go_to(before.unwrap_or(0));
    }

    /// To a moment.
    pub fn go_to(&mut self, to: Ms) {
        let to = to.clamp(0, self.end);
        let upto = self
            .records
            .partition_point(|record| record.at <= to)
            .max(1);
        if upto < self.done {
            let checkpoint = (upto - 1) / CHECKPOINT;
            self.state = self.checkpoints[checkpoint].clone();
            self.done = checkpoint * CHECKPOINT + 1;
        }
        for record in &self.records[self.done..upto] {
            // The records were folded once without a fault.
            if self.state.after(&record.event, record.at).is_err() {
                break;
            }
        }
        self.done = upto;
        self.now = to;
    }

    /// The next moment at which something changes by itself.
    pub fn next(&self) -> Option<Ms> {
        let record = self.records.get(self.done).map(|record| record.at);
        let deadline = self.state.next_deadline(self.now);
        [record, deadline].into_iter().flatten().min()
    }
}

/// Notes the calls that fall due between what stands and a record's moment.
fn mark(state: &State, until: Ms, standing: &mut Vec<Call>, marks: &mut Vec<(Ms, Priority)>) {
    let calls = state.calls(until);
    for call in calls.iter().filter(|call| !call.silent) {
        if !standing.iter().any(|known| known.key == call.key) {
            marks.push((call.since.min(until), call.priority));
        }
    }
    *standing = calls;
}

fn is_plan(record: &Record) -> bool {
    matches!(record.event, Event::Planned(_))
}
