//! What a cup, a spoon and a piece of an ingredient weigh, where that is known.
//!
//! Source: USDA National Nutrient Database for Standard Reference, Release 28 (2015), in
//! `assets/ingredients/foods.toml`. A name is matched whole, never by a part of it: "salt" is table salt, "coarse
//! salt" has no density here, and nothing is converted.

use std::collections::HashMap;
use std::sync::LazyLock;

use num_traits::CheckedMul;
use serde::Deserialize;

use super::quantity::{self, Measure, Quantity};
use super::unit::{Dimension, Unit};
use super::{Ratio, noun};

/// A food of the table.
#[derive(Debug)]
pub struct Food {
    /// The name in the table.
    pub name: String,
    /// Whether it is poured rather than heaped.
    pub liquid: bool,
    usual: Option<String>,
    measures: Vec<Weighed>,
    pieces: Vec<(String, Ratio)>,
}

/// So much of a unit, in a state, weighs so many grams.
#[derive(Debug)]
struct Weighed {
    unit: Unit,
    state: String,
    grams_per_unit: Ratio,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    food: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    name: String,
    #[serde(default)]
    also: Vec<String>,
    #[allow(dead_code)] // the source's number, for whoever checks a row
    ndb: String,
    #[serde(default)]
    liquid: bool,
    usual: Option<String>,
    #[serde(default)]
    measures: Vec<String>,
    #[serde(default)]
    pieces: Vec<String>,
}

struct Table {
    foods: Vec<Food>,
    by_name: HashMap<String, usize>,
}

/// The table is constant; it is read once, when first asked for.
static TABLE: LazyLock<Table> = LazyLock::new(|| {
    // A fault in the table itself leaves it empty: nothing converts. A test reads every row.
    let file = toml::from_str::<File>(include_str!("../../assets/ingredients/foods.toml"));
    let mut table = Table {
        foods: Vec::new(),
        by_name: HashMap::new(),
    };
    for row in file.map(|f| f.food).unwrap_or_default() {
        for name in row.also.iter().chain([&row.name]) {
            table.by_name.insert(key(name), table.foods.len());
        }
        table.foods.push(Food {
            measures: row.measures.iter().filter_map(|m| weighed(m)).collect(),
            pieces: row.pieces.iter().filter_map(|p| piece(p)).collect(),
            name: row.name,
            liquid: row.liquid,
            usual: row.usual,
        });
    }
    table
});

/// "1 cup chopped = 160 g".
fn weighed(text: &str) -> Option<Weighed> {
    let (what, grams) = text.split_once(" = ")?;
    let (quantity, state) = quantity::read(what).ok()??;
    Some(Weighed {
        unit: quantity.unit()?,
        state: state.trim().to_owned(),
        grams_per_unit: grams_of(grams)? / quantity.lo,
    })
}

/// "1 clove = 3 g", "1 = 201 g".
fn piece(text: &str) -> Option<(String, Ratio)> {
    let (what, grams) = text.split_once(" = ")?;
    Some((what.strip_prefix('1')?.trim().to_owned(), grams_of(grams)?))
}

fn grams_of(text: &str) -> Option<Ratio> {
    quantity::parse(text).ok()?.quantity().map(|q| q.lo)
}

/// The name by which an ingredient is looked up and merged: lower case, singular, single blanks.
pub fn key(item: &str) -> String {
    let lower = item.trim().to_lowercase().replace(['\u{2019}', '\''], "");
    noun::singular(&lower.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// The food of that name, if the table has it.
pub fn find(item: &str) -> Option<&'static Food> {
    let table = &*TABLE;
    let key = key(item);
    let index = table.by_name.get(&key).or_else(|| {
        // "butter, softened": what follows a comma is how it is prepared, unless the table knows the whole.
        table.by_name.get(&self::key(key.split_once(',')?.0))
    })?;
    table.foods.get(*index)
}

impl Food {
    /// Grams per millilitre, for a volume measured in `unit` of the state that `note` names, if any: foods whose
    /// spoon and cup disagree are weighed by the measure nearest in size.
    pub fn density(&self, volume: Ratio, unit: Unit, note: &str) -> Option<Ratio> {
        let state = self.state(note)?;
        let size = volume.checked_mul(&unit.size())?;
        let millilitres = |u: Unit| u.size();
        let candidates = self.measures.iter().filter(|m| m.state == state);
        let best = candidates.min_by_key(|m| {
            let rank = match (m.unit == unit, m.unit) {
                (true, _) => 0,
                (_, Unit::Cup) if size >= Ratio::from_integer(60) => 1,
                (_, Unit::Tablespoon) if size >= Ratio::from_integer(10) => 1,
                (_, Unit::Teaspoon) if size < Ratio::from_integer(10) => 1,
                (_, Unit::Cup) => 2,
                (_, Unit::Tablespoon) => 3,
                (_, Unit::Teaspoon) => 4,
                _ => 5,
            };
            (
                rank,
                u8::from(size < Ratio::from_integer(10) && m.unit == Unit::Cup),
            )
        })?;
        Some(best.grams_per_unit / millilitres(best.unit))
    }

    /// The state to weigh by: one that the note names, else none, else the usual one.
    fn state(&self, note: &str) -> Option<&str> {
        let words: Vec<String> = note
            .to_lowercase()
            .split(|c: char| !c.is_alphanumeric())
            .map(str::to_owned)
            .collect();
        let named = self
            .measures
            .iter()
            .map(|m| m.state.as_str())
            .find(|state| {
                // "not packed" and the like are not found by their last word.
                !state.is_empty()
                    && !state.contains("not ")
                    && state.split(" or ").any(|s| words.iter().any(|w| w == s))
            });
        let plain = || {
            self.measures
                .iter()
                .map(|m| m.state.as_str())
                .find(|state| state.is_empty())
        };
        named.or_else(plain).or(self.usual.as_deref())
    }

    /// Grams of one piece by the noun that the recipe counts ("clove", "large"), or of a bare one: the size in the
    /// middle.
    pub fn piece(&self, noun: Option<&str>) -> Option<Ratio> {
        let find = |noun: &str| {
            self.pieces
                .iter()
                .find(|(name, _)| name == noun)
                .map(|(_, grams)| *grams)
        };
        match noun {
            Some(noun) => find(noun),
            // A recipe's egg is a large one.
            None if self.name.starts_with("egg") => find("large"),
            None => find("").or_else(|| find("medium")),
        }
    }
}

/// The grams of `value` of what the quantity measures, exactly as the table says; `None` where it is not known.
pub fn grams(value: Ratio, quantity: &Quantity, item: &str, note: &str) -> Option<Ratio> {
    if quantity
        .manner
        .as_deref()
        .is_some_and(|m| m != "level" && m != "packed")
    {
        return None;
    }
    match &quantity.measure {
        Measure::Unit(unit) => match unit.dimension() {
            Dimension::Mass => quantity::convert(value, *unit, Unit::Gram),
            Dimension::Volume => {
                let states = format!(
                    "{note} {} {item}",
                    quantity.manner.as_deref().unwrap_or_default()
                );
                let density = find(item)?.density(value, *unit, &states)?;
                value.checked_mul(&unit.size())?.checked_mul(&density)
            }
            Dimension::Length => None,
        },
        Measure::Pieces(pieces) => {
            let each = match (&pieces.each, &pieces.noun) {
                (Some((size, unit)), _) => quantity::convert(*size, *unit, Unit::Gram)?,
                (None, Some((one, _))) => find(item)?.piece(Some(one))?,
                (None, None) => find(item)?.piece(None)?,
            };
            value.checked_mul(&each)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::{quantity::parse, to_f64};

    fn weigh(amount: &str, item: &str, note: &str) -> Option<f64> {
        let amount = parse(amount).unwrap();
        let quantity = amount.quantity().unwrap();
        grams(quantity.lo, quantity, item, note).map(to_f64)
    }

    #[test]
    fn every_row_of_the_table_is_understood() {
        let file: File =
            toml::from_str(include_str!("../../assets/ingredients/foods.toml")).unwrap();
        assert_eq!(file.food.len(), 258);
        for row in &file.food {
            for text in &row.measures {
                assert!(weighed(text).is_some(), "{}: {text}", row.name);
            }
            for text in &row.pieces {
                assert!(piece(text).is_some(), "{}: {text}", row.name);
            }
            let food = find(&row.name).unwrap();
            assert!(
                row.usual.is_none()
                    || food
                        .measures
                        .iter()
                        .any(|m| Some(&m.state) == row.usual.as_ref()),
                "{}",
                row.name
            );
        }
    }

    /// USDA SR28, NDB numbers beside each.
    #[test]
    fn weights_are_those_of_the_source() {
        for (amount, item, note, want) in [
            ("1 cup", "all-purpose flour", "", 125.0),       // 20081
            ("1 cup", "bread flour", "", 137.0),             // 20083
            ("1 cup", "whole wheat flour", "", 120.0),       // 20080
            ("1 cup", "cake flour", "", 137.0),              // 20084, unsifted, dipped
            ("1 cup", "granulated sugar", "", 200.0),        // 19335
            ("1 tsp", "granulated sugar", "", 4.2),          // 19335
            ("1 cup", "brown sugar", "packed", 220.0),       // 19334
            ("1 cup", "brown sugar", "unpacked", 145.0),     // 19334
            ("1 cup", "powdered sugar", "", 120.0),          // 19336, unsifted
            ("1 cup", "powdered sugar", "sifted", 100.0),    // 19336
            ("1 cup", "butter", "", 227.0),                  // 01145
            ("1 tbsp", "butter", "", 14.2),                  // 01145
            ("1 stick", "butter", "", 113.0),                // 01145
            ("1 cup", "honey", "", 339.0),                   // 19296
            ("1 tbsp", "honey", "", 21.0),                   // 19296
            ("1 cup", "maple syrup", "", 315.0),             // 19353
            ("1 cup", "molasses", "", 337.0),                // 19304
            ("1 cup", "table salt", "", 292.0),              // 02047
            ("1 tbsp", "table salt", "", 18.0),              // 02047
            ("1 tsp", "table salt", "", 6.0),                // 02047
            ("1 cup", "whole milk", "", 244.0),              // 01077
            ("1 cup", "heavy cream", "", 238.0),             // 01053, fluid
            ("1 cup", "heavy cream", "whipped", 120.0),      // 01053
            ("1 cup", "olive oil", "", 216.0),               // 04053
            ("1 tbsp", "olive oil", "", 13.5),               // 04053
            ("1 tsp", "olive oil", "", 4.5),                 // 04053
            ("1 tbsp", "soy sauce", "", 16.0),               // 16123
            ("1 fl oz", "water", "", 29.6),                  // 14411
            ("1 cup", "long-grain rice", "", 185.0),         // 20044
            ("1 cup", "couscous", "", 173.0),                // 20028
            ("1 cup", "rice, white long cooked", "", 158.0), // 20045
            ("1 cup", "couscous, cooked", "", 157.0),        // 20029
            ("1 tsp", "baking powder", "", 4.6),             // 18369
            ("1 tsp", "baking soda", "", 4.6),               // 18372
            ("1 tsp", "active dry yeast", "", 4.0),          // 18375
            ("1 packet", "active dry yeast", "", 7.2),       // 18375
            ("1 small", "egg", "", 38.0),                    // 01123
            ("1 medium", "egg", "", 44.0),                   // 01123
            ("1", "eggs", "", 50.0),                         // 01123, large
            ("1 extra large", "egg", "", 56.0),              // 01123
            ("1 jumbo", "egg", "", 63.0),                    // 01123
            ("1 large", "egg white", "", 33.0),              // 01124
            ("1 large", "egg yolk", "", 17.0),               // 01125
            ("1 small", "onion", "", 70.0),                  // 11282
            ("1", "onion", "", 110.0),                       // 11282, medium
            ("1 cup", "onion", "chopped", 160.0),            // 11282
            ("1 clove", "garlic", "", 3.0),                  // 11215
            ("1", "carrot", "", 61.0),                       // 11124
            ("1 medium stalk", "celery", "", 40.0),          // 11143
            ("1 tbsp", "lemon zest", "", 6.0),               // 09156
            ("1 juice of 1", "lemon juice", "", 48.0),       // 09152
            ("1 juice of 1", "lime juice", "", 44.0),        // 09160
            ("1 tbsp", "sour cream", "", 12.0),              // 01056: its spoon and cup disagree
            ("1 cup", "sour cream", "", 230.0),              // 01056
            ("1 tbsp", "parmesan", "", 5.0),                 // 01032, likewise
            ("1 cup", "parmesan", "", 100.0),                // 01032
            ("1 tbsp", "ketchup", "", 17.0),                 // 11935, likewise
            ("1 cup", "ketchup", "", 240.0),                 // 11935
        ] {
            let got = weigh(amount, item, note).unwrap_or_else(|| panic!("{amount} {item} {note}"));
            assert!(
                (got - want).abs() < 1e-9,
                "{amount} {item} {note}: {got}, {want}"
            );
        }
    }

    /// In the shell: the US classes' minimum averages, 30 to 18 oz a dozen (an industry page: read in a copy), and the EU's
    /// medium, 53 to 63 g (Reg. (EC) 589/2008, in restatements). The shell is 10 to 13 % (common practice, no source).
    #[test]
    fn eggs_without_their_shell_agree_with_their_classes() {
        for (class, in_shell) in [
            ("jumbo", 70.87),
            ("extra large", 63.79),
            ("large", 56.70),
            ("medium", 49.61),
            ("small", 42.52),
        ] {
            let without = weigh(&format!("1 {class}"), "egg", "").unwrap();
            let shell = 1.0 - without / in_shell;
            assert!((0.10..0.13).contains(&shell), "{class}: {shell}");
        }
        // An egg of no class is right by either system.
        let egg = weigh("1", "egg", "").unwrap();
        assert!((53.0 * 0.87..63.0 * 0.90).contains(&egg), "{egg}");
    }

    #[test]
    fn what_is_not_known_does_not_convert() {
        for (amount, item, note) in [
            ("1 tsp", "coarse salt", ""),
            ("1 cup", "onion", ""),
            ("1 heaped tbsp", "flour", ""),
            ("1 cup", "dragon fruit", ""),
            ("1 cup", "almonds", ""),
            ("2 cm", "fresh ginger", ""),
        ] {
            assert_eq!(weigh(amount, item, note), None, "{amount} {item}");
        }
    }
}
