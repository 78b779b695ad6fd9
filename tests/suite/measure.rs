//! Amounts and units, from outside.

use std::process::Command;

use mealtide::measure::unit::{Dimension, Unit};

/// The unit's name in pint; `None` where pint has no such unit (it lacks the metric cup and spoons).
fn in_pint(unit: Unit) -> Option<&'static str> {
    Some(match unit {
        Unit::Milligram => "milligram",
        Unit::Gram => "gram",
        Unit::Kilogram => "kilogram",
        Unit::Ounce => "ounce",
        Unit::Pound => "pound",
        Unit::Millilitre => "milliliter",
        Unit::Centilitre => "centiliter",
        Unit::Decilitre => "deciliter",
        Unit::Litre => "liter",
        Unit::Teaspoon => "teaspoon",
        Unit::Tablespoon => "tablespoon",
        Unit::FluidOunce => "fluid_ounce",
        Unit::Cup => "cup",
        Unit::Pint => "pint",
        Unit::DryPint => "dry_pint",
        Unit::Quart => "quart",
        Unit::Gallon => "gallon",
        Unit::ImperialFluidOunce => "imperial_fluid_ounce",
        Unit::ImperialPint => "imperial_pint",
        Unit::ImperialQuart => "imperial_quart",
        Unit::ImperialGallon => "imperial_gallon",
        Unit::Millimetre => "millimeter",
        Unit::Centimetre => "centimeter",
        Unit::Inch => "inch",
        Unit::MetricTeaspoon
        | Unit::MetricTablespoon
        | Unit::MetricCup
        | Unit::AustralianTablespoon
        | Unit::JapaneseCup => return None,
    })
}

/// Runs `tests/reference/units.py` where Python and pint are installed, and says so where they are not.
#[test]
fn units_agree_with_pint() {
    let rows: Vec<_> = Unit::all()
        .filter_map(|unit| {
            let base = match unit.dimension() {
                Dimension::Mass => "g",
                Dimension::Volume => "ml",
                Dimension::Length => "mm",
            };
            let size = unit.size();
            let (numer, denom) = (*size.numer() as i64, *size.denom() as i64);
            Some(serde_json::json!({"unit": in_pint(unit)?, "size": [numer, denom], "base": base}))
        })
        .collect();
    assert_eq!(rows.len(), 24);
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("units.json");
    std::fs::write(&file, serde_json::to_string(&rows).unwrap()).unwrap();
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/reference/units.py");
    let ran = Command::new("python3").arg(script).arg(&file).output();
    let Ok(ran) = ran else {
        eprintln!("python3 is not installed: units were NOT cross-checked");
        return;
    };
    let said = String::from_utf8_lossy(&ran.stdout);
    eprint!("{said}");
    match ran.status.code() {
        Some(3) => {}
        Some(0) => assert!(said.contains("24 units compared, 0 differ"), "{said}"),
        code => panic!("{code:?}: {said}{}", String::from_utf8_lossy(&ran.stderr)),
    }
}
