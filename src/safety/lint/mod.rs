//! What in a session could make somebody ill or hurt, with what would be right and where that is from.

mod avoid;
mod blender;
mod cooling;
mod core;
mod finding;
mod hands;
mod lukewarm;
mod special;
mod spoken;
pub(in crate::safety) mod storage;
pub(in crate::safety) mod view;
mod vocabulary;

pub use finding::{Finding, Severity};

use crate::menu::Session;

/// Everything found, the gravest first, in the order of the session. An empty list is no promise: see
/// [`DISCLAIMER`](super::DISCLAIMER).
#[must_use]
pub fn lint(session: &Session) -> Vec<Finding> {
    let view = view::View::new(session);
    let mut findings = Vec::new();
    avoid::check(session, &mut findings);
    core::check(&view, &mut findings);
    lukewarm::check(&view, &mut findings);
    cooling::check(&view, &mut findings);
    storage::check(&view, &mut findings);
    special::check(&view, &mut findings);
    hands::check(&view, &mut findings);
    let place = |finding: &Finding| {
        let dish = session
            .dishes
            .iter()
            .position(|dish| Some(&dish.id) == finding.dish.as_ref());
        let step = dish.and_then(|d| session.dishes.get(d)).and_then(|dish| {
            dish.steps
                .iter()
                .position(|step| Some(&step.id) == finding.step.as_ref())
        });
        (finding.severity, dish, step)
    };
    findings.sort_by_key(place);
    findings
}
