use jiff::civil;

use super::*;
use crate::measure::Ratio;
use crate::measure::duration::DurationRange;
use crate::menu::model::{Hands, Kitchen, Moment, Need, Step};

fn ingredient(item: &str, amount: &str, note: &str) -> Ingredient {
    let some = |text: &str| (!text.is_empty()).then(|| text.to_owned());
    Ingredient {
        item: item.to_owned(),
        amount: some(amount),
        note: some(note),
        or: Vec::new(),
    }
}

fn step(instruction: &str, uses: &[&str], needs: &[(&str, u32)]) -> Step {
    let minute = Ratio::from_integer(60);
    Step {
        id: instruction.to_lowercase(),
        instruction: instruction.to_owned(),
        takes: DurationRange {
            lo: minute,
            hi: minute,
        },
        hands: Hands::On,
        after: Vec::new(),
        needs: needs
            .iter()
            .map(|(n, c)| Need {
                name: (*n).to_owned(),
                count: *c,
            })
            .collect(),
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

fn supper() -> Session {
    let dish = |id: &str, ingredients, steps| Dish {
        id: id.to_lowercase(),
        title: id.to_owned(),
        serves: Some(Ratio::from_integer(4)),
        makes: None,
        ingredients,
        steps,
    };
    let salad = dish(
        "Salad",
        vec![
            ingredient("cucumber", "1", "sliced"),
            ingredient("smoked salmon", "100 g", "cut into strips"),
        ],
        vec![step("Dress", &["cucumber"], &[("salad bowl", 1)])],
    );
    let roast = dish(
        "Roast",
        vec![
            ingredient("chicken", "1.5 kg", "jointed"),
            ingredient("butter", "50 g", "softened"),
            ingredient("beef shin", "500 g", ""),
            ingredient("onions", "2", ""),
        ],
        vec![
            step(
                "Slice the onions and soften them in the pan",
                &["onions"],
                &[("pan", 1), ("burner", 1)],
            ),
            step(
                "Cut the beef shin into cubes once it is at room temperature",
                &["beef shin"],
                &[("pan", 2)],
            ),
            step(
                "Rub with butter",
                &["butter", "chicken"],
                &[("large tray", 1)],
            ),
        ],
    );
    Session {
        title: "Supper".to_owned(),
        guests: 8,
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
        dishes: vec![salad, roast],
    }
}

/// The roast's steps start an hour apart, the salad's after them.
fn starts(dish: usize, step: usize) -> Option<i64> {
    Some(if dish == 0 {
        20_000
    } else {
        3600 * step as i64
    })
}

#[test]
fn what_must_come_out_of_the_fridge_is_told_in_time() {
    let sheet = sheet(&supper(), &starts, Units::Author);
    let told: Vec<_> = sheet
        .get_out
        .iter()
        .map(|g| (g.at, g.what.as_str(), g.why))
        .collect();
    assert_eq!(
        told,
        [
            (Some(1800), "1 kg beef shin", "to lose its chill"),
            (Some(3600), "100 g butter", "to soften")
        ]
    );
}

#[test]
fn cookware_stands_in_the_order_of_first_use() {
    let sheet = sheet(&supper(), &starts, Units::Author);
    let told: Vec<_> = sheet
        .cookware
        .iter()
        .map(|c| (c.name.as_str(), c.count, c.first))
        .collect();
    assert_eq!(
        told,
        [
            ("pan", 2, Some(0)),
            ("large tray", 1, Some(7200)),
            ("salad bowl", 1, Some(20_000))
        ]
    );
}

#[test]
fn raw_poultry_comes_to_the_board_last() {
    let sheet = sheet(&supper(), &starts, Units::Author);
    let told: Vec<_> = sheet
        .board
        .iter()
        .map(|b| (b.group, b.items.join("; ")))
        .collect();
    assert_eq!(
        told,
        [
            (
                Group::ReadyToEat,
                "cucumber, sliced (Salad); smoked salmon, cut into strips (Salad); onions (Roast)"
                    .to_owned()
            ),
            (Group::Meat, "beef shin (Roast)".to_owned()),
            (Group::Poultry, "chicken, jointed (Roast)".to_owned()),
        ]
    );
    let text = text(&sheet, &|at| {
        format!("{:02}:{:02}", 12 + at / 3600, at % 3600 / 60)
    });
    assert!(
        text.contains("  13:00  100 g butter, to soften (Roast)\n"),
        "{text}"
    );
    assert!(text.contains("wash board"), "{text}");
}
