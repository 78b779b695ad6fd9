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

/// Each row of the core table against the text it is from: food, authority, limit, seconds held, seconds of rest.
#[test]
fn core_rows_are_those_of_their_sources() {
    const FSIS: &str = "USDA FSIS";
    const CODE: &str = "FDA Food Code";
    for (food, source, limit, hold, rest) in [
        // USDA FSIS, Safe Minimum Internal Temperature Chart.
        ("meat", FSIS, "145 F", 0, 180),
        ("ground meat", FSIS, "160 F", 0, 0),
        ("poultry", FSIS, "165 F", 0, 0),
        ("ham", FSIS, "145 F", 0, 180),
        // Cooked ham: 140 F if packed under inspection, 165 F if not; the stricter counts.
        ("cooked ham", FSIS, "165 F", 0, 0),
        ("egg", FSIS, "160 F", 0, 0),
        ("fish", FSIS, "145 F", 0, 0),
        ("leftovers", FSIS, "165 F", 0, 0),
        // FDA Food Code 2022, 3-401.11(A)(1) to (3), 3-401.12, 3-401.13, 3-403.11(A).
        ("meat", CODE, "145 F", 15, 0),
        ("fish", CODE, "145 F", 15, 0),
        ("ground meat", CODE, "155 F", 17, 0),
        ("poultry", CODE, "165 F", 0, 0),
        ("game", CODE, "165 F", 0, 0),
        ("microwave", CODE, "165 F", 0, 120),
        ("plant", CODE, "135 F", 0, 0),
        ("leftovers", CODE, "165 F", 15, 0),
        // ACMSF 2007, Report on the safe cooking of burgers, summary.
        ("ground meat", "ACMSF", "70 C", 120, 0),
    ] {
        let limit: Limit = limit.parse().unwrap();
        let rows = Tables::get().core_of(food);
        let found = rows.iter().any(|row| {
            row.source.source.starts_with(source)
                && (row.limit, row.hold, row.rest) == (limit, hold, rest)
        });
        assert!(found, "{food} of {source}: {limit}");
    }
}

/// Holding, roasting and the oven's air: FDA Food Code 2022 3-501.16(A) and (B)(1) of 3-401.11, USDA FSIS (consumer
/// answer; How Temperatures Affect Food), Food Hygiene (Wales) Regulations 2006 Sch 4 para 6, SI 2013/2996 Sch 4.
#[test]
fn holding_and_oven_rows_are_those_of_their_sources() {
    let limits = |rows: &[TemperatureRow]| -> Vec<String> {
        let mut all: Vec<_> = rows.iter().map(|row| row.limit).collect();
        all.sort_by_key(|limit| limit.celsius());
        all.iter()
            .map(|limit| limit.to_string().split(" (").next().unwrap().to_owned())
            .collect()
    };
    let t = &Tables::get().temperatures;
    assert_eq!(limits(&t.hot_hold), ["135 F", "140 F", "63 C"]);
    assert_eq!(limits(&t.cold_hold), ["40 F", "41 F", "8 C"]);
    assert_eq!(limits(&t.oven), ["250 F", "325 F"]);
    // FDA Food Code 3-401.11(B)(2): 112, 36, 12 and 4 minutes.
    let held: Vec<_> = t.roast_hold.iter().map(|row| row.hold).collect();
    assert_eq!(limits(&t.roast_hold), ["130 F", "135 F", "140 F", "145 F"]);
    assert_eq!(held, [112 * 60, 36 * 60, 12 * 60, 4 * 60]);
}

/// FDA Food Code 2022 3-403.11(D), 3-501.14, 3-501.19(B); USDA release of June 2016; FSA and NHS advice on rice; FDA Bad
/// Bug Book as quoted for beans. From memory: SI 2013/2996 for one period below 63 C, 3-501.14(B).
#[test]
fn clocks_are_those_of_their_sources() {
    const HOUR: u32 = 3600;
    for (id, within, read) in [
        ("cooling, from room temperature", 4 * HOUR, false),
        ("reheating", 2 * HOUR, true),
        ("time only", 4 * HOUR, true),
        ("rice, eaten", 24 * HOUR, true),
        ("cooling, processed meat", HOUR + HOUR / 2, true),
        ("below hot hold, once", 2 * HOUR, false),
        ("kidney beans, soak", 5 * HOUR, true),
        ("kidney beans, boil", HOUR / 2, true),
    ] {
        let row = Tables::get().clock(id).unwrap();
        assert_eq!(row.within, within, "{id}");
        assert_eq!(row.source.read != Read::Memory, read, "{id}");
    }
    // Extension services, as restated: at most 2 in (5.1 cm).
    let depth = Tables::get().times.depth.first().unwrap();
    assert!((depth.millimetres - 2.0 * 25.4).abs() < 1e-9);
}

/// US HHS 2020: in the refrigerator 24 hours for every 4 to 5 lb, in cold water 30 minutes a pound. Worked: 12 and 16 lb
/// take up to 72 and 96 h, and 6 and 8 h.
#[test]
fn thawing_takes_as_long_as_the_advice_says() {
    let hours = |id: &str, pounds: f64| {
        let rows = &Tables::get().times.thaw;
        let row = rows.iter().find(|row| row.id == id).unwrap();
        row.seconds_per_kg * pounds * 0.453_592_37 / 3600.0
    };
    for (id, pounds, want) in [
        ("refrigerator", 12.0, 72.0),
        ("refrigerator", 16.0, 96.0),
        ("cold water", 12.0, 6.0),
        ("cold water", 16.0, 8.0),
    ] {
        let got = hours(id, pounds);
        assert!((got - want).abs() < 0.1, "{id} {pounds} lb: {got}");
    }
}

/// USDA FSIS storage-time data: ids 24, 23, 43, 34 to 67, 113, 144, 193, 173, 135, 148.
#[test]
fn days_in_the_refrigerator_are_those_of_the_data() {
    for (food, days, most, id) in [
        ("egg dish", 3, 4, "24"),
        ("hard-boiled egg", 7, 7, "23"),
        ("ground meat", 1, 2, "43"),
        ("meat", 3, 5, "34 to 67"),
        ("poultry", 1, 2, "113"),
        ("fish", 1, 2, "144"),
        ("soup", 3, 4, "193"),
        ("leftovers", 3, 4, "173"),
        ("cooked poultry", 3, 4, "135"),
        ("cooked fish", 3, 4, "148"),
    ] {
        let rows = Tables::get().storage_of(food);
        let row = rows.iter().find(|row| row.source.section.contains(id));
        let row = row.unwrap_or_else(|| panic!("{food}: no row of id {id}"));
        assert_eq!((row.days, row.most), (days, most), "{food}");
    }
}
