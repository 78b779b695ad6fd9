//! Taking back: what the cook did is kept as the images of what it changed.

use super::{
    CallKey, Impossible, Ms, State,
    kitchen::{CourseState, OvenState, StepState},
};

/// How many actions can be taken back; older ones are forgotten, so that a session of any length stays small.
const DEPTH: usize = 500;

/// One thing that the cook did.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Change {
    before: Vec<Image>,
}

/// A part of the state as it was before.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Image {
    Step(usize, StepState),
    Oven(usize, OvenState),
    Course(usize, CourseState),
    Unanswered(CallKey),
    Unwritten,
    Substitute((usize, usize), Option<usize>),
}

impl State {
    /// How many actions can be taken back.
    pub fn undoable(&self) -> usize {
        self.changes.len()
    }

    pub(super) fn note_change(&mut self, at: Ms, before: Vec<Image>) {
        if self.changes.len() == DEPTH {
            self.changes.pop_front();
        }
        self.changes.push_back(Change { before });
        self.touched = Some(at);
        self.changed = true;
    }

    pub(super) fn undone(&mut self, at: Ms) -> Result<(), Impossible> {
        let change = self.changes.pop_back().ok_or(Impossible::NothingToUndo)?;
        for image in change.before.into_iter().rev() {
            match image {
                Image::Step(i, before) => self.steps[i] = before,
                Image::Oven(i, before) => self.ovens[i] = before,
                Image::Course(i, before) => self.courses[i] = before,
                Image::Unanswered(call) => {
                    self.answered.remove(&call);
                }
                Image::Unwritten => {
                    self.notes.pop();
                }
                Image::Substitute(key, Some(before)) => {
                    self.substitutes.insert(key, before);
                }
                Image::Substitute(key, None) => {
                    self.substitutes.remove(&key);
                }
            }
        }
        self.touched = Some(at);
        self.changed = true;
        Ok(())
    }
}
