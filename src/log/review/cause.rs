//! What cost the time: the chain of steps that a late course waited for, held against the plan link by link.
//!
//! From the course back: the step of its dishes that ended last, the step that this one waited for, and so on to the
//! first. Along this chain, what was later than planned is a sum without remainder: each step's surplus of length and
//! each pause's surplus of waiting, and the first step's later begin.

use serde::Serialize;

use super::Span;
use crate::{
    live::{Ms, script::Script},
    menu::StepRef,
};

/// One reason why a course was later, or sooner, than planned.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Cause {
    /// The step that it is about; `None`: the serving itself.
    pub step: Option<StepRef>,
    /// What about it.
    pub why: Why,
    /// What it cost, in ms; negative: what it gained.
    pub cost: Ms,
}

/// What can cost time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Why {
    /// The step took longer than planned.
    Longer,
    /// The step could have begun sooner: what it waited for was done.
    Waited,
    /// The chain began later than planned.
    Began,
    /// All was ready, and the course was not yet on the table.
    Served,
}

/// A gap of less than this between two steps is the way from one to the other, in ms.
const AT_ONCE: Ms = 60_000;

/// The causes of a course's delay, the costliest first; those of less than a second are left out.
pub(super) fn trace(
    script: &Script,
    course: usize,
    planned: Ms,
    served: Ms,
    spans: impl Fn(usize) -> Option<(Span, Span)>,
) -> Vec<Cause> {
    let dishes = script
        .courses
        .get(course)
        .map_or(&[][..], |course| &course.dishes);
    let steps = dishes
        .iter()
        .filter_map(|&dish| script.dishes.get(dish))
        .flat_map(|dish| dish.steps.iter().copied());
    let last = steps
        .filter_map(|i| Some((i, spans(i)?)))
        .filter(|(_, (_, is))| is.to <= served)
        .max_by_key(|(_, (_, is))| is.to);
    let mut causes = Vec::new();
    let mut note = |step: Option<usize>, why, cost: Ms| {
        let step = step
            .and_then(|i| script.steps.get(i))
            .map(|step| step.name.clone());
        causes.push(Cause { step, why, cost });
    };
    let Some((mut at, (mut plan, mut is))) = last else {
        note(None, Why::Served, served - planned);
        return causes;
    };
    note(None, Why::Served, (served - is.to) - (planned - plan.to));
    // Every link goes back in time, or stays and takes a step that was not on the chain.
    let mut chain = vec![at];
    loop {
        note(Some(at), Why::Longer, is.length() - plan.length());
        let Some((before, (plan_before, is_before))) = waited_for(script, at, is, &chain, &spans)
        else {
            note(Some(at), Why::Began, is.from - plan.from);
            break;
        };
        note(
            Some(at),
            Why::Waited,
            (is.from - is_before.to) - (plan.from - plan_before.to),
        );
        (at, plan, is) = (before, plan_before, is_before);
        chain.push(at);
    }
    causes.retain(|cause| cause.cost.abs() >= 1_000);
    causes.sort_by_key(|cause| std::cmp::Reverse(cause.cost));
    causes
}

/// The step that another waited for: of those that it comes after, the one that ended last; but if that was done well
/// before, and a hand became free just before it began, what that hand had been busy with.
fn waited_for(
    script: &Script,
    step: usize,
    is: Span,
    chain: &[usize],
    spans: &impl Fn(usize) -> Option<(Span, Span)>,
) -> Option<(usize, (Span, Span))> {
    let known = |i: usize| Some((i, spans(i)?));
    let ended =
        |found: &(usize, (Span, Span))| !chain.contains(&found.0) && found.1.1.to <= is.from;
    let this = script.steps.get(step)?;
    let before = this
        .after
        .iter()
        .filter_map(|&i| known(i))
        .filter(ended)
        .max_by_key(|found| found.1.1.to);
    let at_once = |found: &(usize, (Span, Span))| is.from - found.1.1.to < AT_ONCE;
    if before.as_ref().is_some_and(at_once) || !this.hands {
        return before;
    }
    let hands =
        (0..script.steps.len()).filter(|&i| script.steps.get(i).is_some_and(|other| other.hands));
    let busy = hands
        .filter_map(known)
        .filter(ended)
        .filter(at_once)
        .max_by_key(|found| found.1.1.to);
    busy.or(before)
}
