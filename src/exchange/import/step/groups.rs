//! Ingredients by what a step calls several of them together. Which belong to what: common practice, no source.

use super::uses::singular_words;
use crate::exchange::import::phrases;

/// What a step says, and the words of the items that it means.
const GROUPS: &[(&[&str], &[&str])] = &[
    (
        &[
            "the spices",
            "all spices",
            "all the spices",
            "ground spices",
            "whole spices",
        ],
        SPICES,
    ),
    (
        &["the herbs", "all the herbs", "fresh herbs", "chopped herbs"],
        HERBS,
    ),
    (&["dry ingredients"], DRY),
    (&["wet ingredients", "liquid ingredients"], WET),
];

const SPICES: &[&str] = &[
    "cumin",
    "paprika",
    "turmeric",
    "cinnamon",
    "cardamom",
    "clove",
    "nutmeg",
    "mace",
    "allspice",
    "cayenne",
    "star anise",
    "aniseed",
    "fennel seed",
    "mustard seed",
    "coriander seed",
    "ground coriander",
    "ground ginger",
    "saffron",
    "garam masala",
    "curry powder",
    "fenugreek",
    "caraway",
    "juniper",
    "chilli powder",
    "chili powder",
    "chilli flake",
    "chili flake",
    "sumac",
    "peppercorn",
    "nigella",
    "asafoetida",
    "mixed spice",
];

const HERBS: &[&str] = &[
    "parsley",
    "basil",
    "thyme",
    "rosemary",
    "sage",
    "oregano",
    "marjoram",
    "dill",
    "mint",
    "chive",
    "tarragon",
    "chervil",
    "bay leaf",
    "coriander leaf",
    "cilantro",
    "lovage",
    "savory",
];

const DRY: &[&str] = &[
    "flour",
    "sugar",
    "baking powder",
    "baking soda",
    "bicarbonate",
    "salt",
    "cocoa",
    "cornflour",
    "starch",
    "semolina",
    "oat",
    "ground almond",
    "yeast",
    "polenta",
];

const WET: &[&str] = &[
    "milk",
    "buttermilk",
    "egg",
    "oil",
    "yoghurt",
    "yogurt",
    "honey",
    "syrup",
    "treacle",
    "water",
    "juice",
    "vanilla extract",
    "cream",
    "vinegar",
];

/// Whether a normal text names a group that the ingredient belongs to.
pub(super) fn holds(normal: &str, item: &str) -> bool {
    let item = singular_words(item);
    GROUPS.iter().any(|(said, members)| {
        let belongs = |member: &&str| item.contains(&singular_words(member));
        phrases::says(normal, said) && members.iter().any(belongs)
    })
}
