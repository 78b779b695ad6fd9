//! Moments at which nothing calls.

use mealtide::live::{
    Action, Board,
    board::{Choice, Focus, OvenPane, Phase},
};

use super::parts::*;

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
        ovens: vec![cold(
            20,
            turn(at(17, 9), "220 C", "preheat for the roast", false),
        )],
        ..evening(now, 0)
    }
}

/// Before, and already later than the plan's first step.
pub fn before_late() -> Board {
    let mut board = before();
    board.now = at(17, 14) + 12_000;
    board.clock = blank(board.now).clock;
    board
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
        ovens: vec![roasting()],
        undoable: 9,
        ..evening(now, 0)
    }
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
            past: oven(220, None).past,
            since: oven(220, None).since,
            ..cold(92, None)
        }],
        courses: served,
        lanes: lanes(now),
        undoable: 44,
        ..blank(now)
    }
}
