//! Hot liquid in a closed blender.

use super::{
    finding::{Finding, Severity},
    view::{StepView, View},
};
use crate::safety::Source;

/// Hot liquid in a blender whose lid is shut.
pub(super) fn closed(view: &View<'_>, step: &StepView<'_>) -> Option<Finding> {
    const BLENDER: &[&str] = &[
        "blender",
        "liquidiser",
        "liquidizer",
        "jug blender",
        "smoothie maker",
    ];
    const BY_HAND: &[&str] = &[
        "stick blender",
        "hand blender",
        "immersion blender",
        "hand held blender",
        "blender in the pot",
    ];
    const VENTED: &[&str] = &[
        "vent",
        "vented",
        "lid ajar",
        "lid off",
        "lid open",
        "cap out",
        "cap off",
        "cloth",
        "tea towel",
        "towel",
        "steam escape",
        "let the steam",
        "open lid",
        "without the lid",
        "plug out",
    ];
    const COOLED: &[&str] = &["cool*", "cold", "chill*", "lukewarm", "ice"];
    const SHUT: &[&str] = &[
        "lid tight*",
        "tight lid",
        "lid closed",
        "closed lid",
        "seal*",
        "clamp*",
        "lid locked",
        "lock the lid",
        "to the brim",
        "to the top",
        "fill it up",
        "all at once",
        "in one go",
        "lid on tight*",
        "lid shut",
        "close the lid",
    ];
    let uses = step.needs(BLENDER) || step.says(BLENDER);
    let by_hand = step.needs(BY_HAND) || step.says(BY_HAND);
    if !uses || by_hand {
        return None;
    }
    let hot_before = view.steps.iter().any(|other| {
        let comes_before = step
            .step
            .after
            .iter()
            .any(|r| r.dish == other.dish.id && r.step == other.step.id);
        let liquid = other.says(&[
            "boil*", "simmer*", "soup", "stock", "broth", "poach*", "braise", "stew", "milk",
            "cream", "sauce", "water", "wine", "liquid",
        ]);
        comes_before
            && other.hot
            && liquid
            && !other.says(COOLED)
            && !other.says(&["drain", "refresh*"])
    });
    let hot = step.step.hot
        || hot_before
        || step.says(&[
            "hot soup",
            "boiling",
            "while hot",
            "while it is hot",
            "still hot",
            "hot liquid",
            "piping hot",
        ]);
    if !hot || step.says(&["grind", "spice"]) || (step.says(COOLED) && !step.says(SHUT)) {
        return None;
    }
    let (vented, filled_low) = (
        step.says(VENTED),
        step.step.hot && step.step.batch.is_some(),
    );
    let severity = match (step.says(SHUT), vented, filled_low) {
        (false, true, true) => return None,
        (false, true, false) | (false, false, true) => Severity::Caution,
        _ => Severity::Unsafe,
    };
    let words = "Hot liquid in a closed blender bursts its lid: fill it a third to two thirds (batch with hot = true), vent open, a cloth over it, start slow; or use a hand blender in the pot";
    Some(
        Finding::new(severity, "hot blender", words, vec![Source::practice()])
            .of_step(step.dish, step.step),
    )
}
