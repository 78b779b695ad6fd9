use jiff::civil;

use super::*;
use crate::measure::duration::DurationRange;
use crate::menu::model::{Hands, Kitchen, Moment, Step};

fn ingredient(item: &str, amount: &str) -> Ingredient {
    let amount = (!amount.is_empty()).then(|| amount.to_owned());
    Ingredient {
        item: item.to_owned(),
        amount,
        note: None,
        or: Vec::new(),
    }
}

fn step(id: &str, uses: &[&str]) -> Step {
    let minute = Ratio::from_integer(60);
    Step {
        id: id.to_owned(),
        instruction: String::new(),
        takes: DurationRange {
            lo: minute,
            hi: minute,
        },
        hands: Hands::On,
        after: Vec::new(),
        needs: Vec::new(),
        oven: None,
        until: None,
        core: None,
        keeps: None,
        ahead: None,
        uses: uses.iter().map(|u| (*u).to_owned()).collect(),
        scales: false,
        batch: None,
        hot: false,
        lead: minute,
    }
}

fn session(guests: u32, ingredients: Vec<Ingredient>, steps: Vec<Step>) -> Session {
    let dish = Dish {
        id: "mash".to_owned(),
        title: "Mash".to_owned(),
        serves: Some(Ratio::from_integer(4)),
        makes: None,
        ingredients,
        steps,
    };
    Session {
        title: String::new(),
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
        dishes: vec![dish],
    }
}

fn texts(lines: &[Line]) -> Vec<String> {
    lines.iter().map(Line::text).collect()
}

#[test]
fn a_step_shows_what_goes_in_for_the_guests() {
    let ingredients = vec![
        ingredient("potatoes", "800 g"),
        ingredient("butter", "40 g"),
        ingredient("salt", "to taste"),
        ingredient("nutmeg", ""),
    ];
    let session = session(
        6,
        ingredients,
        vec![
            step("boil", &["potatoes"]),
            step("mash", &["butter", "salt", "nutmeg"]),
        ],
    );
    assert_eq!(
        texts(&for_step(&session, 0, 0, Units::Author)),
        ["1.2 kg potatoes"]
    );
    assert_eq!(
        texts(&for_step(&session, 0, 1, Units::Author)),
        ["60 g butter", "salt, to taste", "nutmeg"]
    );
    assert_eq!(
        texts(&for_step(&session, 0, 1, Units::Us))[0],
        "60 g (1/4 cup + 3/4 tsp) butter"
    );
    assert!(for_step(&session, 0, 7, Units::Author).is_empty());
    assert!(for_step(&session, 3, 0, Units::Author).is_empty());
}

#[test]
fn eggs_that_do_not_come_out_even_say_what_to_do() {
    let session = session(
        5,
        vec![ingredient("egg", "2"), ingredient("onion", "4 large")],
        vec![step("beat", &["egg", "onion"])],
    );
    let lines = for_step(&session, 0, 0, Units::Author);
    assert_eq!(texts(&lines), ["2 1/2 eggs", "5 large onions"]);
    assert_eq!(
        lines[0].hint.as_deref(),
        Some("beat the third, use half of it (about 25 g)")
    );
}

#[test]
fn one_item_in_several_steps() {
    let twice = vec![ingredient("butter", "20 g"), ingredient("butter", "30 g")];
    let each = session(
        4,
        twice,
        vec![step("a", &["butter"]), step("b", &["butter"])],
    );
    assert_eq!(
        texts(&for_step(&each, 0, 0, Units::Author)),
        ["20 g butter"]
    );
    assert_eq!(
        texts(&for_step(&each, 0, 1, Units::Author)),
        ["30 g butter"]
    );
    let shared = session(
        4,
        vec![ingredient("butter", "50 g")],
        vec![step("a", &["butter"]), step("b", &["butter"])],
    );
    assert_eq!(
        texts(&for_step(&shared, 0, 1, Units::Author)),
        ["butter (50 g in all)"]
    );
}

#[test]
fn substitutes_scale_too() {
    let mut bird = ingredient("chicken", "2 kg");
    bird.or = vec!["guinea fowl, 2 kg".to_owned(), "a large duck".to_owned()];
    let session = session(2, vec![bird], vec![step("roast", &["chicken"])]);
    assert_eq!(
        for_step(&session, 0, 0, Units::Author)[0].or,
        ["guinea fowl, 1 kg", "a large duck"]
    );
}
