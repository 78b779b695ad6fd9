//! What would help when a course is late, a dish over-kept or a `keeps` broken: the plan made again with one thing
//! changed, for each thing that can be.

use jiff::ZonedDateTime;

use super::{
    build::{Built, Options, build},
    json::Remedy,
    problem::{Problem, TICK_MS, Tick},
    solver::Solution,
};
use crate::{
    measure::Ratio,
    menu::{Moment, Session, Ware},
};

/// No more remedies are named.
const NAMED: usize = 5;

/// A helper is asked for one step of at most this many ticks (15 minutes).
const HELPER: Tick = 30;

/// Most helpers, gaps and swaps that are tried of each kind.
const TRIED: usize = 12;

/// Something that could be changed, and the problem then.
#[derive(Clone, Debug)]
pub struct Candidate {
    /// What to change, in words.
    pub what: String,
    /// The changed problem.
    pub problem: Problem,
}

/// Everything that could be changed about a meal, without asking whether it helps.
pub fn candidates(
    session: &Session,
    now: &ZonedDateTime,
    options: &Options,
    built: &Built,
    solution: &Solution,
) -> Vec<Candidate> {
    let mut edits: Vec<(String, Session)> = Vec::new();
    made_ahead(session, &mut edits);
    vessels(session, built, &mut edits);
    with(
        session,
        &mut edits,
        format!("A cook more ({} in all)", session.kitchen.cooks + 1),
        |s| {
            s.kitchen.cooks += 1;
        },
    );
    earlier(session, now, built, solution, &mut edits);
    gaps(session, built, solution, &mut edits);
    swaps(session, &mut edits);
    let rebuilt = edits.into_iter().filter_map(|(what, edited)| {
        let problem = build(&edited, now, options).ok()?.problem;
        Some(Candidate { what, problem })
    });
    let mut all: Vec<Candidate> = rebuilt.collect();
    helpers(session, built, solution, &mut all);
    all
}

/// The remedies that help, best first, with what each gains. `solve` makes a plan of a changed problem.
pub fn remedies(
    solution: &Solution,
    candidates: Vec<Candidate>,
    mut solve: impl FnMut(&Problem) -> Option<Solution>,
) -> Vec<Remedy> {
    let worth = |c: &super::schedule::Cost| 1_000_000 * c.broken + 1000 * c.late + 300 * c.over;
    let mut found: Vec<(i64, Remedy)> = Vec::new();
    for candidate in candidates {
        let Some(other) = solve(&candidate.problem) else {
            continue;
        };
        let gain = worth(&solution.cost) - worth(&other.cost);
        let minutes = |was: i64, is: i64| (was - is) as f64 / 2.0;
        if gain > 0 {
            found.push((
                gain,
                Remedy {
                    what: candidate.what,
                    late_minutes: minutes(solution.cost.late, other.cost.late),
                    over_minutes: minutes(solution.cost.over, other.cost.over),
                    broken_minutes: minutes(solution.cost.broken, other.cost.broken),
                },
            ));
        }
    }
    found.sort_by_key(|(gain, _)| std::cmp::Reverse(*gain));
    found
        .into_iter()
        .map(|(_, remedy)| remedy)
        .take(NAMED)
        .collect()
}

fn with(
    session: &Session,
    edits: &mut Vec<(String, Session)>,
    what: String,
    edit: impl FnOnce(&mut Session),
) {
    let mut edited = session.clone();
    edit(&mut edited);
    edits.push((what, edited));
}

fn made_ahead(session: &Session, edits: &mut Vec<(String, Session)>) {
    for dish in &session.dishes {
        let possible = dish.steps.iter().any(|s| s.ahead.is_some());
        if possible && !session.ahead.contains(&dish.id) {
            let what = format!("{} made ahead (ahead = [\"{}\"])", dish.title, dish.id);
            with(session, edits, what, |s| s.ahead.push(dish.id.clone()));
        }
    }
}

/// One more of each vessel that two dishes need.
fn vessels(session: &Session, built: &Built, edits: &mut Vec<(String, Session)>) {
    for (w, name) in built.frame.wares.iter().enumerate() {
        let holds = built
            .problem
            .dishes
            .iter()
            .flat_map(|d| &d.holds)
            .filter(|h| h.ware == w);
        let wanted: u32 = holds.map(|h| h.count).sum();
        let count = built.problem.wares[w];
        if wanted <= count {
            continue;
        }
        let what = format!("One more {name} ({} in all)", count + 1);
        with(session, edits, what, |s| {
            match s.kitchen.wares.iter_mut().find(|ware| ware.name == *name) {
                Some(ware) => ware.count += 1,
                None => s.kitchen.wares.push(Ware {
                    name: name.clone(),
                    count: count + 1,
                    holds: None,
                }),
            }
        });
    }
}

/// Where the session's own start is what holds things up and there is time before it.
fn earlier(
    session: &Session,
    now: &ZonedDateTime,
    built: &Built,
    solution: &Solution,
    edits: &mut Vec<(String, Session)>,
) {
    if session.start.is_none() {
        return;
    }
    let late = late_minutes(solution, built).max(15);
    for minutes in [round_up(late, 15), 2 * round_up(late, 15)] {
        let start = built.frame.at_ms(-60_000 * minutes);
        if start < *now {
            continue;
        }
        let what = format!(
            "Beginning {minutes} min earlier, at {}",
            start.strftime("%H:%M")
        );
        with(session, edits, what, |s| {
            s.start = Some(Moment::At(start.datetime()))
        });
    }
}

/// The most that a course is late, in whole minutes.
fn late_minutes(solution: &Solution, built: &Built) -> i64 {
    let courses = built.problem.courses.iter().zip(&solution.schedule.served);
    let ticks = courses
        .map(|(c, &served)| i64::from(served - c.promised))
        .max()
        .unwrap_or(0);
    round_up((ticks * TICK_MS).max(0), 60_000) / 60_000
}

/// A longer gap before each course that is late, by as much as it is later than the one before it.
fn gaps(session: &Session, built: &Built, solution: &Solution, edits: &mut Vec<(String, Session)>) {
    if built.problem.courses.len() != session.courses.len() {
        return;
    }
    let late = |k: usize| solution.schedule.served[k] - built.problem.courses[k].promised;
    for k in 1..session.courses.len() {
        let by = i64::from(late(k) - late(k - 1));
        let minutes = if by > 0 {
            round_up(by * TICK_MS, 300_000) / 60_000
        } else {
            10
        };
        if by <= 0 && solution.cost.over == 0 {
            continue;
        }
        let what = format!("{minutes} min more before {}", session.courses[k].name);
        with(session, edits, what, |s| {
            s.courses[k].gap += Ratio::from_integer(i128::from(minutes) * 60)
        });
    }
}

/// Two dishes of neighbouring courses change places.
fn swaps(session: &Session, edits: &mut Vec<(String, Session)>) {
    let mut tried = 0;
    for k in 1..session.courses.len() {
        for (a, one) in session.courses[k - 1].dishes.iter().enumerate() {
            for (b, other) in session.courses[k].dishes.iter().enumerate() {
                if tried == TRIED {
                    return;
                }
                tried += 1;
                let title = |id: &String| {
                    session
                        .dishes
                        .iter()
                        .find(|d| d.id == *id)
                        .map_or(id.clone(), |d| d.title.clone())
                };
                let what = format!("{} and {} in each other's course", title(one), title(other));
                with(session, edits, what, |s| {
                    s.courses[k - 1].dishes[a].clone_from(other);
                    s.courses[k].dishes[b].clone_from(one);
                });
            }
        }
    }
}

/// Somebody who takes one hands-on step of at most a quarter of an hour, or a plating.
fn helpers(session: &Session, built: &Built, solution: &Solution, all: &mut Vec<Candidate>) {
    let steps = &built.problem.steps;
    let mut possible: Vec<usize> = (0..steps.len())
        .filter(|&i| steps[i].hands && steps[i].length <= HELPER)
        .collect();
    // The longest free the cook for longest.
    possible.sort_by_key(|&i| std::cmp::Reverse(steps[i].length));
    for i in possible.into_iter().take(TRIED) {
        let mut problem = built.problem.clone();
        problem.steps[i].hands = false;
        let (d, s) = built.frame.places[i];
        let dish = &session.dishes[d];
        let what = format!(
            "A helper for {} at about {}, for {} ({})",
            super::timetable::minutes(steps[i].length),
            built
                .frame
                .at(solution.schedule.starts[i])
                .strftime("%H:%M"),
            dish.title,
            dish.steps[s].id,
        );
        all.push(Candidate { what, problem });
    }
}

/// The next multiple of `step` from `n` on.
fn round_up(n: i64, step: i64) -> i64 {
    n + (-n).rem_euclid(step)
}
