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
    /// Nothing changes but when it is begun: a longer one is worth naming only if it gains more.
    pub head_start: bool,
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
    gaps(session, built, solution, &mut edits);
    swaps(session, &mut edits);
    let rebuilt = edits.into_iter().filter_map(|(what, edited)| {
        let problem = build(&edited, now, options).ok()?.problem;
        Some(Candidate {
            what,
            problem,
            head_start: false,
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
    let mut found: Vec<(i64, Remedy)> = Vec::new();
    // The shorter ones are tried first.
    let mut head_starts = Vec::new();
    for candidate in candidates {
        let Some(other) = solve(&candidate.problem) else {
            continue;
        };
        let gain = worth(&solution.cost) - worth(&other.cost);
        let minutes = |was: i64, is: i64| (was - is) as f64 / 2.0;
        if candidate.head_start {
            if head_starts.contains(&gain) {
                continue;
            }
            head_starts.push(gain);
        }
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
    let late = late_minutes(solution, built);
    if late == 0 {
        return;
    }
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
            start.strftime("%H:%M")
        );
        let mut edited = session.clone();
        edited.serve = Moment::At(built.frame.serve.datetime());
        edited.start = Some(Moment::At(start.datetime()));
        let from = if start < *now { &start } else { now };
        if let Ok(built) = build(&edited, from, options) {
            all.push(Candidate {
                what,
                problem: built.problem,
                head_start: true,
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
        let what = format!("{} more before {}", spell(minutes), session.courses[k].name);
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
        all.push(Candidate {
            what,
            problem,
            head_start: false,
        });
    }
}

/// The next multiple of `step` from `n` on.
fn round_up(n: i64, step: i64) -> i64 {
    n + (-n).rem_euclid(step)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        menu::Session,
        plan::{
            solver::{Engine, Search, Watch},
            testing::{dish, in_oven, moment, needing, session, step, whole},
            verify,
        },
    };

    /// Stops after so many questions: no clock.
    struct Count(u32);

    impl Watch for Count {
        fn stop(&mut self) -> bool {
            self.0 = self.0.saturating_sub(1);
            self.0 == 0
        }
    }

    fn solve(problem: &Problem) -> Option<Solution> {
        let solution = Search::new().solve(problem, None, &mut Count(2_000)).ok()?;
        assert_eq!(verify::solution(problem, &solution), []);
        Some(solution)
    }

    fn helped(session: &Session, now: &str) -> Vec<Remedy> {
        let (now, options) = (moment(now), Options::default());
        let built = build(session, &now, &options).expect("a problem");
        let solution = solve(&built.problem).expect("a plan");
        let all = candidates(session, &now, &options, &built, &solution);
        remedies(&solution, all, solve)
    }

    #[test]
    fn a_second_tray_a_dish_made_ahead_and_a_helper_help_where_they_are_what_is_short() {
        // Two dishes want the one tray for 40 minutes each: 80 minutes of oven in 60.
        let bake = |id| needing(in_oven(step(id, (40, 40)), 100, &[]), &[("tray", 1)]);
        let mut cake = dish("cake", vec![bake("bake")]);
        cake.steps[0].ahead = Some(whole(86_400));
        cake.title = "Cake".into();
        let s = session(vec![cake, dish("bread", vec![bake("bake")])]);
        let found = helped(&s, "2026-12-21T18:20[Europe/Berlin]");
        let tray = found
            .iter()
            .find(|r| r.what == "One more tray (2 in all)")
            .expect("a tray helps");
        // Zero at 18:20, oven warm at 18:27, bread out at 19:07, the cake at 19:47 without a second tray.
        assert!((tray.late_minutes - 17.0).abs() < 1e-9, "{tray:?}");
        assert!(
            found
                .iter()
                .any(|r| r.what == "Cake made ahead (ahead = [\"cake\"])")
        );
        assert!(
            found.iter().all(|r| !r.what.contains("cook")),
            "hands are not what is short: {found:?}"
        );
    }

    #[test]
    fn hands_for_a_quarter_of_an_hour_help_a_cook_who_has_two() {
        let s = session(vec![
            dish("a", vec![step("chop", (15, 15))]),
            dish("b", vec![step("whip", (15, 15))]),
        ]);
        let found = helped(&s, "2026-12-21T19:10[Europe/Berlin]");
        assert!(
            found
                .iter()
                .any(|r| r.what.starts_with("A helper for 15 min") && r.late_minutes == 10.0),
            "{found:?}"
        );
        assert!(found.iter().any(|r| r.what == "A cook more (2 in all)"));
    }

    #[test]
    fn beginning_earlier_helps_and_says_whether_there_is_still_time() {
        let mut s = session(vec![dish("a", vec![step("stir", (60, 60))])]);
        s.start = Some(Moment::Clock(jiff::civil::time(19, 0, 0, 0)));
        let found = helped(&s, "2026-12-21T12:00[Europe/Berlin]");
        assert_eq!(
            found.first().map(|r| r.what.as_str()),
            Some("Beginning 30 min earlier, at 18:30")
        );
        let then = helped(&s, "2026-12-21T19:00[Europe/Berlin]");
        assert_eq!(
            then.first().map(|r| r.what.as_str()),
            Some("Having begun 30 min earlier, at 18:30")
        );
    }
}
