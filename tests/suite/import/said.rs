//! What is said of a step beside what is to be done in it, and what several ingredients are called together.

use super::{piped, strings};

/// A recipe of these ingredients and steps, imported: the dish and its text.
fn imported(ingredients: &[&str], steps: &[&str]) -> (toml::Table, String) {
    let recipe = serde_json::json!({
        "@type": "Recipe",
        "name": "Supper",
        "recipeIngredient": ingredients,
        "recipeInstructions": steps
            .iter()
            .map(|text| serde_json::json!({ "@type": "HowToStep", "text": text }))
            .collect::<Vec<_>>(),
    });
    let (status, out, err) = piped(&recipe.to_string());
    assert_eq!(status, 0, "{err}");
    (out.parse().unwrap(), out)
}

fn doing(dish: &toml::Table) -> Vec<String> {
    strings(dish, "step", "do")
}

/// The last minutes are within the time of the step before, and what the oven is turned to then is its second setting.
#[test]
fn the_last_minutes_are_no_step_of_their_own() {
    let (dish, text) = imported(
        &["1 celeriac", "30 g butter"],
        &[
            "Bake the celeriac with the butter at 170 C for 80 minutes.",
            "Take off the foil for the last 25 minutes.",
        ],
    );
    assert_eq!(doing(&dish).len(), 1, "{text}");
    assert!(text.contains("takes = \"1 h 20 min\""), "{text}");
    assert!(doing(&dish)[0].ends_with("Take off the foil for the last 25 minutes."));

    let (dish, text) = imported(
        &["1 celeriac"],
        &[
            "Bake the celeriac at 170 C for 80 minutes.",
            "Raise the heat to 210 C for the final 20 minutes.",
        ],
    );
    assert_eq!(doing(&dish).len(), 1, "{text}");
    assert!(
        text.contains("oven = { at = \"170 C\", then = [{ after = \"1 h\", at = \"210 C\" }] }"),
        "{text}"
    );
}

#[test]
fn a_statement_is_no_step() {
    let (dish, text) = imported(
        &["300 g lentils", "1 onion"],
        &[
            "Simmer the lentils with the onion.",
            "It will take about 35 minutes.",
            "The lentils should be soft but whole.",
            "This keeps well for a few days.",
            "Serves 6 generously.",
            "The next day, chop the onion.",
        ],
    );
    let steps = doing(&dish);
    assert_eq!(steps.len(), 2, "{text}");
    assert!(
        steps[0].ends_with("The lentils should be soft but whole."),
        "{text}"
    );
    assert!(steps[1].starts_with("The next day"), "{text}");
    assert!(text.contains("takes = \"35 min\""), "{text}");
    for listed in ["This keeps well for a few days.", "Serves 6 generously."] {
        assert!(
            text.contains(&format!("# - \"{listed}\"")),
            "{listed}: {text}"
        );
    }
}

/// The grill is in the oven: what is under it takes the oven, and is watched.
#[test]
fn what_is_under_the_grill_takes_the_oven() {
    let (dish, text) = imported(
        &["200 g cheese", "4 slices bread"],
        &[
            "Preheat the grill.",
            "Put the cheese on the bread and set it under the grill for 4 minutes until it bubbles.",
        ],
    );
    let steps = dish["step"].as_array().unwrap();
    assert_eq!(steps.len(), 1, "{text}");
    assert_eq!(
        steps[0]["oven"]["at"].as_str(),
        Some("220 to 260 C"),
        "{text}"
    );
    assert_eq!(steps[0]["takes"].as_str(), Some("4 min"), "{text}");
    assert!(
        steps[0]
            .get("hands")
            .is_none_or(|hands| hands.as_str() == Some("on")),
        "{text}"
    );
    let (_, text) = imported(
        &["2 courgettes"],
        &["Heat a grill pan and grill the courgettes for 6 minutes."],
    );
    assert!(!text.contains("oven ="), "{text}");
}

#[test]
fn ingredients_that_go_by_one_name() {
    let (dish, text) = imported(
        &[
            "2 tsp cumin seeds",
            "1 tsp smoked paprika",
            "400 g chickpeas",
            "2 tbsp chopped parsley",
            "200 g plain flour",
            "2 tsp baking powder",
            "250 ml milk",
        ],
        &[
            "Toast the spices for 2 minutes.",
            "Stir the chickpeas into them.",
            "Whisk the dry ingredients.",
            "Stir in the milk and the herbs.",
        ],
    );
    let uses = |n: usize| -> Vec<String> {
        dish["step"][n]["uses"]
            .as_array()
            .unwrap()
            .iter()
            .map(|item| item.as_str().unwrap().to_owned())
            .collect()
    };
    assert_eq!(uses(0), ["cumin seeds", "smoked paprika"], "{text}");
    assert_eq!(uses(1), ["chickpeas"], "{text}");
    assert_eq!(uses(2), ["plain flour", "baking powder"], "{text}");
    assert_eq!(uses(3), ["chopped parsley", "milk"], "{text}");
}

/// The name of a step that has a text is not lost, unless the text says it.
#[test]
fn the_name_of_a_step_is_listed() {
    let (_, out, _) = piped(
        r#"{"@type":"Recipe","name":"X","recipeIngredient":["1 beetroot"],"recipeInstructions":[
            {"@type":"HowToStep","name":"For the glaze","text":"Boil the beetroot for 40 minutes."},
            {"@type":"HowToStep","name":"Slice","text":"Slice the beetroot."},
            {"@type":"HowToStep","name":"Step 3","text":"Dress the beetroot."}]}"#,
    );
    assert!(
        out.contains("# - the name of a step: For the glaze"),
        "{out}"
    );
    assert_eq!(out.matches("the name of a step").count(), 1, "{out}");
}

/// A heading that is a colon alone tells nothing apart: no note is made of it, for an empty one is a fault of the dish.
#[test]
fn a_heading_without_words_makes_no_note() {
    let (dish, text) = imported(
        &["For the dough:", "200 g flour", ":", "30 g flour"],
        &["Mix the flour."],
    );
    let notes = strings(&dish, "ingredient", "note");
    assert!(notes.iter().all(|note| !note.is_empty()), "{text}");
    assert_eq!(dish["ingredient"].as_array().unwrap().len(), 2, "{text}");
}
