//! A Recipe as its page describes it: texts taken out, nothing yet understood.

use serde_json::{Map, Value};

use super::node::{self, Ids, clean, follow, get, is_a, list, words};
use super::page::Found;
use crate::measure::{Ratio, duration};

/// A recipe of a page.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Recipe {
    /// Its name.
    pub title: String,
    /// Who wrote it.
    pub author: Option<String>,
    /// Where it stands.
    pub url: Option<String>,
    /// How much it makes, as written, with every form that the page gives.
    pub yields: Vec<String>,
    /// Preparation time, in seconds.
    pub prep: Option<Ratio>,
    /// Cooking time, in seconds.
    pub cook: Option<Ratio>,
    /// Time in all, in seconds.
    pub total: Option<Ratio>,
    /// The ingredients.
    pub ingredients: Vec<Written>,
    /// The steps.
    pub steps: Vec<Instruction>,
    /// Tools that it names.
    pub tools: Vec<String>,
    /// What could not be read or is not used, for the end of the file.
    pub unused: Vec<String>,
}

/// An ingredient as written.
#[derive(Clone, Debug, PartialEq)]
pub enum Written {
    /// One line of text.
    Line(String),
    /// Amount and name apart.
    Parts {
        /// "3/4 cup".
        amount: String,
        /// "sugar".
        item: String,
    },
}

/// A step as written.
#[derive(Clone, Debug, PartialEq)]
pub struct Instruction {
    /// The section it stands in: "For the sauce".
    pub section: Option<String>,
    /// What it says.
    pub text: String,
    /// A tip beside the steps: nothing to do.
    pub tip: bool,
}

/// Every recipe of what was found, wherever it is nested, in order.
pub(super) fn all(found: &Found) -> Vec<Recipe> {
    let mut objects = Vec::new();
    for piece in &found.values {
        let mut inside = Vec::new();
        gather(&piece.value, &mut inside);
        objects.extend(inside.into_iter().map(|object| (object, &piece.note)));
    }
    let ids: Ids<'_> = objects
        .iter()
        .filter(|(o, _)| o.len() > 1)
        .filter_map(|(o, _)| Some((o.get("@id")?.as_str()?, *o)))
        .collect();
    let mut recipes: Vec<Recipe> = Vec::new();
    for (object, note) in objects.iter().filter(|(o, _)| is_recipe(o)) {
        let mut recipe = read(object, &ids);
        recipe.unused.extend((*note).clone());
        recipe.unused.extend(found.unread.iter().cloned());
        // The same recipe as JSON-LD and as microdata is one: the fuller account of it counts.
        match recipes.iter_mut().find(|r| r.title == recipe.title) {
            Some(known) if known.weight() < recipe.weight() => *known = recipe,
            Some(_) => {}
            None if recipe.weight() > 0 => recipes.push(recipe),
            None => {}
        }
    }
    recipes
}

impl Recipe {
    fn weight(&self) -> usize {
        self.ingredients.len() + self.steps.len()
    }
}

/// "; there is a HowTo": what else the text describes.
pub(super) fn other_types(found: &Found) -> String {
    let mut objects = Vec::new();
    for piece in &found.values {
        gather(&piece.value, &mut objects);
    }
    let mut names: Vec<String> = objects
        .iter()
        .flat_map(|o| node::types(o))
        .map(clean)
        .collect();
    names.sort();
    names.dedup();
    names.truncate(5);
    match (names.is_empty(), found.unread.first()) {
        (false, _) => format!(" (it describes: {})", names.join(", ")),
        (true, Some(note)) => format!(" ({note})"),
        (true, None) => String::new(),
    }
}

/// Every object in a value; the JSON reader bounds how deep they nest.
fn gather<'a>(value: &'a Value, objects: &mut Vec<&'a Map<String, Value>>) {
    match value {
        Value::Object(object) => {
            objects.push(object);
            object.values().for_each(|v| gather(v, objects));
        }
        Value::Array(values) => values.iter().for_each(|v| gather(v, objects)),
        _ => {}
    }
}

/// By its type; or, in plain JSON without types, by having both ingredients and instructions.
fn is_recipe(object: &Map<String, Value>) -> bool {
    if is_a(object, "Recipe") {
        return true;
    }
    let has = |names: &[&str]| {
        names
            .iter()
            .any(|n| get(object, n).is_some_and(|v| !v.is_null()))
    };
    node::types(object).next().is_none()
        && has(&["recipeIngredient", "ingredients"])
        && has(INSTRUCTIONS)
}

/// Where the instructions stand; `directions` and `method` in plain JSON alone.
const INSTRUCTIONS: &[&str] = &[
    "recipeInstructions",
    "instructions",
    "step",
    "steps",
    "directions",
    "method",
];

/// Other properties that are read, or say nothing of how to cook.
const KNOWN: &[&str] = &[
    "@type",
    "@context",
    "@id",
    "type",
    "name",
    "headline",
    "title",
    "author",
    "url",
    "mainEntityOfPage",
    "recipeYield",
    "yield",
    "servings",
    "serves",
    "prepTime",
    "cookTime",
    "performTime",
    "totalTime",
    "recipeIngredient",
    "ingredients",
    "supply",
    "tool",
];

/// Reads one object as a recipe (or any HowTo: the properties are the same).
pub(super) fn read(object: &Map<String, Value>, ids: &Ids<'_>) -> Recipe {
    let text = |name: &str| get(object, name).and_then(words);
    let mut recipe = Recipe {
        title: text("name")
            .or_else(|| text("headline"))
            .or_else(|| text("title"))
            .unwrap_or_else(|| "Untitled dish".to_owned()),
        author: list(get(object, "author"))
            .into_iter()
            .find_map(|a| author(a, ids)),
        url: text("url").filter(|u| u.starts_with("http")),
        ..Recipe::default()
    };
    recipe.yields = ["recipeYield", "yield"]
        .iter()
        .flat_map(|n| list(get(object, n)))
        .filter_map(quantity)
        .collect();
    // Plain JSON has other names for it, and then means servings.
    for value in ["servings", "serves"]
        .iter()
        .flat_map(|n| list(get(object, n)))
    {
        recipe.yields.extend(quantity(value).map(servings));
    }
    recipe.prep = time(object, "prepTime", &mut recipe.unused);
    recipe.cook = time(object, "cookTime", &mut recipe.unused)
        .or_else(|| time(object, "performTime", &mut recipe.unused));
    recipe.total = time(object, "totalTime", &mut recipe.unused);
    for name in ["recipeIngredient", "ingredients", "supply"] {
        for value in list(get(object, name)) {
            ingredient(value, ids, &mut recipe);
        }
        if !recipe.ingredients.is_empty() {
            break;
        }
    }
    for name in INSTRUCTIONS {
        for value in list(get(object, name)) {
            instruction(value, None, ids, 0, &mut recipe);
        }
        if recipe.steps.iter().any(|s| !s.tip) {
            break;
        }
    }
    recipe.tools = list(get(object, "tool"))
        .into_iter()
        .filter_map(words)
        .collect();
    let unused: Vec<&str> = object
        .iter()
        .filter(|(name, value)| {
            let name = name.rsplit(['/', ':']).next().unwrap_or(name);
            let read = KNOWN.contains(&name) || INSTRUCTIONS.contains(&name);
            !read && !value.is_null()
        })
        .map(|(name, _)| name.as_str())
        .collect();
    if !unused.is_empty() {
        recipe
            .unused
            .push(format!("properties: {}", clean(&unused.join(", "))));
    }
    recipe
}

/// A bare number of servings with its noun.
fn servings(said: String) -> String {
    if said.chars().all(|c| c.is_ascii_digit()) {
        format!("{said} servings")
    } else {
        said
    }
}

fn author(value: &Value, ids: &Ids<'_>) -> Option<String> {
    match value {
        Value::Object(object) => get(follow(object, ids), "name").and_then(words),
        value => words(value),
    }
}

/// A duration in seconds; one that cannot be read is listed.
fn time(object: &Map<String, Value>, name: &str, unused: &mut Vec<String>) -> Option<Ratio> {
    let value = list(get(object, name)).into_iter().next()?;
    // A Duration may be an object; a range has a minValue and a maxValue.
    let text = words(value).or_else(|| {
        value
            .as_object()
            .and_then(|o| get(o, "maxValue"))
            .and_then(words)
    })?;
    // Some pages write "30 minutes"; what is no words is meant as ISO 8601.
    let read = match text.contains(' ') {
        true => duration::parse(&text),
        false => duration::iso8601(&text),
    };
    match read {
        Ok(seconds) if seconds > Ratio::from_integer(0) => Some(seconds),
        Ok(_) => None,
        Err(error) => {
            unused.push(format!("{name}: {error}"));
            None
        }
    }
}

/// A number with its unit, in words: from a text, a number, a QuantitativeValue or a PropertyValue.
fn quantity(value: &Value) -> Option<String> {
    let Value::Object(object) = value else {
        return words(value);
    };
    let get_words = |name: &str| get(object, name).and_then(words);
    // Plain JSON says amount, quantity and unit.
    let plain = || get_words("amount").or_else(|| get_words("quantity"));
    let number = get_words("value").or_else(plain).or_else(|| {
        match (get_words("minValue"), get_words("maxValue")) {
            (Some(lo), Some(hi)) => Some(format!("{lo} to {hi}")),
            (one, other) => one.or(other),
        }
    });
    let unit = get_words("unitText")
        .or_else(|| get_words("unit"))
        .or_else(|| get_words("unitCode").map(|code| unit_of(&code)));
    let number = number.filter(|n| !n.is_empty());
    match (number, unit) {
        (Some(number), Some(unit)) => Some(format!("{number} {unit}").trim().to_owned()),
        (Some(number), None) => Some(number),
        (None, _) => get_words("text").or_else(|| get_words("name")),
    }
}

/// The unit of a UN/ECE Recommendation 20 code: G21 is the cup in schema.org's own example, the others are from
/// memory. A code that is none of these is kept as it stands.
fn unit_of(code: &str) -> String {
    let known = match code.to_ascii_uppercase().as_str() {
        "G21" => "cup",
        "G24" => "tbsp",
        "G25" => "tsp",
        "OZA" => "fl oz",
        "ONZ" => "oz",
        "LBR" => "lb",
        "GRM" => "g",
        "KGM" => "kg",
        "MGM" => "mg",
        "MLT" => "ml",
        "CLT" => "cl",
        "DLT" => "dl",
        "LTR" => "l",
        "CMQ" => "ml",
        "PTL" => "pint",
        "QTL" | "QT" => "quart",
        "GLL" => "gallon",
        "DZN" | "DZP" => "dozen",
        "C62" | "EA" | "H87" => "",
        _ => return code.to_owned(),
    };
    known.to_owned()
}

fn ingredient(value: &Value, ids: &Ids<'_>, recipe: &mut Recipe) {
    match value {
        // One text may hold the whole list, a line each.
        Value::String(text) => recipe
            .ingredients
            .extend(node::lines(text).into_iter().map(Written::Line)),
        Value::Object(object) => {
            let object = follow(object, ids);
            let item = ["name", "item", "ingredient"]
                .iter()
                .find_map(|n| get(object, n))
                .and_then(words);
            let inner = get(object, "requiredQuantity").and_then(quantity);
            let amount = inner.or_else(|| quantity(&without_name(object)));
            match (item, amount) {
                (Some(item), Some(amount)) => {
                    recipe.ingredients.push(Written::Parts { amount, item })
                }
                (Some(line), None) => recipe.ingredients.push(Written::Line(line)),
                (None, Some(line)) => recipe.ingredients.push(Written::Line(line)),
                (None, None) => recipe
                    .unused
                    .push("an ingredient without a name".to_owned()),
            }
        }
        Value::Array(values) => values.iter().for_each(|v| ingredient(v, ids, recipe)),
        value => recipe.unused.push(format!(
            "an ingredient that is no text: {}",
            clean(&value.to_string())
        )),
    }
}

fn without_name(object: &Map<String, Value>) -> Value {
    Value::Object(
        object
            .iter()
            .filter(|(name, _)| !name.ends_with("name"))
            .map(|(n, v)| (n.clone(), v.clone()))
            .collect(),
    )
}

/// "Step 1", "2.": the number of a step, apart from its text.
fn is_number_of_step(text: &str) -> bool {
    let rest = text.strip_prefix("Step").unwrap_or(text).trim();
    rest.chars()
        .all(|c| c.is_ascii_digit() || ".):".contains(c))
}

/// Sections, steps, directions, tips and texts, in their order.
fn instruction(
    value: &Value,
    section: Option<&str>,
    ids: &Ids<'_>,
    depth: usize,
    recipe: &mut Recipe,
) {
    let mut push = |text: String, tip: bool| {
        if is_number_of_step(&text) {
            return;
        }
        recipe.steps.push(Instruction {
            section: section.map(str::to_owned),
            text,
            tip,
        });
    };
    match value {
        Value::String(text) => node::lines(text)
            .into_iter()
            .for_each(|line| push(line, false)),
        Value::Array(values) => values
            .iter()
            .for_each(|v| instruction(v, section, ids, depth, recipe)),
        Value::Object(object) => {
            let object = follow(object, ids);
            if depth > 16 {
                return;
            }
            let parts = list(
                ["itemListElement", "steps", "step", "item"]
                    .iter()
                    .find_map(|name| get(object, name)),
            );
            let name = get(object, "name").and_then(words);
            // A step may have several texts.
            let texts: Vec<String> = ["text", "description"]
                .iter()
                .map(|n| list(get(object, n)).into_iter().filter_map(words).collect())
                .find(|texts: &Vec<String>| !texts.is_empty())
                .unwrap_or_default();
            if parts.is_empty() {
                let tip = is_a(object, "HowToTip");
                // A heading of its own beside the text; often only the text's beginning, or "Step 3".
                let heading = name.as_deref().filter(|name| {
                    let said =
                        |text: &String| text.to_lowercase().starts_with(&name.to_lowercase());
                    !texts.is_empty() && !is_number_of_step(name) && !texts.iter().any(said)
                });
                let heading = heading.map(|name| format!("the name of a step: {name}"));
                let texts = if texts.is_empty() {
                    name.into_iter().collect()
                } else {
                    texts
                };
                texts.into_iter().for_each(|text| push(text, tip));
                recipe.unused.extend(heading);
                return;
            }
            let inner = if is_a(object, "HowToStep") {
                section
            } else {
                name.as_deref().or(section)
            };
            parts
                .into_iter()
                .for_each(|part| instruction(part, inner, ids, depth + 1, recipe));
        }
        Value::Null => {}
        value => recipe.unused.push(format!(
            "an instruction that is no text: {}",
            clean(&value.to_string())
        )),
    }
}
