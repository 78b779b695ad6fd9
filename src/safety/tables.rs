//! The tables of `assets/safety`, compiled in.

use std::sync::LazyLock;

use serde::Deserialize;

use super::{Foods, Limit, Source, words::Phrase};

/// Every table.
#[derive(Clone, Debug)]
pub struct Tables {
    /// Temperatures.
    pub temperatures: Temperatures,
    /// Clocks, depths and thawing.
    pub times: Times,
    /// Days in the refrigerator.
    pub storage: Vec<StorageRow>,
    /// Allergens by law.
    pub allergens: Allergens,
    /// Foods by their words.
    pub foods: Foods,
    /// Usual cautions.
    pub cautions: Vec<CautionRow>,
}

/// Core, reheating and holding temperatures.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Temperatures {
    /// Core temperatures by food.
    pub core: Vec<TemperatureRow>,
    /// Lower temperatures for whole roasts, each with its holding time.
    pub roast_hold: Vec<TemperatureRow>,
    /// Lowest temperature of food kept hot.
    pub hot_hold: Vec<TemperatureRow>,
    /// Highest temperature of food kept cold.
    pub cold_hold: Vec<TemperatureRow>,
    /// Lowest oven air for roasting.
    pub oven: Vec<TemperatureRow>,
}

/// One limit of one authority.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct TemperatureRow {
    /// Class of food; empty where the table has none.
    #[serde(default)]
    pub food: String,
    /// In words.
    #[serde(default)]
    pub what: String,
    /// The limit in its primary unit.
    pub limit: Limit,
    /// Seconds to be held at the limit; 0: reaching it is enough.
    #[serde(default)]
    pub hold: u32,
    /// Seconds of rest off the heat.
    #[serde(default)]
    pub rest: u32,
    /// Where it is from.
    #[serde(flatten)]
    pub source: Source,
}

/// Clocks and cooling steps.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Times {
    /// Clocks by id.
    pub clock: Vec<ClockRow>,
    /// Depth of containers for chilling.
    pub depth: Vec<DepthRow>,
    /// Thawing times by weight.
    pub thaw: Vec<ThawRow>,
}

/// A limit in time.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct ClockRow {
    /// Stable name.
    pub id: String,
    /// In words.
    pub what: String,
    /// Seconds.
    pub within: u32,
    /// Where it is from.
    #[serde(flatten)]
    pub source: Source,
}

/// A limit of depth.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct DepthRow {
    /// In words.
    pub what: String,
    /// Millimetres.
    pub millimetres: f64,
    /// Where it is from.
    #[serde(flatten)]
    pub source: Source,
}

/// A thawing rate.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct ThawRow {
    /// "refrigerator" or "cold water".
    pub id: String,
    /// In words.
    pub what: String,
    /// The slower end of the rule.
    pub seconds_per_kg: f64,
    /// Where it is from.
    #[serde(flatten)]
    pub source: Source,
}

/// Days in the refrigerator.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(from = "StoredRow")]
pub struct StorageRow {
    /// Class of food.
    pub food: String,
    /// In words.
    pub what: String,
    /// The shorter figure, days.
    pub days: u32,
    /// The longer figure, days.
    pub most: u32,
    /// Where it is from.
    pub source: Source,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct StoredRow {
    food: String,
    what: String,
    days: u32,
    most: u32,
    section: String,
    source: Option<String>,
    year: Option<String>,
    read: Option<super::Read>,
}

impl From<StoredRow> for StorageRow {
    /// A row that names no authority is one of the data set that the table is made from.
    fn from(row: StoredRow) -> Self {
        Self {
            food: row.food,
            what: row.what,
            days: row.days,
            most: row.most,
            source: Source {
                source: row.source.unwrap_or_else(|| "USDA FSIS".into()),
                section: row.section,
                year: row.year.unwrap_or_else(|| "undated".into()),
                read: row.read.unwrap_or(super::Read::Primary),
            },
        }
    }
}

/// Allergens by law.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Allergens {
    /// The lists that the law makes.
    pub list: Vec<AllergenList>,
    /// Every allergen of them.
    pub allergen: Vec<AllergenRow>,
}

/// The allergens that one law names.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct AllergenList {
    /// "EU", "US".
    pub name: String,
    /// Ids of its allergens.
    pub allergens: Vec<String>,
    /// Where it is from.
    #[serde(flatten)]
    pub source: Source,
}

/// One allergen.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AllergenRow {
    /// Stable name.
    pub id: String,
    /// In words of the law.
    pub what: String,
    /// By which a cook may name it.
    pub words: Vec<String>,
    /// Allergens that it includes.
    pub also: Vec<String>,
}

/// A usual caution.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CautionRow {
    /// Stable name.
    pub id: String,
    /// Phrases of a step that call for it.
    pub(super) words: Vec<Phrase>,
    /// Phrases that take it away.
    #[serde(default)]
    pub(super) unless: Vec<Phrase>,
    /// Phrases of a step that does just what the caution warns of.
    #[serde(default)]
    pub(super) never: Vec<Phrase>,
    /// The sentence.
    pub short: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct StorageFile {
    row: Vec<StorageRow>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CautionFile {
    caution: Vec<CautionRow>,
}

impl Tables {
    /// The tables that are compiled in.
    #[must_use]
    pub fn get() -> &'static Self {
        // A constant that is parsed once; nothing ever changes it.
        static TABLES: LazyLock<Tables> = LazyLock::new(|| {
            #[expect(
                clippy::expect_used,
                reason = "compiled in, and read by the tests of this file"
            )]
            Tables::parse().expect("the tables of assets/safety are well formed")
        });
        &TABLES
    }

    fn parse() -> Result<Self, toml::de::Error> {
        let storage: StorageFile =
            toml::from_str(include_str!("../../assets/safety/storage.toml"))?;
        let cautions: CautionFile =
            toml::from_str(include_str!("../../assets/safety/cautions.toml"))?;
        Ok(Self {
            temperatures: toml::from_str(include_str!("../../assets/safety/temperatures.toml"))?,
            times: toml::from_str(include_str!("../../assets/safety/times.toml"))?,
            storage: storage.row,
            allergens: toml::from_str(include_str!("../../assets/safety/allergens.toml"))?,
            foods: Foods::parse(include_str!("../../assets/safety/foods.toml"))?,
            cautions: cautions.caution,
        })
    }

    /// Core limits of a class of food, strictest first; rows that nobody read come last.
    #[must_use]
    pub fn core_of(&self, food: &str) -> Vec<&TemperatureRow> {
        let mut rows: Vec<_> = self
            .temperatures
            .core
            .iter()
            .filter(|row| row.food == food)
            .collect();
        rows.sort_by_key(|row| {
            (
                row.source.read == super::Read::Memory,
                std::cmp::Reverse(row.limit.celsius()),
            )
        });
        rows
    }

    /// The highest of the hot-holding limits.
    #[must_use]
    pub fn strictest_hot_hold(&self) -> Option<&TemperatureRow> {
        self.temperatures
            .hot_hold
            .iter()
            .max_by_key(|row| row.limit.celsius())
    }

    /// The lowest of the cold-holding limits.
    #[must_use]
    pub fn strictest_cold_hold(&self) -> Option<&TemperatureRow> {
        self.temperatures
            .cold_hold
            .iter()
            .min_by_key(|row| row.limit.celsius())
    }

    /// A clock by its id.
    #[must_use]
    pub fn clock(&self, id: &str) -> Option<&ClockRow> {
        self.times.clock.iter().find(|row| row.id == id)
    }

    /// Storage rows of a class of food, the shortest time first.
    #[must_use]
    pub fn storage_of(&self, food: &str) -> Vec<&StorageRow> {
        let mut rows: Vec<_> = self.storage.iter().filter(|row| row.food == food).collect();
        rows.sort_by_key(|row| (row.most, row.days));
        rows
    }
}

#[cfg(test)]
#[path = "tables_tests.rs"]
mod tests;
