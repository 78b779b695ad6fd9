//! Names of cookware that look like one, misspelt.

use std::collections::BTreeMap;

use crate::menu::diagnostic::{At, Diagnostic};
use crate::menu::model::Kitchen;
use crate::menu::read::{RawDish, Reader};

/// So many different names are compared with each other; a session with more is told no misspellings.
const MOST: usize = 300;

/// Warns of each name that the kitchen doesn't list and that is nearly another one.
pub(super) fn cookware(reader: &mut Reader, dishes: &[RawDish], kitchen: &Kitchen) {
    let mut first: BTreeMap<&str, (usize, At)> = BTreeMap::new();
    for raw in dishes {
        for need in raw.places.iter().flat_map(|places| &places.needs) {
            first.entry(&need.value).or_insert((0, need.at)).0 += 1;
        }
    }
    if first.len() > MOST {
        return;
    }
    let listed =
        |name: &str| name == "burner" || kitchen.wares.iter().any(|ware| ware.name == name);
    for (name, (count, at)) in &first {
        if listed(name) {
            continue;
        }
        if matches!(*name, "oven" | "cook" | "hands") {
            let help = if *name == "oven" {
                "write oven = { at = \"200 C\" } for the oven"
            } else {
                "write hands = \"on\" for the cook"
            };
            reader.push(
                Diagnostic::warning(*at, format!("'{name}' is taken to be cookware")).help(help),
            );
            continue;
        }
        let known = kitchen.wares.iter().map(|ware| ware.name.as_str());
        // Of two that nobody lists, the rarer is told, and of equals the later.
        let others = first.iter().filter(|(other, (times, place))| {
            !listed(other) && (*times, std::cmp::Reverse(*place)) > (*count, std::cmp::Reverse(*at))
        });
        let other = known
            .chain(std::iter::once("burner"))
            .chain(others.map(|(other, _)| *other))
            .find(|other| alike(name, other));
        if let Some(other) = other {
            reader.push(
                Diagnostic::warning(
                    *at,
                    format!("the cookware '{name}' looks like '{other}', misspelt"),
                )
                .help(format!(
                    "write '{other}', or list both as [[ware]] in the kitchen"
                )),
            );
        }
    }
}

/// Whether two different names are nearly the same: but for case, hyphens, a plural, or a letter or two of a word.
fn alike(a: &str, b: &str) -> bool {
    if a == b {
        return false;
    }
    let plain = |name: &str| -> String {
        let letters: String = name
            .to_lowercase()
            .chars()
            .filter(|c| c.is_alphanumeric())
            .collect();
        letters.trim_end_matches('s').to_owned()
    };
    if plain(a) == plain(b) {
        return true;
    }
    let (a, b) = (a.to_lowercase(), b.to_lowercase());
    let (left, right): (Vec<&str>, Vec<&str>) = (
        a.split_whitespace().collect(),
        b.split_whitespace().collect(),
    );
    left.len() == right.len() && left.iter().zip(&right).all(|(x, y)| alike_words(x, y))
}

fn alike_words(a: &str, b: &str) -> bool {
    let length = a.chars().count().min(b.chars().count());
    let digits = |word: &str| word.contains(|c: char| c.is_ascii_digit());
    let may_differ = match length {
        _ if digits(a) || digits(b) => 0,
        0..=3 => 0,
        4..=7 => 1,
        _ => 2,
    };
    a == b || (may_differ > 0 && strsim::damerau_levenshtein(a, b) <= may_differ)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn misspelt_or_another() {
        for (a, b) in [
            ("stockpot", "stock pot"),
            ("stockpot", "stokpot"),
            ("large tray", "Large tray"),
            ("large tray", "large trays"),
            ("mixing bowl", "mixing bowll"),
            ("burner", "burners"),
            ("casserole", "caserole"),
        ] {
            assert!(alike(a, b), "{a} {b}");
        }
        for (a, b) in [
            ("small pan", "small pot"),
            ("large tray", "large pan"),
            ("large bowl", "small bowl"),
            ("tin 1", "tin 2"),
            ("20 cm tin", "26 cm tin"),
            ("saucepan", "frying pan"),
            ("pan", "pot"),
        ] {
            assert!(!alike(a, b), "{a} {b}");
        }
    }
}
