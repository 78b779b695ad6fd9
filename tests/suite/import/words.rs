//! Recipes as cooks word them: what an ingredient line and a step say beside the plain case.

use super::{dish, made, piped, strings};

fn of(ingredients: &[&str], steps: &[&str]) -> (toml::Table, String) {
    let recipe = serde_json::json!({
        "@type": "Recipe", "name": "X", "recipeYield": "serves four",
        "recipeIngredient": ingredients, "recipeInstructions": steps,
    });
    let (code, out, error) = piped(&recipe.to_string());
    assert_eq!(code, 0, "{error}");
    (out.parse().unwrap(), out)
}

fn value(dish: &toml::Table, step: usize, key: &str) -> String {
    let value = dish["step"][step].get(key);
    value.map_or("-".to_owned(), |v| {
        v.as_str().map_or_else(|| v.to_string(), str::to_owned)
    })
}

/// Written line, then amount, item and note of what it becomes.
#[test]
fn lines_with_the_amount_in_an_odd_place() {
    for (line, want) in [
        (
            "a few drops vanilla extract",
            vec![("a few drops", "vanilla extract", "-")],
        ),
        ("a few sprigs of mint", vec![("a few sprigs", "mint", "-")]),
        (
            "400g can plum tomatoes",
            vec![("1 x 400g can", "plum tomatoes", "-")],
        ),
        (
            "7g sachet fast-action yeast",
            vec![("1 x 7g sachet", "fast-action yeast", "-")],
        ),
        ("500 g pot roast", vec![("500 g", "pot roast", "-")]),
        (
            "1 sachet yeast (7 g)",
            vec![("1 sachet (7 g)", "yeast", "-")],
        ),
        (
            "1 thumb-sized piece of ginger, grated",
            vec![("1 piece", "ginger", "thumb-sized, grated")],
        ),
        ("½ a bunch of sage", vec![("½ bunch", "sage", "-")]),
        ("2 dozen oysters", vec![("24", "oysters", "-")]),
        (
            "2 limes: 1 juiced, 1 cut into wedges",
            vec![("2", "limes", "1 juiced, 1 cut into wedges")],
        ),
        (
            "1 tsp each ground cumin and smoked paprika",
            vec![
                ("1 tsp", "ground cumin", "-"),
                ("1 tsp", "smoked paprika", "-"),
            ],
        ),
        (
            "To serve: lime wedges, Thai basil, beansprouts",
            vec![
                ("-", "lime wedges", "to serve"),
                ("-", "Thai basil", "to serve"),
                ("-", "beansprouts", "to serve"),
            ],
        ),
        (
            "To serve: coriander, roughly chopped",
            vec![("-", "coriander", "roughly chopped, to serve")],
        ),
        ("Optional: hot sauce", vec![("-", "hot sauce", "optional")]),
        (
            "75g each dried apricots and pistachios, roughly chopped",
            vec![
                ("75g", "dried apricots", "roughly chopped"),
                ("75g", "pistachios", "roughly chopped"),
            ],
        ),
        (
            "½ tsp red pepper flakes, or to taste",
            vec![("½ tsp", "red pepper flakes", "or to taste")],
        ),
        (
            "1 x 250g pouch cooked rice",
            vec![("1 x 250g pouch", "cooked rice", "-")],
        ),
        (
            "1 pound skinless, boneless chicken breast halves - cubed",
            vec![(
                "1 pound",
                "skinless, boneless chicken breast halves",
                "cubed",
            )],
        ),
    ] {
        let (dish, text) = of(&[line], &["Mix."]);
        let all = |key| strings(&dish, "ingredient", key);
        let (amounts, items, notes) = (all("amount"), all("item"), all("note"));
        let got: Vec<_> = amounts
            .iter()
            .zip(&items)
            .zip(&notes)
            .map(|((a, i), n)| (a.as_str(), i.as_str(), n.as_str()))
            .collect();
        assert_eq!(got, want, "{line}\n{text}");
        assert_eq!(dish["serves"].as_integer(), Some(4));
    }
}

#[test]
fn a_substitute_has_its_amount_behind_it() {
    let (dish, text) = of(
        &[
            "1 onion, or 2 shallots, sliced",
            "2 apples, or other fruit, peeled",
        ],
        &["Mix."],
    );
    let or = |n: usize| dish["ingredient"][n]["or"][0].as_str().unwrap().to_owned();
    assert_eq!(
        (or(0).as_str(), or(1).as_str()),
        ("shallots, 2", "other fruit"),
        "{text}"
    );
    assert_eq!(strings(&dish, "ingredient", "note"), ["sliced", "peeled"]);
}

/// The headings of a list stand where they stood; what is there twice says which part it is for.
#[test]
fn headings_of_the_ingredients_are_kept() {
    let lines = [
        "For the mash:",
        "25g butter",
        "1kg potatoes",
        "For the sauce",
        "40g butter",
    ];
    let (dish, text) = of(&lines, &["Melt the butter."]);
    assert!(
        text.contains("# For the mash:") && text.contains("# For the sauce"),
        "{text}"
    );
    assert_eq!(
        strings(&dish, "ingredient", "note"),
        ["for the mash", "-", "for the sauce"]
    );
}

#[test]
fn a_cue_is_a_cue_and_not_the_thermometer_or_the_clock() {
    for (step, until, core) in [
        (
            "Bake at 180C until the rice is tender and a thermometer inserted into the meat registers 74C, 25-30 minutes.",
            "the rice is tender",
            "74 C",
        ),
        (
            "Fry until the fish flakes easily and reaches 145°F, 3 to 4 minutes per side.",
            "the fish flakes easily",
            "145 F",
        ),
        (
            "Roast at 200C for 1 hour or until a probe reads 63C.",
            "-",
            "63 C",
        ),
        (
            "Simmer until reduced by half, 10 to 12 minutes.",
            "reduced by half",
            "-",
        ),
    ] {
        let (dish, text) = of(&["1 kg meat"], &[step]);
        assert_eq!(value(&dish, 0, "until"), until, "{text}");
        assert_eq!(value(&dish, 0, "core"), core, "{text}");
    }
}

/// Of two temperatures inside the hottest is proposed, as a guess that names both.
#[test]
fn of_several_temperatures_inside_the_hottest_is_proposed() {
    let (dish, text) = of(
        &["2 kg beef"],
        &["Roast at 180C for 1 hour or until a probe reads 50C for rare or 60C for medium."],
    );
    assert_eq!(value(&dish, 0, "core"), "60 C");
    assert!(text.contains("# guess: the hottest of those that the step names: 50 C, 60 C"));
}

#[test]
fn what_braises_in_the_oven_takes_no_burner() {
    let (dish, text) = of(
        &["1 kg beef"],
        &[
            "Preheat oven to 325F.",
            "Cover and braise in oven until fork-tender, 2½–3 hours.",
        ],
    );
    assert_eq!(dish["step"][0]["oven"]["at"].as_str(), Some("325 F"));
    assert!(!text.contains("burner"), "{text}");
    assert_eq!(value(&dish, 0, "until"), "fork-tender");
}

/// A time by weight: the recipe's own sum if it gives one, else by the heaviest ingredient.
#[test]
fn minutes_for_every_500_grams() {
    for (step, takes) in [
        ("Roast at 180C for 20 mins per 500g.", "1 h 12 min"),
        (
            "Roast at 220C for 20 mins, then reduce the oven to 180C and cook for 15 mins per 500g (about 55 mins).",
            "75 min",
        ),
        ("Roast at 160C for 30 minutes a kilo.", "54 min"),
    ] {
        let (dish, text) = of(&["1.8kg rib of beef"], &[step]);
        let minutes = |text: &str| {
            text.replace("1 h 12 min", "72 min")
                .replace("1 h 15 min", "75 min")
        };
        assert_eq!(minutes(&value(&dish, 0, "takes")), minutes(takes), "{text}");
    }
}

/// What keeps is no length, what loses its chill needs no hands, another way is named and left out.
#[test]
fn times_that_are_not_the_steps_own() {
    let (dish, text) = of(
        &["1 kg ribs", "500 g dough"],
        &[
            "Take the ribs out of the fridge 2 hours before cooking.",
            "Braise the ribs for 2 hours. Skim the fat. DO AHEAD: Ribs can be braised 3 days ahead.",
            "Prove the dough for 1 hour, or overnight in the fridge, until doubled.",
            "Chill for 2 hours or up to 2 days.",
            "Slice and plate up. Serve at once.",
        ],
    );
    let at = |step, key| value(&dish, step, key);
    assert_eq!(
        (at(0, "takes"), at(0, "hands")),
        ("2 h".into(), "off".into())
    );
    assert_eq!(
        (at(2, "ahead"), at(1, "ahead")),
        ("3 days".into(), "-".into()),
        "{text}"
    );
    assert!(!text.contains("takes = \"3 days\""), "{text}");
    assert!(
        text.contains("the other way, \"overnight\", is left out"),
        "{text}"
    );
    assert_eq!(
        (at(4, "takes"), at(4, "ahead")),
        ("2 h".into(), "2 days".into())
    );
    assert_eq!(
        (at(5, "keeps"), at(4, "keeps")),
        ("5 min".into(), "-".into()),
        "{text}"
    );
}

#[test]
fn turning_the_knob_is_no_step() {
    let (dish, text) = of(
        &["150 g lentils"],
        &["Lower the heat and simmer for 20 minutes."],
    );
    assert_eq!(dish["step"].as_array().unwrap().len(), 1, "{text}");
    let (_, text) = of(
        &["1 l wine", "1 kg fat"],
        &["Pour off all but 1 tbsp fat. Add wine."],
    );
    assert!(text.contains("uses = [\"wine\", \"fat\"]"), "{text}");
}

/// The gravy is made in what the meat was roasted in, steps before.
#[test]
fn the_tin_is_the_roasting_tin() {
    let (dish, text) = of(
        &["1 kg beef", "500 ml stock"],
        &[
            "Roast the beef in a roasting tin at 200C for 1 hour.",
            "Lift onto a board.",
            "Rest for 20 minutes.",
            "Put the tin on the hob over a medium heat, whisk in the stock and cook for 5 minutes.",
        ],
    );
    assert_eq!(
        dish["step"][3]["needs"][0].as_str(),
        Some("roasting tin"),
        "{text}"
    );
}

/// Only the block that a recipe is from speaks of it.
#[test]
fn a_neighbour_that_had_to_be_mended_is_not_told() {
    let page = |first: &str, second: &str| {
        format!(
            r#"<script type="application/ld+json">{{"@type":"WebSite","name":"x"{first}}}</script>
            <script type="application/ld+json">{{"@type":"Recipe","name":"X","recipeIngredient":["1 egg"],"recipeInstructions":"Boil the egg for 9 minutes."{second}}}</script>"#
        )
    };
    assert!(!piped(&page(",", "")).1.contains("mended"));
    assert!(
        piped(&page("", ","))
            .1
            .contains("the JSON of block 2 was not valid")
    );
}

/// Plain JSON calls the yield servings.
#[test]
fn servings_of_plain_json() {
    let dish = made(
        r#"{"title":"Roast","servings":6,"ingredients":["1 egg"],"steps":["Boil the egg for 9 minutes."]}"#,
    );
    assert_eq!(dish["title"].as_str(), Some("Roast"));
    assert_eq!(dish["serves"].as_integer(), Some(6));
    let (_, text) = self::dish("roast.json");
    assert!(!text.contains("properties: servings"));
}

/// Words that look like another kind of work, sentences that are no step of their own.
#[test]
fn what_only_looks_like_a_step() {
    let (dish, text) = of(
        &[
            "600 g lamb neck fillet",
            "2 onions",
            "1 pie crust",
            "2 tbsp oil",
        ],
        &[
            "Gather all ingredients.",
            "Brown the lamb in a casserole for 5 minutes. Set aside.",
            "Add the rest of the oil and the onions, cover and soften over a low heat for 15 mins.",
            "Simmer for 10 minutes. Remove from heat and set aside.",
            "Make slits in the crust to allow steam to escape.",
            "Weigh the pie and calculate the cooking time, allowing 20 mins per kg plus 90 mins.",
            "Cover; leave at room temp for 1½ hours. Serve cold.",
        ],
    );
    let ids: Vec<String> = strings(&dish, "step", "do");
    assert_eq!(ids.len(), 5, "{text}");
    assert!(ids[0].ends_with("Set aside.") && ids[2].ends_with("Remove from heat and set aside."));
    assert_eq!(
        strings(&dish, "step", "hands"),
        ["-", "-", "off", "-", "off"],
        "{text}"
    );
    assert_eq!(value(&dish, 1, "takes"), "15 min");
    assert_eq!(value(&dish, 4, "takes"), "1 h 30 min");
    assert!(
        value(&dish, 0, "uses").contains("lamb neck fillet"),
        "{text}"
    );
    assert!(text.contains("# - \"Gather all ingredients.\"") && text.contains("calculate"));
}

#[test]
fn ovens_fans_and_fryers_are_told_apart() {
    let (dish, text) = of(
        &["5 kg turkey"],
        &[
            "Heat oven to 190C/fan 170C/gas 5. Roast the turkey for 3 hours.",
            "Test: the juices should run clear and a thermometer in the thigh should read 75C.",
        ],
    );
    assert_eq!(
        dish["step"][0]["oven"]["at"].as_str(),
        Some("190 C"),
        "{text}"
    );
    assert_eq!(value(&dish, 0, "core"), "75 C");
    assert_eq!(dish["step"].as_array().unwrap().len(), 1, "{text}");
    let (_, text) = of(
        &["2 salmon fillets"],
        &["Preheat air fryer to 200C for 3 mins. Air-fry the salmon for 8 mins."],
    );
    assert!(
        !text.contains("burner") && !text.contains("lights the oven"),
        "{text}"
    );
    assert!(text.contains("air fryer"), "{text}");
    let (_, text) = of(
        &["1 cucumber", "1 cup vinegar"],
        &["Combine everything in a jar."],
    );
    assert!(
        text.contains("uses = [\"cucumber\", \"vinegar\"]"),
        "{text}"
    );
}

/// Microdata whose steps are paragraphs under headings of their own.
#[test]
fn numbers_of_steps_in_headings_are_no_text() {
    let page = r#"<div itemscope itemtype="https://schema.org/Recipe"><b itemprop="name">X</b><p itemprop="recipeIngredient">1 egg</p>
        <div itemprop="recipeInstructions"><h3>Step 1</h3><p>Boil the egg for 9 minutes.</p><h3>Step 2</h3><p>Peel.</p></div></div>"#;
    let (_, text, _) = piped(page);
    assert!(
        text.contains("do = \"Boil the egg for 9 minutes.\"") && !text.contains("Step"),
        "{text}"
    );
}

/// No text of a step is lost, and what is none is listed; plain JSON has words of its own.
#[test]
fn steps_with_several_texts_and_plain_words() {
    let (_, text, _) = piped(
        r#"{"@type":"Recipe","name":"X","recipeIngredient":["1 cup rice"],"recipeInstructions":[5,{"@type":"HowToStep","text":["Simmer the rice for 12 minutes.","Rest 5 minutes."]}]}"#,
    );
    assert!(text.contains("do = \"Rest 5 minutes.\""), "{text}");
    assert!(
        text.contains("# - an instruction that is no text: 5"),
        "{text}"
    );
    let dish = made(
        r#"{"recipe":{"title":"X","yield":"serves 4-6","ingredients":[{"quantity":"200","unit":"g","name":"pasta"},{"amount":"2","unit":"tbsp","ingredient":"olive oil"}],"directions":["Boil the pasta for 11 minutes."]}}"#,
    );
    assert_eq!(strings(&dish, "ingredient", "amount"), ["200 g", "2 tbsp"]);
    assert_eq!(strings(&dish, "ingredient", "item"), ["pasta", "olive oil"]);
}
