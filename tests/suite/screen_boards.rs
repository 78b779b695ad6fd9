//! Boards of an invented evening, for the tests of the screen: *Midwinter supper* at its moments.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::too_many_arguments)]

use jiff::ZonedDateTime;
use mealtide::{
    live::{
        Action, Board, Call, CallKey, Ms, Priority,
        board::{
            Bar, Choice, Countdown, CourseLine, Focus, Lane, Notice, OvenNext, OvenPane, Phase,
            Progress, Upcoming, Weight,
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

fn celsius(degrees: i128) -> Setting {
    Setting::At(Ratio::from_integer(degrees))
}

fn bar(
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

fn courses(moved: Ms) -> Vec<CourseLine> {
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

fn next(
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

fn upcoming(now: Ms) -> Vec<Upcoming> {
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

fn running(
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

fn chicken() -> Countdown {
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

fn oven(set: i128, next: Option<OvenNext>) -> OvenPane {
    OvenPane {
        name: "oven".into(),
        set: celsius(set),
        set_words: format!("{set} C"),
        about: i32::try_from(set).unwrap(),
        ready: None,
        next,
        inside: vec![("Roast chicken".into(), at(18, 50))],
        racks: (1, 2),
    }
}

fn turn(when: Ms, to: &str, why: &str, due: bool) -> Option<OvenNext> {
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
    }
}

/// Half past four: nothing has begun.
pub fn before() -> Board {
    let now = at(16, 30) + 12_000;
    let things = [
        "large tray",
        "roasting tin",
        "small saucepan",
        "stockpot",
        "piping bag",
        "2 baking sheets",
        "hand blender",
        "carving board",
        "chicken, 2 kg, whole",
        "butter, 250 g",
        "eggs, 8",
        "Gruyere, 180 g",
        "celeriac, 1.2 kg",
        "carrots, 800 g",
        "parsnips, 600 g",
        "kale, 500 g",
        "lemons, 3",
        "cream, 400 ml",
    ];
    Board {
        phase: Phase::Before {
            begin: at(17, 0),
            get_out: things.map(Into::into).to_vec(),
        },
        focus: Focus {
            action: Some(Action::Begin(5)),
            word: "begin early".into(),
            subject: "Roast chicken".into(),
            sentence: "Rub the chicken with salt, thyme and soft butter".into(),
            amounts: vec![
                "2 kg chicken, whole".into(),
                "24 g salt".into(),
                "80 g butter".into(),
                "6 sprigs thyme".into(),
            ],
            needs: vec!["roasting tin".into()],
            moment: Some(at(17, 0)),
            cautions: vec!["wash your hands and the board after raw poultry".into()],
            ..Focus::default()
        },
        ovens: vec![OvenPane {
            set: Setting::Off,
            set_words: "off".into(),
            about: 20,
            racks: (0, 2),
            inside: vec![],
            next: turn(at(17, 9), "220 C", "preheat for the roast", false),
            ..oven(220, None)
        }],
        upcoming: upcoming(now),
        courses: courses(0),
        lanes: lanes(now),
        ..blank(now)
    }
}

/// Before, and already later than the plan's first step.
pub fn before_late() -> Board {
    let mut board = before();
    board.now = at(17, 14) + 12_000;
    board.clock = blank(board.now).clock;
    board
}

/// In the middle: the chicken roasts, the paste is on the heat, the kale comes next.
pub fn middle() -> Board {
    let now = at(18, 16) + 40_000;
    Board {
        focus: Focus {
            action: Some(Action::Finish(2)),
            word: "done".into(),
            subject: "Gougeres".into(),
            sentence: "Beat the eggs into the paste, one by one".into(),
            amounts: vec![
                "4 eggs".into(),
                "180 g Gruyere, grated".into(),
                "1/2 tsp mustard".into(),
            ],
            needs: vec!["small saucepan".into(), "burner".into()],
            cue: Some("the paste falls from the spoon in a V".into()),
            moment: Some(at(18, 25)),
            choices: vec![Choice {
                action: Action::Extend(2, 4 * MIN),
                words: "longer: 4 min more".into(),
            }],
            cautions: vec![],
        },
        countdowns: vec![
            running(
                2,
                "Gougeres",
                "Beat the eggs into the paste, one by one",
                "burner",
                at(18, 5),
                at(18, 25),
                Some("the paste falls from the spoon in a V"),
                true,
            ),
            chicken(),
        ],
        ovens: vec![oven(
            190,
            turn(at(18, 52), "200 C", "up for the gougeres", false),
        )],
        upcoming: upcoming(now),
        courses: courses(0),
        lanes: lanes(now),
        undoable: 7,
        ..blank(now)
    }
}

/// The oven must be turned down at once, and a second call has come.
pub fn turn_down() -> Board {
    let now = at(17, 50) + 8_250;
    let set = Action::SetOven(0, celsius(190));
    Board {
        calls: vec![
            Call {
                key: CallKey::Oven {
                    oven: 0,
                    step: Some(6),
                    to: "190 C".into(),
                },
                priority: Priority::High,
                since: at(17, 50),
                subject: "oven".into(),
                sentence: "Turn the oven down to 190 C".into(),
                action: Some(set.clone()),
                silent: false,
            },
            Call {
                key: CallKey::HeadsUp {
                    step: 9,
                    due: at(17, 51),
                },
                priority: Priority::Low,
                since: at(17, 50),
                subject: "Roast roots".into(),
                sentence: "Peeling ends in a minute".into(),
                action: None,
                silent: false,
            },
        ],
        focus: Focus {
            action: Some(set),
            word: "set to 190 C".into(),
            subject: "oven".into(),
            sentence: "Turn the oven down to 190 C".into(),
            moment: Some(at(17, 50)),
            ..Focus::default()
        },
        countdowns: vec![
            running(
                9,
                "Roast roots",
                "Peel, and cut into fingers",
                "",
                at(17, 14),
                now + 52_000,
                None,
                true,
            ),
            chicken(),
        ],
        ovens: vec![oven(
            220,
            turn(at(17, 50), "190 C", "turn down for the roast", true),
        )],
        upcoming: upcoming(at(17, 50)),
        courses: courses(0),
        lanes: lanes(now),
        undoable: 4,
        ..blank(now)
    }
}

/// A cue is asked for: are the juices clear?
pub fn cue() -> Board {
    let now = at(18, 50) + 41_000;
    Board {
        calls: vec![Call {
            key: CallKey::Cue {
                step: 6,
                due: at(18, 50),
            },
            priority: Priority::Medium,
            since: at(18, 50),
            subject: "Roast chicken".into(),
            sentence: "Look: do the juices run clear?".into(),
            action: Some(Action::Finish(6)),
            silent: false,
        }],
        focus: Focus {
            action: Some(Action::Finish(6)),
            word: "done".into(),
            subject: "Roast chicken".into(),
            sentence: "Look: do the juices run clear?".into(),
            cue: Some("the juices run clear, the core has 74 C".into()),
            moment: Some(at(18, 50)),
            choices: vec![Choice {
                action: Action::Extend(6, 6 * MIN),
                words: "not yet: 6 min more".into(),
            }],
            cautions: vec!["the tin is hot: use dry cloths".into()],
            ..Focus::default()
        },
        countdowns: vec![chicken()],
        ovens: vec![oven(
            190,
            turn(at(18, 52), "200 C", "up for the gougeres", false),
        )],
        upcoming: upcoming(now),
        courses: courses(4 * MIN),
        lanes: lanes(now),
        notices: vec![
            Notice {
                weight: Weight::Caution,
                words: "the stock left out since 17:40 must be chilled by 19:40".into(),
            },
            Notice {
                weight: Weight::Info,
                words: "planned again: Main moved by 4 minutes".into(),
            },
        ],
        undoable: 12,
        ..blank(now)
    }
}

/// Nothing to do for a while.
pub fn calm() -> Board {
    let now = at(18, 45) + 3_000;
    Board {
        focus: Focus {
            subject: "Nothing to do now".into(),
            sentence: "Next: turn the oven up to 200 C".into(),
            moment: Some(at(18, 52)),
            choices: vec![Choice {
                action: Action::SetOven(0, celsius(200)),
                words: "begin it now".into(),
            }],
            ..Focus::default()
        },
        countdowns: vec![chicken()],
        ovens: vec![oven(
            190,
            turn(at(18, 52), "200 C", "up for the gougeres", false),
        )],
        upcoming: upcoming(now),
        courses: courses(0),
        lanes: lanes(now),
        undoable: 9,
        ..blank(now)
    }
}

/// Much is running, some of it late.
pub fn busy() -> Board {
    let now = at(19, 57) + 30_000;
    let mut board = Board {
        focus: Focus {
            action: Some(Action::Finish(12)),
            word: "done".into(),
            subject: "Kale with lemon".into(),
            sentence: "Wilt the kale in hot oil, then lemon and salt".into(),
            amounts: vec![
                "500 g kale".into(),
                "3 tbsp olive oil".into(),
                "1 lemon".into(),
            ],
            needs: vec!["wide pan".into(), "burner".into()],
            moment: Some(at(20, 0)),
            ..Focus::default()
        },
        countdowns: vec![
            running(
                20,
                "Gravy",
                "Simmer down by a third",
                "burner",
                at(19, 40),
                now - 95_000,
                Some("it coats a spoon"),
                false,
            ),
            running(
                21,
                "Plates",
                "Warm the plates",
                "lower rack",
                at(19, 50),
                now + 48_000,
                None,
                false,
            ),
            running(
                12,
                "Kale with lemon",
                "Wilt the kale in hot oil",
                "burner",
                at(19, 52),
                at(20, 0),
                None,
                true,
            ),
            running(
                10,
                "Roast roots",
                "Roast on the upper rack, turning once",
                "oven",
                at(19, 24),
                at(20, 4),
                Some("brown at the edges"),
                false,
            ),
            running(
                7,
                "Roast chicken",
                "Rest under foil",
                "carving board",
                at(18, 50),
                at(20, 5),
                None,
                false,
            ),
        ],
        ovens: vec![OvenPane {
            inside: vec![
                ("Roast roots".into(), at(20, 4)),
                ("Plates".into(), now + 48_000),
            ],
            racks: (2, 2),
            ..oven(220, turn(at(20, 4), "off", "nothing else needs it", false))
        }],
        upcoming: upcoming(now),
        courses: courses(9 * MIN),
        lanes: lanes(now),
        notices: vec![Notice {
            weight: Weight::Wrong,
            words: "sound: no sound server answers; the terminal's bell rings instead".into(),
        }],
        undoable: 31,
        ..blank(now)
    };
    if let Some(first) = board.courses.first_mut() {
        first.served = true;
        first.expected = at(19, 33);
    }
    board
}

/// All is served.
pub fn after() -> Board {
    let now = at(21, 2);
    let mut served = courses(9 * MIN);
    for course in &mut served {
        course.served = true;
        course.moved = 0;
        for dish in &mut course.dishes {
            dish.1 = dish.2;
        }
    }
    let lines = [
        "First was on time",
        "Main was 9 minutes late: the chicken took 11 minutes longer than planned",
        "Sweet was 9 minutes late",
        "Cool the soup that is left in shallow boxes and chill it within 2 hours, by 21:27",
        "Chill the carved chicken by 22:00; eat it within 2 days, or by your local rules",
        "The log: ~/.local/share/mealtide/2026-12-21-midwinter-supper.jsonl",
    ];
    Board {
        phase: Phase::After {
            lines: lines.map(Into::into).to_vec(),
        },
        focus: Focus {
            action: Some(Action::Close),
            word: "close the session".into(),
            subject: "Midwinter supper".into(),
            sentence: "All is served".into(),
            ..Focus::default()
        },
        ovens: vec![OvenPane {
            set: Setting::Off,
            set_words: "off".into(),
            about: 92,
            racks: (0, 2),
            inside: vec![],
            next: None,
            ..oven(220, None)
        }],
        courses: served,
        lanes: lanes(now),
        undoable: 44,
        ..blank(now)
    }
}

/// Every moment, by name.
pub fn all() -> Vec<(&'static str, Board)> {
    vec![
        ("before", before()),
        ("before_late", before_late()),
        ("middle", middle()),
        ("turn_down", turn_down()),
        ("cue", cue()),
        ("calm", calm()),
        ("busy", busy()),
        ("after", after()),
    ]
}
