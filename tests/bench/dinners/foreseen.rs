//! How long ten thousand simulated dinners take, on all cores and, beside them, on one.

use std::time::Instant;

use mealtide::menu::{self, Session, builtin};
use mealtide::plan::solver::{Engine, Search, Watch};
use mealtide::plan::{Options, build, forecast};

use super::sessions;

const DINNERS: u32 = 10_000;

/// Stops after so many questions.
struct Questions(u32);

impl Watch for Questions {
    fn stop(&mut self) -> bool {
        self.0 = self.0.saturating_sub(1);
        self.0 == 0
    }
}

/// A built-in session, and made-up ones of up to nine dishes.
pub fn run() {
    let midwinter = builtin::find("midwinter-supper").and_then(|known| known.load().ok());
    let midwinter = midwinter.expect("a built-in session").session;
    one("midwinter-supper", &midwinter);
    for seed in [4, 6, 20] {
        let made = menu::load_text("made-up.toml", &sessions::text(seed));
        one(
            &format!("made up, seed {seed}"),
            &made.expect("a session").session,
        );
    }
}

fn one(name: &str, session: &Session) {
    let now = "2026-12-21T09:00[Europe/Berlin]".parse().expect("a moment");
    let built = build(session, &now, &Options::default()).expect("a problem");
    let plan = Search::new().solve(&built.problem, None, &mut Questions(4000));
    let schedule = plan.expect("a plan").schedule;
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
        let begun = Instant::now();
        let found = pool
            .expect("threads")
            .install(|| forecast::forecast(session, &built, &schedule, DINNERS, 1));
        (begun.elapsed().as_secs_f64(), found.on_time)
    };
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let ((alone, expected), (all, share)) = (on(1), on(cores));
    assert!(
        (expected - share).abs() < f64::EPSILON,
        "the same seed gives another answer"
    );
    println!(
        "{name}, {} steps: {DINNERS} dinners in {all:.3} s on {cores} cores, {alone:.3} s on one, ratio {:.2}",
        built.problem.steps.len(),
        all / alone
    );
}
