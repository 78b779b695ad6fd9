//! The kind of work that a text describes, by its verbs.

use super::{Heat, heats, place, says, times};
use crate::measure::Ratio;

/// What a step does, by its verb.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::exchange::import) enum Work {
    /// In the oven.
    Oven,
    /// On the hob, left alone for minutes at a time.
    Simmer,
    /// On the hob, with the cook beside it.
    Hob,
    /// Waiting: cold, warm, or on the worktop.
    Wait,
    /// At the worktop.
    Hand,
}

const OVEN: &[&str] = &[
    "bake",
    "baking",
    "roast",
    "roasting",
    "in the oven",
    "return to the oven",
    "to the oven",
];
const SIMMER: &[&str] = &[
    "simmer",
    "simmering",
    "boil",
    "poach",
    "steam",
    "braise",
    "parboil",
    "blanch",
    "slow cook",
    "bubble gently",
];
const HOB: &[&str] = &[
    "fry",
    "saute",
    "sauté",
    "sweat",
    "brown",
    "sear",
    "melt",
    "heat",
    "toast",
    "soften",
    "stir-fry",
    "reduce",
    "warm the",
    "warm through",
    "warm up",
    "rewarm",
    "griddle",
    "caramelise",
    "caramelize",
    "wilt",
    "scramble",
    "deep-fry",
    "on the hob",
    "on the stove",
    "medium heat",
    "low heat",
    "high heat",
    "bring to the boil",
    "bring to a boil",
    "cook",
];
const WAIT: &[&str] = &[
    "chill",
    "refrigerate",
    "rest",
    "marinate",
    "marinade",
    "prove",
    "proof",
    "rise",
    "soak",
    "freeze",
    "cool",
    "let stand",
    "leave to stand",
    "stand",
    "infuse",
    "steep",
    "set aside",
    "drain for",
    "drain on",
    "leave",
    "let sit",
    "defrost",
    "thaw",
];

/// Phrases that name the oven's work without doing it.
const NO_OVEN: &[&str] = &[
    "baking tray",
    "baking pan",
    "baking sheet",
    "baking dish",
    "baking powder",
    "baking soda",
    "roasting tin",
    "roasting pan",
    "roasting tray",
    "dutch oven",
    "ready to bake",
    "ready to roast",
    "baking paper",
    "baking parchment",
];

/// "Braise in oven until tender": not the pot that is put in there to get hot.
fn cooks_in_oven(text: &str) -> bool {
    says(text, &["in oven", "in hot oven", "in preheated oven"])
        && says(
            text,
            &["until", "minute", "minutes", "min", "mins", "hour", "hours"],
        )
}

/// Under the grill (the broiler) of an oven: not in a grill pan, and not over coals.
pub(in crate::exchange::import) fn under_the_grill(text: &str) -> bool {
    says(
        text,
        &[
            "under the grill",
            "under a grill",
            "under a hot grill",
            "under the hot grill",
            "under a medium grill",
            "under a preheated grill",
            "under the preheated grill",
            "under the broiler",
            "under a broiler",
            "under a hot broiler",
            "broil",
            "broil on high",
        ],
    )
}

/// "Heat the grill to high": that of the oven.
pub(in crate::exchange::import) fn lights_the_grill(text: &str) -> bool {
    let lit = [
        "preheat the grill",
        "heat the grill",
        "preheat grill",
        "heat grill",
        "turn on the grill",
        "turn the grill on",
        "light the grill",
        "set the grill",
        "preheat the broiler",
        "heat the broiler",
        "preheat broiler",
        "heat broiler",
        "turn on the broiler",
    ];
    let other = ["pan", "griddle", "barbecue", "charcoal", "coals", "outdoor"];
    says(text, &lit) && !says(text, &other)
}

/// "Take the beef out of the fridge 2 hours before cooking".
fn loses_its_chill(text: &str) -> bool {
    const OUT: &[&str] = &[
        "out of the fridge",
        "out of the refrigerator",
        "from the fridge",
        "from the refrigerator",
        "to room temperature",
    ];
    let before = text.split_once("before ").map(|(_, rest)| rest);
    let verb = before.and_then(|rest| rest.split([' ', ',', '.']).next());
    says(text, OUT) && verb.is_some_and(|verb| verb.ends_with("ing") || verb == "you")
}

/// "Reheat for half an hour at 160 C": no pan is set to that.
fn is_reheated_in_oven(text: &str) -> bool {
    let hot = |heat: &Heat| !heat.inside && heat.celsius >= Ratio::from_integer(100);
    says(text, &["reheat", "rewarm", "warm through", "warm up"])
        && !says(text, &["oil", "fat", "fry", "pan"])
        && heats(text).iter().any(hot)
}

/// What kind of work a normal text describes.
pub(in crate::exchange::import) fn work(text: &str) -> Work {
    let bare = NO_OVEN
        .iter()
        .fold(text.to_owned(), |text, phrase| text.replace(phrase, ""));
    if loses_its_chill(&bare) {
        return Work::Wait;
    }
    if cooks_in_oven(&bare) || under_the_grill(&bare) {
        return Work::Oven;
    }
    if says(&bare, OVEN) && !says(&bare, &["out of the oven", "from the oven"]) {
        return Work::Oven;
    }
    if is_reheated_in_oven(&bare) {
        return Work::Oven;
    }
    // Nouns that look like verbs, and heat that is left.
    let off = [
        "turn off the heat",
        "off the heat",
        "from the heat",
        "from heat",
        "off heat",
        "the rest of",
        "rest of the",
        "add the rest",
        "steam to escape",
        "steam escape",
        "the steam",
        "allow steam",
        "let steam",
        "any steam",
    ];
    let text = &off
        .iter()
        .fold(text.to_owned(), |text, phrase| text.replace(phrase, ""));
    let first = |words: &[&str]| words.iter().filter_map(|w| place(text, w)).min();
    // "Keep it at a simmer": it waits hot for what follows.
    let simmers = BOIL
        .iter()
        .chain(KEPT_HOT)
        .fold(text.to_owned(), |text, phrase| text.replace(phrase, ""));
    let simmers = SIMMER.iter().any(|w| place(&simmers, w).is_some());
    match (
        simmers.then_some(()),
        first(WAIT),
        first(HOB).or(first(BOIL)),
    ) {
        (Some(_), _, _) => Work::Simmer,
        // "Set aside." ends what was done; nothing is waited for.
        (None, Some(_), None) if says(text, &["set aside"]) && times(text).is_empty() => Work::Hand,
        (None, Some(wait), hob) if hob.is_none_or(|hob| wait < hob) => Work::Wait,
        (None, Some(_), _) if says(text, &["chill", "refrigerate"]) => Work::Wait,
        (None, _, Some(_)) => Work::Hob,
        _ => Work::Hand,
    }
}

/// Phrases by which a liquid is brought to its boil, which takes its own time before what is cooked in it begins.
const BOIL: &[&str] = &[
    "to the boil",
    "to a boil",
    "to boiling",
    "to a simmer",
    "to a gentle simmer",
    "to simmering point",
];

const KEPT_HOT: &[&str] = &[
    "keep it at a simmer",
    "keep it at a gentle simmer",
    "keep it at a bare simmer",
    "keep at a simmer",
    "keep it simmering",
    "keep hot at a simmer",
];

/// Whether something is brought to the boil.
pub(in crate::exchange::import) fn comes_to_the_boil(text: &str) -> bool {
    BOIL.iter().any(|phrase| place(text, phrase).is_some())
}
