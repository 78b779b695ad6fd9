//! What the words of a recipe say of its steps: times, heat, what goes in, and what comes after what.

use super::{dish, made, piped, strings};

/// Superseded names `ingredients` and `steps`; a QuantitativeValue yield; two settings of the oven in one step.
#[test]
fn superseded_names_and_an_oven_that_is_turned_down() {
    let (dish, text) = dish("roast.json");
    assert_eq!(dish["serves"].as_integer(), Some(4));
    assert!(
        text.contains("oven = { at = \"220 C\", then = [{ after = \"20 min\", at = \"180 C\" }] }"),
        "{text}"
    );
    assert!(
        text.contains("takes = \"70 to 80 min\"") && text.contains("core = \"74 C\""),
        "{text}"
    );
    assert!(text.contains("hands = \"check every 20 min\""), "{text}");
    assert_eq!(strings(&dish, "ingredient", "amount")[2], "2 cloves");
}

/// XML Schema 1.1 durations as a Recipe has them; calendar months and malformed ones are told, not taken.
#[test]
fn times_of_a_recipe() {
    let with = |time: &str| {
        let (_, out, _) = piped(&format!(
            r#"{{"@type":"Recipe","name":"X","cookTime":"{time}","recipeIngredient":["1 egg"],"recipeInstructions":"Bake the egg."}}"#
        ));
        out
    };
    for (iso, words) in [
        ("PT1H30M", "1 h 30 min"),
        ("PT90M", "1 h 30 min"),
        ("P1DT12H", "36 h"),
        ("P1W", "7 days"),
    ] {
        assert!(
            with(iso).contains(&format!("cookTime {words}\n")),
            "{iso}\n{}",
            with(iso)
        );
    }
    for wrong in ["P", "PT", "P1H", "1H", "P1Y2M3DT", "P1M"] {
        let text = with(wrong);
        assert!(
            text.contains("# - cookTime: ") && !text.contains("cookTime 1"),
            "{wrong}\n{text}"
        );
    }
    assert!(with("PT1M").contains("cookTime 1 min"));
    assert!(!with("PT0S").contains("cookTime"));
}

/// A settled stew: the oven turned up between two steps, the pan that is the casserole, leftovers in the fridge.
#[test]
fn a_stew_with_dumplings() {
    let (dish, text) = dish("stew.json");
    let id = |id: &str| {
        dish["step"]
            .as_array()
            .unwrap()
            .iter()
            .find(|s| s["id"].as_str() == Some(id))
            .unwrap()
            .clone()
    };
    assert_eq!(
        id("bake-uncovered")["oven"]["at"].as_str(),
        Some("190 C"),
        "{text}"
    );
    assert_eq!(
        id("cook-oven")["oven"]["at"].as_str(),
        Some("160 C"),
        "{text}"
    );
    assert_eq!(id("leave-stand")["takes"].as_str(), Some("5 min"), "{text}");
    assert_eq!(
        id("fry-onion")["needs"].as_array().unwrap().len(),
        2,
        "{text}"
    );
    assert!(text.contains("amount = \"a few sprigs\""), "{text}");
}

#[test]
fn a_chill_that_may_be_longer_and_a_temperature_inside() {
    let dish = made(
        r#"{"@type": "Recipe", "name": "Quince cream", "recipeIngredient": ["500 ml double cream", "2 quinces"],
        "recipeInstructions": ["Whip the double cream.", "Chill for at least 3 hours, or up to 2 days.",
        "Bake the quinces at 180 C for 40 minutes, until it is 74 C inside.", "Keeps in the fridge for 3 days."]}"#,
    );
    let steps = dish["step"].as_array().unwrap();
    assert_eq!(steps.len(), 3, "{dish}");
    assert_eq!(steps[1]["takes"].as_str(), Some("3 h"), "{dish}");
    // Food's own temperature never becomes the oven's.
    assert_eq!(steps[2]["core"].as_str(), Some("74 C"), "{dish}");
    assert_eq!(steps[2]["oven"].as_table().unwrap().len(), 1, "{dish}");
}

/// A temperature without a scale that a thermometer reads in the food is no oven's, and the oven's own isn't lost between
/// two clauses.
#[test]
fn a_bare_temperature_inside_is_not_the_ovens() {
    let dish = made(
        r#"{"@type": "Recipe", "name": "Guinea fowl and barley", "recipeIngredient": ["1 guinea fowl", "200 g barley"],
        "recipeInstructions": ["Cover, transfer to a 375-degree oven and bake until the barley is tender and a thermometer in the thickest part registers 165°, 50 minutes."]}"#,
    );
    let steps = dish["step"].as_array().unwrap();
    let bake = steps.last().unwrap();
    assert_eq!(bake["oven"]["at"].as_str(), Some("375 F"), "{dish}");
    assert_eq!(bake["core"].as_str(), Some("165 F"), "{dish}");
    assert_eq!(bake["takes"].as_str(), Some("50 min"), "{dish}");
}

#[test]
fn what_is_reheated_at_an_ovens_temperature_is_in_the_oven() {
    let dish = made(
        r#"{"@type": "Recipe", "name": "Onion tart", "recipeIngredient": ["1 kg onions", "250 g pastry"],
        "recipeInstructions": ["Bake at 190C for 40 minutes.", "Reheat for three quarters of an hour at 160C."]}"#,
    );
    let steps = dish["step"].as_array().unwrap();
    assert_eq!(steps[1]["oven"]["at"].as_str(), Some("160 C"), "{dish}");
    assert_eq!(steps[1]["takes"].as_str(), Some("45 min"), "{dish}");
}

#[test]
fn a_quarter_of_an_hour_is_no_hour_and_clauses_stay_apart() {
    let dish = made(
        r#"{"@type": "Recipe", "name": "Seed cake", "recipeIngredient": ["200 g butter", "200 g sugar", "4 eggs", "100 ml double cream", "1 tbsp caraway"],
        "recipeInstructions": ["Cream butter and sugar until fluffy; beat in the eggs.", "Simmer the caraway for a quarter of an hour.", "Mix everything but the caraway."]}"#,
    );
    let steps = dish["step"].as_array().unwrap();
    let first = steps[0]["do"].as_str().unwrap();
    assert!(first.contains("fluffy. Beat in the eggs"), "{dish}");
    assert_eq!(steps[0]["until"].as_str(), Some("fluffy"), "{dish}");
    let uses = steps[0]["uses"].as_array().unwrap();
    assert!(
        !uses
            .iter()
            .any(|item| item.as_str() == Some("double cream")),
        "{dish}"
    );
    assert_eq!(steps[1]["takes"].as_str(), Some("15 min"), "{dish}");
    let rest = steps[2]["uses"].as_array().unwrap();
    assert_eq!(rest.len(), 1, "{dish}");
    assert_eq!(rest[0].as_str(), Some("double cream"), "{dish}");
}

fn step<'a>(dish: &'a toml::Table, id: &str) -> &'a toml::Value {
    let steps = dish["step"].as_array().unwrap();
    steps
        .iter()
        .find(|s| s["id"].as_str() == Some(id))
        .unwrap_or_else(|| panic!("no step {id}: {dish}"))
}

fn after<'a>(dish: &'a toml::Table, id: &str) -> Option<Vec<&'a str>> {
    let list = step(dish, id).get("after")?.as_array()?;
    Some(list.iter().filter_map(|v| v.as_str()).collect())
}

/// Where the text says "meanwhile", steps run side by side, and what follows waits for both.
#[test]
fn what_the_text_says_runs_side_by_side_does() {
    let (soup, text) = dish("style-one-string.json");
    assert_eq!(
        after(&soup, "tear-basil"),
        Some(vec!["add-tomatoes"]),
        "{text}"
    );
    assert_eq!(
        after(&soup, "blend-soup"),
        Some(vec!["simmer", "tear-basil"]),
        "{text}"
    );
    assert!(text.contains("# likely: \"Meanwhile\""), "{text}");
    let (ham, text) = dish("style-list-item.json");
    assert_eq!(
        after(&ham, "put-potatoes"),
        Some(vec!["remove-skin"]),
        "{text}"
    );
    assert_eq!(
        after(&ham, "drain-mash"),
        Some(vec!["rest", "put-potatoes"]),
        "{text}"
    );
    // While the cake cools is after it has baked.
    let (cake, text) = dish("style-spans.html");
    assert_eq!(after(&cake, "mix-together"), None, "{text}");
}

/// Sections that make something of their own run side by side, and are marked as a guess; what takes up their result,
/// or the vessel of another, comes after it.
#[test]
fn sections_run_side_by_side_only_if_each_is_its_own() {
    let (roast, text) = dish("style-three-parts.json");
    assert_eq!(after(&roast, "put-flour"), Some(vec![]), "{text}");
    assert_eq!(
        after(&roast, "set-roasting"),
        Some(vec!["roast-lower"]),
        "{text}"
    );
    assert!(
        text.contains("# guess: Gravy: a part of its own, but for the roasting tin"),
        "{text}"
    );
    let (shanks, text) = dish("style-graph.html");
    assert_eq!(after(&shanks, "mix-lemon"), Some(vec![]), "{text}");
    assert_eq!(
        after(&shanks, "rest-shanks"),
        Some(vec!["cover-cook", "mix-lemon"]),
        "{text}"
    );
    // "Dal: ...", "Rice: ...", "Tarka: ..." in one text are sections.
    let (dal, text) = dish("style-labels.json");
    assert_eq!(after(&dal, "soak-rice"), Some(vec![]), "{text}");
    assert_eq!(after(&dal, "heat-ghee"), Some(vec!["simmer"]), "{text}");
    // "To finish" is no part of its own.
    let (chowder, text) = dish("chowder.html");
    let afters = chowder["step"].as_array().unwrap();
    assert!(afters.iter().all(|s| s.get("after").is_none()), "{text}");
}

/// Q = m c dT: 2 L from 15 to 100 C with 4.177 kJ/(kg K) (water, Choi and Okos 1986) are 710 kJ: 6.6 min at 1.8 kW,
/// 11.8 min at 1 kW.
#[test]
fn coming_to_the_boil_takes_as_long_as_there_is_liquid() {
    let (soup, text) = dish("style-one-string.json");
    assert_eq!(
        step(&soup, "add-tomatoes")["takes"].as_str(),
        Some("7 to 12 min"),
        "{text}"
    );
    assert!(text.contains("# guess: 2 L to the boil"), "{text}");
    let dish = made(
        r#"{"@type": "Recipe", "name": "Broth", "recipeIngredient": ["bones"],
        "recipeInstructions": ["Cover the bones with water and bring to the boil."]}"#,
    );
    assert_eq!(strings(&dish, "step", "takes"), ["5 to 10 min"]);
}
