//! Foods by the words that name them.

use std::{collections::BTreeSet, sync::Arc};

use serde::Deserialize;

use super::words::{Lexicon, tokens};

/// What the table knows of a food.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Food {
    /// Its place in the temperature and storage tables: "poultry", "ground meat", "plain".
    pub class: String,
    /// Names by which a guest may avoid it: "pork", "meat".
    #[serde(default)]
    pub groups: Vec<String>,
    /// Allergens that are in it.
    #[serde(default)]
    pub contains: Vec<String>,
    /// Allergens that are in many makes of it.
    #[serde(default)]
    pub may: Vec<String>,
    /// The words that name it.
    pub words: Vec<String>,
}

/// The table of foods.
#[derive(Clone, Debug)]
pub struct Foods {
    /// Its rows.
    pub rows: Vec<Arc<Food>>,
    lexicon: Lexicon<Arc<Food>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FoodFile {
    food: Vec<Food>,
}

impl Foods {
    pub(super) fn parse(text: &str) -> Result<Self, toml::de::Error> {
        let file: FoodFile = toml::from_str(text)?;
        let rows: Vec<_> = file.food.into_iter().map(Arc::new).collect();
        let entries = rows.iter().flat_map(|food| {
            food.words
                .iter()
                .map(|word| (word.clone(), Arc::clone(food)))
        });
        let lexicon = Lexicon::new(entries);
        Ok(Self { rows, lexicon })
    }

    /// Every food that a text names.
    #[must_use]
    pub fn named_in(&self, text: &str) -> Vec<Arc<Food>> {
        self.lexicon.find(&tokens(text))
    }

    /// The classes of the foods that a text names.
    #[must_use]
    pub fn classes_in(&self, text: &str) -> BTreeSet<String> {
        self.named_in(text)
            .iter()
            .map(|food| food.class.clone())
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use std::collections::HashMap;

    use super::*;
    use crate::safety::Tables;

    fn classes(text: &str) -> Vec<String> {
        Tables::get().foods.classes_in(text).into_iter().collect()
    }

    #[test]
    fn a_longer_name_is_another_food() {
        assert_eq!(classes("chicken"), ["poultry"]);
        assert_eq!(classes("chicken stock"), ["plain"]);
        assert_eq!(classes("2 eggplants"), ["plain"]);
        assert_eq!(classes("coconut milk"), ["plain"]);
        assert_eq!(classes("butternut squash"), ["plain"]);
        assert_eq!(classes("minced garlic"), ["vegetable"]);
        assert_eq!(classes("minced beef"), ["ground meat"]);
        assert_eq!(classes("duck confit"), ["cooked poultry"]);
        assert_eq!(classes("oyster mushrooms"), ["plain"]);
        assert_eq!(classes("red kidney beans"), ["kidney bean"]);
        assert_eq!(classes("chocolate fondant mould"), ["plain"]);
        assert!(classes("tray").is_empty());
    }

    #[test]
    fn no_word_is_in_two_rows() {
        let mut seen: HashMap<Vec<String>, &str> = HashMap::new();
        for food in &Tables::get().foods.rows {
            for word in &food.words {
                if let Some(other) = seen.insert(tokens(word), &food.class) {
                    panic!("'{word}' is {other} and {}", food.class);
                }
            }
        }
    }

    #[test]
    fn every_allergen_of_a_food_is_in_the_table() {
        let known: Vec<_> = Tables::get()
            .allergens
            .allergen
            .iter()
            .map(|row| row.id.as_str())
            .collect();
        for food in &Tables::get().foods.rows {
            for id in food.contains.iter().chain(&food.may) {
                assert!(known.contains(&id.as_str()), "{id} of {:?}", food.words);
            }
        }
    }
}
