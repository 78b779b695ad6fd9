//! Reads the sessions of these tests: the part of the format that they use, faults are panics.

use std::{fs, path::Path};

use mealtide::{
    measure::{
        Ratio, duration, duration::DurationRange, temperature, temperature::OvenTemperature,
    },
    menu::{
        Course, Dish, Hands, Ingredient, Kitchen, Moment, Need, Oven, OvenNeed, Session, Step,
        StepRef, Ware,
    },
};
use toml::{Table, Value};

fn text(table: &Table, key: &str) -> Option<String> {
    table
        .get(key)
        .map(|value| value.as_str().unwrap().to_owned())
}

fn texts(table: &Table, key: &str) -> Option<Vec<String>> {
    table.get(key).map(|value| {
        value
            .as_array()
            .unwrap()
            .iter()
            .map(|v| v.as_str().unwrap().to_owned())
            .collect()
    })
}

fn tables<'a>(table: &'a Table, key: &str) -> Vec<&'a Table> {
    let values = table.get(key).and_then(Value::as_array);
    values
        .map(|values| values.iter().map(|v| v.as_table().unwrap()).collect())
        .unwrap_or_default()
}

fn number(table: &Table, key: &str) -> Option<i128> {
    table
        .get(key)
        .map(|value| i128::from(value.as_integer().unwrap()))
}

fn litres(text: String) -> Ratio {
    let (number, _) = text.split_once(' ').unwrap();
    let (whole, part) = number.split_once('.').unwrap_or((number, ""));
    Ratio::new(
        format!("{whole}{part}").parse().unwrap(),
        10i128.pow(part.len() as u32),
    )
}

pub fn read(path: &Path) -> Session {
    let file: Table = fs::read_to_string(path).unwrap().parse().unwrap();
    let ten = Ratio::from_integer(10);
    let oven = Oven {
        name: "oven".into(),
        racks: 2,
        heats: ten,
        cools: ten,
        room: Ratio::from_integer(20),
    };
    let kitchen = file.get("kitchen").and_then(Value::as_table);
    let wares = kitchen.map(|k| tables(k, "ware")).unwrap_or_default();
    let wares = wares.into_iter().map(|w| Ware {
        name: text(w, "name").unwrap(),
        count: 1,
        holds: text(w, "holds").map(litres),
    });
    let courses = tables(&file, "course").into_iter().map(|course| Course {
        name: text(course, "name").unwrap(),
        gap: Ratio::from_integer(0),
        plating: Ratio::from_integer(120),
        dishes: texts(course, "dishes").unwrap(),
    });
    Session {
        title: text(&file, "title").unwrap(),
        guests: number(&file, "guests").unwrap() as u32,
        serve: Moment::Clock(jiff::civil::time(19, 0, 0, 0)),
        start: None,
        ahead: texts(&file, "ahead").unwrap_or_default(),
        kitchen: Kitchen {
            cooks: 1,
            burners: 4,
            ovens: vec![oven],
            wares: wares.collect(),
        },
        avoid: texts(&file, "avoid").unwrap_or_default(),
        sure: None,
        courses: courses.collect(),
        dishes: tables(&file, "dish").into_iter().map(dish).collect(),
    }
}

fn dish(table: &Table) -> Dish {
    let id = text(table, "id").unwrap();
    let mut steps: Vec<Step> = Vec::new();
    for t in tables(table, "step") {
        let default = steps
            .last()
            .map(|last| last.id.clone())
            .into_iter()
            .collect();
        steps.push(step(t, &id, texts(t, "after").unwrap_or(default)));
    }
    Dish {
        title: text(table, "title").unwrap(),
        serves: number(table, "serves").map(Ratio::from_integer),
        makes: text(table, "makes").map(litres),
        ingredients: tables(table, "ingredient")
            .into_iter()
            .map(|i| Ingredient {
                item: text(i, "item").unwrap(),
                amount: text(i, "amount"),
                note: text(i, "note"),
                or: texts(i, "or").unwrap_or_default(),
            })
            .collect(),
        steps,
        id,
    }
}

fn step(t: &Table, dish: &str, after: Vec<String>) -> Step {
    let time = |key| text(t, key).map(|words| duration::parse(&words).unwrap());
    let hands = match text(t, "hands").as_deref() {
        None | Some("on") => Hands::On,
        Some("off") => Hands::Off,
        Some(words) => {
            Hands::Check(duration::parse(words.strip_prefix("check every ").unwrap()).unwrap())
        }
    };
    let oven = t
        .get("oven")
        .and_then(Value::as_table)
        .map(|oven| OvenNeed {
            at: OvenTemperature::parse(&text(oven, "at").unwrap(), None).unwrap(),
            then: Vec::new(),
            racks: 1,
        });
    Step {
        id: text(t, "id").unwrap(),
        instruction: text(t, "do").unwrap(),
        takes: text(t, "takes").unwrap().parse::<DurationRange>().unwrap(),
        hands,
        after: after
            .into_iter()
            .map(|step| StepRef {
                dish: dish.into(),
                step,
            })
            .collect(),
        needs: texts(t, "needs")
            .unwrap_or_default()
            .into_iter()
            .map(|name| Need { name, count: 1 })
            .collect(),
        oven,
        until: text(t, "until"),
        core: text(t, "core").map(|words| temperature::celsius(&words).unwrap()),
        keeps: time("keeps"),
        ahead: time("ahead"),
        uses: texts(t, "uses").unwrap_or_default(),
        scales: false,
        batch: text(t, "batch"),
        hot: t.get("hot").is_some_and(|hot| hot.as_bool().unwrap()),
        lead: Ratio::from_integer(60),
    }
}
