//! What a step says of itself: its foods, whether it heats, and what comes before it.

use std::collections::{BTreeSet, HashMap};

use super::super::vocabulary::{COOKERS, HEATING};
use super::StepView;
use crate::{
    measure::temperature::Accepts,
    menu::{Dish, Step},
    safety::{
        Tables,
        words::{commands, says, tokens},
    },
};

/// Classes of an ingredient with its note: tinned beans are not dry ones.
pub(super) fn classes_of(dish: &Dish, item: &str) -> BTreeSet<String> {
    let foods = &Tables::get().foods;
    let line = dish
        .ingredients
        .iter()
        .find(|ingredient| ingredient.item == item);
    let mut classes = foods.classes_in(item);
    let details = line.map(|l| {
        format!(
            "{} {} {}",
            l.item,
            l.note.as_deref().unwrap_or(""),
            l.amount.as_deref().unwrap_or("")
        )
    });
    let details = tokens(&details.unwrap_or_else(|| item.to_owned()));
    if classes.contains("kidney bean")
        && says(
            &details,
            &[
                "tin", "tinned", "can", "canned", "jar", "jarred", "cooked", "drained",
            ],
        )
    {
        classes.remove("kidney bean");
        classes.insert("pulse".into());
    }
    let boiled = [
        "boiled",
        "hard boiled",
        "hard cooked",
        "soft boiled",
        "poached",
    ];
    if says(&details, &boiled) && classes.remove("egg") {
        classes.insert("hard-boiled egg".into());
    }
    let ground = ["minced", "ground", "mince"];
    if says(&details, &ground) && classes.remove("meat") {
        classes.insert("ground meat".into());
    }
    if says(
        &details,
        &["cooked", "leftover", "tinned", "smoked", "cured"],
    ) && !says(&details, &["uncooked", "to be cooked"])
    {
        for (raw, ready) in [
            ("poultry", "cooked poultry"),
            ("fish", "cured"),
            ("crustacean", "cooked shellfish"),
            ("mollusc", "cooked shellfish"),
            ("meat", "cooked meat"),
        ] {
            if classes.remove(raw) {
                classes.insert(ready.into());
            }
        }
    }
    classes
}

pub(super) fn said(step: &Step) -> Vec<String> {
    let mut words = tokens(&step.instruction);
    // A word that no text holds keeps phrases from running over.
    words.push(".".into());
    words.extend(step.until.as_deref().map(tokens).unwrap_or_default());
    words
}

/// What it uses; what its words name if that is an ingredient of the dish.
pub(super) fn own_foods(dish: &Dish, step: &Step, listed: &BTreeSet<String>) -> BTreeSet<String> {
    let mut classes: BTreeSet<String> = step
        .uses
        .iter()
        .flat_map(|item| classes_of(dish, item))
        .collect();
    // "Cut to the size of an egg" is no egg: a word counts where the dish has such a food, or lists none.
    let named = Tables::get().foods.classes_in(&step.instruction);
    classes.extend(
        named
            .into_iter()
            .filter(|class| listed.contains(class) || dish.ingredients.is_empty()),
    );
    classes
}

pub(super) fn heats(step: &Step) -> bool {
    let oven = step
        .oven
        .as_ref()
        .is_some_and(|need| matches!(need.at.accepts, Accepts::Span { .. }));
    let burner = step
        .needs
        .iter()
        .any(|need| need.name.eq_ignore_ascii_case("burner"));
    let cooker = step
        .needs
        .iter()
        .any(|need| says(&tokens(&need.name), COOKERS));
    oven || burner || cooker || commands(&tokens(&step.instruction), HEATING)
}

/// Fills in what the steps before each step bring with them.
pub(super) fn relate(
    steps: &mut [StepView<'_>],
    first: usize,
    dish: &Dish,
    position: &HashMap<&str, usize>,
) {
    for i in first..steps.len() {
        let Some(view) = steps.get(i) else { continue };
        let mut before = BTreeSet::new();
        let mut open: Vec<usize> = parents(view.step, dish, position);
        while let Some(p) = open.pop() {
            if p != i && before.insert(p) {
                open.extend(
                    steps
                        .get(p)
                        .map(|parent| parents(parent.step, dish, position))
                        .unwrap_or_default(),
                );
            }
        }
        let mut upstream = view.own.clone();
        let mut cooked = view.hot;
        let kneads = |view: &StepView<'_>| view.says(&["knead*", "dough", "loaf", "loaves"]);
        let mut dough = kneads(view);
        let mut baked = view.step.oven.is_some();
        for parent in before.iter().filter_map(|p| steps.get(*p)) {
            upstream.extend(parent.own.iter().cloned());
            cooked |= parent.hot;
            dough |= kneads(parent);
            baked |= parent.step.oven.is_some();
        }
        let fresh_dairy = is_fresh_dairy(steps, i, &before);
        if let Some(view) = steps.get_mut(i) {
            view.fresh_dairy = fresh_dairy;
            (view.before, view.upstream, view.cooked) = (before, upstream, cooked);
            (view.dough, view.baked) = (dough, baked);
        }
    }
}

/// Whether dairy went in at the step, or before it, that no step since has heated.
fn is_fresh_dairy(steps: &[StepView<'_>], at: usize, before: &BTreeSet<usize>) -> bool {
    let adds = |p: &usize| {
        steps
            .get(*p)
            .is_some_and(|s| !s.hot && s.own.contains("dairy"))
    };
    let heated = |p: usize| {
        let after = |q: &usize| *q == at || steps.get(*q).is_some_and(|s| s.before.contains(&p));
        let mut later = before.iter().chain([&at]).filter(|q| **q != p);
        later.any(|q| after(q) && steps.get(*q).is_some_and(|s| s.hot))
    };
    before.iter().chain([&at]).any(|p| adds(p) && !heated(*p))
}

fn parents(step: &Step, dish: &Dish, position: &HashMap<&str, usize>) -> Vec<usize> {
    let in_dish = step.after.iter().filter(|r| r.dish == dish.id);
    in_dish
        .filter_map(|r| position.get(r.step.as_str()).copied())
        .collect()
}
