//! `shop`, from outside.

use std::path::Path;
use std::process::{Command, Output};

fn shop(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_mealtide"))
        .current_dir(folder)
        .env("XDG_CONFIG_HOME", folder)
        .env("XDG_DATA_HOME", folder)
        .arg("shop")
        .args(args)
        .output()
        .unwrap()
}

fn text(bytes: Vec<u8>) -> String {
    String::from_utf8(bytes).unwrap()
}

const LUNCH: &str = r#"
title = "Lunch"
guests = 6
serve = "13:00"

[[course]]
name = "Only"
dishes = ["soup", "cake"]

[[dish]]
id = "soup"
title = "Leek soup"
serves = 4
[[dish.ingredient]]
item = "leeks"
amount = "3"
[[dish.ingredient]]
item = "butter"
amount = "2 tbsp"
[[dish.ingredient]]
item = "cream"
amount = "100 ml"
note = "optional"
[[dish.step]]
id = "cook"
do = "Cook the leeks in butter"
takes = "20 min"
uses = ["leeks", "butter", "cream"]

[[dish]]
id = "cake"
title = "Almond cake"
serves = 6
[[dish.ingredient]]
item = "butter"
amount = "150 g"
or = ["olive oil, 120 ml"]
[[dish.ingredient]]
item = "eggs"
amount = "3"
[[dish.step]]
id = "mix"
do = "Mix"
takes = "10 min"
uses = ["butter", "eggs"]
"#;

fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("lunch.toml"), LUNCH).unwrap();
    folder
}

#[test]
fn one_list_merged_scaled_and_by_section() {
    let folder = folder();
    let out = shop(folder.path(), &["lunch.toml"]);
    assert!(out.status.success(), "{}", text(out.stderr));
    let list = text(out.stdout);
    // 3 leeks for 4 are 4 1/2 for 6; 3 tbsp of butter are 42.6 g (USDA SR28, NDB 01145).
    for line in [
        "Shopping for Lunch (6 guests)",
        "5 (4 1/2 needed)",
        "193 g",
        "cream (optional)",
        "or olive oil, 120 ml (Almond cake)",
    ] {
        assert!(list.contains(line), "{line}\n{list}");
    }
    let at = |part: &str| list.find(part).unwrap();
    assert!(at("Fruit and vegetables") < at("leeks") && at("leeks") < at("Milk, cheese and eggs"));
}

#[test]
fn as_json_and_markdown_less_the_pantry_for_two_meals() {
    let folder = folder();
    std::fs::write(
        folder.path().join("pantry.toml"),
        "[have]\nbutter = \"plenty\"\neggs = 4\n",
    )
    .unwrap();
    let args = ["lunch.toml", "lunch.toml", "--pantry", "pantry.toml"];
    let out = shop(folder.path(), &[&args[..], &["--json"]].concat());
    assert!(out.status.success(), "{}", text(out.stderr));
    let list: serde_json::Value = serde_json::from_slice(&out.stdout).unwrap();
    let items: Vec<_> = list["sections"]
        .as_array()
        .unwrap()
        .iter()
        .flat_map(|s| s["items"].as_array().unwrap())
        .collect();
    let item = |name: &str| items.iter().find(|i| i["item"] == name);
    assert_eq!(item("leeks").unwrap()["totals"][0]["buy"], 9.0);
    assert_eq!(item("eggs").unwrap()["totals"][0]["buy"], 2.0);
    assert!(item("butter").is_none() && list["have"][0]["item"] == "butter");
    let out = shop(folder.path(), &[&args[..], &["--markdown"]].concat());
    let list = text(out.stdout);
    assert!(
        list.contains("- [ ] 9 **leeks**: Lunch/Leek soup 4 1/2, Lunch/Leek soup 4 1/2"),
        "{list}"
    );
}

#[test]
fn the_other_system_stands_beside_on_wish() {
    let folder = folder();
    let out = shop(folder.path(), &["lunch.toml", "--units", "us"]);
    let list = text(out.stdout);
    assert!(list.contains("193 g (3/4 cup + 1 1/2 tbsp)"), "{list}");
}

#[test]
fn faults_of_every_file_are_told_and_nothing_is_printed() {
    let folder = folder();
    std::fs::write(
        folder.path().join("pantry.toml"),
        "[have]\nbutter = \"a lot\"\n",
    )
    .unwrap();
    for args in [
        &["lunch.toml", "--pantry", "pantry.toml"][..],
        &["nothing.toml"],
        &["lunch.toml", "--pantry", "none.toml"],
    ] {
        let out = shop(folder.path(), args);
        assert_eq!(out.status.code(), Some(2), "{args:?}");
        assert!(out.stdout.is_empty() && !out.stderr.is_empty(), "{args:?}");
    }
}

#[test]
fn the_built_in_sessions_have_a_list() {
    let folder = tempfile::tempdir().unwrap();
    for name in ["midwinter-supper", "friday-fish", "garden-lunch"] {
        let out = shop(folder.path(), &[name]);
        assert!(out.status.success(), "{name}: {}", text(out.stderr));
        let list = text(out.stdout);
        assert!(!list.contains("\nOther\n"), "{list}");
        assert!(!list.contains("not scaled"), "{list}");
    }
}
