//! What stands hot too long, and ovens that one step should turn.

use std::collections::HashSet;

use crate::measure::temperature::Accepts;
use crate::menu::StepRef;
use crate::menu::diagnostic::Diagnostic;
use crate::menu::model::{OvenNeed, Step};
use crate::menu::read::{RawDish, Reader};

/// A hot last step without `keeps`: the planner lets it wait as long as it likes.
pub(super) fn last_step(reader: &mut Reader, raw: &RawDish, followed: &HashSet<&StepRef>) {
    for (step, places) in raw.dish.steps.iter().zip(&raw.places) {
        let own = StepRef {
            dish: raw.dish.id.clone(),
            step: step.id.clone(),
        };
        if followed.contains(&own) || step.keeps.is_some() || !is_hot(step) {
            continue;
        }
        reader.push(
            Diagnostic::warning(
                places.id,
                format!("the last step '{own}' is hot and doesn't say how long it keeps"),
            )
            .help("add keeps = \"10 min\": how long it may wait for service"),
        );
    }
}

fn is_hot(step: &Step) -> bool {
    let oven = step
        .oven
        .as_ref()
        .is_some_and(|oven| last_setting(oven) != Accepts::Off);
    oven || step.needs.iter().any(|need| need.name == "burner")
}

fn last_setting(oven: &OvenNeed) -> Accepts {
    oven.then
        .last()
        .map_or(oven.at.accepts, |then| then.at.accepts)
}

/// Two oven steps of a dish, one right after the other, whose temperatures don't meet.
pub(super) fn one_step(reader: &mut Reader, raw: &RawDish) {
    let earlier = |own: &StepRef| {
        let steps = raw.dish.steps.iter();
        steps
            .filter(|_| own.dish == raw.dish.id)
            .find(|step| step.id == own.step)
    };
    for (step, places) in raw.dish.steps.iter().zip(&raw.places) {
        let Some(oven) = &step.oven else { continue };
        for first in step.after.iter().filter_map(&earlier) {
            let Some(before) = &first.oven else { continue };
            if last_setting(before).meets(&oven.at.accepts) {
                continue;
            }
            reader.push(
                Diagnostic::warning(
                    places.oven.unwrap_or(places.id),
                    format!(
                        "'{}' follows '{}' in the oven at another temperature: the dish would wait while the oven changes",
                        step.id, first.id
                    ),
                )
                .help(format!(
                    "kept in the oven between, they are one step: then = [{{ after = \"...\", at = \"{}\" }}]",
                    oven.at.text
                )),
            );
        }
    }
}

/// A setting that comes only after the step has ended.
pub(super) fn unreached(reader: &mut Reader, raw: &RawDish) {
    for (step, places) in raw.dish.steps.iter().zip(&raw.places) {
        let Some(oven) = &step.oven else { continue };
        if step.scales {
            continue;
        }
        if let Some(late) = oven.then.iter().find(|then| then.after >= step.takes.hi) {
            reader.push(
                Diagnostic::warning(
                    places.oven.unwrap_or(places.id),
                    format!(
                        "the step '{}' is over before its oven is turned to {}",
                        step.id, late.at.text
                    ),
                )
                .help("'after' is counted from the start of the step"),
            );
        }
    }
}
