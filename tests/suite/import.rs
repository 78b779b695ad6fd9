//! `import`, from outside: schema.org's own examples, and pages as broken as pages are.

mod said;
mod steps;
mod words;

use std::io::Write;
use std::process::{Command, Output, Stdio};

fn mealtide(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_mealtide"))
        .args(args)
        .output()
        .unwrap()
}

fn data(name: &str) -> String {
    format!("{}/tests/data/recipes/{name}", env!("CARGO_MANIFEST_DIR"))
}

/// The dish made of a file, read as TOML, and its text.
fn dish(name: &str) -> (toml::Table, String) {
    let out = mealtide(&["import", &data(name)]);
    assert!(
        out.status.success(),
        "{name}: {}",
        String::from_utf8_lossy(&out.stderr)
    );
    let text = String::from_utf8(out.stdout).unwrap();
    (text.parse().unwrap(), text)
}

fn piped(text: &str) -> (i32, String, String) {
    let mut child = Command::new(env!("CARGO_BIN_EXE_mealtide"))
        .args(["import", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child
        .stdin
        .take()
        .unwrap()
        .write_all(text.as_bytes())
        .unwrap();
    let out = child.wait_with_output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (
        out.status.code().unwrap(),
        text(out.stdout),
        text(out.stderr),
    )
}

/// The dish of a recipe given as JSON on standard input.
fn made(recipe: &str) -> toml::Table {
    let (code, out, error) = piped(recipe);
    assert_eq!(code, 0, "{error}");
    out.parse().unwrap_or_else(|e| panic!("{e}\n{out}"))
}

fn strings(dish: &toml::Table, list: &str, key: &str) -> Vec<String> {
    let entries = dish[list].as_array().unwrap();
    entries
        .iter()
        .map(|e| {
            e.get(key)
                .and_then(|v| v.as_str())
                .unwrap_or("-")
                .to_owned()
        })
        .collect()
}

/// schema.org 30.0, example eg-0013: a string, a PropertyValue with a number and one with unitCode G21 (cup, as its
/// microdata twin says).
#[test]
fn the_vocabularys_own_recipe_example() {
    let (dish, text) = dish("schemaorg-eg-0013.jsonld");
    assert_eq!(
        dish["title"].as_str(),
        Some("Mom's World Famous Banana Bread")
    );
    assert_eq!(
        strings(&dish, "ingredient", "item"),
        ["ripe bananas", "egg", "sugar"]
    );
    assert_eq!(
        strings(&dish, "ingredient", "amount"),
        ["3 or 4", "1", "3/4 cup"]
    );
    assert_eq!(strings(&dish, "ingredient", "note"), ["smashed", "-", "-"]);
    assert_eq!(strings(&dish, "step", "takes").last().unwrap(), "1 h");
    assert!(
        text.contains("prepTime 15 min, cookTime 1 h\n"),
        "totalTime is absent\n{text}"
    );
    // "1 loaf" is no number of guests, and "350 degrees" names no scale: neither is made up silently.
    assert!(
        !dish.contains_key("serves") && text.contains("yield: \"1 loaf\""),
        "{text}"
    );
    assert!(
        text.contains("oven = { at = \"350 F\" }  # guess: the recipe names no scale"),
        "{text}"
    );
}

#[test]
fn json_ld_and_microdata_of_one_recipe_make_one_dish() {
    assert_eq!(
        dish("schemaorg-eg-0013.jsonld").0,
        dish("schemaorg-eg-0013.microdata.html").0
    );
}

/// schema.org 30.0, example eg-0371: a HowTo without food is no dish.
#[test]
fn a_howto_is_no_recipe() {
    let out = mealtide(&["import", &data("schemaorg-eg-0371.jsonld")]);
    assert_eq!(out.status.code(), Some(2));
    assert!(out.stdout.is_empty());
    let error = String::from_utf8(out.stderr).unwrap();
    assert!(
        error.contains("no schema.org Recipe") && error.contains("HowTo"),
        "{error}"
    );
}

/// `@graph`, types in a list, a reference to the recipe, author in a list, sections, directions and tips.
#[test]
fn a_graph_with_sections() {
    let (dish, text) = dish("chowder.html");
    assert_eq!(
        dish["title"].as_str(),
        Some("Smoked haddock & leek chowder")
    );
    assert_eq!(dish["serves"].as_integer(), Some(4));
    assert!(
        text.contains("# By Ada Cook")
            && text.contains("# For the base")
            && text.contains("# To finish")
    );
    assert!(text.contains("# - tip: A mandoline"), "{text}");
    let amounts = strings(&dish, "ingredient", "amount");
    assert_eq!(amounts[3], "1½ l");
    assert_eq!(amounts[4], "400g/14oz");
    let takes = strings(&dish, "step", "takes");
    assert!(
        takes.contains(&"8 to 10 min".to_owned()) && takes.contains(&"12 to 15 min".to_owned()),
        "{takes:?}"
    );
    assert!(strings(&dish, "step", "until").contains(&"the fish flakes easily".to_owned()));
    assert_eq!(strings(&dish, "step", "keeps").last().unwrap(), "5 min");
}

/// The six classes of broken blocks that extruct's sample `custom.invalid` is about: control characters, CDATA,
/// JavaScript comments, a trailing brace, unescaped quotes, valid and invalid blocks on one page.
#[test]
fn broken_neighbours_do_not_hide_a_recipe() {
    let (dish, text) = dish("broken.html");
    assert_eq!(
        dish["title"].as_str(),
        Some("Grandmother's \"real\" pancakes")
    );
    assert_eq!(
        strings(&dish, "ingredient", "item"),
        ["plain flour", "eggs", "milk"]
    );
    assert_eq!(
        strings(&dish, "step", "takes"),
        ["5 min", "30 min", "4 min"]
    );
    assert!(
        text.contains("block 2 was not valid") && text.contains("block 3 could not be read"),
        "{text}"
    );
}

#[test]
fn every_shape_of_a_list_is_read() {
    let lists = [
        r#"["1 egg","2 g salt"]"#,
        r#""1 egg\n2 g salt""#,
        r#""<ul><li>1 egg</li><li>2 g salt</li></ul>""#,
        r#"{"@type":"ItemList","itemListElement":["1 egg",{"@type":"ListItem","name":"2 g salt"}]}"#,
        r#"[{"@type":"PropertyValue","value":"1","name":"egg"},{"@type":"PropertyValue","value":2,"unitText":"g","name":"salt"}]"#,
        r#"[{"@type":"HowToSupply","name":"egg","requiredQuantity":1},{"@type":"HowToSupply","name":"salt","requiredQuantity":{"@type":"QuantitativeValue","value":2,"unitCode":"GRM"}}]"#,
    ];
    for list in lists {
        let dish = made(&format!(
            r#"{{"@type":"Recipe","name":"X","recipeIngredient":{list},"recipeInstructions":["Boil the egg for 6 min."]}}"#
        ));
        assert_eq!(
            strings(&dish, "ingredient", "item"),
            ["egg", "salt"],
            "{list}"
        );
        assert_eq!(
            strings(&dish, "ingredient", "amount"),
            ["1", "2 g"],
            "{list}"
        );
    }
}

#[test]
fn ingredients_are_split_into_amount_item_and_note() {
    for (line, item, amount, note) in [
        (
            "2 tbsp olive oil, plus extra for drizzling",
            "olive oil",
            "2 tbsp",
            "plus extra for drizzling",
        ),
        (
            "1 (15-ounce) can chickpeas, drained and rinsed",
            "chickpeas",
            "1 (15-ounce) can",
            "drained and rinsed",
        ),
        ("1/2 cup (120 ml) milk", "milk", "1/2 cup (120 ml)", "-"),
        (
            "1 large onion, finely chopped",
            "onion",
            "1 large",
            "finely chopped",
        ),
        ("2 bay leaves", "bay leaves", "2", "-"),
        ("zest and juice of 2 limes", "limes", "2", "zest and juice"),
        ("butter for greasing", "butter", "-", "for greasing"),
        ("sea salt to taste", "sea salt", "to taste", "-"),
        ("&frac34; cup caster sugar", "caster sugar", "¾ cup", "-"),
        ("• 3 sprigs thyme", "thyme", "3 sprigs", "-"),
        (
            "1 kg (2 lb 3 oz) beef shin, cut into chunks",
            "beef shin",
            "1 kg (2 lb 3 oz)",
            "cut into chunks",
        ),
    ] {
        let dish = made(&format!(
            r#"{{"@type":"Recipe","name":"X","recipeIngredient":["{line}"],"recipeInstructions":"Cook for 5 min."}}"#
        ));
        let got = ["item", "amount", "note"].map(|key| strings(&dish, "ingredient", key).remove(0));
        assert_eq!(got, [item, amount, note].map(str::to_owned), "{line}");
    }
}

#[test]
fn what_is_no_recipe_says_so_and_prints_nothing() {
    for text in [
        "",
        "hello",
        "{}",
        "[]",
        "{\"@type\":\"Recipe\"",
        "<html></html>",
        "{\"@type\":\"Recipe\",\"name\":\"X\",\"recipeIngredient\":[\"1 egg\"]}",
        "\u{0}\u{1}",
    ] {
        let (code, out, error) = piped(text);
        assert_eq!((code, out.as_str()), (2, ""), "{text:?}");
        assert!(error.starts_with("error: "), "{error}");
    }
    assert_eq!(mealtide(&["import", "no such file"]).status.code(), Some(2));
}

#[test]
fn deep_nesting_is_survived() {
    let deep = format!("{}{}", "[".repeat(50_000), "]".repeat(50_000));
    assert_eq!(piped(&deep).0, 2);
    let html = format!(
        "<div itemscope itemtype='https://schema.org/Recipe'>{}x",
        "<div itemscope itemprop=step>".repeat(2000)
    );
    assert_eq!(piped(&html).0, 2);
}

#[test]
fn nothing_is_overwritten_unasked() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("dish.toml");
    let path = path.to_str().unwrap();
    let source = data("roast.json");
    assert!(mealtide(&["import", &source, "-o", path]).status.success());
    let first = std::fs::read_to_string(path).unwrap();
    assert!(first.parse::<toml::Table>().is_ok());
    std::fs::write(path, "mine").unwrap();
    assert_eq!(
        mealtide(&["import", &source, "-o", path]).status.code(),
        Some(2)
    );
    assert_eq!(std::fs::read_to_string(path).unwrap(), "mine");
    assert!(
        mealtide(&["import", &source, "-o", path, "--force"])
            .status
            .success()
    );
    assert_eq!(std::fs::read_to_string(path).unwrap(), first);
}

/// What is written is a dish that the program reads without an error.
#[test]
fn what_is_made_passes_the_check() {
    let mut texts: Vec<String> = [
        "schemaorg-eg-0013.jsonld",
        "chowder.html",
        "roast.json",
        "broken.html",
        "stew.json",
        "bars.html",
        "pilaf.json",
        "style-graph.html",
        "style-one-string.json",
        "style-microdata.html",
        "style-values.json",
        "style-us.html",
        "style-untyped.json",
        "style-three-parts.json",
        "style-spans.html",
        "style-labels.json",
        "style-list-item.json",
    ]
    .iter()
    .map(|name| dish(name).1)
    .collect();
    texts.push(
        piped(r#"{"@type":"Recipe","name":"","recipeIngredient":["","99999999999999999999 g x","1/0 cup y"],"recipeInstructions":["Bake at 999 C for 0 minutes.","",".","Chill for 99999 days."]}"#).1,
    );
    for text in texts {
        let read = mealtide::menu::load_dish("made.toml", text.as_bytes(), None);
        assert!(read.is_ok(), "{}\n{text}", read.unwrap_err().render(false));
    }
}

#[test]
fn a_page_of_list_items_and_plain_json() {
    let (bars, text) = dish("bars.html");
    assert_eq!(
        strings(&bars, "step", "takes")
            .iter()
            .filter(|t| *t == "20 min" || *t == "20 to 25 min")
            .count(),
        2,
        "{text}"
    );
    assert!(!text.contains("overnight\" together"), "{text}");
    let (pilaf, text) = dish("pilaf.json");
    assert_eq!(
        strings(&pilaf, "ingredient", "amount"),
        ["1 mug", "2 mugs", "1 knob", "1 pinch", "-"],
        "{text}"
    );
    assert_eq!(
        strings(&pilaf, "step", "do")[0],
        "Rinse the rice in a sieve."
    );
    assert_eq!(strings(&pilaf, "step", "hands")[4], "off", "{text}");
}

/// UN/ECE Recommendation 20 common codes, as a PropertyValue's unitCode has them.
#[test]
fn common_codes_are_units() {
    let (risotto, text) = dish("style-values.json");
    assert_eq!(
        strings(&risotto, "ingredient", "amount"),
        [
            "400 g",
            "1.5 l",
            "150 ml",
            "2",
            "60 to 80 g",
            "0.1 kg",
            "1 pinch"
        ],
        "{text}"
    );
    assert_eq!(risotto["serves"].as_integer(), Some(5));
}

#[test]
fn lines_of_many_hands_are_split() {
    let ingredient = |line: &str| {
        let recipe = serde_json::json!({"@type": "Recipe", "name": "X", "recipeIngredient": [line],
            "recipeInstructions": ["Mix."]});
        let dish = made(&recipe.to_string());
        let get = |key: &str| strings(&dish, "ingredient", key)[0].clone();
        (get("amount"), get("item"), get("note"))
    };
    for (line, amount, item, note) in [
        (
            "8 bone-in, skin-on chicken thighs (about 3 lbs.)",
            "8",
            "bone-in, skin-on chicken thighs",
            "about 3 lbs.",
        ),
        (
            "small bunch flat-leaf parsley, leaves picked",
            "1 small bunch",
            "flat-leaf parsley",
            "leaves picked",
        ),
        ("10 whole cloves", "10", "whole cloves", "-"),
        (
            "finely grated zest 1 lemon",
            "1",
            "lemon",
            "finely grated zest",
        ),
        ("juice 1½ lemons", "1½", "lemons", "juice"),
        (
            "For the rice: 300g basmati rice",
            "300g",
            "basmati rice",
            "for the rice",
        ),
        (
            "3cm piece of ginger, peeled & grated",
            "1 piece",
            "ginger",
            "3cm, peeled & grated",
        ),
        ("2 litres cider (or apple juice)", "2 litres", "cider", "-"),
        ("2 tbsp ghee or vegetable oil", "2 tbsp", "ghee", "-"),
        ("2 red or white onions", "2", "red or white onions", "-"),
        ("1 pack of basil", "1 pack", "basil", "-"),
    ] {
        let got = ingredient(line);
        assert_eq!(
            got,
            (amount.to_owned(), item.to_owned(), note.to_owned()),
            "{line}"
        );
    }
}
