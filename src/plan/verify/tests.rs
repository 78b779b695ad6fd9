use super::*;
use crate::plan::testing::{self, Dice};

/// A second reading of the rules, tick by tick and with a simulated oven, as unlike `verify` as possible.
fn correct_by_simulation(problem: &Problem, schedule: &Schedule) -> bool {
    let end = |i: usize| schedule.starts[i] + problem.steps[i].length;
    let last = (0..problem.steps.len())
        .map(end)
        .chain(schedule.served.iter().copied())
        .max()
        .unwrap_or(0)
        + 5;
    for t in 0..last {
        let running: Vec<usize> = (0..problem.steps.len())
            .filter(|&i| schedule.starts[i] <= t && t < end(i))
            .collect();
        let plating = (0..problem.courses.len())
            .filter(|&k| {
                (schedule.served[k]..schedule.served[k] + problem.courses[k].plating).contains(&t)
            })
            .count();
        let hands = running.iter().filter(|&&i| problem.steps[i].hands).count() + plating;
        let burners: u32 = running.iter().map(|&i| problem.steps[i].burners).sum();
        let racks: u32 = running
            .iter()
            .filter_map(|&i| problem.steps[i].oven.as_ref())
            .map(|o| o.racks)
            .sum();
        if hands > problem.cooks as usize
            || burners > problem.burners
            || racks > problem.ovens[0].racks
        {
            return false;
        }
        for (w, &count) in problem.wares.iter().enumerate() {
            let held: u32 = problem
                .dishes
                .iter()
                .flat_map(|d| &d.holds)
                .filter(|h| h.ware == w)
                .filter(|h| {
                    h.steps.iter().any(|&s| schedule.starts[s] <= t)
                        && h.steps.iter().any(|&s| t < end(s))
                })
                .map(|h| h.count)
                .sum();
            if held > count {
                return false;
            }
        }
    }
    let order = problem.steps.iter().enumerate().all(|(i, s)| {
        s.after.iter().all(|&a| {
            let wait = schedule.starts[i] - end(a);
            wait >= 0 && problem.steps[a].keeps.is_none_or(|k| wait <= k)
        })
    });
    let service = problem.courses.iter().enumerate().all(|(k, c)| {
        schedule.served[k] >= c.promised
            && (k == 0 || schedule.served[k] - schedule.served[k - 1] >= c.gap)
            && c.dishes
                .iter()
                .flat_map(|&d| &problem.dishes[d].steps)
                .all(|&s| end(s) <= schedule.served[k])
    });
    order
        && service
        && schedule.starts.iter().all(|&s| s >= 0)
        && oven_can_follow(problem, schedule)
}

/// Every temperature the oven can have, tick by tick, forgetting nothing: a set of half degrees. Inside a step its own
/// change of setting needs no time, so between two segments of one step the set may jump.
fn oven_can_follow(problem: &Problem, schedule: &Schedule) -> bool {
    use crate::plan::oven::{meet, span};
    let oven = &problem.ovens[0];
    let place = |i: usize| {
        let step = &problem.steps[i];
        step.oven
            .iter()
            .flat_map(move |o| o.segments.iter())
            .map(move |s| {
                (
                    i,
                    schedule.starts[i] + s.from,
                    schedule.starts[i] + s.to,
                    &s.accepts,
                )
            })
    };
    let all: Vec<_> = (0..problem.steps.len()).flat_map(place).collect();
    // Segments that overlap must have a temperature in common, all of them together as well as two by two.
    for (n, a) in all.iter().enumerate() {
        for b in &all[n + 1..] {
            let apart = a.2 <= b.1 || b.2 <= a.1;
            if a.0 != b.0 && !apart && !meet(a.3, b.3) {
                return false;
            }
            // Known distances over known rates, in C and minutes, with the pair's own arithmetic.
            let (x, y) = if a.1 < b.1 { (a, b) } else { (b, a) };
            if a.0 != b.0 && apart && !meet(a.3, b.3) {
                let ((lo, hi), (lo2, hi2)) = (span(oven, x.3), span(oven, y.3));
                let zero = crate::measure::Ratio::from_integer(0);
                let up = (lo2 - hi).max(zero) / oven.heats;
                let down = (lo - hi2).max(zero) / oven.cools;
                let minutes = crate::measure::Ratio::new(i128::from(y.1 - x.2), 2);
                if minutes < up || minutes < down {
                    return false;
                }
            }
        }
    }
    (0..problem.steps.len()).all(|i| {
        place(i).next().is_none_or(|(_, from, _, accepts)| {
            let (lo, _) = span(oven, accepts);
            (lo - oven.room) / oven.heats <= crate::measure::Ratio::new(i128::from(from), 2)
        })
    })
}

#[test]
fn agrees_with_a_second_reading_of_the_rules_on_random_schedules() {
    let (mut good, mut bad) = (0, 0);
    for seed in 0..400 {
        let mut dice = Dice::new(seed);
        let n = usize::try_from(dice.roll(2, 6)).expect("small");
        let problem = testing::problem(&mut dice, n, 5);
        let Some(mut schedule) = testing::schedule(&mut dice, &problem, 60) else {
            continue;
        };
        for _ in 0..6 {
            let found = verify(&problem, &schedule);
            let correct = correct_by_simulation(&problem, &schedule);
            assert_eq!(
                found.is_empty(),
                correct,
                "seed {seed}: {found:?}\n{problem:?}\n{schedule:?}"
            );
            if correct {
                good += 1
            } else {
                bad += 1
            }
            // A small change: mostly wrong, sometimes not.
            let i = usize::try_from(dice.roll(0, n as i64 - 1)).expect("small");
            schedule.starts[i] += dice.tick(-3, 3);
        }
    }
    assert!(
        good > 200 && bad > 200,
        "{good} correct and {bad} wrong schedules are too few to mean anything"
    );
}

#[test]
fn a_schedule_of_another_shape_is_refused_not_read() {
    let problem = testing::problem(&mut Dice::new(1), 3, 4);
    let schedule = Schedule {
        starts: vec![0],
        ovens: vec![None],
        served: vec![],
    };
    let found = verify(&problem, &schedule);
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].rule, 0);
}

#[test]
fn live_what_has_happened_is_no_fault() {
    let mut problem = testing::problem(&mut Dice::new(5), 2, 4);
    problem.cooks = 1;
    for step in &mut problem.steps {
        step.oven = None;
        step.hands = true;
        step.after.clear();
        step.length = 6;
    }
    problem.dishes.iter_mut().for_each(|d| d.holds.clear());
    problem.mode = Mode::Live {
        now: 4,
        before: vec![None; 2],
        heated: Vec::new(),
    };
    let begun = |start| {
        Some(super::super::problem::Begun {
            start,
            oven: None,
            done: false,
        })
    };
    problem.steps[0].begun = begun(-3);
    problem.steps[1].begun = begun(-2);
    let served = vec![40; problem.courses.len()];
    let mut schedule = Schedule {
        starts: vec![-3, -2],
        ovens: vec![None; 2],
        served,
    };
    for k in 1..schedule.served.len() {
        schedule.served[k] = schedule.served[k - 1] + 20;
    }
    assert_eq!(verify(&problem, &schedule), []);
    problem.steps[1].begun = None;
    let rules: Vec<u8> = verify(&problem, &schedule).iter().map(|v| v.rule).collect();
    assert_eq!(rules, [3, 8]);
}
