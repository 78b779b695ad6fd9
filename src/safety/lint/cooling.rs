//! Cooling: 57 to 21 C within two hours, to 5 C within six; the depth of the layer decides.

use super::{
    finding::{Finding, Severity},
    view::{StepView, View},
};
use crate::{
    measure::{Ratio, duration, to_f64},
    safety::{
        Source, Tables,
        heat::{Body, Shape},
        words::{says, tokens},
    },
};

const COOLS: &[&str] = &[
    "cool",
    "cooling",
    "cool down",
    "let it cool",
    "leave to cool",
    "go cold",
    "get cold",
    "cold before",
];
const NOT_COOLING: &[&str] = &[
    "cool enough to handle",
    "cool place",
    "cool oven",
    "cool on a rack",
    "cool on the rack",
    "cool on a wire rack",
    "wire rack",
    "cool water",
    "cool the oven",
];
const SHALLOW: &[&str] = &[
    "shallow",
    "divide",
    "divided",
    "ice bath",
    "over ice",
    "ice water",
    "in ice",
    "on ice",
    "flat tray",
    "portion*",
    "thin layer",
    "spread",
    "cold water",
    "blast chill*",
    "deeper than",
    "no deeper",
];
const POTS: &[&str] = &[
    "stockpot",
    "stock pot",
    "pot",
    "saucepan",
    "casserole",
    "bucket",
    "pan",
    "covered",
    "lid on",
    "dutch oven",
];
const LIQUID: &[&str] = &[
    "soup", "stock", "broth", "stew", "sauce", "ragu", "chilli", "chili", "curry", "gravy",
    "braise", "bisque", "dal", "custard", "porridge", "beans",
];

/// Litres from which a pot can't cool in time whatever the room does; common practice.
const HOPELESS_LITRES: i128 = 4;
/// Litres from which the depth is worth a word; common practice.
const BIG_LITRES: i128 = 2;

pub(super) fn check(view: &View<'_>, findings: &mut Vec<Finding>) {
    for step in &view.steps {
        if !step.cooked || !step.is_perishable() {
            continue;
        }
        findings.extend(too_slow(step).or_else(|| too_deep(view, step)));
        findings.extend(ahead_in_one_pot(view, step));
    }
}

fn cools(step: &StepView<'_>) -> bool {
    (step.says(COOLS) && !step.says(NOT_COOLING))
        || (step.says(&["chill", "refrigerate"]) && !step.hot)
}

fn sources(ids: &[&str]) -> Vec<Source> {
    let rows = ids.iter().filter_map(|id| Tables::get().clock(id));
    super::core::distinct(rows.map(|row| &row.source))
}

/// Planned to cool, outside the refrigerator, for longer than the first step may last.
fn too_slow(step: &StepView<'_>) -> Option<Finding> {
    if !cools(step) || step.is_cold() || step.hot {
        return None;
    }
    let rice = step.own.contains("rice") || (step.own.is_empty() && step.upstream.contains("rice"));
    let id = if rice {
        "rice, cooling"
    } else {
        "cooling, first step"
    };
    let row = Tables::get().clock(id)?;
    let limit = Ratio::from_integer(i128::from(row.within));
    let planned = step.longest() + step.step.keeps.unwrap_or_default();
    if planned <= limit {
        return None;
    }
    let words = format!(
        "It cools for up to {}: {} within {}, and to 41 F (5 C) within 6 h in all; shallow layers, an ice bath, then the refrigerator",
        duration::print(planned),
        row.what,
        duration::print(limit)
    );
    let all = sources(&[id, "cooling, first step", "cooling, total"]);
    let severity = if step.is_dry_bake() {
        Severity::Caution
    } else {
        Severity::Unsafe
    };
    Some(Finding::new(severity, "cooling", words, all).of_step(step.dish, step.step))
}

/// A layer that is said to be deep, or a big pot.
fn too_deep(view: &View<'_>, step: &StepView<'_>) -> Option<Finding> {
    if !cools(step) || step.says(&["no deeper", "not deeper", "at most"]) {
        return None;
    }
    let row = Tables::get().times.depth.first()?;
    let said = millimetres_deep(&step.step.instruction);
    if let Some(deep) = said.filter(|deep| *deep > row.millimetres) {
        let words = format!("{}; {}", depth_words(deep), row.what);
        let mut all = sources(&["cooling, first step", "cooling, total"]);
        all.push(row.source.clone());
        return Some(
            Finding::new(Severity::Unsafe, "cooling", words, all).of_step(step.dish, step.step),
        );
    }
    let litres = view.litres(step.dish)?;
    let pot = step.says(POTS) || step.needs(POTS);
    if said.is_some()
        || !pot
        || step.says(SHALLOW)
        || step.needs(&["tray", "ice bath"])
        || litres < Ratio::from_integer(HOPELESS_LITRES)
    {
        return None;
    }
    let words = format!(
        "{}; pour it into layers of 2.5 cm, or set the pot in ice water and stir",
        pot_words(litres)
    );
    let mut all = sources(&["cooling, first step", "cooling, total"]);
    all.push(row.source.clone());
    Some(Finding::new(Severity::Unsafe, "cooling", words, all).of_step(step.dish, step.step))
}

/// Made ahead in a big batch, and not a word on how it cools.
fn ahead_in_one_pot(view: &View<'_>, step: &StepView<'_>) -> Option<Finding> {
    step.step.ahead?;
    let here = |other: &&StepView<'_>| other.dish.id == step.dish.id;
    let told = view
        .steps
        .iter()
        .filter(here)
        .any(|other| other.says(SHALLOW) || other.needs(&["tray", "ice bath"]));
    let liquid = step.says(LIQUID) || says(&tokens(&step.dish.title), LIQUID);
    let litres = view.litres(step.dish)?;
    if told || !liquid || litres < Ratio::from_integer(BIG_LITRES) {
        return None;
    }
    let row = Tables::get().times.depth.first()?;
    let words = format!(
        "Made ahead: {}; cool it in shallow layers of 2.5 cm, then chill",
        pot_words(litres)
    );
    let mut all = sources(&["cooling, first step", "cooling, total"]);
    all.push(row.source.clone());
    Some(Finding::new(Severity::Caution, "cooling", words, all).of_step(step.dish, step.step))
}

/// A pot as high as it is wide.
fn pot_words(litres: Ratio) -> String {
    let litres = to_f64(litres);
    let deep = (4.0 * litres * 1e6 / std::f64::consts::PI).cbrt();
    format!(
        "{litres:.1} L in one pot are about {:.0} cm deep, and {}",
        deep / 10.0,
        depth_words(deep)
    )
}

/// What conduction says of a layer: soup, k 0.55 W/m K and 0.14e-6 m2/s, chilled on both faces in moving air of 3 C (20 W/m2 K).
fn depth_words(millimetres: f64) -> String {
    let layer = Body {
        shape: Shape::Slab,
        size: millimetres / 2000.0,
        conductivity: 0.55,
        diffusivity: 0.14e-6,
    };
    let hours = |to: f64| {
        layer
            .seconds_to(20.0, 57.0, to, 3.0)
            .map_or(f64::INFINITY, |seconds| seconds / 3600.0)
    };
    format!(
        "unstirred, a layer of {:.0} mm takes about {:.1} h from 57 to 21 C (2 h allowed) and {:.0} h to 5 C (6 h allowed), even in a refrigerator's moving air",
        millimetres,
        hours(21.0),
        hours(5.0)
    )
}

/// "10 cm deep", "a depth of 8 cm".
fn millimetres_deep(text: &str) -> Option<f64> {
    let words = tokens(text);
    if !says(&words, &["deep", "depth"]) {
        return None;
    }
    let number = |word: &str| word.parse::<f64>().ok();
    let found = words.windows(2).find_map(|pair| match pair {
        [value, unit] => match unit.as_str() {
            "cm" | "centimetre" | "centimeter" => Some(number(value)? * 10.0),
            "mm" | "millimetre" => number(value),
            "in" | "inch" => Some(number(value)? * 25.4),
            _ => None,
        },
        _ => None,
    });
    found.or_else(|| {
        words
            .iter()
            .find_map(|word| number(word.strip_suffix("cm")?).map(|cm| cm * 10.0))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn depths_are_read_from_words() {
        assert_eq!(
            millimetres_deep("Leave it 10 cm deep in the tub"),
            Some(100.0)
        );
        assert_eq!(millimetres_deep("to a depth of 2 inches"), Some(50.8));
        assert_eq!(millimetres_deep("8cm deep"), Some(80.0));
        assert_eq!(millimetres_deep("cut in 2 cm dice"), None);
    }

    /// A layer of 100 mm takes 5.67 h to 21 C and 15.60 h to 5 C (series, computed outside).
    #[test]
    fn a_deep_layer_is_told_in_hours() {
        let words = depth_words(100.0);
        assert!(words.contains("5.7 h") && words.contains("16 h"), "{words}");
    }
}
