//! What to do before the first step: what to get out and when, cookware by first use, mise en place by dish, and
//! the order at the cutting board.
//!
//! Times are in seconds on the caller's own clock: when a step starts is the plan's to say.

use super::amounts::{self, Line};
use super::model::{Dish, Ingredient, Session};
use super::shop::sections;
use crate::measure::units::Units;
use crate::measure::{food, pan};

/// When a step starts, by dish and step index, in seconds; `None` if it isn't in the plan.
pub type Starts<'a> = &'a dyn Fn(usize, usize) -> Option<i64>;

/// Everything to prepare.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// What to get out or begin long before it is used, in order of time.
    pub get_out: Vec<GetOut>,
    /// Cookware in order of first use.
    pub cookware: Vec<Cookware>,
    /// Ingredients by dish, in the order of serving.
    pub mise: Vec<Mise>,
    /// What is cut, in the order that keeps raw meat and fish from what is eaten raw.
    pub board: Vec<Board>,
}

/// Something to get out of the fridge, or to put to soak, in good time.
#[derive(Clone, Debug, PartialEq)]
pub struct GetOut {
    /// The moment, in seconds; `None` without a plan.
    pub at: Option<i64>,
    /// How long before its first use, in seconds.
    pub lead: i64,
    /// "butter, 100 g".
    pub what: String,
    /// "to soften".
    pub why: &'static str,
    /// The dish's title.
    pub dish: String,
}

/// A vessel or tool.
#[derive(Clone, Debug, PartialEq)]
pub struct Cookware {
    /// "stockpot".
    pub name: String,
    /// The most that one step needs.
    pub count: u32,
    /// The first step that needs it, in seconds; `None` without a plan.
    pub first: Option<i64>,
    /// The titles of the dishes that need it, in the order of serving.
    pub dishes: Vec<String>,
    /// The tin for the guests, if the dish grows or shrinks out of this one: "33 cm across".
    pub size: Option<String>,
}

/// The ingredients of a dish.
#[derive(Clone, Debug, PartialEq)]
pub struct Mise {
    /// The dish's title.
    pub dish: String,
    /// Its ingredients for the guests.
    pub lines: Vec<Line>,
}

/// What is cut together, before the board and the knife are washed.
#[derive(Clone, Debug, PartialEq)]
pub struct Board {
    /// What it is.
    pub group: Group,
    /// "carrots, diced (Soup)".
    pub items: Vec<String>,
}

/// The order at the board: what is eaten raw before what must be cooked, poultry last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// Vegetables, fruit, herbs, bread, cheese and cured meat.
    ReadyToEat,
    /// Raw fish and seafood.
    Fish,
    /// Raw meat.
    Meat,
    /// Raw poultry.
    Poultry,
}

impl Group {
    /// "Raw poultry".
    pub fn name(self) -> &'static str {
        match self {
            Group::ReadyToEat => "Vegetables, fruit, herbs and what is eaten as it is",
            Group::Fish => "Raw fish and seafood",
            Group::Meat => "Raw meat",
            Group::Poultry => "Raw poultry",
        }
    }
}

/// The sheet of a session.
pub fn sheet(session: &Session, starts: Starts<'_>, units: Units) -> Sheet {
    Sheet {
        get_out: get_out(session, starts, units),
        cookware: cookware(session, starts),
        mise: mise(session, units),
        board: board(session),
    }
}

/// What an ingredient's note or a step asks for, and how long it takes. Common practice, no source; what is
/// perishable stays under the two hours of the USDA for food out of the fridge.
const LEADS: &[(&[&str], i64, &str)] = &[
    (
        &["soaked overnight", "soak overnight"],
        12 * 3600,
        "to soak overnight",
    ),
    (&["soaked", "to soak"], 3600, "to soak"),
    (
        &["thawed", "defrosted"],
        24 * 3600,
        "to thaw in the fridge (24 h for each 2 kg)",
    ),
    (&["softened", "very soft", "to soften"], 3600, "to soften"),
    (
        &[
            "room temperature",
            "tempered",
            "out of the fridge",
            "not fridge-cold",
        ],
        1800,
        "to lose its chill",
    ),
];

/// What is still in good time out of the fridge.
fn asked(text: &str, item: &str) -> Option<(i64, &'static str)> {
    let lower = text.to_lowercase();
    let (_, lead, why) = LEADS
        .iter()
        .find(|(words, ..)| words.iter().any(|w| lower.contains(w)))?;
    // Vegetables are softened in the pan, not on the worktop.
    if *why == "to soften"
        && !["butter", "cheese", "margarine", "ice cream", "lard"]
            .iter()
            .any(|w| item.to_lowercase().contains(w))
    {
        return None;
    }
    Some((*lead, why))
}

fn get_out(session: &Session, starts: Starts<'_>, units: Units) -> Vec<GetOut> {
    let mut found: Vec<GetOut> = Vec::new();
    for (dish_index, dish) in session.dishes.iter().enumerate() {
        for line in amounts::for_dish(session, dish_index, units) {
            let Some(ingredient) = dish.ingredients.get(line.ingredient) else {
                continue;
            };
            let Some((lead, why)) = lead_of(dish, ingredient) else {
                continue;
            };
            let first = users(dish, ingredient)
                .filter_map(|step| starts(dish_index, step))
                .min();
            let any = || {
                (0..dish.steps.len())
                    .filter_map(|step| starts(dish_index, step))
                    .min()
            };
            found.push(GetOut {
                at: first.or_else(any).map(|at| at - lead),
                lead,
                what: line.text(),
                why,
                dish: dish.title.clone(),
            });
        }
    }
    found.sort_by_key(|g| (g.at.is_none(), g.at, std::cmp::Reverse(g.lead)));
    found
}

/// What the ingredient itself says, else a step that uses it and names it.
fn lead_of(dish: &Dish, ingredient: &Ingredient) -> Option<(i64, &'static str)> {
    let own = format!(
        "{} {}",
        ingredient.item,
        ingredient.note.as_deref().unwrap_or_default()
    );
    asked(&own, &ingredient.item).or_else(|| {
        let word = food::key(&ingredient.item);
        let last = word.rsplit(' ').next().unwrap_or_default().to_owned();
        users(dish, ingredient)
            .filter_map(|step| dish.steps.get(step))
            .filter(|step| step.instruction.to_lowercase().contains(&last))
            .find_map(|step| asked(&step.instruction, &ingredient.item))
            // A step that soaks or thaws does it by itself.
            .filter(|(lead, _)| *lead == 1800)
    })
}

/// The steps that use an ingredient.
fn users<'a>(dish: &'a Dish, ingredient: &Ingredient) -> impl Iterator<Item = usize> + 'a {
    let key = food::key(&ingredient.item);
    dish.steps
        .iter()
        .enumerate()
        .filter(move |(_, s)| s.uses.iter().any(|u| food::key(u) == key))
        .map(|(i, _)| i)
}

fn cookware(session: &Session, starts: Starts<'_>) -> Vec<Cookware> {
    let mut wares: Vec<Cookware> = Vec::new();
    for (dish_index, dish) in session.dishes.iter().enumerate() {
        let factor = amounts::factor(session, dish);
        for (step_index, step) in dish.steps.iter().enumerate() {
            let at = starts(dish_index, step_index);
            for need in step.needs.iter().filter(|n| n.name != "burner") {
                let at_hand = match wares.iter_mut().find(|w| w.name == need.name) {
                    Some(ware) => ware,
                    None => {
                        let new = Cookware {
                            name: need.name.clone(),
                            count: 0,
                            first: None,
                            dishes: Vec::new(),
                            size: pan::of(&need.name).and_then(|p| p.grown(factor)),
                        };
                        wares.push(new);
                        let Some(last) = wares.last_mut() else {
                            continue;
                        };
                        last
                    }
                };
                at_hand.count = at_hand.count.max(need.count);
                at_hand.first = [at_hand.first, at].into_iter().flatten().min();
                if !at_hand.dishes.contains(&dish.title) {
                    at_hand.dishes.push(dish.title.clone());
                }
            }
        }
    }
    wares.sort_by_key(|w| (w.first.is_none(), w.first));
    wares
}

fn mise(session: &Session, units: Units) -> Vec<Mise> {
    let one = |(index, dish): (usize, &Dish)| Mise {
        dish: dish.title.clone(),
        lines: amounts::for_dish(session, index, units),
    };
    session.dishes.iter().enumerate().map(one).collect()
}

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

fn board(session: &Session) -> Vec<Board> {
    let mut boards: Vec<Board> = Vec::new();
    for dish in &session.dishes {
        for ingredient in &dish.ingredients {
            let Some(group) = group(
                &ingredient.item,
                ingredient.note.as_deref().unwrap_or_default(),
            ) else {
                continue;
            };
            if !is_cut(dish, ingredient) {
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

fn is_cut(dish: &Dish, ingredient: &Ingredient) -> bool {
    let says = |text: &str| {
        let lower = format!("{} ", text.to_lowercase());
        CUT.iter().any(|w| lower.contains(w))
    };
    let note = ingredient.note.as_deref().unwrap_or_default();
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

/// The sheet as text; `clock` says a moment as the cook reads it ("17:40").
pub fn text(sheet: &Sheet, clock: &dyn Fn(i64) -> String) -> String {
    let mut out = String::new();
    let when = |at: Option<i64>, lead: i64| match at {
        Some(at) => clock(at),
        None => format!("{} before", before(lead)),
    };
    if !sheet.get_out.is_empty() {
        out.push_str("Get out, in good time\n");
        for g in &sheet.get_out {
            out.push_str(&format!(
                "  {}  {}, {} ({})\n",
                when(g.at, g.lead),
                g.what,
                g.why,
                g.dish
            ));
        }
        out.push_str("  Food that belongs in the fridge stays out for two hours at most, one above 32 C (USDA).\n\n");
    }
    if !sheet.cookware.is_empty() {
        out.push_str("Cookware, by first use\n");
        for ware in &sheet.cookware {
            let count = if ware.count > 1 {
                format!("{} x ", ware.count)
            } else {
                String::new()
            };
            let first = ware
                .first
                .map(|at| format!("{}  ", clock(at)))
                .unwrap_or_default();
            let size = ware
                .size
                .as_ref()
                .map(|size| format!(", for the guests better one of {size}"))
                .unwrap_or_default();
            out.push_str(&format!(
                "  {first}{count}{}{size} ({})\n",
                ware.name,
                ware.dishes.join(", ")
            ));
        }
        out.push('\n');
    }
    for mise in &sheet.mise {
        out.push_str(&format!("{}\n", mise.dish));
        for line in &mise.lines {
            let note = line
                .note
                .as_deref()
                .map(|n| format!(", {n}"))
                .unwrap_or_default();
            let hint = line
                .hint
                .as_deref()
                .map(|h| format!(": {h}"))
                .unwrap_or_default();
            out.push_str(&format!("  {}{note}{hint}\n", line.text()));
        }
        out.push('\n');
    }
    if !sheet.board.is_empty() {
        out.push_str("At the board, in this order\n");
        for (index, board) in sheet.board.iter().enumerate() {
            if index > 0 {
                out.push_str("  -- wash board, knife and hands with hot soapy water --\n");
            }
            out.push_str(&format!(
                "  {}: {}\n",
                board.group.name(),
                board.items.join("; ")
            ));
        }
    }
    out
}

fn before(lead: i64) -> String {
    if lead % 3600 == 0 {
        format!("{} h", lead / 3600)
    } else {
        format!("{} min", lead / 60)
    }
}

#[cfg(test)]
#[path = "prepare_tests.rs"]
mod tests;
