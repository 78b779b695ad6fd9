//! The plan as JSON, for programs: `mealtide plan --json`.

use serde::Serialize;

use super::{
    knobs::Setting,
    problem::Tick,
    schedule::Cost,
    timetable::{Timetable, degrees, hands},
};
use crate::measure::to_f64;

/// The plan as an object; every moment and length in ticks of 30 seconds from `zero`.
#[derive(Debug, Serialize)]
pub struct Document {
    /// `optimal`: proven; `feasible`: time ran out; `relaxed`: a `keeps` between steps is broken, nothing else exists.
    pub status: &'static str,
    /// Weighted cost.
    pub cost: i64,
    /// Its parts.
    pub parts: Parts,
    /// No correct plan costs less.
    pub bound: i64,
    /// No correct plan has less of each part, whatever it spends on the others; only if the plan isn't proven.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub least: Option<Parts>,
    /// Where in their ranges the lengths were taken.
    pub quantile: f64,
    /// Tick 0, RFC 3339.
    pub zero: String,
    /// How long the search took.
    pub solve_ms: u64,
    /// In the order of serving.
    pub courses: Vec<Course>,
    /// In the order of the session.
    pub steps: Vec<Step>,
    /// The `keeps` between steps that are broken.
    pub broken: Vec<Broken>,
    /// The ovens, with the turns of their knobs.
    pub ovens: Vec<Oven>,
    /// What would help, best first; only if a course is late or a dish over-kept.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub remedies: Vec<Remedy>,
}

/// The parts of the cost, in ticks.
#[derive(Debug, Serialize)]
pub struct Parts {
    late: i64,
    over: i64,
    stale: i64,
    span: i64,
}

fn parts(cost: &Cost) -> Parts {
    Parts {
        late: cost.late,
        over: cost.over,
        stale: cost.stale,
        span: cost.span,
    }
}

/// A course.
#[derive(Debug, Serialize)]
pub struct Course {
    name: String,
    promised: Tick,
    served: Tick,
}

/// A step.
#[derive(Debug, Serialize)]
pub struct Step {
    dish: String,
    step: String,
    start: Tick,
    length: Tick,
    hands: String,
    needs: Vec<String>,
    oven: Option<String>,
    set: Vec<String>,
}

/// A `keeps` between steps that is broken.
#[derive(Debug, Serialize)]
pub struct Broken {
    dish: String,
    step: String,
    follower: String,
    ticks: Tick,
}

/// An oven.
#[derive(Debug, Serialize)]
pub struct Oven {
    name: String,
    changes: Vec<Change>,
}

/// A turn of a knob.
#[derive(Debug, Serialize)]
pub struct Change {
    at: Tick,
    set: String,
    why: String,
}

/// Something that would help.
#[derive(Clone, Debug, Serialize)]
pub struct Remedy {
    /// What to change, in words.
    pub what: String,
    /// Minutes of lateness that it saves, all courses together.
    pub late_minutes: f64,
    /// Minutes of keeping too long that it saves, all dishes together.
    pub over_minutes: f64,
    /// Minutes of waits that break a `keeps` between steps that it saves, all steps together.
    pub broken_minutes: f64,
}

/// The document of a plan.
pub fn document(plan: &Timetable, solve_ms: u64, remedies: Vec<Remedy>) -> Document {
    let (problem, frame, solution) = (&plan.built.problem, &plan.built.frame, plan.solution);
    let status = match (solution.relaxed, solution.proven()) {
        (true, _) => "relaxed",
        (_, true) => "optimal",
        _ => "feasible",
    };
    let courses = problem
        .courses
        .iter()
        .zip(&frame.courses)
        .zip(&solution.schedule.served);
    Document {
        status,
        cost: solution.total,
        parts: parts(&solution.cost),
        bound: solution.bound.min(solution.total),
        least: (status == "feasible").then(|| parts(&solution.least)),
        quantile: to_f64(frame.quantile),
        zero: frame
            .zero
            .timestamp()
            .display_with_offset(frame.zero.offset())
            .to_string(),
        solve_ms,
        courses: courses
            .map(|((course, name), &served)| Course {
                name: name.clone(),
                promised: course.promised,
                served,
            })
            .collect(),
        steps: (0..problem.steps.len()).map(|i| step(plan, i)).collect(),
        broken: plan
            .broken()
            .iter()
            .map(|b| Broken {
                dish: frame.steps[b.step].dish.clone(),
                step: frame.steps[b.step].step.clone(),
                follower: frame.steps[b.follower].to_string(),
                ticks: b.ticks,
            })
            .collect(),
        ovens: ovens(plan),
        remedies,
    }
}

fn step(plan: &Timetable, i: usize) -> Step {
    let written = plan.step(i);
    let named = &plan.built.frame.steps[i];
    let needs = written.needs.iter();
    Step {
        dish: named.dish.clone(),
        step: named.step.clone(),
        start: plan.start(i),
        length: plan.built.problem.steps[i].length,
        hands: hands(written.hands),
        needs: needs
            .flat_map(|n| std::iter::repeat_n(n.name.clone(), n.count as usize))
            .collect(),
        oven: plan.oven(i).map(Into::into),
        set: plan.settings(i).into_iter().map(|(_, text)| text).collect(),
    }
}

fn ovens(plan: &Timetable) -> Vec<Oven> {
    let kitchen = plan.session.kitchen.ovens.iter().enumerate();
    kitchen
        .map(|(o, oven)| Oven {
            name: oven.name.clone(),
            changes: plan
                .turns
                .iter()
                .filter(|t| t.oven == o)
                .map(|t| Change {
                    at: t.at,
                    set: match t.to {
                        Setting::Off => "off".into(),
                        Setting::At(c) => degrees(c),
                    },
                    why: plan.why(t),
                })
                .collect(),
        })
        .collect()
}
