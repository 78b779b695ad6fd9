//! What past evenings teach: how long this cook needs for a step, how fast this oven heats.
//!
//! **Lengths.** Of each step that was measured, x = ln(actual / planned middle) is kept. With prior x ~ N(0, t^2) from
//! the recipe and scatter s from evening to evening, n evenings with mean m give the posterior mean
//!
//! ```text
//! n m / s^2 / (n / s^2 + 1 / t^2)
//! ```
//!
//! the normal mean with known variance (Gelman et al., Bayesian Data Analysis, section 2.5). A recipe's range is taken
//! as two standard deviations either side of its middle, and no recipe is believed to better than [`PRIOR_LEAST`]. So
//! one evening moves a wide range by much and a narrow one by little, and ten evenings outweigh any recipe.
//!
//! **Ovens.** The same with the logarithm of the heating rate against the kitchen file's.

mod file;
#[cfg(test)]
mod tests;

use serde::{Deserialize, Serialize};

pub use file::HistoryError;

use super::review::{Preheat, Review, StepReview};
use crate::{
    measure::{Ratio, to_f64},
    menu::{Kitchen, Session, StepRef},
};

/// Scatter of one cook's lengths from evening to evening, as the standard deviation of the logarithm: 15 %. Common
/// practice, no source.
pub const SCATTER: f64 = 0.15;

/// The least standard deviation of a recipe's own statement, of the logarithm: 10 %. Common practice, no source.
pub const PRIOR_LEAST: f64 = 0.10;

/// Standard deviation of an oven's true rate around the kitchen file's, and of one observation of it, of the
/// logarithm. Both are rough: common practice, no source.
pub const OVEN_PRIOR: f64 = 0.3;

/// No evening counts for more than this factor: a step that nobody ended is not one that took six hours.
const FACTOR_MOST: f64 = 2.5;

/// Evenings that are kept; the oldest go first.
pub const EVENINGS: usize = 500;

/// What past evenings have shown.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct History {
    /// Oldest first.
    evenings: Vec<Evening>,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
struct Evening {
    /// The moment it was opened and its title: a log that is reviewed again replaces itself.
    opened: String,
    title: String,
    steps: Vec<Took>,
    ovens: Vec<Heated>,
}

/// How long a step took, and what the session of that evening said about it. Whole numbers: they read back as they were
/// written.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
struct Took {
    dish: String,
    step: String,
    /// From begin to end, in ms.
    took: i64,
    /// The middle of the recipe's range for that evening's servings, in ms; above 0.
    middle: i64,
    /// The same for the servings that the recipe is written for.
    written: i64,
}

impl Took {
    /// Actual length over a recipe's middle, which is in ms for the servings that it is written for. A recipe that was
    /// rewritten since changes nothing of what was measured.
    fn factor(&self, written: f64) -> f64 {
        self.took as f64 / self.middle as f64 * self.written as f64 / written
    }
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
struct Heated {
    oven: String,
    /// Thousandths of a C per minute.
    rate: i64,
}

/// A length that differs from the recipe's.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Learned {
    /// Dish and step.
    pub step: StepRef,
    /// What it usually takes here, in seconds, at the servings that the recipe is written for.
    pub usual: Ratio,
    /// The middle of what the recipe says, in seconds, at the same servings.
    pub recipe: Ratio,
    /// From how many evenings.
    pub evenings: usize,
}

impl Learned {
    /// "usually 34 min here, recipe says 30".
    pub fn words(&self) -> String {
        let [usual, recipe] = [self.usual, self.recipe].map(|seconds| to_f64(seconds) / 60.0);
        if usual.max(recipe) < 5.0 {
            let [usual, recipe] = [usual * 60.0, recipe * 60.0];
            return format!("usually {usual:.0} s here, recipe says {recipe:.0}");
        }
        // The middle of "6 to 9 min" is no whole minute.
        if usual.round() as i64 == recipe.round() as i64 {
            return format!("usually {usual:.1} min here, recipe says {recipe:.1}");
        }
        format!("usually {usual:.0} min here, recipe says {recipe:.0}")
    }
}

/// An oven whose heating rate differs from the kitchen file's.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LearnedOven {
    /// By name.
    pub oven: String,
    /// C per minute, to a tenth.
    pub rate: Ratio,
    /// What the kitchen file says, in C per minute.
    pub stated: Ratio,
    /// From how many evenings.
    pub evenings: usize,
}

impl LearnedOven {
    /// "heats at 8.4 C/min here, kitchen says 10".
    pub fn words(&self) -> String {
        let [rate, stated] = [self.rate, self.stated].map(to_f64);
        format!("heats at {rate:.1} C/min here, kitchen says {stated}")
    }
}

impl History {
    /// Adds an evening, in place of what was known of it before. `session` is the one of its log.
    pub fn add(&mut self, review: &Review, session: &Session) {
        let evening = Evening {
            opened: review.opened.timestamp().to_string(),
            title: review.title.clone(),
            steps: review
                .steps
                .iter()
                .filter_map(|step| took(step, session))
                .collect(),
            ovens: review.preheats.iter().filter_map(heated).collect(),
        };
        self.evenings
            .retain(|known| (&known.opened, &known.title) != (&evening.opened, &evening.title));
        self.evenings.push(evening);
        self.evenings.sort_by(|a, b| a.opened.cmp(&b.opened));
        let over = self.evenings.len().saturating_sub(EVENINGS);
        self.evenings.drain(..over);
    }

    /// How many evenings are known.
    pub fn len(&self) -> usize {
        self.evenings.len()
    }

    /// Whether none is.
    pub fn is_empty(&self) -> bool {
        self.evenings.is_empty()
    }

    /// The steps of a session whose usual length here is at least 5 % and half a minute from the recipe's middle.
    pub fn lengths(&self, session: &Session) -> Vec<Learned> {
        let mut learned = Vec::new();
        for dish in &session.dishes {
            for step in &dish.steps {
                let name = StepRef {
                    dish: dish.id.clone(),
                    step: step.id.clone(),
                };
                let range = step.takes;
                let recipe = (range.lo + range.hi) / Ratio::from_integer(2);
                let (lo, hi, middle) = (to_f64(range.lo), to_f64(range.hi), to_f64(recipe));
                if middle <= 0.0 {
                    continue;
                }
                let known: Vec<f64> = self
                    .took(&name)
                    .map(|took| took.factor(middle * 1_000.0))
                    .collect();
                let prior = ((hi - lo) / 4.0 / middle).max(PRIOR_LEAST);
                let factor = shrunk(&known, prior, SCATTER);
                let usual = (middle * factor).clamp(lo / 2.0, hi * 2.0);
                if (usual - middle).abs() >= (middle * 0.05).max(30.0) {
                    learned.push(Learned {
                        step: name,
                        usual: seconds(usual),
                        recipe,
                        evenings: known.len(),
                    });
                }
            }
        }
        learned
    }

    /// The ovens of a kitchen whose rate here is at least 5 % from the kitchen file's.
    pub fn ovens(&self, kitchen: &Kitchen) -> Vec<LearnedOven> {
        let learned = kitchen.ovens.iter().filter_map(|oven| {
            let stated = to_f64(oven.heats);
            let known: Vec<f64> = self
                .heated(&oven.name)
                .map(|heated| heated.rate as f64 / 1_000.0 / stated)
                .collect();
            let factor = shrunk(&known, OVEN_PRIOR, OVEN_PRIOR);
            ((factor - 1.0).abs() >= 0.05 && stated > 0.0).then(|| LearnedOven {
                oven: oven.name.clone(),
                rate: Ratio::new((stated * factor * 10.0).round().max(1.0) as i128, 10),
                stated: oven.heats,
                evenings: known.len(),
            })
        });
        learned.collect()
    }

    fn took(&self, step: &StepRef) -> impl Iterator<Item = &Took> {
        let all = self.evenings.iter().flat_map(|evening| &evening.steps);
        all.filter(move |took| took.dish == step.dish && took.step == step.step)
    }

    fn heated(&self, oven: &str) -> impl Iterator<Item = &Heated> {
        let all = self.evenings.iter().flat_map(|evening| &evening.ovens);
        all.filter(move |heated| heated.oven == oven)
    }
}

/// Plans with what was learned: the ranges move so that their middle is the usual length, and keep their proportions.
pub fn apply(session: &mut Session, lengths: &[Learned], ovens: &[LearnedOven]) {
    for learned in lengths {
        let dishes = session
            .dishes
            .iter_mut()
            .filter(|dish| dish.id == learned.step.dish);
        let steps = dishes.flat_map(|dish| &mut dish.steps);
        for step in steps.filter(|step| step.id == learned.step.step) {
            if learned.recipe > Ratio::from_integer(0) {
                let factor = learned.usual / learned.recipe;
                for end in [&mut step.takes.lo, &mut step.takes.hi] {
                    *end = seconds(to_f64(*end * factor));
                }
            }
        }
    }
    for learned in ovens {
        for oven in session
            .kitchen
            .ovens
            .iter_mut()
            .filter(|oven| oven.name == learned.oven)
        {
            oven.heats = learned.rate;
        }
    }
}

/// The factor to believe in, from those observed.
fn shrunk(observed: &[f64], prior: f64, scatter: f64) -> f64 {
    let most = FACTOR_MOST.ln();
    let usable = observed
        .iter()
        .filter(|factor| factor.is_finite() && **factor > 0.0);
    let logs: Vec<f64> = usable
        .map(|factor| factor.ln().clamp(-most, most))
        .collect();
    let precision = logs.len() as f64 / scatter.powi(2) + 1.0 / prior.powi(2);
    (logs.iter().sum::<f64>() / scatter.powi(2) / precision).exp()
}

/// Whole seconds, at least one.
fn seconds(value: f64) -> Ratio {
    Ratio::from_integer(value.round().clamp(1.0, 1e9) as i128)
}

fn took(step: &StepReview, session: &Session) -> Option<Took> {
    let actual = step.actual.filter(|_| step.measured)?;
    let dish = session
        .dishes
        .iter()
        .find(|dish| dish.id == step.step.dish)?;
    let written = dish
        .steps
        .iter()
        .find(|written| written.id == step.step.step)?;
    let middle = to_f64(written.takes.lo + written.takes.hi) / 2.0;
    let written = (middle * 1_000.0).round() as i64;
    (step.middle > 0 && written > 0).then(|| Took {
        dish: step.step.dish.clone(),
        step: step.step.step.clone(),
        took: actual.length(),
        middle: step.middle,
        written,
    })
}

fn heated(heat: &Preheat) -> Option<Heated> {
    let rate = (heat.rate? * 1_000.0).round() as i64;
    Some(Heated {
        oven: heat.oven.clone(),
        rate,
    })
}
