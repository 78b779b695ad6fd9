//! What was found.

use serde::Serialize;

use crate::{
    menu::{Dish, Step},
    safety::Source,
};

/// How grave a finding is; the graver comes first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// Somebody may be made ill or hurt: the session is not to be cooked like this.
    Unsafe,
    /// Dangerous unless done with care, or a rule is touched that care can keep.
    Caution,
    /// It would be better done otherwise.
    Advice,
    /// It can't be told.
    Unknown,
}

impl std::fmt::Display for Severity {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Unsafe => "unsafe",
            Self::Caution => "caution",
            Self::Advice => "advice",
            Self::Unknown => "unknown",
        })
    }
}

/// Something that a cook should know before cooking.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Finding {
    /// How grave.
    pub severity: Severity,
    /// Stable name of the rule: "core", "lukewarm", "storage".
    pub rule: &'static str,
    /// The dish, by id.
    pub dish: Option<String>,
    /// The step, by id.
    pub step: Option<String>,
    /// The ingredient, by item.
    pub ingredient: Option<String>,
    /// What is wrong and what would be right.
    pub words: String,
    /// Where the limit is from, the one that is used first. A rule of the trade that nobody read says so.
    pub sources: Vec<Source>,
}

impl Finding {
    /// About the whole session.
    pub(super) fn new(
        severity: Severity,
        rule: &'static str,
        words: impl Into<String>,
        sources: Vec<Source>,
    ) -> Self {
        Self {
            severity,
            rule,
            dish: None,
            step: None,
            ingredient: None,
            words: words.into(),
            sources,
        }
    }

    /// About a dish.
    pub(super) fn of_dish(self, dish: &Dish) -> Self {
        Self {
            dish: Some(dish.id.clone()),
            ..self
        }
    }

    /// About a step.
    pub(super) fn of_step(self, dish: &Dish, step: &Step) -> Self {
        Self {
            dish: Some(dish.id.clone()),
            step: Some(step.id.clone()),
            ..self
        }
    }

    /// About an ingredient.
    pub(super) fn of_ingredient(self, dish: &Dish, item: &str) -> Self {
        Self {
            dish: Some(dish.id.clone()),
            ingredient: Some(item.into()),
            ..self
        }
    }
}
