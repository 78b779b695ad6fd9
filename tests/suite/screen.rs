//! The screen: what each key means, what is drawn, and when it is drawn again.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::too_many_arguments)]

use crossterm::event::{Event, KeyModifiers, MouseButton, MouseEvent, MouseEventKind};
use mealtide::{
    live::{Action, Board, CallKey, event::Setting},
    measure::Ratio,
    screen::{
        Command, Keys, Theme, Ui,
        app::{Effect, next_redraw, on_event},
        keys::{Chord, Place},
        paint,
        ui::Overlay,
    },
};
use ratatui::{buffer::Buffer, layout::Rect};

use crate::screen_boards::{self as boards, MIN};

const SIZE: Rect = Rect::new(0, 0, 120, 40);

pub fn ui() -> Ui {
    Ui::new(Theme::named("dark").unwrap(), Keys::shipped())
}

/// Types keys, written as in the table of keys with spaces between; gives what they ask for, redraws left out.
fn press(board: &Board, ui: &mut Ui, keys: &str) -> Vec<Effect> {
    let mut all = Vec::new();
    for key in keys.split(' ') {
        let event = Event::Key(key.parse::<Chord>().unwrap().event());
        all.extend(on_event(&event, SIZE, board, ui));
    }
    all.retain(|effect| *effect != Effect::Redraw);
    all
}

fn acts(board: &Board, keys: &str) -> Vec<Action> {
    let effects = press(board, &mut ui(), keys);
    let act = |effect| match effect {
        Effect::Act(action) => Some(action),
        _ => None,
    };
    effects.into_iter().filter_map(act).collect()
}

fn at(degrees: i128) -> Setting {
    Setting::At(Ratio::from_integer(degrees))
}

#[test]
fn space_does_the_expected_next_thing() {
    assert_eq!(acts(&boards::before(), "Space"), [Action::Begin(5)]);
    assert_eq!(acts(&boards::middle(), "Space"), [Action::Finish(2)]);
    assert_eq!(
        acts(&boards::turn_down(), "Space"),
        [Action::SetOven(0, at(190))]
    );
    assert_eq!(acts(&boards::after(), "Space"), [Action::Close]);
    assert_eq!(acts(&boards::calm(), "Space"), []);
}

#[test]
fn not_yet_is_one_key() {
    assert_eq!(acts(&boards::cue(), "n"), [Action::Extend(6, 6 * MIN)]);
    assert_eq!(
        acts(&boards::cue(), "Right Enter"),
        [Action::Extend(6, 6 * MIN)]
    );
    assert_eq!(acts(&boards::calm(), "n"), [Action::SetOven(0, at(200))]);
}

#[test]
fn digits_choose_a_row_and_act_on_it() {
    let board = boards::middle();
    assert_eq!(acts(&board, "2"), []);
    assert_eq!(acts(&board, "2 2"), [Action::Finish(6)]);
    assert_eq!(acts(&board, "2 d"), [Action::Finish(6)]);
    assert_eq!(acts(&board, "2 +"), [Action::Extend(6, MIN)]);
    assert_eq!(acts(&board, "2 -"), [Action::Extend(6, -MIN)]);
    assert_eq!(acts(&board, "4 b"), [Action::Begin(4)]);
    assert_eq!(acts(&board, "4 s"), [Action::Skip(4)]);
    assert_eq!(
        acts(&board, "Down Down Down Enter"),
        [Action::SetOven(0, at(200))]
    );
    assert_eq!(acts(&board, "2 Esc Enter"), [Action::Finish(2)]);
}

#[test]
fn without_a_choice_commands_mean_what_is_in_focus() {
    let board = boards::middle();
    assert_eq!(acts(&board, "d"), [Action::Finish(2)]);
    assert_eq!(
        acts(&board, "+ + -"),
        [
            Action::Extend(2, MIN),
            Action::Extend(2, MIN),
            Action::Extend(2, -MIN),
        ]
    );
    assert_eq!(acts(&board, "b"), [Action::Begin(4)]);
    assert_eq!(acts(&board, "u"), [Action::Undo]);
}

#[test]
fn a_thermometer_takes_three_keys() {
    let measured = [Action::Measure(6, Ratio::from_integer(74))];
    assert_eq!(acts(&boards::middle(), "t 7 4"), measured);
    let mut ui = ui();
    ui.fahrenheit = true;
    let effects = press(&boards::middle(), &mut ui, "t 1 6 5 Enter");
    assert_eq!(
        effects,
        [Effect::Act(Action::Measure(6, Ratio::new(665, 9)))]
    );
}

#[test]
fn lines_are_typed_edited_and_taken() {
    let board = boards::middle();
    assert_eq!(
        acts(&board, "o 1 8 Backspace 9 0 Enter"),
        [Action::SetOven(0, at(190))]
    );
    assert_eq!(acts(&board, "m 1 2 Enter"), [Action::Extend(2, 12 * MIN)]);
    assert_eq!(
        acts(&board, "w q u i t Enter"),
        [Action::Note("quit".into())]
    );
    assert_eq!(acts(&board, "w a Esc Space"), [Action::Finish(2)]);
    let mut ui = ui();
    press(&board, &mut ui, "w");
    on_event(
        &Event::Paste("more\nsalt\u{1b}[2J".into()),
        SIZE,
        &board,
        &mut ui,
    );
    let effects = press(&board, &mut ui, "Enter");
    assert_eq!(effects, [Effect::Act(Action::Note("more salt[2J".into()))]);
}

#[test]
fn what_is_typed_wrong_is_told_and_can_be_corrected() {
    let board = boards::middle();
    let mut ui = ui();
    assert_eq!(press(&board, &mut ui, "o 9 9 9 Enter"), []);
    assert!(matches!(ui.overlay, Overlay::Ask(..)));
    assert!(ui.message(board.now).unwrap().contains("30 and 350"));
    assert_eq!(
        press(&board, &mut ui, "Backspace Backspace 0 Enter"),
        [Effect::Act(Action::SetOven(0, at(90)))]
    );
}

#[test]
fn a_call_is_heard_without_being_done() {
    let key = CallKey::Oven {
        oven: 0,
        step: Some(6),
        to: "190 C".into(),
    };
    assert_eq!(acts(&boards::turn_down(), "h"), [Action::Answer(key)]);
    assert_eq!(acts(&boards::middle(), "h"), []);
}

#[test]
fn leaving_is_asked_for_while_something_cooks() {
    let board = boards::middle();
    let mut ui = ui();
    assert_eq!(press(&board, &mut ui, "q Esc"), []);
    assert_eq!(press(&board, &mut ui, "q Space"), []);
    assert_eq!(press(&board, &mut ui, "q Enter"), [Effect::Leave]);
    assert_eq!(
        press(&board, &mut ui, "q d"),
        [Effect::Act(Action::Close), Effect::Leave]
    );
    assert_eq!(press(&boards::after(), &mut ui, "q"), [Effect::Leave]);
    assert_eq!(press(&board, &mut ui, "Ctrl-z"), [Effect::Suspend]);
}

#[test]
fn nothing_to_take_back_is_said_not_done() {
    let mut board = boards::middle();
    board.undoable = 0;
    let mut ui = ui();
    assert_eq!(press(&board, &mut ui, "u"), []);
    assert!(ui.message(board.now).is_some());
    assert!(ui.message(board.now + 60_000).is_none());
}

/// Every command of the table, on every board, in any state of the view: no panic, and no action without a reason.
#[test]
fn every_key_is_safe_everywhere() {
    let keys = Keys::shipped();
    let commands: Vec<Command> = keys.table().map(|b| b.command.clone()).collect();
    for (_, board) in boards::all()
        .into_iter()
        .chain([("blank", boards::blank(0))])
    {
        for first in &commands {
            for second in &commands {
                let mut ui = ui();
                for command in [first, second] {
                    if let Some(key) = keys.event(Place::Cook, command) {
                        on_event(&Event::Key(key), SIZE, &board, &mut ui);
                    }
                }
                paint(&mut Buffer::empty(Rect::new(0, 0, 40, 12)), &board, &ui);
            }
        }
    }
}

fn text_of(buffer: &Buffer) -> Vec<String> {
    let area = *buffer.area();
    (0..area.height)
        .map(|y| (0..area.width).map(|x| buffer[(x, y)].symbol()).collect())
        .collect()
}

/// Taps where a text stands.
fn tap(board: &Board, ui: &mut Ui, words: &str) -> Vec<Effect> {
    let mut buffer = Buffer::empty(SIZE);
    paint(&mut buffer, board, ui);
    let lines = text_of(&buffer);
    let (y, line) = lines
        .iter()
        .enumerate()
        .find(|(_, l)| l.contains(words))
        .unwrap();
    let x = line[..line.find(words).unwrap()].chars().count();
    let event = MouseEvent {
        kind: MouseEventKind::Down(MouseButton::Left),
        column: u16::try_from(x).unwrap(),
        row: u16::try_from(y).unwrap(),
        modifiers: KeyModifiers::NONE,
    };
    let mut effects = on_event(&Event::Mouse(event), SIZE, board, ui);
    effects.retain(|e| *e != Effect::Redraw);
    effects
}

#[test]
fn a_tap_begins_or_finishes_a_step() {
    let board = boards::middle();
    let mut ui = ui();
    assert_eq!(
        tap(&board, &mut ui, "core 61 of 74 C"),
        [],
        "the mouse is off"
    );
    press(&board, &mut ui, "M");
    assert_eq!(
        tap(&board, &mut ui, "core 61 of 74 C"),
        [Effect::Act(Action::Finish(6))]
    );
    assert_eq!(
        tap(&board, &mut ui, "Bake on two racks"),
        [Effect::Act(Action::Begin(4))]
    );
    assert_eq!(
        tap(&board, &mut ui, "180 g Gruyere"),
        [Effect::Act(Action::Finish(2))]
    );
    assert_eq!(
        tap(&board, &mut ui, "longer: 4 min more"),
        [Effect::Act(Action::Extend(2, 4 * MIN))]
    );
    ui.message = None;
    tap(&board, &mut ui, "? help");
    assert!(matches!(ui.overlay, Overlay::Help(_)));
}

#[test]
fn a_wheel_scrolls_the_timeline() {
    let board = boards::middle();
    let mut ui = ui();
    ui.mouse = true;
    let wheel = |kind| {
        Event::Mouse(MouseEvent {
            kind,
            column: 50,
            row: 35,
            modifiers: KeyModifiers::NONE,
        })
    };
    on_event(&wheel(MouseEventKind::ScrollDown), SIZE, &board, &mut ui);
    assert_eq!(ui.scroll, 1);
    on_event(&wheel(MouseEventKind::ScrollUp), SIZE, &board, &mut ui);
    assert_eq!(ui.scroll, 0);
}

fn drawn(board: &Board, ui: &Ui) -> Buffer {
    let mut buffer = Buffer::empty(SIZE);
    paint(&mut buffer, board, ui);
    buffer
}

/// The same board some ms later.
fn later(board: &Board, ms: i64) -> Board {
    let mut later = board.clone();
    later.now += ms;
    later.clock = boards::blank(later.now).clock;
    later
}

#[test]
fn nothing_visible_changes_before_it_is_said_to() {
    for (name, board) in boards::all() {
        let mut ui = ui();
        ui.last_input = board.now;
        let mut board = board;
        for _ in 0..200 {
            let Some(next) = next_redraw(&board, &ui) else {
                assert_eq!(name, "after");
                break;
            };
            assert!(next > board.now, "{name}");
            let now = drawn(&board, &ui);
            for ms in [1, (next - board.now) / 2, next - board.now - 1] {
                if ms > 0 && ms < next - board.now {
                    assert!(
                        drawn(&later(&board, ms), &ui) == now,
                        "{name} at {} after {ms}",
                        board.now
                    );
                }
            }
            board = later(&board, next - board.now);
        }
    }
}

/// At most 140 wake-ups a minute with twenty timers; one a minute while the next is far; none when nothing counts.
#[test]
fn wakes_are_few() {
    let count = |mut board: Board| {
        let (ui, end, mut wakes) = (ui(), board.now + 60_000, 0);
        while let Some(next) = next_redraw(&board, &ui).filter(|next| *next <= end) {
            board = later(&board, next - board.now);
            wakes += 1;
        }
        wakes
    };
    let mut twenty = boards::turn_down();
    let one = twenty.countdowns[0].clone();
    twenty.countdowns = (0..20)
        .map(|i| {
            let mut c = one.clone();
            (c.step, c.due) = (i, twenty.now + 7_777 * i as i64 + 123);
            c
        })
        .collect();
    assert!(count(twenty) <= 140);
    assert!(count(boards::calm()) <= 1);
    assert_eq!(count(boards::after()), 0);
}

#[test]
fn glance_comes_by_itself_and_goes_with_a_key() {
    let board = boards::middle();
    let mut ui = ui();
    ui.glance_after = Some(5 * MIN);
    ui.last_input = board.now - 6 * MIN;
    assert!(ui.is_glance(board.now));
    assert_eq!(
        press(&board, &mut ui, "Space"),
        [Effect::Act(Action::Finish(2))]
    );
    assert!(!ui.is_glance(board.now));
    assert_eq!(
        next_redraw(&board, &ui).map(|n| n <= board.now + 5 * MIN),
        Some(true)
    );
}

#[test]
fn readme_and_manual_tell_the_one_table_of_keys() {
    let keys = Keys::shipped();
    let readme = include_str!("../../README.md");
    assert!(
        readme.contains(&keys.markdown()),
        "the table of README.md is to be:\n{}",
        keys.markdown()
    );
    let program = std::process::Command::new(env!("CARGO_BIN_EXE_mealtide"))
        .arg("man")
        .output();
    let manual = String::from_utf8(program.unwrap().stdout).unwrap();
    let section = manual.rsplit_once(".SH KEYS").expect("a section of keys").1;
    for binding in keys.table() {
        for chord in &binding.chords {
            let escaped = chord.to_string().replace('-', "\\-");
            assert!(section.contains(&escaped), "{chord} is not in the manual");
        }
    }
    assert_eq!(section.matches(".TP").count(), keys.table().count());
}
