//! The search for a better plan, and for proof, on a thread of its own: it never delays a key or a frame.

use std::{
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
    },
    time::{Duration, Instant},
};

use tokio::sync::mpsc;

use crate::{
    live::Ms,
    plan::{
        problem::Problem,
        schedule::Schedule,
        solver::{Engine, Solution, Watch},
    },
};

/// A search that hasn't proved anything by now won't find much more.
const LONGEST: Duration = Duration::from_secs(20);

/// What a search found, and for which plan.
pub struct Found {
    /// The best schedule, and the bound.
    pub solution: Solution,
    /// When the plan was made that it improves.
    pub planned_at: Ms,
}

/// Where plans are searched on for while the session goes on.
pub trait Background {
    /// Searches on from the plan made at `planned_at`, and gives up what it was searching for.
    fn search<S: Engine + Default + Send + 'static>(
        &mut self,
        problem: Arc<Problem>,
        from: Option<Schedule>,
        planned_at: Ms,
    );

    /// Waits for what a search found; may be dropped while it waits.
    fn found(&mut self) -> impl Future<Output = Found>;

    /// Ends the search that runs, if any.
    fn stop(&mut self);
}

/// Runs one search at a time on a thread of its own; a new one ends the one before.
pub struct Prover {
    tell: mpsc::UnboundedSender<Found>,
    found: mpsc::UnboundedReceiver<Found>,
    running: Option<Arc<AtomicBool>>,
}

impl Default for Prover {
    fn default() -> Self {
        let (tell, found) = mpsc::unbounded_channel();
        Self {
            tell,
            found,
            running: None,
        }
    }
}

impl Background for Prover {
    fn search<S: Engine + Default + Send + 'static>(
        &mut self,
        problem: Arc<Problem>,
        from: Option<Schedule>,
        planned_at: Ms,
    ) {
        self.stop();
        let stop = Arc::new(AtomicBool::new(false));
        self.running = Some(stop.clone());
        let tell = self.tell.clone();
        let search = move || {
            stand_back();
            let mut watch = Flag {
                stop: stop.clone(),
                until: Instant::now() + LONGEST,
            };
            if let Ok(solution) = S::default().solve(&problem, from.as_ref(), &mut watch)
                && !stop.load(Ordering::Relaxed)
            {
                // The receiver is gone only when the program ends.
                let _ = tell.send(Found {
                    solution,
                    planned_at,
                });
            }
        };
        // Without a thread the plan stands as it is, which is a good one.
        let _ = std::thread::Builder::new()
            .name("planner".into())
            .spawn(search);
    }

    async fn found(&mut self) -> Found {
        match self.found.recv().await {
            Some(found) => found,
            // This end holds a sender.
            None => std::future::pending().await,
        }
    }

    fn stop(&mut self) {
        if let Some(stop) = self.running.take() {
            stop.store(true, Ordering::Relaxed);
        }
    }
}

impl Drop for Prover {
    fn drop(&mut self) {
        self.stop();
    }
}

/// Lets every other thread go first: a call or a key never waits for a search.
fn stand_back() {
    // Of process 0 Linux takes the calling thread; elsewhere it would be the whole program, its screen included.
    #[cfg(target_os = "linux")]
    {
        // Refused, it searches as everybody does.
        let _ = rustix::process::setpriority_process(None, 19);
    }
}

struct Flag {
    stop: Arc<AtomicBool>,
    until: Instant,
}

impl Watch for Flag {
    fn stop(&mut self) -> bool {
        self.stop.load(Ordering::Relaxed) || Instant::now() >= self.until
    }
}
