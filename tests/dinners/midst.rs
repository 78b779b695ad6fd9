//! A dinner that runs, and doesn't go as planned.

use mealtide::measure::Ratio;
use mealtide::plan::problem::{Begun, Mode, Problem, Tick};
use mealtide::plan::schedule::Schedule;

/// The dinner at `now`, `late` ticks added to whatever runs.
pub fn in_the_midst(problem: &Problem, plan: &Schedule, now: Tick, late: Tick) -> Problem {
    let mut live = problem.clone();
    let room = Ratio::from_integer(20);
    for oven in &mut live.ovens {
        (oven.from, oven.temperature) = (now, room);
    }
    for (i, step) in live.steps.iter_mut().enumerate() {
        let start = plan.starts[i];
        if start >= now {
            continue;
        }
        let done = start + step.length <= now;
        if !done {
            step.length += late;
            if let Some(usage) = &mut step.oven
                && let Some(last) = usage.segments.last_mut()
            {
                last.to = step.length;
            }
        }
        step.begun = Some(Begun {
            start,
            oven: plan.ovens[i],
            done,
        });
    }
    for (course, &served) in live.courses.iter_mut().zip(&plan.served) {
        course.served = (served < now).then_some(served);
    }
    live.mode = Mode::Live {
        now,
        before: plan.starts.iter().map(|&s| Some(s)).collect(),
        heated: Vec::new(),
    };
    live
}
