//! Why a step is when it is: the chain of steps and things that fixes its time, both ways.
//!
//! A step can't be later because of what needs it (what follows, the service, whoever takes its cook, vessel, burner or
//! oven next), and not earlier because of what it needs. Both chains are followed, step by step, to a promise or to the
//! begin.

#[cfg(test)]
mod tests;
mod tie;

pub use tie::{Direction, Tie, Tied, ties};

use super::timetable::{Timetable, minutes};

/// Why step `step` has its time, one sentence a line; the first says when it is.
pub fn why(plan: &Timetable, step: usize) -> Vec<String> {
    let title = format!("{}: {}", plan.dish(step).title, plan.step(step).instruction);
    let (start, end) = (plan.clock(plan.start(step)), plan.clock(plan.end(step)));
    let mut lines = vec![format!("{title}, from {start} to {end}.")];
    lines.extend(chain(plan, step, Direction::Later));
    lines.extend(chain(plan, step, Direction::Earlier));
    lines
}

/// One direction, from the step to where nothing holds it any more.
fn chain(plan: &Timetable, step: usize, direction: Direction) -> Vec<String> {
    let mut lines = Vec::new();
    let mut seen = vec![false; plan.built.problem.steps.len()];
    let mut at = step;
    loop {
        seen[at] = true;
        let all = ties(&plan.built.problem, &plan.solution.schedule, at, direction);
        // What leads on to a step that has not been named says most.
        let new = |t: &&Tie| !matches!(t.with, Tied::Step(s) if seen[s]);
        let Some(tie) = all.iter().find(new) else {
            lines.push(slack(plan, at, direction, lines.is_empty()));
            return lines;
        };
        lines.push(sentence(plan, at, tie, direction, lines.is_empty()));
        match tie.with {
            Tied::Step(next) => at = next,
            Tied::Course(_) | Tied::Start | Tied::HeatUp => return lines,
        }
    }
}

/// "roast-chicken/roast at 17:30".
fn named(plan: &Timetable, step: usize) -> String {
    let step_ref = &plan.built.frame.steps[step];
    format!("{step_ref} at {}", plan.clock(plan.start(step)))
}

fn sentence(plan: &Timetable, step: usize, tie: &Tie, direction: Direction, first: bool) -> String {
    let subject = if first {
        "It".to_owned()
    } else {
        plan.built.frame.steps[step].to_string()
    };
    let verb = match direction {
        Direction::Later => "can't be later",
        Direction::Earlier => "can't be earlier",
    };
    format!("{subject} {verb}: {}.", reason(plan, step, tie, direction))
}

fn reason(plan: &Timetable, step: usize, tie: &Tie, direction: Direction) -> String {
    let later = direction == Direction::Later;
    let other = match tie.with {
        Tied::Step(s) => named(plan, s),
        Tied::Course(k) => format!(
            "{} at {}",
            plan.built.frame.courses[k],
            plan.clock(plan.solution.schedule.served[k])
        ),
        Tied::Start => format!("the begin at {}", plan.clock(0)),
        Tied::HeatUp => "the oven".into(),
    };
    let of = if later {
        "is needed next by"
    } else {
        "is busy until the end of"
    };
    match tie.what {
        tie::What::Order if later => format!("it must be ready for {other}"),
        tie::What::Order => format!("it comes after {other}"),
        tie::What::Keeps(keeps) if later => {
            format!("{other} comes before it and keeps only {}", minutes(keeps))
        }
        tie::What::Keeps(keeps) => {
            format!("it keeps only {}, and {other} needs it", minutes(keeps))
        }
        tie::What::Service => format!("it must be ready for {other}"),
        tie::What::Cook => format!("the cook {of} {other}"),
        tie::What::Burner => format!("a burner {of} {other}"),
        tie::What::Ware(ware) => format!("the {} {of} {other}", plan.built.frame.wares[ware]),
        tie::What::Racks => format!("its place in the oven {of} {other}"),
        tie::What::Heat => {
            let oven = plan.oven(step).unwrap_or("oven");
            let way = if later {
                "and has to change its temperature for"
            } else {
                "and had to change its temperature after"
            };
            format!("the {oven} takes its time, {way} {other}")
        }
        tie::What::Begin => match tie.with {
            Tied::HeatUp => "the oven needs until then to heat up".into(),
            _ => format!("nobody cooks before {}", plan.clock(0)),
        },
    }
}

/// Nothing hard holds it: by how much it could move, and what that would cost.
fn slack(plan: &Timetable, step: usize, direction: Direction, first: bool) -> String {
    let free = tie::slack(
        &plan.built.problem,
        &plan.solution.schedule,
        step,
        direction,
    );
    let subject = if first {
        "It".to_owned()
    } else {
        plan.built.frame.steps[step].to_string()
    };
    let word = match direction {
        Direction::Later => "later",
        Direction::Earlier => "earlier",
    };
    let cost = match direction {
        Direction::Later => "it is done early so that the end is calm",
        Direction::Earlier if plan.built.problem.steps[step].keeps.is_some() => {
            "it would wait longer than is good for it"
        }
        Direction::Earlier => "it would only make the cooking longer",
    };
    match free {
        0 => format!("{subject} can't be {word}: what holds it has been named."),
        free if free >= tie::FAR => format!("{subject} could be hours {word}, but {cost}."),
        free => format!(
            "{subject} could be up to {} {word}, but {cost}.",
            minutes(free)
        ),
    }
}
