//! What would help when a course is late, a dish over-kept or a `keeps` broken: the plan made again with one thing
//! changed, for each thing that can be.

#[cfg(test)]
mod tests;

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

/// No more of one kind: five helpers would hide the tray that is missing.
const OF_A_KIND: usize = 2;

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
    /// What kind of change it is.
    pub kind: Kind,
}

/// The kinds of what could be changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A dish is made ahead.
    Ahead,
    /// One more of a vessel.
    Vessel,
    /// A cook more, all evening.
    Cook,
    /// Somebody takes one step.
    Helper,
    /// A longer gap between courses.
    Gap,
    /// Two dishes change places.
    Swap,
    /// Nothing changes but when it is begun: a longer one is worth naming only if it gains more.
    HeadStart,
}

/// A changed session: what was changed, in words, of which kind.
type Edit = (Kind, String, Session);

/// Everything that could be changed about a meal, without asking whether it helps.
pub fn candidates(
    session: &Session,
    now: &ZonedDateTime,
    options: &Options,
    built: &Built,
    solution: &Solution,
) -> Vec<Candidate> {
    let mut edits: Vec<Edit> = Vec::new();
    made_ahead(session, &mut edits);
    vessels(session, built, &mut edits);
    with(
        session,
        &mut edits,
        Kind::Cook,
        format!("A cook more ({} in all)", session.kitchen.cooks + 1),
        |s| {
            s.kitchen.cooks += 1;
        },
    );
    gaps(session, built, solution, &mut edits);
    swaps(session, &mut edits);
    let rebuilt = edits.into_iter().filter_map(|(kind, what, edited)| {
        let problem = build(&edited, now, options).ok()?.problem;
        Some(Candidate {
            what,
            problem,
            kind,
        })
    });
    let mut all: Vec<Candidate> = rebuilt.collect();
    earlier(session, now, options, built, solution, &mut all);
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
    let mut found: Vec<(i64, Kind, Remedy)> = Vec::new();
    // The shorter ones are tried first.
    let mut head_starts = Vec::new();
    for candidate in candidates {
        let Some(other) = solve(&candidate.problem) else {
            continue;
        };
        let gain = worth(&solution.cost) - worth(&other.cost);
        let minutes = |was: i64, is: i64| (was - is) as f64 / 2.0;
        if candidate.kind == Kind::HeadStart {
            if head_starts.contains(&gain) {
                continue;
            }
            head_starts.push(gain);
        }
        if gain > 0 {
            found.push((
                gain,
                candidate.kind,
                Remedy {
                    what: candidate.what,
                    late_minutes: minutes(solution.cost.late, other.cost.late),
                    over_minutes: minutes(solution.cost.over, other.cost.over),
                    broken_minutes: minutes(solution.cost.broken, other.cost.broken),
                },
            ));
        }
    }
    found.sort_by_key(|(gain, ..)| std::cmp::Reverse(*gain));
    let mut kinds: Vec<Kind> = Vec::new();
    let mut best = Vec::new();
    for (_, kind, remedy) in found {
        if best.len() < NAMED && kinds.iter().filter(|k| **k == kind).count() < OF_A_KIND {
            kinds.push(kind);
            best.push(remedy);
        }
    }
    best
}

fn with(
    session: &Session,
    edits: &mut Vec<Edit>,
    kind: Kind,
    what: String,
    edit: impl FnOnce(&mut Session),
) {
    let mut edited = session.clone();
    edit(&mut edited);
    edits.push((kind, what, edited));
}

fn made_ahead(session: &Session, edits: &mut Vec<Edit>) {
    for dish in &session.dishes {
        let possible = dish.steps.iter().any(|s| s.ahead.is_some());
        if possible && !session.ahead.contains(&dish.id) {
            let what = format!("{} made ahead (ahead = [\"{}\"])", dish.title, dish.id);
            with(session, edits, Kind::Ahead, what, |s| {
                s.ahead.push(dish.id.clone())
            });
        }
    }
}

/// One more of each vessel that two dishes need.
fn vessels(session: &Session, built: &Built, edits: &mut Vec<Edit>) {
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
        with(session, edits, Kind::Vessel, what, |s| {
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

/// Beginning earlier: where the session's own start holds things up and there is time before it, by another start;
/// else as it would have been.
fn earlier(
    session: &Session,
    now: &ZonedDateTime,
    options: &Options,
    built: &Built,
    solution: &Solution,
    all: &mut Vec<Candidate>,
) {
    // What is over-kept or broken needs less: a quarter of an hour may give each its turn.
    let late = late_minutes(solution, built).max(1);
    for minutes in [round_up(late, 15), 2 * round_up(late, 15)] {
        let start = built.frame.at_ms(-60_000 * minutes);
        let word = if start < *now {
            "Having begun"
        } else {
            "Beginning"
        };
        let what = format!(
            "{word} {} earlier, at {}",
            spell(minutes),
            built.frame.hours.words(start.time())
        );
        let mut edited = session.clone();
        edited.serve = Moment::At(built.frame.serve.datetime());
        edited.start = Some(Moment::At(start.datetime()));
        let from = if start < *now { &start } else { now };
        if let Ok(built) = build(&edited, from, options) {
            all.push(Candidate {
                what,
                problem: built.problem,
                kind: Kind::HeadStart,
            });
        }
    }
}

/// "45 min", "2 h 15 min".
fn spell(minutes: i64) -> String {
    super::timetable::minutes(Tick::try_from(2 * minutes).unwrap_or(Tick::MAX))
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
fn gaps(session: &Session, built: &Built, solution: &Solution, edits: &mut Vec<Edit>) {
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
        let what = format!("{} more before {}", spell(minutes), session.courses[k].name);
        with(session, edits, Kind::Gap, what, |s| {
            s.courses[k].gap += Ratio::from_integer(i128::from(minutes) * 60)
        });
    }
}

/// Two dishes of neighbouring courses change places.
fn swaps(session: &Session, edits: &mut Vec<Edit>) {
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
                with(session, edits, Kind::Swap, what, |s| {
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
                .hours
                .words(built.frame.at(solution.schedule.starts[i]).time()),
            dish.title,
            dish.steps[s].id,
        );
        all.push(Candidate {
            what,
            problem,
            kind: Kind::Helper,
        });
    }
}

/// The next multiple of `step` from `n` on.
fn round_up(n: i64, step: i64) -> i64 {
    n + (-n).rem_euclid(step)
}
