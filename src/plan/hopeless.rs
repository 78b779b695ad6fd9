//! Steps that no plan can have on time, whatever else happens: for `check`.

use super::{
    oven::{span, ticks},
    problem::{Problem, Tick},
};

/// A step that ends after its course's promise though nothing but its own chain holds it up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Hopeless {
    /// The step; those that come after it are late too, and not named.
    pub step: usize,
    /// By how many ticks at least.
    pub late: Tick,
}

/// The first step of every chain that is late by itself: what it comes after, one after the other from the begin, and
/// the time its oven needs to heat up.
pub fn hopeless(problem: &Problem) -> Vec<Hopeless> {
    let mut ends: Vec<Option<Tick>> = vec![None; problem.steps.len()];
    let mut found = Vec::new();
    // As many rounds as the longest chain has links; a cycle (an error of the file) leaves steps without an end.
    loop {
        let mut grown = false;
        for i in 0..problem.steps.len() {
            let step = &problem.steps[i];
            let before = step.after.iter().map(|&a| ends[a]);
            let Some(before) = before
                .collect::<Option<Vec<Tick>>>()
                .filter(|_| ends[i].is_none())
            else {
                continue;
            };
            let earliest = before.into_iter().max().unwrap_or(0).max(warm(problem, i));
            let end = earliest.saturating_add(step.length);
            ends[i] = Some(end);
            grown = true;
            let late = end - problem.courses[problem.dishes[step.dish].course].promised;
            let named = step.after.iter().any(|&a| {
                let course = problem.dishes[problem.steps[a].dish].course;
                ends[a].is_some_and(|e| e > problem.courses[course].promised)
            });
            if late > 0 && !named {
                found.push(Hopeless { step: i, late });
            }
        }
        if !grown {
            return found;
        }
    }
}

/// The first tick at which some oven is as hot as the step needs it.
fn warm(problem: &Problem, step: usize) -> Tick {
    let first = problem.steps[step]
        .oven
        .as_ref()
        .and_then(|o| o.segments.first());
    let Some(first) = first else { return 0 };
    let ready = problem.ovens.iter().map(|oven| {
        let (lo, _) = span(oven, &first.accepts);
        if lo > oven.temperature {
            ticks(lo - oven.temperature, oven.heats)
        } else {
            0
        }
    });
    ready.min().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{
        Options, build,
        testing::{dish, in_oven, moment, session, step},
    };

    #[test]
    fn a_chain_that_is_too_long_by_itself_is_found_where_it_becomes_late() {
        let s = session(vec![
            dish(
                "stew",
                vec![
                    step("brown", (20, 20)),
                    step("simmer", (90, 90)),
                    step("season", (5, 5)),
                ],
            ),
            dish("salad", vec![step("toss", (5, 5))]),
        ]);
        let now = moment("2026-12-21T18:00[Europe/Berlin]");
        let built = build(&s, &now, &Options::default()).expect("a problem");
        assert_eq!(hopeless(&built.problem), [Hopeless { step: 1, late: 40 }]);
    }

    #[test]
    fn a_cold_oven_counts() {
        let s = session(vec![dish(
            "cake",
            vec![in_oven(step("bake", (75, 75)), 180, &[])],
        )]);
        let at = |now: &str| {
            let built = build(&s, &moment(now), &Options::default()).expect("a problem");
            hopeless(&built.problem)
        };
        // From 20 to 170 C at 10 C a minute: 15 minutes.
        assert_eq!(at("2026-12-21T18:00[Europe/Berlin]"), []);
        assert_eq!(
            at("2026-12-21T18:01[Europe/Berlin]"),
            [Hopeless { step: 0, late: 2 }]
        );
    }
}
