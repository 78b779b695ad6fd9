//! The vessels and appliances that a text names.

use super::place;

/// Vessels and appliances, with the names that the dish file has for them.
const WARES: &[&str] = &[
    "saucepan",
    "frying pan",
    "skillet",
    "sauté pan",
    "saute pan",
    "stockpot",
    "stock pot",
    "pot",
    "casserole",
    "dutch oven",
    "wok",
    "roasting tin",
    "roasting pan",
    "roasting tray",
    "baking tray",
    "baking sheet",
    "baking dish",
    "sheet pan",
    "loaf pan",
    "loaf tin",
    "cake tin",
    "cake pan",
    "tart tin",
    "pie dish",
    "muffin tin",
    "muffin pan",
    "ramekins",
    "gratin dish",
    "griddle pan",
    "grill pan",
    "bowl",
    "blender",
    "air fryer",
    "food processor",
    "stand mixer",
    "mixer",
    "colander",
    "sieve",
    "pan",
    "tin",
    "tray",
];
const SIZES: &[&str] = &[
    "large",
    "small",
    "medium",
    "big",
    "deep",
    "wide",
    "heavy",
    "non-stick",
    "ovenproof",
    "heatproof",
    "second",
];

/// The vessels that a normal text names, each once.
pub(in crate::exchange::import) fn wares(text: &str) -> Vec<String> {
    let mut taken: Vec<(usize, usize, String)> = Vec::new();
    for ware in WARES {
        for form in [(*ware).to_owned(), format!("{ware}s")] {
            let Some(at) = place(text, &form) else {
                continue;
            };
            if taken
                .iter()
                .any(|(from, to, _)| at < *to && at + form.len() > *from)
            {
                continue;
            }
            let before = text.get(..at).unwrap_or_default().trim_end();
            let size = before.rsplit(' ').next().filter(|w| SIZES.contains(w));
            let name = size
                .map(|s| format!("{s} {ware}"))
                .unwrap_or_else(|| (*ware).to_owned());
            taken.push((at, at + form.len(), name));
        }
    }
    taken.sort();
    let mut names: Vec<String> = Vec::new();
    for (_, _, name) in taken {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}
