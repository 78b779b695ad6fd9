//! Which names of ingredients mean the same thing in a shop.

use std::collections::HashMap;
use std::sync::LazyLock;

use serde::Deserialize;

use super::Use;
use crate::measure::food;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    same: Vec<Vec<String>>,
}

/// Constant: every synonym with the name it is found by.
static SAME: LazyLock<HashMap<String, String>> = LazyLock::new(|| {
    // A fault in the table leaves it empty; a test reads it.
    let file = toml::from_str::<File>(include_str!("../../../assets/ingredients/same.toml"));
    let rows = file.map(|f| f.same).unwrap_or_default();
    rows.iter()
        .filter_map(|row| Some((row.first()?, row)))
        .flat_map(|(first, row)| row.iter().map(|name| (food::key(name), food::key(first))))
        .collect()
});

/// Words of preparation: what follows a comma and holds one of them is no part of the name.
const PREPARED: &[&str] = &[
    "beaten",
    "blanched",
    "boned",
    "bruised",
    "chilled",
    "chopped",
    "cleaned",
    "cold",
    "cooled",
    "cored",
    "crumbled",
    "crushed",
    "cubed",
    "cut",
    "deveined",
    "diced",
    "divided",
    "drained",
    "finely",
    "freshly",
    "grated",
    "halved",
    "juiced",
    "mashed",
    "melted",
    "minced",
    "optional",
    "packed",
    "patted",
    "peeled",
    "picked",
    "pitted",
    "plus",
    "quartered",
    "rinsed",
    "room",
    "roughly",
    "scrubbed",
    "seeded",
    "separated",
    "shelled",
    "shredded",
    "sifted",
    "sliced",
    "soaked",
    "softened",
    "squeezed",
    "stoned",
    "thawed",
    "thinly",
    "toasted",
    "torn",
    "trimmed",
    "warm",
    "washed",
    "whisked",
    "zested",
    "at",
    "for",
    "to",
    "in",
    "into",
];

/// The item without its preparation, and the preparation: "butter, softened".
pub(super) fn split(item: &str) -> (&str, Option<&str>) {
    match item.split_once(',') {
        Some((name, tail))
            if tail
                .split(|c: char| !c.is_alphanumeric())
                .any(|w| PREPARED.contains(&w.to_lowercase().as_str())) =>
        {
            (name.trim(), Some(tail.trim()))
        }
        _ => (item.trim(), None),
    }
}

/// The name by which an item is merged.
pub(super) fn merged(item: &str) -> String {
    let key = food::key(item);
    SAME.get(&key).cloned().unwrap_or(key)
}

/// The name to show: the first dish's, in the plural if any dish says so ("egg", "eggs").
pub(super) fn shown(uses: &[Use]) -> String {
    let first = uses.first().map(|u| u.item.as_str()).unwrap_or_default();
    let plural = uses
        .iter()
        .map(|u| u.item.as_str())
        .find(|item| food::key(item) == food::key(first) && item.len() > first.len());
    plural.unwrap_or(first).to_owned()
}

/// Nobody buys tap water.
pub(super) fn from_the_tap(key: &str) -> bool {
    matches!(
        key.trim_start_matches("lukewarm ")
            .trim_start_matches("warm ")
            .trim_start_matches("hot ")
            .trim_start_matches("cold ")
            .trim_start_matches("boiling ")
            .trim_start_matches("iced "),
        "water" | "tap water"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_reads_and_names_nothing_twice() {
        let file: File =
            toml::from_str(include_str!("../../../assets/ingredients/same.toml")).unwrap();
        let mut names: Vec<_> = file.same.iter().flatten().map(|n| food::key(n)).collect();
        let count = names.len();
        names.sort();
        names.dedup();
        assert_eq!(names.len(), count);
        assert_eq!(merged("All-purpose flour"), merged("plain flour"));
        assert_ne!(merged("red onion"), merged("onion"));
        assert_eq!(merged("Eggs"), merged("egg"));
        assert_eq!(split("butter, softened"), ("butter", Some("softened")));
        assert_eq!(split("tomatoes, canned"), ("tomatoes, canned", None));
        assert!(from_the_tap("boiling water") && !from_the_tap("rose water"));
    }
}
