//! What the boards of the evening are made of.

use jiff::ZonedDateTime;
use mealtide::{
    live::{
        Action, Board, Ms,
        board::{
            Bar, Countdown, CourseLine, Focus, Lane, OvenNext, OvenPane, Phase, Progress, Upcoming,
        },
        event::Setting,
    },
    measure::Ratio,
};

/// A minute.
pub const MIN: Ms = 60_000;

/// Session time of a clock time of the evening; the session was opened at 16:00.
pub fn at(hour: i64, minute: i64) -> Ms {
    ((hour - 16) * 60 + minute) * MIN
}

pub fn celsius(degrees: i128) -> Setting {
    Setting::At(Ratio::from_integer(degrees))
}

pub fn bar(
    step: usize,
    label: &str,
    from: Ms,
    to: Ms,
    hands: bool,
    oven: Option<usize>,
    burners: u32,
    now: Ms,
) -> Bar {
    let progress = match (from <= now, to <= now) {
        (_, true) => Progress::Done,
        (true, false) => Progress::Running,
        _ => Progress::Waiting,
    };
    Bar {
        step,
        from,
        to,
        label: label.into(),
        hands,
        oven,
        burners,
        progress,
    }
}

/// The lanes of the evening as they are at `now`.
pub fn lanes(now: Ms) -> Vec<Lane> {
    let lane = |name: &str, bars: Vec<Bar>| Lane {
        name: name.into(),
        bars,
    };
    let b = |step, label, from, to, hands, oven, burners| {
        bar(step, label, from, to, hands, oven, burners, now)
    };
    vec![
        lane(
            "Celeriac soup",
            vec![
                b(0, "reheat", at(19, 8), at(19, 22), false, None, 1),
                b(1, "froth", at(19, 22), at(19, 27), true, None, 1),
            ],
        ),
        lane(
            "Gougeres",
            vec![
                b(2, "paste", at(18, 5), at(18, 25), true, None, 1),
                b(3, "pipe", at(18, 25), at(18, 35), true, None, 0),
                b(4, "bake", at(18, 58), at(19, 22), false, Some(0), 0),
            ],
        ),
        lane(
            "Roast chicken",
            vec![
                b(5, "season", at(17, 0), at(17, 12), true, None, 0),
                b(6, "roast", at(17, 30), at(18, 50), false, Some(0), 0),
                b(7, "rest", at(18, 50), at(20, 0), false, None, 0),
                b(8, "carve", at(20, 0), at(20, 8), true, None, 0),
            ],
        ),
        lane(
            "Roast roots",
            vec![
                b(9, "peel", at(17, 14), at(17, 38), true, None, 0),
                b(10, "roast", at(19, 24), at(20, 4), false, Some(0), 0),
            ],
        ),
        lane(
            "Kale with lemon",
            vec![
                b(11, "strip", at(18, 36), at(18, 44), true, None, 0),
                b(12, "wilt", at(19, 52), at(20, 0), true, None, 1),
            ],
        ),
        lane(
            "Pavlova",
            vec![
                b(13, "whip", at(20, 30), at(20, 38), true, None, 0),
                b(14, "fill", at(20, 38), at(20, 46), true, None, 0),
            ],
        ),
    ]
}

/// The lanes as first planned: the chicken was to go in ten minutes earlier.
pub fn planned() -> Vec<Lane> {
    let mut lanes = lanes(at(16, 0));
    for bar in lanes.iter_mut().flat_map(|lane| &mut lane.bars) {
        if (5..=7).contains(&bar.step) {
            (bar.from, bar.to) = (bar.from - 10 * MIN, bar.to - 10 * MIN);
        }
    }
    lanes
}

pub fn courses(moved: Ms) -> Vec<CourseLine> {
    let dish = |name: &str, done, all| (name.to_owned(), done, all);
    vec![
        CourseLine {
            name: "First".into(),
            promised: at(19, 30),
            expected: at(19, 30),
            served: false,
            moved: 0,
            dishes: vec![dish("Celeriac soup", 0, 2), dish("Gougeres", 2, 3)],
        },
        CourseLine {
            name: "Main".into(),
            promised: at(20, 10),
            expected: at(20, 10) + moved,
            served: false,
            moved,
            dishes: vec![
                dish("Roast chicken", 1, 4),
                dish("Roast roots", 1, 2),
                dish("Kale with lemon", 1, 2),
            ],
        },
        CourseLine {
            name: "Sweet".into(),
            promised: at(20, 50),
            expected: at(20, 50) + moved,
            served: false,
            moved,
            dishes: vec![dish("Pavlova", 0, 2)],
        },
    ]
}

pub fn next(
    at: Ms,
    subject: &str,
    sentence: &str,
    action: Action,
    hands: bool,
    minutes: i64,
) -> Upcoming {
    Upcoming {
        at,
        subject: subject.into(),
        sentence: sentence.into(),
        action,
        hands,
        length: minutes * MIN,
        waits_for: None,
    }
}

pub fn upcoming(now: Ms) -> Vec<Upcoming> {
    let mut all = vec![
        next(
            at(18, 52),
            "oven",
            "Turn the oven up to 200 C for the gougeres",
            Action::SetOven(0, celsius(200)),
            false,
            0,
        ),
        next(
            at(18, 58),
            "Gougeres",
            "Bake on two racks until deep gold",
            Action::Begin(4),
            false,
            24,
        ),
        next(
            at(19, 8),
            "Celeriac soup",
            "Reheat gently, stirring now and then",
            Action::Begin(0),
            false,
            14,
        ),
        next(
            at(19, 22),
            "Celeriac soup",
            "Froth with cold butter, off the heat",
            Action::Begin(1),
            true,
            5,
        ),
        next(
            at(19, 22),
            "oven",
            "Turn the oven up to 220 C for the roots",
            Action::SetOven(0, celsius(220)),
            false,
            0,
        ),
        next(
            at(19, 24),
            "Roast roots",
            "Roast on the upper rack, turning once",
            Action::Begin(10),
            false,
            40,
        ),
        next(
            at(19, 30),
            "First",
            "Serve the first course",
            Action::Serve(0),
            true,
            0,
        ),
        next(
            at(19, 52),
            "Kale with lemon",
            "Wilt the kale in hot oil, then lemon and salt",
            Action::Begin(12),
            true,
            8,
        ),
        next(
            at(20, 0),
            "Roast chicken",
            "Carve, and warm the juices",
            Action::Begin(8),
            true,
            8,
        ),
        next(
            at(20, 4),
            "oven",
            "Turn the oven off",
            Action::SetOven(0, Setting::Off),
            false,
            0,
        ),
        next(
            at(20, 10),
            "Main",
            "Serve the main course",
            Action::Serve(1),
            true,
            0,
        ),
        next(
            at(20, 30),
            "Pavlova",
            "Whip the cream to soft peaks",
            Action::Begin(13),
            true,
            8,
        ),
    ];
    all.retain(|u| u.at > now);
    if let Some(bake) = all.iter_mut().find(|u| u.action == Action::Begin(4)) {
        bake.waits_for = Some("the oven is too hot for it until 18:58".into());
    }
    all
}

pub fn running(
    step: usize,
    dish: &str,
    sentence: &str,
    place: &str,
    begun: Ms,
    due: Ms,
    cue: Option<&str>,
    hands: bool,
) -> Countdown {
    Countdown {
        step,
        dish: dish.into(),
        sentence: sentence.into(),
        place: place.into(),
        begun,
        due,
        cue: cue.map(Into::into),
        hands,
        core: None,
    }
}

pub fn chicken() -> Countdown {
    Countdown {
        core: Some("core 61 of 74 C, there at about 18:49".into()),
        ..running(
            6,
            "Roast chicken",
            "Roast on the middle rack, breast up",
            "oven",
            at(17, 30),
            at(18, 50),
            Some("the juices run clear"),
            false,
        )
    }
}

pub fn oven(set: i128, next: Option<OvenNext>) -> OvenPane {
    OvenPane {
        name: "oven".into(),
        set: celsius(set),
        since: at(17, 9),
        past: vec![(0, Setting::Off)],
        set_words: format!("{set} C"),
        about: i32::try_from(set).unwrap(),
        ready: None,
        next,
        inside: vec![("Roast chicken".into(), at(18, 50))],
        racks: (1, 2),
    }
}

pub fn turn(when: Ms, to: &str, why: &str, due: bool) -> Option<OvenNext> {
    Some(OvenNext {
        at: when,
        to: to.into(),
        why: why.into(),
        due,
    })
}

/// A board at a moment, with nothing to do and nothing running.
pub fn blank(now: Ms) -> Board {
    let opened: ZonedDateTime = "2026-12-21T16:00:00[UTC]".parse().unwrap();
    Board {
        title: "Midwinter supper".into(),
        now,
        clock: opened
            .checked_add(jiff::SignedDuration::from_millis(now))
            .unwrap(),
        phase: Phase::Cooking,
        focus: Focus::default(),
        calls: vec![],
        countdowns: vec![],
        ovens: vec![],
        upcoming: vec![],
        courses: vec![],
        lanes: vec![],
        notices: vec![],
        undoable: 0,
        unwritten: false,
    }
}

/// The evening at `now`, so much later than promised: what comes, the courses and the lanes.
pub fn evening(now: Ms, late: Ms) -> Board {
    Board {
        upcoming: upcoming(now),
        courses: courses(late),
        lanes: lanes(now),
        ..blank(now)
    }
}

/// The oven while the chicken roasts, before it is turned up for the gougeres.
pub fn roasting() -> OvenPane {
    oven(190, turn(at(18, 52), "200 C", "up for the gougeres", false))
}

/// The oven off, with nothing inside.
pub fn cold(about: i32, next: Option<OvenNext>) -> OvenPane {
    OvenPane {
        set: Setting::Off,
        since: 0,
        past: vec![],
        set_words: "off".into(),
        about,
        racks: (0, 2),
        inside: vec![],
        next,
        ..oven(220, None)
    }
}
