//! A plan by the wishes of the command line: at a quantile, or as sure as asked; and what would help.

use std::time::Duration;

use jiff::ZonedDateTime;

use super::search::{self, Found};
use crate::{
    measure::Ratio,
    menu::Session,
    plan::{
        Built, Options, Part, build,
        forecast::{self, Forecast},
        json::Remedy,
        problem::Problem,
        remedies,
        solver::{Solution, Unsolvable},
    },
};

/// Dinners that are simulated to find how sure a plan is.
const DINNERS: u32 = 10_000;

/// The seed of the simulated dinners: any will do, as long as it is always the same.
const SEED: u64 = 1;

/// Longest search for one remedy.
const REMEDY: Duration = Duration::from_millis(250);

/// Longest search for all remedies.
const REMEDIES: Duration = Duration::from_secs(3);

/// What is asked of a plan.
pub(in crate::commands) struct Wish {
    pub part: Part,
    pub quantile: Option<Ratio>,
    pub sure: Option<Ratio>,
    pub seconds: f64,
    /// Draw the progress.
    pub shown: bool,
}

/// A plan with what is known of it.
pub(in crate::commands) struct Plan {
    pub built: Built,
    pub solution: Solution,
    pub solve_ms: u64,
    /// How it will go; `None` for what is made ahead, which nobody waits for.
    pub forecast: Option<Forecast>,
    /// The share that was asked for, and whether it is reached.
    pub sure: Option<(Ratio, bool)>,
}

/// Makes the plan.
pub(in crate::commands) fn make(
    session: &Session,
    now: &ZonedDateTime,
    wish: &Wish,
) -> Result<Plan, Vec<String>> {
    let limit = Duration::from_secs_f64(wish.seconds);
    let mut took = Duration::ZERO;
    let mut one = |quantile: Ratio, limit: Duration| -> Result<(Built, Solution), Vec<String>> {
        let options = Options {
            quantile,
            part: wish.part,
        };
        let built = build(session, now, &options)
            .map_err(|all| all.iter().map(ToString::to_string).collect::<Vec<_>>())?;
        let Found {
            solution,
            took: this,
        } = search::solve(&built.problem, None, limit, wish.shown)
            .map_err(|error| vec![impossible(&built, &error)])?;
        took += this;
        Ok((built, solution))
    };
    let (built, solution, forecast, sure) = match wish.sure.filter(|_| wish.part == Part::Service) {
        Some(share) => {
            // Six quantiles at most share the time.
            let found = forecast::sure(session, share, DINNERS, SEED, |q| one(q, limit / 6))?;
            (
                found.built,
                found.solution,
                Some(found.forecast),
                Some((share, found.reached)),
            )
        }
        None => {
            let quantile = wish.quantile.unwrap_or(Ratio::new(1, 2));
            let (built, solution) = one(quantile, limit)?;
            let service = wish.part == Part::Service;
            let forecast = service
                .then(|| forecast::forecast(session, &built, &solution.schedule, DINNERS, SEED));
            (built, solution, forecast, None)
        }
    };
    Ok(Plan {
        built,
        solution,
        solve_ms: u64::try_from(took.as_millis()).unwrap_or(u64::MAX),
        forecast,
        sure,
    })
}

fn impossible(built: &Built, error: &Unsolvable) -> String {
    let name = |step: usize| built.frame.steps.get(step);
    match error {
        Unsolvable::TooMuch { step } => match name(*step) {
            Some(step) => format!("step '{step}' needs more at once than the kitchen has"),
            None => error.to_string(),
        },
        Unsolvable::Crosswise { step } => match name(*step) {
            Some(step) => format!(
                "step '{step}' waits for cookware that another dish holds to its last step with it, and that dish \
                 waits for what this one holds: one more of it, or another order of the steps, would be right"
            ),
            None => error.to_string(),
        },
    }
}

/// What would help, if anything is late, over-kept or broken.
pub(super) fn remedies(
    session: &Session,
    now: &ZonedDateTime,
    wish: &Wish,
    plan: &Plan,
) -> Vec<Remedy> {
    let cost = &plan.solution.cost;
    if wish.part == Part::Ahead || (cost.late == 0 && cost.over == 0 && cost.broken == 0) {
        return Vec::new();
    }
    let options = Options {
        quantile: plan.built.frame.quantile,
        part: wish.part,
    };
    let candidates = remedies::candidates(session, now, &options, &plan.built, &plan.solution);
    let count = u32::try_from(candidates.len()).unwrap_or(u32::MAX).max(1);
    let each = (REMEDIES.min(Duration::from_secs_f64(wish.seconds)) / count).min(REMEDY);
    let solve = |problem: &Problem| Some(search::solve(problem, None, each, false).ok()?.solution);
    remedies::remedies(&plan.solution, candidates, solve)
}
