//! Where in a market an ingredient stands.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::measure::food;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    section: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    name: String,
    words: String,
}

/// A section with its words, each split into single words.
struct Section {
    name: String,
    phrases: Vec<Vec<String>>,
}

/// Constant: the sections in the order of the market.
static SECTIONS: LazyLock<Vec<Section>> = LazyLock::new(|| {
    // A fault in the table leaves it empty, and everything is "Other"; a test reads it.
    let file = toml::from_str::<File>(include_str!("../../../assets/ingredients/sections.toml"));
    let rows = file.map(|f| f.section).unwrap_or_default();
    rows.into_iter()
        .map(|row| Section {
            name: row.name,
            phrases: row.words.split(',').map(words).collect(),
        })
        .collect()
});

/// The single words, lower case and singular.
fn words(text: &str) -> Vec<String> {
    text.split(|c: char| c.is_whitespace() || matches!(c, ',' | '(' | ')' | '/'))
        .filter(|w| !w.is_empty())
        .map(food::key)
        .collect()
}

/// The section of an item, as its place in the market; the place after the last is "Other".
pub(in crate::menu) fn of(item: &str) -> usize {
    // What follows a comma, "or" or "with" qualifies; the head of the name decides.
    let lower = item.to_lowercase();
    let head = [" or ", " with ", " in "]
        .iter()
        .fold(lower.as_str(), |head, w| {
            head.split(w).next().unwrap_or(head)
        });
    let place = |text: &str| {
        let item = words(text);
        let mut best: Option<(usize, usize, usize)> = None;
        for (section, phrases) in SECTIONS.iter().map(|s| &s.phrases).enumerate() {
            for phrase in phrases {
                let end = item
                    .windows(phrase.len().max(1))
                    .rposition(|w| w == phrase.as_slice())
                    .map(|at| at + phrase.len());
                if let Some(end) = end
                    && best.is_none_or(|(e, len, _)| (end, phrase.len()) > (e, len))
                {
                    best = Some((end, phrase.len(), section));
                }
            }
        }
        best.map(|(_, _, section)| section)
    };
    let before_comma = head.split(',').next().unwrap_or(head);
    place(before_comma)
        .or_else(|| place(&lower))
        .unwrap_or(SECTIONS.len())
}

/// The name of a place in the market.
pub(in crate::menu) fn name(section: usize) -> &'static str {
    SECTIONS.get(section).map_or("Other", |s| s.name.as_str())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_reads() {
        let file: File =
            toml::from_str(include_str!("../../../assets/ingredients/sections.toml")).unwrap();
        assert_eq!(file.section.len(), 12);
        let mut seen = std::collections::HashSet::new();
        for phrase in SECTIONS.iter().flat_map(|s| &s.phrases) {
            assert!(
                !phrase.is_empty() && seen.insert(phrase),
                "{phrase:?} stands twice"
            );
        }
    }

    #[test]
    fn things_stand_where_a_shopper_looks() {
        for (item, want) in [
            ("potatoes", "Fruit and vegetables"),
            ("waxy potatoes", "Fruit and vegetables"),
            ("thyme", "Fresh herbs"),
            ("dried thyme", "Salt and spices"),
            ("whole chicken", "Meat and poultry"),
            ("chicken stock", "Tins, jars and packets"),
            ("unsalted butter", "Milk, cheese and eggs"),
            ("peanut butter", "Tins, jars and packets"),
            ("coconut milk", "Tins, jars and packets"),
            ("eggs", "Milk, cheese and eggs"),
            ("egg noodles", "Dry goods and baking"),
            ("plain flour", "Dry goods and baking"),
            ("olive oil", "Oil, vinegar and sauces"),
            ("white wine vinegar", "Oil, vinegar and sauces"),
            ("dry white wine", "Drinks"),
            ("salmon fillets", "Fish and seafood"),
            ("smoked paprika", "Salt and spices"),
            ("frozen peas", "Frozen"),
            ("tomatoes, canned", "Fruit and vegetables"),
            ("xanthan", "Other"),
        ] {
            assert_eq!(name(of(item)), want, "{item}");
        }
    }
}
