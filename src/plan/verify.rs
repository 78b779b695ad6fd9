//! Whether a schedule is correct, rule by rule, in words. Shares no code with the search that makes schedules.
//!
//! The rules have the numbers of "What a correct plan is" in the README's reference of session files. In the midst
//! of a meal what has happened is a fact: a rule that only past decisions break is not held against the schedule.

mod capacity;
mod heat;
#[cfg(test)]
mod tests;

use std::fmt;

use super::{
    cost,
    problem::{Mode, Problem, Tick},
    schedule::Schedule,
    solver::Solution,
};

/// A rule that a schedule breaks, and where.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Violation {
    /// Number of the rule, 1 to 9; 0: the schedule does not fit the problem, or its figures are wrong.
    pub rule: u8,
    /// What is wrong, with indices and ticks.
    pub words: String,
}

impl fmt::Display for Violation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "rule {}: {}", self.rule, self.words)
    }
}

/// All hard rules that `schedule` breaks. Before the meal a broken `keeps` between steps is among them (rule 2);
/// in the midst of it that is a matter of cost.
pub fn verify(problem: &Problem, schedule: &Schedule) -> Vec<Violation> {
    let mut found = Findings::default();
    shape(problem, schedule, &mut found);
    if !found.0.is_empty() {
        return found.0;
    }
    order(problem, schedule, &mut found);
    if problem.mode == Mode::Before {
        keeps(problem, schedule, &mut found);
    }
    capacity::check(problem, schedule, &mut found);
    heat::check(problem, schedule, &mut found);
    begin(problem, schedule, &mut found);
    service(problem, schedule, &mut found);
    found.0
}

/// All that is wrong with a solution: its schedule (but for `keeps` that it admits to have broken), its cost, its bound.
pub fn solution(problem: &Problem, solution: &Solution) -> Vec<Violation> {
    let mut found = Findings(verify(problem, &solution.schedule));
    if found.0.iter().any(|v| v.rule == 0) {
        return found.0;
    }
    if solution.relaxed {
        found.0.retain(|v| v.rule != 2);
    }
    let real = cost::cost(problem, &solution.schedule);
    if real != solution.cost {
        found.add(0, format!("the cost is {real:?}, not {:?}", solution.cost));
    }
    let total = cost::total(problem, &real);
    if total != solution.total {
        found.add(0, format!("the total is {total}, not {}", solution.total));
    }
    if solution.bound > solution.total {
        found.add(
            0,
            format!("the bound {} is above the total {total}", solution.bound),
        );
    }
    found.0
}

#[derive(Default)]
struct Findings(Vec<Violation>);

impl Findings {
    fn add(&mut self, rule: u8, words: String) {
        self.0.push(Violation { rule, words });
    }
}

/// The moment from which the future is open: nothing that has not begun starts before it.
fn open(problem: &Problem) -> Tick {
    match problem.mode {
        Mode::Before => 0,
        Mode::Live { now, .. } => now,
    }
}

fn shape(problem: &Problem, schedule: &Schedule, found: &mut Findings) {
    let (steps, courses) = (problem.steps.len(), problem.courses.len());
    if schedule.starts.len() != steps
        || schedule.ovens.len() != steps
        || schedule.served.len() != courses
    {
        found.add(
            0,
            format!(
                "{} starts and {} ovens for {steps} steps, {} services for {courses} courses",
                schedule.starts.len(),
                schedule.ovens.len(),
                schedule.served.len(),
            ),
        );
        return;
    }
    for (i, step) in problem.steps.iter().enumerate() {
        match (&step.oven, schedule.ovens[i]) {
            (None, None) => {}
            (Some(_), Some(o)) if o < problem.ovens.len() => {}
            (_, other) => found.add(0, format!("step {i} has oven {other:?}")),
        }
    }
}

fn order(problem: &Problem, schedule: &Schedule, found: &mut Findings) {
    for (i, step) in problem
        .steps
        .iter()
        .enumerate()
        .filter(|(_, s)| s.begun.is_none())
    {
        for &a in &step.after {
            let end = cost::end(problem, schedule, a);
            if schedule.starts[i] < end {
                found.add(
                    1,
                    format!(
                        "step {i} starts at {}, before step {a} ends at {end}",
                        schedule.starts[i],
                    ),
                );
            }
        }
    }
}

fn keeps(problem: &Problem, schedule: &Schedule, found: &mut Findings) {
    for (i, step) in problem.steps.iter().enumerate() {
        for &a in &step.after {
            let Some(keeps) = problem.steps[a].keeps else {
                continue;
            };
            let wait = schedule.starts[i] - cost::end(problem, schedule, a);
            if wait > keeps {
                found.add(
                    2,
                    format!("step {a} keeps {keeps} ticks but waits {wait} for step {i}"),
                );
            }
        }
    }
}

fn begin(problem: &Problem, schedule: &Schedule, found: &mut Findings) {
    let open = open(problem);
    for (i, step) in problem.steps.iter().enumerate() {
        let start = schedule.starts[i];
        match step.begun {
            Some(begun) => {
                if start != begun.start {
                    found.add(
                        8,
                        format!("step {i} began at {}, not at {start}", begun.start),
                    );
                }
                if step.oven.is_some() && schedule.ovens[i] != begun.oven {
                    found.add(8, format!("step {i} is in oven {:?}", begun.oven));
                }
            }
            None if start < open => {
                found.add(8, format!("step {i} starts at {start}, before {open}"));
            }
            None => {}
        }
    }
}

fn service(problem: &Problem, schedule: &Schedule, found: &mut Findings) {
    let open = open(problem);
    for (k, course) in problem.courses.iter().enumerate() {
        let served = schedule.served[k];
        if let Some(was) = course.served {
            if was != served {
                found.add(
                    9,
                    format!("course {k} was served at {was}, not at {served}"),
                );
            }
            continue;
        }
        // Before the meal `open` is zero and the promise may lie before it: nothing is served in the past.
        if served < course.promised {
            found.add(
                9,
                format!(
                    "course {k} is served at {served}, promised at {}",
                    course.promised
                ),
            );
        }
        if matches!(problem.mode, Mode::Live { .. }) && served < open {
            found.add(
                9,
                format!("course {k} is served at {served}, before {open}"),
            );
        }
        if k > 0 && served < schedule.served[k - 1] + course.gap {
            found.add(
                9,
                format!(
                    "course {k} is served at {served}, less than {} after the one before it",
                    course.gap,
                ),
            );
        }
        for (i, step) in problem.steps.iter().enumerate() {
            let end = cost::end(problem, schedule, i);
            if course.dishes.contains(&step.dish) && served < end {
                found.add(
                    9,
                    format!("course {k} is served at {served}, before step {i} ends at {end}"),
                );
            }
        }
    }
}
