//! Every screen and state at four sizes, text and styles, held to golden pictures.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::too_many_arguments)]

use std::fmt::Write;

use crossterm::event::Event;
use mealtide::{
    live::{Board, Priority},
    screen::{
        Command, Keys, Theme, Ui,
        alike::Asked,
        app::obey,
        chooser::{self, Chooser, Chosen, Entry, Source},
        keys::{Chord, Place},
        kitchen_form::{self, Form},
        paint, plain, plan_view,
        replay_view::{self, Scrubber},
        review_view::{self, Look, Review},
        ui::Overlay,
    },
};
use ratatui::{buffer::Buffer, layout::Rect, style::Style};

use crate::screen_boards::{self as boards, MIN, at};

const SIZES: [(u16, u16); 5] = [(40, 12), (80, 24), (100, 30), (120, 40), (200, 60)];

/// The text, then for each row its styles as letters, then what the letters mean.
fn picture(buffer: &Buffer) -> String {
    const LETTERS: &[u8] = b".abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ";
    let area = *buffer.area();
    let mut styles: Vec<Style> = Vec::new();
    let (mut text, mut marks) = (String::new(), String::new());
    for y in 0..area.height {
        let (mut line, mut row) = (String::new(), String::new());
        for x in 0..area.width {
            let cell = &buffer[(x, y)];
            line.push_str(cell.symbol());
            let style = cell.style();
            let i = styles.iter().position(|s| *s == style).unwrap_or_else(|| {
                styles.push(style);
                styles.len() - 1
            });
            row.push(char::from(*LETTERS.get(i).unwrap_or(&b'?')));
        }
        writeln!(text, "{}", line.trim_end()).unwrap();
        writeln!(marks, "{row}").unwrap();
    }
    let mut out = format!("{text}\n{marks}\n");
    for (style, letter) in styles.iter().zip(LETTERS) {
        let part = |c: Option<ratatui::style::Color>| c.map_or("-".into(), |c| c.to_string());
        let bits = style.add_modifier;
        writeln!(
            out,
            "{} {} on {} {bits:?}",
            char::from(*letter),
            part(style.fg),
            part(style.bg)
        )
        .unwrap();
    }
    out
}

fn ui(place: Place) -> Ui {
    let mut ui = Ui::new(Theme::named("dark").unwrap(), Keys::shipped());
    ui.place = place;
    ui
}

fn hold(name: &str, draw: impl Fn(&mut Buffer)) {
    for (width, height) in SIZES {
        let mut buffer = Buffer::empty(Rect::new(0, 0, width, height));
        draw(&mut buffer);
        insta::assert_snapshot!(format!("{name}_{width}x{height}"), picture(&buffer));
    }
}

fn cook(name: &str, board: &Board, commands: &[&str]) {
    let mut ui = ui(Place::Cook);
    for command in commands {
        obey(&command.parse::<Command>().unwrap(), board, &mut ui);
    }
    hold(name, |buffer| {
        paint(buffer, board, &ui);
    });
}

#[test]
fn every_moment_of_the_evening() {
    for (name, board) in boards::all().into_iter().chain(boards::calling()) {
        cook(name, &board, &[]);
    }
}

#[test]
fn what_lies_over_the_screen_and_beside_it() {
    let board = boards::middle();
    cook("glance", &board, &["glance"]);
    cook("glance_call", &boards::turn_down(), &["glance"]);
    cook("help", &board, &["help"]);
    cook("leave", &board, &["quit"]);
    let unwritten = Board {
        unwritten: true,
        ..board.clone()
    };
    cook("leave_unwritten", &unwritten, &["quit"]);
    cook("thermometer", &board, &["core"]);
    cook("note", &board, &["note"]);
    cook("minutes", &board, &["more"]);
    cook("oven", &board, &["oven"]);
    cook("message", &board, &["row 9"]);
    cook("chosen", &board, &["row 4"]);
    cook("places", &board, &["lanes"]);
    cook("later", &board, &["later"]);
}

#[test]
fn other_themes_draw_the_same_words() {
    for board in [boards::busy(), boards::turn_down()] {
        let text = |theme: &str| {
            let mut buffer = Buffer::empty(Rect::new(0, 0, 100, 30));
            paint(
                &mut buffer,
                &board,
                &Ui::new(Theme::named(theme).unwrap(), Keys::shipped()),
            );
            buffer
                .content()
                .iter()
                .map(|c| c.symbol().to_owned())
                .collect::<String>()
        };
        for theme in ["light", "sixteen-dark", "sixteen-light", "none"] {
            assert_eq!(text(theme), text("dark"), "{theme}");
        }
    }
    for theme in ["light", "sixteen-dark", "none"] {
        let mut buffer = Buffer::empty(Rect::new(0, 0, 80, 24));
        paint(
            &mut buffer,
            &boards::turn_down(),
            &Ui::new(Theme::named(theme).unwrap(), Keys::shipped()),
        );
        insta::assert_snapshot!(format!("theme_{theme}"), picture(&buffer));
    }
}

fn entry(title: &str, source: Source, courses: &[&str], begin: &str, serve: &str) -> Entry {
    let moment = |text: &str| Some(text.parse().unwrap());
    Entry {
        title: title.into(),
        source,
        guests: Some(6),
        courses: courses.iter().map(|c| (*c).to_owned()).collect(),
        serve: moment(serve),
        begin: moment(begin),
        troubles: vec![],
        notes: vec![],
        broken: false,
    }
}

fn chooser(first_run: bool) -> Chooser {
    let day = |time: &str| format!("2026-12-21T{time}:00[UTC]");
    let mut broken = entry(
        "birthday.toml",
        Source::File("sessions/birthday.toml".into()),
        &[],
        &day("16:00"),
        &day("19:00"),
    );
    broken.troubles = vec![
        "line 12: no dish is called `lemon-tart`".into(),
        "line 20: `takes` is missing".into(),
    ];
    broken.broken = true;
    let supper = [
        "First: celeriac soup, gougeres",
        "Main: roast chicken, roast roots, kale with lemon",
        "Sweet: pavlova",
    ];
    let entries = vec![
        entry(
            "Midwinter supper",
            Source::BuiltIn,
            &supper,
            &day("17:00"),
            &day("19:30"),
        ),
        entry(
            "Friday fish",
            Source::BuiltIn,
            &["Main: trout, potatoes"],
            &day("15:50"),
            &day("16:30"),
        ),
        broken,
        entry(
            "Midwinter supper",
            Source::Unfinished("left at 15:42".into()),
            &supper,
            &day("15:00"),
            &day("19:30"),
        ),
    ];
    Chooser::new(entries, first_run, day("16:10").parse().unwrap())
}

#[test]
fn sessions_at_hand() {
    let ui = ui(Place::List);
    for (name, first_run, downs) in [
        ("chooser", false, 0),
        ("chooser_late", false, 2),
        ("chooser_first_run", true, 1),
    ] {
        let mut chooser = chooser(first_run);
        for _ in 0..downs {
            ask(&mut chooser, Command::Down, &mut ui.clone());
        }
        hold(name, |buffer| {
            chooser::paint(buffer, &chooser, &ui);
        });
    }
}

/// What a chooser answers to the key of a command.
fn ask(chooser: &mut Chooser, command: Command, ui: &mut Ui) -> Option<Asked<Chosen>> {
    let key = ui.keys.event(Place::List, &command).unwrap();
    chooser.on_event(&Event::Key(key), Rect::new(0, 0, 80, 24), ui)
}

#[test]
fn a_chooser_takes_what_is_chosen() {
    let mut ui = ui(Place::List);
    let mut chooser = chooser(false);
    assert!(matches!(chooser.entries()[0].source, Source::Unfinished(_)));
    let mut press = |command: Command, ui: &mut Ui| ask(&mut chooser, command, ui);
    assert_eq!(
        press(Command::Take, &mut ui),
        Some(Asked::Own(Chosen::Cook(0)))
    );
    press(Command::Down, &mut ui);
    assert_eq!(
        press(Command::Plan, &mut ui),
        Some(Asked::Own(Chosen::Plan(1)))
    );
    press(Command::Later, &mut ui);
    assert_eq!(press(Command::Take, &mut ui), None, "it is broken");
    press(Command::Help, &mut ui);
    assert!(matches!(ui.overlay, Overlay::Help(_)));
    press(Command::Back, &mut ui);
    assert_eq!(press(Command::Quit, &mut ui), Some(Asked::Leave));
}

#[test]
fn the_kitchen_is_asked_for() {
    let mut ui = ui(Place::List);
    let mut form = Form::new("kitchen.toml".into());
    form.ware = vec!["stockpot, 1, 6 L".into(), "frying pan, 2".into()];
    hold("kitchen", |buffer| {
        kitchen_form::paint(buffer, &form, &ui);
    });
    let size = Rect::new(0, 0, 120, 40);
    for key in ["Down", "Down", "Enter", "Backspace", "x", "Enter"] {
        let event = Event::Key(key.parse::<Chord>().unwrap().event());
        form.on_event(&event, size, &mut ui);
    }
    // The line that was typed wrong stands, with why.
    hold("kitchen_fault", |buffer| {
        kitchen_form::paint(buffer, &form, &ui);
    });
}

#[test]
fn the_plan_on_a_screen() {
    let ui = ui(Place::List);
    hold("plan", |buffer| {
        plan_view::paint(buffer, &boards::before(), &ui, 0);
    });
}

#[test]
fn a_replay_with_its_scrubber() {
    let mut ui = ui(Place::Replay);
    ui.planned = boards::planned();
    let scrubber = Scrubber {
        end: at(21, 0),
        marks: vec![
            (at(17, 50), Priority::High),
            (at(18, 24), Priority::Low),
            (at(18, 50), Priority::Medium),
        ],
        speed: 30,
        paused: false,
    };
    hold("replay", |buffer| {
        replay_view::paint(buffer, &boards::cue(), &ui, &scrubber);
    });
    let size = Rect::new(0, 0, 120, 40);
    let far = replay_view::at_column(size, &scrubber, 117, 39).unwrap();
    assert!(far > at(20, 50) && far <= at(21, 0));
    assert_eq!(replay_view::at_column(size, &scrubber, 50, 10), None);
}

#[test]
fn an_evening_beside_its_plan() {
    let planned = boards::lanes(at(21, 0));
    let dishes = planned.iter().map(|lane| {
        let mut was = lane.clone();
        for (i, bar) in (0..).zip(&mut was.bars) {
            bar.from += 3 * MIN * i;
            bar.to += 4 * MIN + 3 * MIN * i;
        }
        (lane.name.clone(), lane.clone(), was)
    });
    let review = Review {
        title: "Midwinter supper".into(),
        opened: "2026-12-21T16:00:00[UTC]".parse().unwrap(),
        dishes: dishes.collect(),
        calls: vec![
            (at(17, 50), Priority::High),
            (at(18, 24), Priority::Low),
            (at(18, 50), Priority::Medium),
        ],
        courses: vec![
            ("First".into(), at(19, 30), Some(at(19, 30))),
            ("Main".into(), at(20, 10), Some(at(20, 19))),
            ("Sweet".into(), at(20, 50), None),
        ],
        lines: vec!["The chicken took 11 minutes longer: 8 of them made Main late".into()],
    };
    let ui = ui(Place::List);
    hold("review", |buffer| {
        review_view::paint(buffer, &review, &ui, &Look::new(&review));
    });
    let mut look = Look::new(&review);
    let mut ui = ui;
    let size = Rect::new(0, 0, 120, 40);
    let mut press = |look: &mut Look, keys: &str| {
        for key in keys.split(' ') {
            let key = key.parse::<Chord>().unwrap().event();
            let asked = review_view::on_event(&Event::Key(key), look, &review, size, &mut ui);
            assert_eq!(asked, Some(Asked::REDRAW));
        }
    };
    press(&mut look, "n n");
    assert_eq!(look.at, at(18, 24));
    press(&mut look, "n n n b b");
    assert_eq!(look.at, at(17, 50));
    press(&mut look, "Right Right Left Right n");
    assert_eq!(look.at, at(18, 24));
    let ui = self::ui(Place::List);
    hold("review_call", |buffer| {
        review_view::paint(buffer, &review, &ui, &look);
    });
}

#[test]
fn the_evening_in_plain_words() {
    for (name, board) in boards::all().into_iter().chain(boards::calling()) {
        insta::assert_snapshot!(format!("plain_{name}"), plain::lines(&board).join("\n"));
    }
    let all = boards::all();
    for pair in all.windows(2) {
        let name = format!("plain_{}_to_{}", pair[0].0, pair[1].0);
        insta::assert_snapshot!(name, plain::changes(&pair[0].1, &pair[1].1).join("\n"));
    }
}
