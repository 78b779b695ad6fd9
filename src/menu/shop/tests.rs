use jiff::civil;
use proptest::prelude::*;

use super::*;
use crate::measure::quantity::{Measure, Quantity, convert};
use crate::menu::model::{Dish, Ingredient, Kitchen, Moment};

/// "item | amount | note | or".
fn ingredient(text: &str) -> Ingredient {
    let mut parts = text.split('|').map(str::trim);
    let mut next = || parts.next().filter(|p| !p.is_empty()).map(str::to_owned);
    Ingredient {
        item: next().unwrap(),
        amount: next(),
        note: next(),
        or: next().into_iter().collect(),
    }
}

fn dish(title: &str, serves: i128, ingredients: &[&str]) -> Dish {
    Dish {
        id: title.to_lowercase(),
        title: title.to_owned(),
        serves: Some(Ratio::from_integer(serves)),
        makes: None,
        ingredients: ingredients.iter().map(|t| ingredient(t)).collect(),
        steps: Vec::new(),
    }
}

fn session(title: &str, guests: u32, dishes: Vec<Dish>) -> Session {
    Session {
        title: title.to_owned(),
        guests,
        serve: Moment::Clock(civil::time(19, 0, 0, 0)),
        start: None,
        ahead: Vec::new(),
        kitchen: Kitchen {
            cooks: 1,
            burners: 4,
            ovens: Vec::new(),
            wares: Vec::new(),
        },
        avoid: Vec::new(),
        sure: None,
        courses: Vec::new(),
        dishes,
    }
}

/// "amount name" of every item to buy, in the order of the list.
fn lines(list: &List) -> Vec<String> {
    let items = list.sections.iter().flat_map(|s| &s.items);
    items
        .map(|i| {
            format!("{} {}", i.amount(list.units), i.name)
                .trim()
                .to_owned()
        })
        .collect()
}

fn bought(dishes: Vec<Dish>, guests: u32, pantry: &str) -> Vec<String> {
    let session = session("Supper", guests, dishes);
    lines(&list(
        &[&session],
        &Pantry::read("pantry.toml", pantry.as_bytes()).unwrap(),
        Units::Author,
    ))
}

#[test]
fn the_same_thing_is_bought_once() {
    let soup = dish(
        "Soup",
        4,
        &[
            "garlic | 2 cloves",
            "butter | 2 tbsp",
            "plain flour | 100 g",
            "water | 1 l",
        ],
    );
    let roast = dish(
        "Roast",
        4,
        &[
            "Garlic | 3 cloves",
            "butter, softened | 100 g",
            "all-purpose flour | 1 cup",
        ],
    );
    // 2 tbsp of butter are 28.4 g, a cup of flour 125 g: USDA SR28, NDB 01145 and 20081.
    assert_eq!(
        bought(vec![soup, roast], 4, ""),
        ["5 cloves garlic", "128 g butter", "225 g plain flour"]
    );
}

#[test]
fn what_cannot_be_added_stands_side_by_side() {
    let a = dish(
        "A",
        4,
        &[
            "onion | 2",
            "coarse salt | 1 tbsp",
            "ginger | 2 cm",
            "eggs | 2 large",
        ],
    );
    let b = dish(
        "B",
        4,
        &[
            "onions | 1 cup",
            "coarse salt | 10 g",
            "ginger | 1 cm",
            "egg | 1",
        ],
    );
    assert_eq!(
        bought(vec![a, b], 4, ""),
        [
            "3 cm ginger",
            "2 + 1 cup onions",
            "3 large eggs",
            "1 tbsp + 10 g coarse salt"
        ]
    );
}

/// A medium onion is 110 g: USDA SR28, NDB 11282. What the table doesn't know has no sum.
#[test]
fn pieces_and_weights_stand_in_one_line() {
    let a = dish(
        "A",
        4,
        &[
            "onion | 3 | finely chopped",
            "granulated sugar | 50 g",
            "quinces | 2",
        ],
    );
    let b = dish(
        "B",
        4,
        &[
            "onions | 200 g | sliced",
            "sugar | 1 tbsp",
            "quince | 300 g",
        ],
    );
    assert_eq!(
        bought(vec![a.clone(), b.clone()], 4, ""),
        [
            "about 530 g (3 + 200 g) onions",
            "2 + 300 g quinces",
            "63 g granulated sugar"
        ]
    );
    let list = list(
        &[&session("Supper", 4, vec![a, b])],
        &Pantry::default(),
        Units::default(),
    );
    let text = text(&list);
    assert!(
        text.contains("finely chopped (A)") && text.contains("sliced (B)"),
        "{text}"
    );
}

/// An amount of many parts has a line of its own, and the columns stay.
#[test]
fn a_long_amount_breaks_no_column() {
    let names = ["A", "B", "C"];
    let amounts = [
        "quark | 2 large tubs",
        "quark | 3 cups",
        "quark | 2 heaped tbsp",
    ];
    let dishes = names
        .iter()
        .zip(amounts)
        .map(|(n, a)| dish(n, 4, &[a, "leeks | 2"]))
        .collect();
    let list = list(
        &[&session("Supper", 4, dishes)],
        &Pantry::default(),
        Units::default(),
    );
    let text = text(&list);
    let column = |word: &str| {
        let line = text
            .lines()
            .find(|l| l.contains(word) && l.contains("A "))
            .unwrap();
        line.find(word).unwrap()
    };
    assert_eq!(column("quark"), column("leeks"), "{text}");
}

#[test]
fn pieces_are_bought_whole_and_amounts_follow_the_guests() {
    let tart = dish(
        "Tart",
        4,
        &["eggs | 2", "cream | 200 ml", "salt | to taste", "nutmeg"],
    );
    assert_eq!(
        bought(vec![tart], 5, ""),
        [
            "250 ml cream",
            "3 (2 1/2 needed) eggs",
            "nutmeg",
            "to taste salt"
        ]
    );
}

/// A stick of butter is 113.4 g, eight tablespoons of 14.2 g: USDA SR28, NDB 01001.
#[test]
fn ranges_of_pieces_are_rounded_up_and_one_amount_leads() {
    let noodles = dish(
        "Noodles",
        4,
        &[
            "spring onions | 3 to 4",
            "cherry tomatoes | 5 to 6",
            "butter | 25 g",
            "udon | 8 oz / 225 g",
            "carrots | 2 to 3",
        ],
    );
    let cake = dish("Cake", 8, &["butter | 2 sticks"]);
    assert_eq!(
        bought(vec![noodles, cake], 5, "[have]\ncarrots = 1\n"),
        [
            "3 (2 3/4 needed) carrots",
            "7 to 8 (6 1/4 to 7 1/2 needed) cherry tomatoes",
            "4 to 5 (3 3/4 to 5 needed) spring onions",
            "about 175 g (31 g + 1 1/4 sticks) butter",
            "10 oz / 280 g udon",
        ]
    );
}

#[test]
fn the_pantry_is_taken_off() {
    let cake = dish(
        "Cake",
        4,
        &[
            "butter | 250 g",
            "sugar | 1 cup",
            "eggs | 4",
            "salt | 1 tsp",
            "milk | 200 ml",
        ],
    );
    let pantry = "[have]\nbutter = \"7 tbsp\"\nsugar = \"1 kg\"\neggs = 3\nsalt = \"plenty\"\nmilk = \"1 bottle\"\n";
    // 7 tbsp of butter are 99.4 g; milk by the bottle is not known.
    assert_eq!(
        bought(vec![cake.clone()], 4, pantry),
        ["151 g butter", "1 eggs", "200 ml milk"]
    );
    let session = session("Tea", 4, vec![cake]);
    let list = list(
        &[&session],
        &Pantry::read("pantry.toml", pantry.as_bytes()).unwrap(),
        Units::Author,
    );
    let text = text(&list);
    assert!(
        text.contains("pantry: 1 bottle: look whether it is enough"),
        "{text}"
    );
    assert!(
        text.contains("In the house: sugar (1 kg), salt (plenty)"),
        "{text}"
    );
}

#[test]
fn what_the_pantry_has_is_not_used_twice() {
    let a = dish("A", 4, &["butter | 100 g", "onion | 1", "onion | 100 g"]);
    assert_eq!(
        bought(vec![a], 4, "[have]\nonion = 1\nbutter = \"40 g\""),
        ["100 g onion", "60 g butter"]
    );
}

#[test]
fn faults_of_a_pantry_are_all_told_with_their_place() {
    let text = "[have]\nbutter = \"a lot\"\nsugar = 1979-05-27\nmilk = \"1/0 l\"\n";
    let told = Pantry::read("pantry.toml", text.as_bytes())
        .unwrap_err()
        .brief();
    assert_eq!(told.lines().count(), 3, "{told}");
    for place in [
        "pantry.toml:2:10: error",
        "pantry.toml:3:9: error",
        "pantry.toml:4:8: error",
    ] {
        assert!(told.contains(place), "{place}: {told}");
    }
    assert!(Pantry::read("p", b"have = 3").is_err() && Pantry::read("p", b"hav = 3").is_err());
}

#[test]
fn optional_things_and_substitutes_are_marked() {
    let a = dish(
        "Stew",
        2,
        &[
            "chicken | 2 kg | whole | guinea fowl, 2 kg",
            "capers | 1 tbsp | optional",
        ],
    );
    let session = session("Supper", 4, vec![a]);
    let list = list(&[&session], &Pantry::default(), Units::Author);
    let text = text(&list);
    assert!(
        text.contains("or guinea fowl, 4 kg (Stew)") && text.contains("capers (optional)"),
        "{text}"
    );
    assert!(
        markdown(&list).contains("- [ ] 4 kg **chicken**: Stew"),
        "{}",
        markdown(&list)
    );
    let json = json(&list);
    assert_eq!(json["sections"][0]["items"][0]["totals"][0]["buy"], 4.0);
    assert_eq!(json["sections"][0]["items"][0]["for"][0]["dish"], "Stew");
}

#[test]
fn several_meals_make_one_list() {
    let lunch = session("Lunch", 2, vec![dish("Soup", 4, &["leeks | 4"])]);
    let supper = session("Supper", 6, vec![dish("Pie", 4, &["leek | 2"])]);
    let list = list(&[&lunch, &supper], &Pantry::default(), Units::Author);
    assert_eq!(lines(&list), ["5 leeks"]);
    assert!(
        text(&list).contains("Lunch/Soup 2, Supper/Pie 3"),
        "{}",
        text(&list)
    );
}

fn any_ingredient() -> impl Strategy<Value = Ingredient> {
    let item = prop::sample::select(vec![
        "butter",
        "Butter",
        "plain flour",
        "garlic",
        "eggs",
        "egg",
        "milk",
        "coarse salt",
        "onion",
    ]);
    let unit = prop::sample::select(vec![
        "g",
        "kg",
        "tbsp",
        "tsp",
        "cup",
        "ml",
        "l",
        "oz",
        "lb",
        "cloves",
        "",
        "large",
        "heaped tbsp",
        "x 400 g tins",
        "cm",
    ]);
    let number = prop::sample::select(vec!["1", "2", "3/4", "1 1/3", "2.5", "2-3", "1/7", "100"]);
    (item, number, unit)
        .prop_map(|(item, number, unit)| ingredient(&format!("{item} | {number} {unit}")))
}

/// The value in the measure of a total, worked out apart from the merge.
fn in_measure_of(total: &Quantity, used: &Use, value: Ratio, quantity: &Quantity) -> Ratio {
    match (&total.measure, &quantity.measure) {
        (Measure::Unit(to), Measure::Unit(from)) => match convert(value, *from, *to) {
            Some(value) => value,
            None => crate::measure::food::grams(value, quantity, &used.item, "").unwrap(),
        },
        _ => value,
    }
}

proptest! {
    /// Merging loses nothing and makes nothing: every amount is in exactly one total, and its parts add up to it.
    #[test]
    fn merging_then_splitting_keeps_every_total(
        ingredients in prop::collection::vec(any_ingredient(), 1..12),
        guests in 1u32..40,
    ) {
        let dishes = ingredients.iter().enumerate().map(|(i, ingredient)| Dish {
            ingredients: vec![ingredient.clone()],
            ..dish(&format!("Dish {i}"), 4, &[])
        }).collect();
        let session = session("Supper", guests, dishes);
        let list = list(&[&session], &Pantry::default(), Units::Both);
        let items: Vec<_> = list.sections.iter().flat_map(|s| &s.items).collect();
        let mut seen = 0;
        for item in &items {
            for total in &item.totals {
                let zero = Ratio::from_integer(0);
                let (mut lo, mut hi) = (zero, zero);
                for (index, part_lo, part_hi) in &total.parts {
                    let used = &item.uses[*index];
                    let quantity = used.amount.as_ref().unwrap().quantity().unwrap();
                    let exact_lo = in_measure_of(&total.quantity, used, quantity.lo, quantity);
                    let exact_hi = in_measure_of(&total.quantity, used, quantity.hi, quantity);
                    prop_assert_eq!((*part_lo, *part_hi), (exact_lo, exact_hi));
                    lo += part_lo;
                    hi += part_hi;
                    seen += 1;
                }
                prop_assert_eq!((lo, hi), (total.quantity.lo, total.quantity.hi));
                prop_assert_eq!(total.buy, total.quantity.hi);
            }
            prop_assert!(!item.amount(Units::Both).is_empty());
        }
        prop_assert_eq!(seen, ingredients.len());
        let _ = (text(&list), markdown(&list), json(&list));
    }
}
