//! What a guest must not eat, held against every ingredient. What the table doesn't know is unknown, never safe.

use std::{collections::BTreeSet, sync::Arc};

use super::finding::{Finding, Severity};
use crate::{
    menu::{Dish, Session},
    safety::{
        Food, Source, Tables,
        tables::AllergenRow,
        words::{Phrase, says, tokens},
    },
};

/// One thing to avoid, as the table understands it.
struct Avoided<'a> {
    word: &'a str,
    tokens: Vec<String>,
    allergens: Vec<&'static AllergenRow>,
    ids: BTreeSet<&'static str>,
}

pub(super) fn check(session: &Session, findings: &mut Vec<Finding>) {
    if session.avoid.is_empty() {
        return;
    }
    let avoided: Vec<_> = session
        .avoid
        .iter()
        .map(|word| Avoided::new(word))
        .collect();
    for avoid in &avoided {
        findings.extend(not_an_allergen(avoid));
    }
    for dish in &session.dishes {
        for avoid in &avoided {
            hits(dish, avoid, findings);
        }
        unknown(dish, findings);
    }
}

impl<'a> Avoided<'a> {
    fn new(word: &'a str) -> Self {
        let tokens = tokens(word);
        let table = &Tables::get().allergens.allergen;
        let is_named = |row: &&AllergenRow| {
            row.words
                .iter()
                .any(|name| Phrase::new(name).is_in(&tokens))
                || row.id == word
        };
        let mut allergens: Vec<&AllergenRow> = table.iter().filter(is_named).collect();
        // "peanuts" names no tree nut, and "tree nuts" no peanut.
        if says(&tokens, &["peanut", "groundnut"]) {
            allergens.retain(|row| row.id == "peanuts");
        } else if tokens.len() > 1 || !says(&tokens, &["nut"]) {
            allergens.retain(|row| row.id != "peanuts");
        }
        let mut ids: BTreeSet<&str> = allergens.iter().map(|row| row.id.as_str()).collect();
        ids.extend(
            allergens
                .iter()
                .flat_map(|row| row.also.iter().map(String::as_str)),
        );
        Self {
            word,
            tokens,
            allergens,
            ids,
        }
    }

    /// The laws that name it.
    fn sources(&self) -> Vec<Source> {
        let lists = Tables::get().allergens.list.iter();
        let naming = lists.filter(|list| {
            list.allergens
                .iter()
                .any(|id| self.ids.contains(id.as_str()))
        });
        let sources: Vec<Source> = naming.map(|list| list.source.clone()).collect();
        if sources.is_empty() {
            vec![Source::practice()]
        } else {
            sources
        }
    }

    fn is_in(&self, text: &[String]) -> bool {
        // "pork" and "porks" are the same to tokens; "nut" must not be found in "nutmeg".
        !self.tokens.is_empty()
            && text
                .windows(self.tokens.len())
                .any(|window| window == self.tokens)
    }

    fn hit(&self, food: &Food) -> Option<Hit> {
        let names = |ids: &[String]| ids.iter().any(|id| self.ids.contains(id.as_str()));
        let group = food.groups.iter().any(|group| tokens(group) == self.tokens);
        if names(&food.contains) || group {
            Some(Hit::In)
        } else if names(&food.may) {
            Some(Hit::Maybe)
        } else {
            None
        }
    }
}

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Hit {
    Maybe,
    In,
}

fn hits(dish: &Dish, avoid: &Avoided<'_>, findings: &mut Vec<Finding>) {
    for ingredient in &dish.ingredients {
        let note = ingredient.note.as_deref().unwrap_or("");
        if let Some(hit) = found_in(&ingredient.item, avoid).max(found_in(note, avoid)) {
            findings
                .push(finding(hit, avoid, &ingredient.item).of_ingredient(dish, &ingredient.item));
        }
        for substitute in ingredient
            .or
            .iter()
            .filter(|text| found_in(text, avoid).is_some())
        {
            let words = format!(
                "The substitute '{substitute}' is not for the guest who avoids {}",
                avoid.word
            );
            let finding = Finding::new(Severity::Caution, "avoid", words, avoid.sources());
            findings.push(finding.of_ingredient(dish, &ingredient.item));
        }
    }
    for step in &dish.steps {
        let listed = dish
            .ingredients
            .iter()
            .any(|i| found_in(&i.item, avoid).is_some());
        if !listed && found_in(&step.instruction, avoid) == Some(Hit::In) {
            let words = format!(
                "The step names {}, which a guest must not eat, and no ingredient does",
                avoid.word
            );
            findings.push(
                Finding::new(Severity::Caution, "avoid", words, avoid.sources())
                    .of_step(dish, step),
            );
        }
    }
}

fn found_in(text: &str, avoid: &Avoided<'_>) -> Option<Hit> {
    let foods: Vec<Arc<Food>> = Tables::get().foods.named_in(text);
    let by_table = foods.iter().filter_map(|food| avoid.hit(food)).max();
    // What the table takes for a name of its own ("nutmeg", "coconut milk") is not the avoided word.
    let words = tokens(text);
    let plain = foods.is_empty() && avoid.is_in(&words);
    let by_name = foods
        .iter()
        .any(|food| food.words.iter().any(|w| tokens(w) == avoid.tokens) && avoid.is_in(&words));
    let own_word = avoid.allergens.is_empty() && avoid.is_in(&words);
    if plain || by_name || own_word {
        Some(Hit::In)
    } else {
        by_table
    }
}

fn finding(hit: Hit, avoid: &Avoided<'_>, item: &str) -> Finding {
    let what: Vec<&str> = avoid
        .allergens
        .iter()
        .map(|row| row.what.as_str())
        .collect();
    let what = if what.is_empty() {
        avoid.word.to_owned()
    } else {
        format!("{} ({})", avoid.word, what.join(", "))
    };
    match hit {
        Hit::In => {
            let words = format!("'{item}' is or contains {what}, which a guest must not eat");
            Finding::new(Severity::Unsafe, "avoid", words, avoid.sources())
        }
        Hit::Maybe => {
            let words = format!("'{item}' often contains {what}: read the packet");
            Finding::new(Severity::Caution, "avoid", words, avoid.sources())
        }
    }
}

/// Ingredients that no table row names.
fn unknown(dish: &Dish, findings: &mut Vec<Finding>) {
    for ingredient in &dish.ingredients {
        let foods = &Tables::get().foods;
        if foods.named_in(&ingredient.item).is_empty() {
            let words = format!(
                "'{}' is not in the table of foods: whether it is safe for the guest is not known",
                ingredient.item
            );
            findings.push(
                Finding::new(Severity::Unknown, "avoid", words, Vec::new())
                    .of_ingredient(dish, &ingredient.item),
            );
        }
    }
}

/// A word that is neither an allergen nor a group of foods: found by name alone.
fn not_an_allergen(avoid: &Avoided<'_>) -> Option<Finding> {
    let foods = &Tables::get().foods;
    let group = foods.rows.iter().any(|food| {
        food.groups
            .iter()
            .any(|group| tokens(group) == avoid.tokens)
    });
    if !avoid.allergens.is_empty() || group {
        return None;
    }
    let words = format!(
        "'{}' is no allergen of the tables: only ingredients that name it are found",
        avoid.word
    );
    Some(Finding::new(Severity::Unknown, "avoid", words, Vec::new()))
}
