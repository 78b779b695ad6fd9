//! The ingredients that go in at a step.

use super::{How, Maker};
use crate::exchange::import::phrases;
use crate::measure::noun;

/// What follows is left out.
const ALL_BUT: &[&str] = &[
    "everything but",
    "everything except",
    "all but the",
    "all except",
];

impl Maker<'_> {
    /// The ingredients that a step names: by their whole name, else by the word they go by. Marks them as used.
    pub(super) fn uses(&mut self, normal: &str) -> Option<(Vec<String>, How)> {
        if phrases::says(
            normal,
            &[
                "all ingredients",
                "all the ingredients",
                "the ingredients",
                "remaining ingredients",
                "rest of the ingredients",
            ],
        ) {
            return self.rest(&[]);
        }
        let found = self.named(normal);
        if phrases::says(normal, ALL_BUT) {
            return self.rest(&found);
        }
        for index in &found {
            if let Some(used) = self.used.get_mut(*index) {
                *used = true;
            }
        }
        let items = found
            .iter()
            .filter_map(|index| self.ingredients.get(*index))
            .map(|i| i.item.clone())
            .collect::<Vec<_>>();
        (!items.is_empty()).then(|| (unique(items), How::Likely))
    }

    /// What hasn't gone in yet, but for some: "mix everything but the egg". Marks it as used.
    fn rest(&mut self, without: &[usize]) -> Option<(Vec<String>, How)> {
        let mut items = Vec::new();
        let places = self.ingredients.iter().zip(&mut self.used).enumerate();
        for (index, (ingredient, used)) in places {
            if !*used && !without.contains(&index) {
                *used = true;
                items.push(ingredient.item.clone());
            }
        }
        (!items.is_empty()).then(|| (unique(items), How::Guess))
    }

    /// The places of the ingredients that a text names.
    pub(super) fn named(&self, normal: &str) -> Vec<usize> {
        // "Cream the butter": the verb.
        let creams = ["cream butter", "cream the ", "cream together"];
        let creams = creams.iter().any(|verb| normal.starts_with(verb));
        let normal = if creams {
            normal.strip_prefix("cream").unwrap_or(normal)
        } else {
            normal
        };
        let text = singular_words(normal);
        let has = |name: &str| !name.is_empty() && text.contains(&format!(" {name} "));
        let names: Vec<(bool, String)> = self
            .ingredients
            .iter()
            .map(|i| (has(singular_words(&i.item).trim()), head(&i.item)))
            .collect();
        // "Season", "salted water": salt, and pepper with it.
        let seasons = phrases::says(normal, &["season", "seasoned", "seasoning"]);
        let salts = seasons || phrases::says(normal, &["salted"]);
        let is_named = |(whole, word): &(bool, String)| {
            let rival = names.iter().any(|(w, h)| *w && h == word);
            *whole || !rival && has(word)
        };
        names
            .iter()
            .enumerate()
            .zip(self.ingredients)
            .filter(|((_, name), ingredient)| {
                is_named(name)
                    || salts && name.1 == "salt"
                    || seasons && is_pepper(&ingredient.item)
            })
            .map(|((index, _), _)| index)
            .collect()
    }
}

/// Whether it is the spice, not the vegetable.
fn is_pepper(item: &str) -> bool {
    let lower = item.to_lowercase();
    lower == "pepper"
        || ["black pepper", "white pepper", "ground pepper"]
            .iter()
            .any(|p| lower.ends_with(p))
}

fn unique(names: Vec<String>) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for name in names {
        if !out.contains(&name) {
            out.push(name);
        }
    }
    out
}

/// " word word ": lower case and singular, for whole-word search.
pub(super) fn singular_words(text: &str) -> String {
    let words = text.to_lowercase();
    let words: Vec<String> = words
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .map(noun::singular)
        .collect();
    format!(" {} ", words.join(" "))
}

/// The word by which a step will call the ingredient: "flour" of "plain flour".
fn head(item: &str) -> String {
    const NO_HEAD: &[&str] = &[
        "leaf", "powder", "seed", "sauce", "paste", "piece", "mix", "fillet", "breast", "thigh",
        "clove", "stick", "root", "floret", "wedge", "joint", "pod",
    ];
    const AFTER: &[&str] = &[" on ", " in ", " with ", " for "];
    let item = item.split(',').next().unwrap_or(item);
    let end = AFTER.iter().filter_map(|w| item.find(w)).min();
    let words = singular_words(item.get(..end.unwrap_or(item.len())).unwrap_or(item));
    let mut words = words.split_whitespace().rev();
    match (words.next(), words.next()) {
        // "baking powder": no step would call it "baking".
        (Some(_), Some("baking")) => String::new(),
        (Some(last), Some(before)) if NO_HEAD.contains(&last) => before.to_owned(),
        (Some(last), _) => last.to_owned(),
        _ => String::new(),
    }
}
