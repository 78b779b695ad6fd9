//! Why an event is refused.

use crate::{menu::StepRef, plan::build::BuildError};

/// An event that cannot have happened in this state.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Impossible {
    /// The first event is not [`super::Event::Opened`], or a later one is.
    #[error("a session opens once, first")]
    Opening,
    /// The session in the first record has no plan problem.
    #[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))]
    Unusable(Vec<BuildError>),
    /// A step, oven, course or dish that the session doesn't have.
    #[error("the session has no {0}")]
    Unknown(String),
    /// A step that is not in the state that the event needs.
    #[error("{step} {why}")]
    Step {
        /// Which.
        step: StepRef,
        /// "has begun already".
        why: &'static str,
    },
    /// A course that is on the table already.
    #[error("the course is served already")]
    Served,
    /// Nothing is left to take back.
    #[error("there is nothing to take back")]
    NothingToUndo,
    /// A plan that doesn't fit the session.
    #[error("the plan is not one of this session")]
    Misfit,
}
