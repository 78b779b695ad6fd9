//! Moments at which something is to be done.

use mealtide::live::{
    Action, Board, Call, CallKey, Priority,
    board::{Choice, Focus, Notice, OvenPane, Weight},
};

use super::parts::*;

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
        ovens: vec![roasting()],
        undoable: 7,
        unwritten: false,
        ..evening(now, 0)
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
        unwritten: false,
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
        ovens: vec![roasting()],
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
        unwritten: false,
        ..evening(now, 4 * MIN)
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
        notices: vec![Notice {
            weight: Weight::Wrong,
            words: "sound: no sound server answers; the terminal's bell rings instead".into(),
        }],
        undoable: 31,
        unwritten: false,
        ..evening(now, 9 * MIN)
    };
    if let Some(first) = board.courses.first_mut() {
        first.served = true;
        first.expected = at(19, 33);
    }
    board
}
