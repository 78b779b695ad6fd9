//! The planner at work: on a thread of its own, bounded in time, its progress on standard error.

use std::{
    io::{IsTerminal, Write},
    sync::mpsc,
    time::{Duration, Instant},
};

use crate::plan::{
    problem::Problem,
    schedule::Schedule,
    solver::{Engine, Search, Solution, Unsolvable, Watch},
    verify,
};

/// A plan and how long it took.
pub(super) struct Found {
    pub solution: Solution,
    pub took: Duration,
}

/// Solves within `limit`; `shown` draws a line of progress while a person waits at a terminal.
pub(super) fn solve(
    problem: &Problem,
    hint: Option<&Schedule>,
    limit: Duration,
    shown: bool,
) -> Result<Found, Unsolvable> {
    let begun = Instant::now();
    let until = begun + limit;
    let shown = shown && std::io::stderr().is_terminal();
    let solved = if shown {
        let (tell, heard) = mpsc::channel();
        std::thread::scope(|scope| {
            let search = scope.spawn(move || {
                let mut watch = Deadline {
                    until,
                    tell: Some(tell),
                };
                Search::new().solve(problem, hint, &mut watch)
            });
            progress(&heard, begun);
            match search.join() {
                Ok(solved) => solved,
                Err(panic) => std::panic::resume_unwind(panic),
            }
        })
    } else {
        Search::new().solve(problem, hint, &mut Deadline { until, tell: None })
    };
    let solution = solved?;
    debug_assert_eq!(
        verify::solution(problem, &solution),
        [],
        "the planner's own check"
    );
    Ok(Found {
        solution,
        took: begun.elapsed(),
    })
}

/// Stops at a moment and passes on what was found.
struct Deadline {
    until: Instant,
    tell: Option<mpsc::Sender<(i64, i64)>>,
}

impl Watch for Deadline {
    fn stop(&mut self) -> bool {
        Instant::now() >= self.until
    }

    fn improved(&mut self, solution: &Solution) {
        if let Some(tell) = &self.tell {
            // Nobody listens any more only when the search is over.
            let _ = tell.send((solution.total, solution.bound));
        }
    }
}

/// One line, drawn anew ten times a second at most, gone in the end.
fn progress(heard: &mpsc::Receiver<(i64, i64)>, begun: Instant) {
    let mut err = std::io::stderr();
    let mut last = None;
    let mut drawn = false;
    loop {
        match heard.recv_timeout(Duration::from_millis(100)) {
            Ok(found) => {
                last = Some(found);
                continue;
            }
            Err(mpsc::RecvTimeoutError::Disconnected) => break,
            Err(mpsc::RecvTimeoutError::Timeout) => {}
        }
        // A terminal that is gone doesn't matter to the plan.
        let _ = write!(err, "\r\x1b[K{}", line(last, begun.elapsed()));
        let _ = err.flush();
        drawn = true;
    }
    if drawn {
        let _ = write!(err, "\r\x1b[K");
        let _ = err.flush();
    }
}

/// "planning, 1.2 s: cost 1240, at least 1190, gap 4.0 %".
fn line(found: Option<(i64, i64)>, elapsed: Duration) -> String {
    let seconds = elapsed.as_secs_f64();
    match found {
        None => format!("planning, {seconds:.1} s"),
        Some((cost, bound)) => {
            let gap = 100.0 * (cost - bound).max(0) as f64 / cost.max(1) as f64;
            format!("planning, {seconds:.1} s: cost {cost}, at least {bound}, gap {gap:.1} %")
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_progress_line_names_cost_bound_and_gap() {
        let at = Duration::from_millis(1230);
        assert_eq!(
            line(Some((1250, 1200)), at),
            "planning, 1.2 s: cost 1250, at least 1200, gap 4.0 %"
        );
        assert_eq!(line(None, at), "planning, 1.2 s");
    }
}
