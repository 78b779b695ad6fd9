//! The order at the cutting board.

use super::{Board, Group, Part, users};
use crate::measure::food;
use crate::menu::model::{Dish, Ingredient, Session};
use crate::menu::shop::sections;

/// Words of cutting, as notes and steps have them.
const CUT: &[&str] = &[
    "chop",
    "slic",
    "dice",
    "cut ",
    "cut,",
    "mince",
    "trim",
    "joint",
    "fillet",
    "shred",
    "halve",
    "quarter",
    "julienne",
    "carve",
    "cube",
    "segment",
    "strip",
    "wedge",
    "chunk",
    "peel",
    "score",
    "butterfl",
    "spatchcock",
];

/// What is cut, by group.
pub(super) fn board(session: &Session, part: &Part<'_>) -> Vec<Board> {
    let mut boards: Vec<Board> = Vec::new();
    for (index, dish) in session.dishes.iter().enumerate() {
        for ingredient in &dish.ingredients {
            let Some(group) = group(
                &ingredient.item,
                ingredient.note.as_deref().unwrap_or_default(),
            ) else {
                continue;
            };
            if !is_cut(dish, ingredient) || !part.has(index, dish, ingredient) {
                continue;
            }
            let note = ingredient
                .note
                .as_deref()
                .map(|n| format!(", {n}"))
                .unwrap_or_default();
            let item = format!("{}{note} ({})", ingredient.item, dish.title);
            match boards.iter_mut().find(|b| b.group == group) {
                Some(board) if board.items.contains(&item) => {}
                Some(board) => board.items.push(item),
                None => boards.push(Board {
                    group,
                    items: vec![item],
                }),
            }
        }
    }
    boards.sort_by_key(|b| b.group);
    boards
}

/// What goes over the board though nobody says so, unless it is wanted whole. Common practice, no source.
const ALWAYS_CUT: &[&str] = &[
    "onion", "garlic", "shallot", "leek", "celery", "carrot", "fennel", "cabbage", "ginger",
    "scallion",
];

fn is_cut(dish: &Dish, ingredient: &Ingredient) -> bool {
    let says = |text: &str| {
        let lower = format!("{} ", text.to_lowercase());
        CUT.iter().any(|w| lower.contains(w))
    };
    let note = ingredient.note.as_deref().unwrap_or_default();
    let name = food::key(&ingredient.item);
    let always = ALWAYS_CUT
        .iter()
        .any(|w| name.split(' ').any(|word| food::key(word) == *w));
    let spice = ["seed", "powder", "salt", "ground", "dried", "granule"];
    let whole = |text: &str| {
        ["whole", "unpeeled", "in its skin"]
            .iter()
            .any(|w| text.contains(w))
    };
    if always && !spice.iter().any(|w| name.contains(w)) && !whole(&note.to_lowercase()) {
        return true;
    }
    says(&format!("{} {note}", ingredient.item))
        || users(dish, ingredient)
            .filter_map(|s| dish.steps.get(s))
            .any(|s| says(&s.instruction))
}

/// Where the ingredient belongs at the board; `None`: it doesn't go there. Common practice, no source.
fn group(item: &str, note: &str) -> Option<Group> {
    const POULTRY: &[&str] = &[
        "chicken",
        "duck",
        "turkey",
        "goose",
        "guinea fowl",
        "quail",
        "pheasant",
        "partridge",
        "pigeon",
        "poultry",
        "poussin",
    ];
    const CURED: &[&str] = &[
        "cooked",
        "smoked",
        "cured",
        "ham",
        "prosciutto",
        "salami",
        "pancetta",
        "chorizo",
        "tinned",
        "canned",
    ];
    let lower = format!("{} {}", item.to_lowercase(), note.to_lowercase());
    let says = |words: &[&str]| {
        let text: Vec<String> = lower
            .split(|c: char| !c.is_alphanumeric())
            .map(food::key)
            .collect();
        let text = format!(" {} ", text.join(" "));
        words.iter().any(|w| text.contains(&format!(" {w} ")))
    };
    match sections::name(sections::of(item)) {
        "Meat and poultry" | "Fish and seafood" if says(CURED) => Some(Group::ReadyToEat),
        "Meat and poultry" if says(POULTRY) => Some(Group::Poultry),
        "Meat and poultry" => Some(Group::Meat),
        "Fish and seafood" => Some(Group::Fish),
        "Fruit and vegetables" | "Fresh herbs" | "Bread" | "Milk, cheese and eggs" => {
            Some(Group::ReadyToEat)
        }
        _ => None,
    }
}
