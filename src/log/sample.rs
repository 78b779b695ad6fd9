//! A small meal and one evening of it, for the tests of review and learning.

use jiff::{SignedDuration, ZonedDateTime};

use super::Record;
use crate::{
    live::{
        Event, Ms,
        event::{Opening, Planned, Setting},
    },
    measure::{
        Ratio,
        duration::DurationRange,
        temperature::{Accepts, OvenTemperature},
    },
    menu::{Course, Dish, Hands, Kitchen, Moment, Oven, OvenNeed, Session, Step, StepRef},
    plan::frame::Part,
};

pub const MINUTE: Ms = 60_000;

fn whole(number: i128) -> Ratio {
    Ratio::from_integer(number)
}

fn step(dish: &str, id: &str, minutes: (i128, i128), hands: Hands, after: &[&str]) -> Step {
    let after = after.iter().map(|step| name(&format!("{dish}/{step}")));
    Step {
        id: id.to_owned(),
        instruction: format!("Now {id}"),
        takes: DurationRange {
            lo: whole(minutes.0 * 60),
            hi: whole(minutes.1 * 60),
        },
        hands,
        after: after.collect(),
        needs: Vec::new(),
        oven: None,
        until: None,
        core: None,
        keeps: None,
        ahead: None,
        uses: Vec::new(),
        scales: false,
        batch: None,
        hot: false,
        lead: whole(60),
    }
}

fn dish(id: &str, title: &str, steps: Vec<Step>) -> Dish {
    Dish {
        id: id.to_owned(),
        title: title.to_owned(),
        serves: None,
        makes: None,
        ingredients: Vec::new(),
        steps,
    }
}

fn course(name: &str, gap: i128, dish: &str) -> Course {
    Course {
        name: name.to_owned(),
        gap: whole(gap * 60),
        plating: whole(120),
        dishes: vec![dish.to_owned()],
    }
}

/// Soup, and 40 minutes later a roast; one cook, one oven.
pub fn session() -> Session {
    let mut roast = step("roast", "roast", (60, 80), Hands::Off, &["season"]);
    roast.oven = Some(OvenNeed {
        at: OvenTemperature {
            text: "200 C".to_owned(),
            accepts: Accepts::Span {
                lo: whole(190),
                hi: whole(210),
            },
        },
        then: Vec::new(),
        racks: 1,
    });
    let soup = vec![
        step("soup", "chop", (10, 20), Hands::On, &[]),
        step("soup", "simmer", (30, 30), Hands::Off, &["chop"]),
    ];
    let meat = vec![
        step("roast", "season", (10, 10), Hands::On, &[]),
        roast,
        step("roast", "carve", (10, 10), Hands::On, &["roast"]),
    ];
    Session {
        title: "Sunday\u{1b}[2J roast".to_owned(),
        guests: 4,
        serve: Moment::At("2026-10-24T19:30".parse().unwrap()),
        start: None,
        ahead: Vec::new(),
        kitchen: Kitchen {
            cooks: 1,
            burners: 4,
            ovens: vec![Oven {
                name: "oven".to_owned(),
                racks: 2,
                heats: whole(10),
                cools: whole(4),
                room: whole(20),
                dial: None,
            }],
            wares: Vec::new(),
        },
        avoid: Vec::new(),
        sure: None,
        courses: vec![course("First", 0, "soup"), course("Main", 40, "roast")],
        dishes: vec![
            dish("soup", "Leek soup", soup),
            dish("roast", "Roast", meat),
        ],
    }
}

pub fn name(step: &str) -> StepRef {
    step.parse().unwrap()
}

/// Records of so many minutes after 17:00.
pub fn records(events: Vec<(Ms, Event)>) -> Vec<Record<Event>> {
    let opened: ZonedDateTime = "2026-10-24T17:00:00+02:00[Europe/Berlin]".parse().unwrap();
    let opening = Opening {
        program: "test".to_owned(),
        session: session(),
        part: Part::Service,
        quantile: Ratio::new(1, 2),
        opened: opened.clone(),
    };
    let first = [(0, Event::Opened(Box::new(opening)))];
    let all = first.into_iter().chain(events);
    all.zip(0..)
        .map(|((minutes, event), seq)| Record {
            seq,
            at: opened.saturating_add(SignedDuration::from_mins(minutes)),
            ms: minutes * MINUTE,
            event,
        })
        .collect()
}

/// In the order of the session: chop, simmer, season, roast, carve.
pub fn plan(starts: [i32; 5], served: [i32; 2]) -> Event {
    Event::Planned(Box::new(Planned {
        starts: starts.map(|minutes| minutes * 2).to_vec(),
        lengths: [15, 30, 10, 70, 10].map(|minutes| minutes * 2).to_vec(),
        ovens: vec![None, None, None, Some(0), None],
        served: served.map(|minutes| minutes * 2).to_vec(),
        turns: Vec::new(),
        cost: 0,
        bound: 0,
    }))
}

pub fn begun(step: &str) -> Event {
    Event::Begun {
        oven: (step == "roast/roast").then(|| "oven".to_owned()),
        step: name(step),
    }
}

pub fn done(step: &str) -> Event {
    Event::Done { step: name(step) }
}

pub fn set(celsius: i128) -> Event {
    Event::OvenSet {
        oven: "oven".to_owned(),
        to: Setting::At(whole(celsius)),
    }
}

/// The main course is 10 minutes late: carving took 2 longer, the roast 9, and so on.
pub fn evening() -> Vec<(Ms, Event)> {
    vec![
        (0, plan([100, 115, 60, 80, 180], [150, 190])),
        (60, set(200)),
        (62, begun("roast/season")),
        (72, done("roast/season")),
        (85, begun("roast/roast")),
        (101, begun("soup/chop")),
        (120, done("soup/chop")),
        (120, begun("soup/simmer")),
        (130, done("soup/simmer")),
        (131, Event::Undone),
        (152, done("soup/simmer")),
        (153, Event::Served { course: 0 }),
        (155, plan([101, 120, 62, 85, 181], [153, 191])),
        (164, done("roast/roast")),
        (165, plan([101, 120, 62, 85, 180], [153, 190])),
        (185, begun("roast/carve")),
        (197, done("roast/carve")),
        (200, Event::Served { course: 1 }),
        (201, Event::Closed),
    ]
}
