//! The ingredients that go in at a step.

use super::{How, Maker, groups};
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
        let found = self.named(normal);
        if phrases::says(normal, ALL_BUT) {
            return self.rest(&found);
        }
        if phrases::says(
            normal,
            &[
                "all ingredients",
                "all the ingredients",
                "the ingredients",
                "remaining ingredients",
                "rest of the ingredients",
                "combine everything",
                "mix everything",
                "blend everything",
                "whisk everything",
                "put everything",
                "toss everything",
                "everything together",
            ],
        ) {
            return self.rest(&[]);
        }
        // "Add the spices": those that haven't gone in.
        let mut how = How::Likely;
        let mut found = found;
        for index in self.of_a_group(normal) {
            if !found.contains(&index) && self.used.get(index) == Some(&false) {
                found.push(index);
                how = How::Guess;
            }
        }
        found.sort_unstable();
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
        (!items.is_empty()).then(|| (unique(items), how))
    }

    /// The places of the ingredients of a group that a text names: "the spices", "the dry ingredients".
    fn of_a_group(&self, normal: &str) -> Vec<usize> {
        let places = self.ingredients.iter().enumerate();
        places
            .filter(|(_, ingredient)| groups::holds(normal, &ingredient.item))
            .map(|(index, _)| index)
            .collect()
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
        // One leg alone can be "the leg".
        let by_cut = |item: &str| {
            let others = |cut: &str| {
                self.ingredients
                    .iter()
                    .filter(|i| self::cut(&i.item) == Some(cut))
                    .count()
                    > 1
            };
            cut(item).is_some_and(|cut| has(cut) && !others(cut))
        };
        names
            .iter()
            .enumerate()
            .zip(self.ingredients)
            .filter(|((_, name), ingredient)| {
                is_named(name)
                    || by_cut(&ingredient.item)
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

/// Cuts of meat: a step may call it by the cut or by the animal.
const CUTS: &[&str] = &[
    "neck", "shoulder", "leg", "loin", "belly", "chop", "shank", "rib", "fillet", "breast", "thigh",
];

/// The cut that the ingredient's name ends with, if it does.
fn cut(item: &str) -> Option<&'static str> {
    let item = item.split(',').next().unwrap_or(item);
    let words = singular_words(item);
    let last = words.split_whitespace().next_back()?;
    CUTS.iter().copied().find(|cut| *cut == last)
}

/// The word by which a step will call the ingredient: "flour" of "plain flour".
fn head(item: &str) -> String {
    const NO_HEAD: &[&str] = &[
        "leaf", "powder", "seed", "sauce", "paste", "piece", "mix", "half", "clove", "stick",
        "root", "floret", "wedge", "joint", "pod",
    ];
    const AFTER: &[&str] = &[" on ", " in ", " with ", " for "];
    let item = item.split(',').next().unwrap_or(item);
    let end = AFTER.iter().filter_map(|w| item.find(w)).min();
    let words = singular_words(item.get(..end.unwrap_or(item.len())).unwrap_or(item));
    let all: Vec<&str> = words.split_whitespace().collect();
    // "baking powder": no step would call it "baking".
    if let [.., "baking", _] = all.as_slice() {
        return String::new();
    }
    let said = |word: &&&str| !NO_HEAD.contains(*word) && !CUTS.contains(*word);
    let word = all.iter().rev().find(said).or(all.last());
    word.map_or_else(String::new, |word| (*word).to_owned())
}
