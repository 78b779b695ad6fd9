//! Vessels that don't hold what the dish makes.

use crate::measure::{Ratio, print};
use crate::menu::diagnostic::{At, Diagnostic};
use crate::menu::model::Kitchen;
use crate::menu::read::{RawDish, Reader};

/// Warns if the largest vessel of a dish is too small for what it makes for so many guests.
pub(super) fn too_small(reader: &mut Reader, raw: &RawDish, kitchen: &Kitchen, guests: u32) {
    let Some(makes) = raw.dish.makes else {
        return;
    };
    let factor = match raw.dish.serves {
        Some(serves) => Ratio::from_integer(i128::from(guests)) / serves,
        None => Ratio::from_integer(1),
    };
    let volume = makes * factor;
    let mut largest: Option<Vessel> = None;
    for (step, places) in raw.dish.steps.iter().zip(&raw.places) {
        for need in &step.needs {
            // What passes a vessel in batches may be more than it holds.
            if raw
                .dish
                .steps
                .iter()
                .any(|step| step.batch.as_ref() == Some(&need.name))
            {
                continue;
            }
            let ware = kitchen.wares.iter().find(|ware| ware.name == need.name);
            let Some(holds) = ware.and_then(|ware| ware.holds) else {
                continue;
            };
            let brim = holds * Ratio::from_integer(i128::from(need.count));
            let fill = if step.hot {
                brim * Ratio::new(2, 3)
            } else {
                brim
            };
            let at = places
                .needs
                .iter()
                .find(|n| n.value == need.name)
                .map_or(places.id, |n| n.at);
            if largest.as_ref().is_none_or(|best| fill > best.fill) {
                largest = Some(Vessel {
                    name: need.name.clone(),
                    fill,
                    hot: step.hot,
                    at,
                });
            }
        }
    }
    let Some(vessel) = largest.filter(|vessel| vessel.fill < volume) else {
        return;
    };
    let litres = |value: Ratio| format!("{} L", print::decimal(value, 2));
    let holds = if vessel.hot {
        "holds two thirds full"
    } else {
        "holds"
    };
    reader.push(
        Diagnostic::warning(
            vessel.at,
            format!(
                "'{}' is too small: '{}' makes {} for {guests}, and it {holds} {}",
                vessel.name,
                raw.dish.id,
                litres(volume),
                litres(vessel.fill)
            ),
        )
        .help("use a larger vessel, two of them, or 'batch'"),
    );
}

struct Vessel {
    name: String,
    fill: Ratio,
    hot: bool,
    at: At,
}
