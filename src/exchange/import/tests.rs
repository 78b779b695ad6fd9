use proptest::prelude::*;
use serde_json::json;

use super::*;
use crate::measure::Ratio;

/// schema.org 30.0, example eg-0371 (a HowTo): totalTime 1800 s; sections, steps, directions and tips in order.
#[test]
fn nested_sections_are_read_in_order() {
    let text = include_str!("../../../tests/data/recipes/schemaorg-eg-0371.jsonld");
    let value: serde_json::Value = serde_json::from_str(text).unwrap();
    let howto = recipe::read(value.as_object().unwrap(), &Default::default());
    assert_eq!(howto.total, Some(Ratio::from_integer(1800)));
    let sections: Vec<_> = howto
        .steps
        .iter()
        .filter_map(|s| s.section.as_deref())
        .collect();
    assert_eq!(sections.iter().filter(|s| **s == "Preparation").count(), 4);
    assert_eq!(howto.steps.len(), 14);
    assert_eq!(howto.steps.iter().filter(|s| s.tip).count(), 4);
    assert_eq!(
        howto.steps[0].text,
        "Turn on your hazard lights and set the flares."
    );
    assert_eq!(howto.tools.len(), 4);
}

#[test]
fn words_of_heat_are_read() {
    for (text, want) in [
        ("Bake at 180°C for 20 minutes", vec!["180 C"]),
        ("Bake at 180C/160C fan/gas 4", vec!["180 C"]),
        ("bake in a fan oven at 160 C fan", vec!["fan 160 C"]),
        ("350°F (180°C)", vec!["350 F"]),
        ("350 degrees F", vec!["350 F"]),
        ("gas mark 6", vec!["gas 6"]),
        ("180-200C", vec!["180 to 200 C"]),
        (
            "Roast at 220 C for 20 min, then at 180 C for an hour",
            vec!["220 C", "180 C"],
        ),
        ("2 cups flour and 3 carrots", vec![]),
    ] {
        let got: Vec<_> = phrases::heats(&phrases::normal(text))
            .into_iter()
            .map(|h| h.text)
            .collect();
        assert_eq!(got, want, "{text}");
    }
}

#[test]
fn words_of_time_are_read() {
    for (text, want) in [
        ("cook for 8-10 minutes", vec!["8 to 10 min"]),
        ("a 20-minute rest", vec!["20 min"]),
        ("for 1 hour and 15 minutes", vec!["1 h 15 min"]),
        ("bake for one hour", vec!["1 h"]),
        ("half an hour", vec!["30 min"]),
        ("25 or 30 mins", vec!["25 to 30 min"]),
        ("between 20 and 25 minutes", vec!["20 to 25 min"]),
        ("fry 3 minutes per side", vec!["6 min"]),
        ("serves 4, 2 eggs", vec![]),
    ] {
        let got: Vec<_> = phrases::times(&phrases::normal(text))
            .iter()
            .map(|t| t.range.to_string())
            .collect();
        assert_eq!(got, want, "{text}");
    }
}

proptest! {
    #[test]
    fn no_text_panics(text in "\\PC{0,200}") {
        let _ = dish(&text, 1);
    }

    #[test]
    fn no_recipe_panics_and_what_is_written_is_toml(
        name in "\\PC{0,30}",
        ingredient in "([0-9½/ .,-]{0,6}(g|cups|tbsp|tins|x 400 g)? ?[a-z, ()]{0,20}|\\PC{0,30})",
        step in "((Bake|Simmer|Chill|Serve|Mix|Preheat) [a-z ]{0,12}[0-9]{0,4}( minutes| C|°F| hours| degrees)?[,.; and]{0,8}){0,4}\\PC{0,20}",
        servings in "[0-9]{0,12}( servings)?",
    ) {
        let recipe = json!({
            "@type": "Recipe", "name": name, "recipeIngredient": [ingredient], "recipeInstructions": [step],
            "recipeYield": servings, "cookTime": "PT1H", "prepTime": "PT10M",
        });
        if let Ok(text) = dish(&recipe.to_string(), 1) {
            let table = text.parse::<toml::Table>();
            prop_assert!(table.is_ok(), "{:?}\n{}", table, text);
            for ingredient in table.unwrap().get("ingredient").and_then(|i| i.as_array()).into_iter().flatten() {
                if let Some(amount) = ingredient.get("amount").and_then(|a| a.as_str()) {
                    prop_assert!(crate::measure::quantity::parse(amount).is_ok(), "{}", amount);
                }
            }
        }
    }

    /// Mended JSON is JSON: cutting a valid block anywhere never panics, and never reads as something else than an
    /// object or a list.
    #[test]
    fn cut_off_blocks_are_survived(at in 0usize..1100) {
        let text = include_str!("../../../tests/data/recipes/schemaorg-eg-0013.jsonld");
        if let Some((value, _)) = text.get(..at).and_then(lenient::parse) {
            prop_assert!(value.is_object() || value.is_array());
        }
    }
}
