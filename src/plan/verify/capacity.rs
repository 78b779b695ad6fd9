//! Rules 3 to 6: cooks, burners, cookware and racks are never used beyond what there is.

use std::fmt::Arguments;

use super::Findings;
use crate::plan::{
    cost,
    problem::{Problem, Tick},
    schedule::Schedule,
};

/// Something taken for a while.
#[derive(Clone, Copy)]
struct Use {
    from: Tick,
    to: Tick,
    count: u32,
    /// Its begin is a fact and can't be moved.
    fixed: bool,
}

pub(super) fn check(problem: &Problem, schedule: &Schedule, found: &mut Findings) {
    let cooks = cooks(problem, schedule);
    within(problem.cooks, &cooks, 3, format_args!("cooks"), found);
    let burners: Vec<Use> = uses(problem, schedule, |_, s| s.burners);
    within(problem.burners, &burners, 4, format_args!("burners"), found);
    for (w, &count) in problem.wares.iter().enumerate() {
        within(
            count,
            &held(problem, schedule, w),
            5,
            format_args!("of cookware {w}"),
            found,
        );
    }
    for (o, oven) in problem.ovens.iter().enumerate() {
        let inside = uses(problem, schedule, |i, s| match &s.oven {
            Some(need) if schedule.ovens[i] == Some(o) => need.racks,
            _ => 0,
        });
        within(
            oven.racks,
            &inside,
            6,
            format_args!("racks of oven {o}"),
            found,
        );
    }
}

fn uses(
    problem: &Problem,
    schedule: &Schedule,
    count: impl Fn(usize, &crate::plan::problem::Step) -> u32,
) -> Vec<Use> {
    let steps = problem.steps.iter().enumerate();
    steps
        .map(|(i, step)| Use {
            from: schedule.starts[i],
            to: cost::end(problem, schedule, i),
            count: count(i, step),
            fixed: step.begun.is_some(),
        })
        .filter(|u| u.count > 0)
        .collect()
}

fn cooks(problem: &Problem, schedule: &Schedule) -> Vec<Use> {
    let mut busy = uses(problem, schedule, |_, s| u32::from(s.hands));
    for (course, &served) in problem.courses.iter().zip(&schedule.served) {
        busy.push(Use {
            from: served,
            to: served + course.plating,
            count: 1,
            fixed: course.served.is_some(),
        });
    }
    busy
}

fn held(problem: &Problem, schedule: &Schedule, ware: usize) -> Vec<Use> {
    let holds = problem
        .dishes
        .iter()
        .flat_map(|d| &d.holds)
        .filter(|h| h.ware == ware);
    holds
        .filter_map(|hold| {
            let first = hold.steps.iter().min_by_key(|&&i| schedule.starts[i])?;
            let to = hold
                .steps
                .iter()
                .map(|&i| cost::end(problem, schedule, i))
                .max()?;
            Some(Use {
                from: schedule.starts[*first],
                to,
                count: hold.count,
                fixed: hold.steps.iter().any(|&i| problem.steps[i].begun.is_some()),
            })
        })
        .collect()
}

/// Use only grows where something begins, so those moments are enough. What facts alone exceed is no fault.
fn within(limit: u32, uses: &[Use], rule: u8, what: Arguments<'_>, found: &mut Findings) {
    let all: u64 = uses.iter().map(|u| u64::from(u.count)).sum();
    if all <= u64::from(limit) {
        return;
    }
    let mut begins: Vec<Tick> = uses
        .iter()
        .filter(|u| u.from < u.to)
        .map(|u| u.from)
        .collect();
    begins.sort_unstable();
    begins.dedup();
    for at in begins {
        let here = uses.iter().filter(|u| u.from <= at && at < u.to);
        let taken: u32 = here.clone().map(|u| u.count).sum();
        if taken > limit && here.clone().any(|u| !u.fixed) {
            found.add(
                rule,
                format!("at {at} {taken} {what} are taken, of {limit}"),
            );
        }
    }
}
