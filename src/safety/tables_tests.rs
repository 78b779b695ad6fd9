use std::collections::HashSet;

use super::*;
use crate::safety::Read;

fn core(food: &str) -> Limit {
    Tables::get()
        .core_of(food)
        .first()
        .map(|row| row.limit)
        .unwrap()
}

#[test]
fn every_table_can_be_read() {
    Tables::parse().unwrap();
}

/// USDA FSIS, Safe Minimum Internal Temperature Chart.
#[test]
fn core_temperatures_of_the_chart() {
    assert_eq!(core("poultry").to_string(), "165 F (73.9 C)");
    assert_eq!(core("ground meat").to_string(), "160 F (71.1 C)");
    assert_eq!(core("meat").to_string(), "145 F (62.8 C)");
    assert_eq!(core("fish").to_string(), "145 F (62.8 C)");
    assert_eq!(core("egg").to_string(), "160 F (71.1 C)");
    assert_eq!(core("leftovers").to_string(), "165 F (73.9 C)");
    let tables = Tables::get();
    let fsis = tables
        .core_of("meat")
        .into_iter()
        .find(|row| row.source.source == "USDA FSIS");
    assert_eq!(fsis.map(|row| row.rest), Some(180));
}

/// The authorities differ on hot holding: 135 F (FDA), 140 F (USDA), 63 C (UK). The stricter is 63 C.
#[test]
fn the_stricter_hot_hold_wins() {
    let row = Tables::get().strictest_hot_hold().unwrap();
    assert_eq!(row.limit.to_string(), "63 C (145.4 F)");
    let row = Tables::get().strictest_cold_hold().unwrap();
    assert_eq!(row.limit.to_string(), "40 F (4.4 C)");
}

/// USDA data give cooked rice 4 to 6 days, the UK 24 hours: the stricter comes first.
#[test]
fn the_stricter_storage_of_rice_comes_first() {
    let rows = Tables::get().storage_of("rice");
    assert_eq!(rows.first().map(|row| row.most), Some(1));
    assert_eq!(rows.last().map(|row| (row.days, row.most)), Some((4, 6)));
}

#[test]
fn clocks_of_cooling() {
    let within = |id| Tables::get().clock(id).map(|row| row.within);
    assert_eq!(within("cooling, first step"), Some(2 * 3600));
    assert_eq!(within("cooling, total"), Some(6 * 3600));
    assert_eq!(within("rice, cooling"), Some(3600));
    assert_eq!(within("danger zone"), Some(2 * 3600));
    assert_eq!(within("danger zone, hot day"), Some(3600));
}

#[test]
fn every_row_says_where_it_is_from() {
    let tables = Tables::get();
    let t = &tables.temperatures;
    let mut sources: Vec<&Source> = Vec::new();
    for rows in [&t.core, &t.roast_hold, &t.hot_hold, &t.cold_hold, &t.oven] {
        sources.extend(rows.iter().map(|row| &row.source));
    }
    sources.extend(tables.times.clock.iter().map(|row| &row.source));
    sources.extend(tables.times.depth.iter().map(|row| &row.source));
    sources.extend(tables.times.thaw.iter().map(|row| &row.source));
    sources.extend(tables.storage.iter().map(|row| &row.source));
    sources.extend(tables.allergens.list.iter().map(|row| &row.source));
    for source in sources {
        assert!(
            !source.source.is_empty() && !source.section.is_empty() && !source.year.is_empty(),
            "{source:?}"
        );
        if source.read == Read::Memory {
            assert!(!source.to_string().contains(&source.source));
        }
    }
}

/// Regulation (EU) No 1169/2011, Annex II: fourteen. FALCPA 2004 with the FASTER Act 2021: nine.
#[test]
fn the_law_names_fourteen_and_nine() {
    let lists = &Tables::get().allergens.list;
    let count = |name: &str| {
        lists
            .iter()
            .find(|list| list.name == name)
            .map(|list| list.allergens.len())
    };
    assert_eq!(count("EU"), Some(14));
    assert_eq!(count("US"), Some(9));
    let known: HashSet<_> = Tables::get()
        .allergens
        .allergen
        .iter()
        .map(|row| row.id.as_str())
        .collect();
    for allergen in lists.iter().flat_map(|list| &list.allergens) {
        assert!(known.contains(allergen.as_str()), "{allergen}");
    }
}
