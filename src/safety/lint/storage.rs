//! Days in the refrigerator: what is made ahead keeps no longer than the table says for that food.

use super::{
    finding::{Finding, Severity},
    view::{StepView, View},
    vocabulary::RAW_FLESH,
};
use crate::{
    measure::{Ratio, duration},
    safety::{
        Read, Tables,
        tables::StorageRow,
        words::{says, tokens},
    },
};

const DAY: i128 = 86_400;
const FROZEN: &[&str] = &["freez*", "frozen", "freezer"];
const PRESERVED: &[&str] = &[
    "cure",
    "cured",
    "brine",
    "pickle",
    "confit",
    "preserve",
    "salted down",
    "sour",
    "ferment*",
    "jam",
    "chutney",
    "candied",
];

pub(super) fn check(view: &View<'_>, findings: &mut Vec<Finding>) {
    for step in &view.steps {
        findings.extend(too_long(step));
    }
}

/// The table's rows for what a step leaves behind, the shortest first.
fn rows(step: &StepView<'_>) -> Vec<&'static StorageRow> {
    let tables = Tables::get();
    let mut names = kept_foods(&step.upstream, step.cooked, &titled(step));
    if under_oil(step, &titled(step)) {
        names = vec!["vegetables in oil"];
    }
    let mut rows: Vec<_> = names
        .iter()
        .flat_map(|name| tables.storage_of(name))
        .collect();
    rows.sort_by_key(|row| (row.most, row.days));
    rows
}

fn titled(step: &StepView<'_>) -> Vec<String> {
    let mut words = tokens(&step.dish.title);
    words.extend(step.said.iter().cloned());
    words
}

/// Names of the storage table for foods by class, raw or cooked.
pub(in crate::safety) fn kept_foods(
    classes: &std::collections::BTreeSet<String>,
    cooked: bool,
    words: &[String],
) -> Vec<&'static str> {
    let has = |class: &str| classes.contains(class);
    let mut names = Vec::new();
    let pairs = [
        ("poultry", "poultry", "cooked poultry"),
        ("meat", "meat", "leftovers"),
        ("game", "meat", "leftovers"),
        ("ham", "meat", "leftovers"),
        ("ground meat", "ground meat", "leftovers"),
        ("offal", "offal", "leftovers"),
        ("fish", "fish", "cooked fish"),
        ("crustacean", "shellfish", "cooked shellfish"),
        ("mollusc", "shellfish", "cooked shellfish"),
        ("cooked poultry", "cooked poultry", "cooked poultry"),
        ("cooked ham", "leftovers", "leftovers"),
        ("cooked meat", "leftovers", "leftovers"),
        ("pate", "pate", "pate"),
        ("aioli", "aioli", "aioli"),
        ("hard-boiled egg", "hard-boiled egg", "hard-boiled egg"),
    ];
    names.extend(
        pairs
            .iter()
            .filter(|(class, ..)| has(class))
            .map(|(_, raw, done)| if cooked { *done } else { *raw }),
    );
    if has("egg") {
        names.push(if cooked { "egg dish" } else { "raw egg parts" });
    }
    if cooked {
        let soup = [
            "soup", "stew", "bisque", "chowder", "ragu", "curry", "chilli",
        ];
        let stock = ["stock", "broth", "fumet"];
        names.extend(has("rice").then_some("rice"));
        names.extend(has("pasta").then_some("pasta"));
        names.extend(says(words, &soup).then_some("soup"));
        names.extend((names.is_empty() && says(words, &stock)).then_some("stock"));
        let leftover = [
            "pulse",
            "kidney bean",
            "dairy",
            "vegetable",
            "raw vegetable",
        ]
        .iter()
        .any(|class| has(class));
        names.extend((names.is_empty() && leftover).then_some("leftovers"));
    }
    names
}

fn too_long(step: &StepView<'_>) -> Option<Finding> {
    let kept = step.step.ahead?;
    let words = titled(step);
    if step.is_stable() || says(&words, FROZEN) {
        return None;
    }
    let rows = rows(step);
    let Some(row) = rows.first() else {
        return past_a_week(step, kept);
    };
    let days = |days: u32| Ratio::from_integer(i128::from(days) * DAY);
    let spoils =
        RAW_FLESH.iter().any(|class| step.upstream.contains(*class)) || step.is_perishable();
    let oil = row.food == "vegetables in oil";
    let severity = if kept > days(row.most) {
        if oil || (spoils && !says(&words, PRESERVED)) {
            Severity::Unsafe
        } else {
            Severity::Caution
        }
    } else if kept > days(row.days) {
        Severity::Advice
    } else {
        return None;
    };
    let range = if row.days == row.most {
        plural(row.days)
    } else {
        format!("{} to {}", row.days, plural(row.most))
    };
    let mut text = format!(
        "Kept {} ahead: {} keep {range} in the refrigerator",
        duration::print(kept),
        row.what
    );
    if let Some(other) = rows
        .iter()
        .find(|other| other.food == row.food && other.most > row.most)
    {
        text += &format!(
            "; {} says {} to {}, the stricter is used",
            other.source.source,
            other.days,
            plural(other.most)
        );
    }
    let sources = super::core::distinct(
        rows.iter()
            .filter(|other| other.food == row.food)
            .map(|row| &row.source),
    );
    Some(Finding::new(severity, "storage", text, sources).of_step(step.dish, step.step))
}

/// Garlic, herbs or vegetables under oil: no air, no acid, and in time botulism.
fn under_oil(step: &StepView<'_>, words: &[String]) -> bool {
    let fresh = ["vegetable", "herb", "raw vegetable"]
        .iter()
        .any(|class| step.upstream.contains(*class));
    fresh
        && says(
            words,
            &[
                "garlic oil",
                "herb oil",
                "chilli oil",
                "in oil",
                "under oil",
                "cover with oil",
                "cover with olive oil",
                "in olive oil",
            ],
        )
}

fn plural(days: u32) -> String {
    if days == 1 {
        "1 day".into()
    } else {
        format!("{days} days")
    }
}

/// Food that no row names, for more than a week: a rule that nobody read, said as such.
fn past_a_week(step: &StepView<'_>, kept: Ratio) -> Option<Finding> {
    let row = Tables::get()
        .storage_of("any")
        .into_iter()
        .find(|row| row.source.read == Read::Memory)?;
    let week = Ratio::from_integer(i128::from(row.most) * DAY);
    (kept > week && !says(&titled(step), PRESERVED)).then(|| {
        let words = format!(
            "Kept {} ahead: most prepared food is not kept past {}",
            duration::print(kept),
            plural(row.most)
        );
        Finding::new(Severity::Advice, "storage", words, vec![row.source.clone()])
            .of_step(step.dish, step.step)
    })
}
