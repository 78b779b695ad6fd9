//! The program on a real terminal, read by a terminal's own parser: what is pasted, tapped and typed.

#![cfg(unix)]
#![allow(clippy::unwrap_used, reason = "a test fails by it")]

use mealtide::live::Event;

use crate::{
    cook::records,
    pty::{Pty, command},
};

const PROGRAM: &str = env!("CARGO_BIN_EXE_mealtide");

/// *Midwinter supper* in virtual time, with its log in `home`.
fn supper(home: &std::path::Path) -> Pty {
    let mut command = command(PROGRAM, home);
    command.args(["cook", "midwinter-supper", "--virtual"]);
    command.args(["--now", "2026-12-21 09:00", "--log"]);
    command.arg(home.join("supper.jsonl"));
    let mut pty = Pty::start(command);
    pty.wait_for("Midwinter supper");
    pty
}

fn leave(mut pty: Pty) {
    pty.keys("q");
    pty.wait_for("Leave the kitchen?");
    pty.keys("\r");
    assert!(pty.end());
    assert_eq!(pty.is_taken(), (false, false, false));
    assert!(!pty.mouse());
}

/// Bracketed paste, as terminals send it (xterm control sequences, mode 2004).
#[test]
fn what_is_pasted_is_one_line_and_no_key() {
    let home = tempfile::tempdir().unwrap();
    let mut pty = supper(home.path());
    // Pasted where nothing is typed, it does nothing.
    pty.keys("\x1b[200~q d\r\x1b[201~w");
    pty.wait_for("A note for the log");
    pty.keys("\x1b[200~more\nsalt \x1b[2J q\x1b[201~");
    pty.wait_for("> more salt [2J q");
    pty.keys("\r");
    leave(pty);
    let records = records(&home.path().join("supper.jsonl"));
    let noted: Vec<_> = records
        .iter()
        .filter_map(|record| match &record.event {
            Event::Noted { text } => Some(text.as_str()),
            _ => None,
        })
        .collect();
    assert_eq!(noted, ["more salt [2J q"]);
}

/// Presses and the wheel in SGR coordinates (xterm control sequences, modes 1000 and 1006).
#[test]
fn a_tap_does_it_and_the_wheel_scrolls_until_the_mouse_is_off() {
    let home = tempfile::tempdir().unwrap();
    let mut pty = supper(home.path());
    assert!(pty.mouse());
    let before = pty.text();
    let (row, column) = pty.find("oven").unwrap();
    assert!(pty.press(&format!("\x1b[<65;{column};{row}M")));
    assert_ne!(pty.text(), before, "the wheel scrolls");
    assert!(pty.press(&format!("\x1b[<64;{column};{row}M")));
    let (row, column) = pty.find("Space").unwrap();
    assert!(pty.press(&format!("\x1b[<0;{column};{row}M")));
    pty.keys(&format!("\x1b[<0;{column};{row}m"));
    assert!(pty.press("M"));
    pty.wait_for("text can be selected");
    assert!(!pty.mouse());
    let log = home.path().join("supper.jsonl");
    leave(pty);
    let records = records(&log);
    let done = |event: &Event| {
        matches!(
            event,
            Event::Begun { .. } | Event::OvenSet { .. } | Event::Done { .. }
        )
    };
    assert!(records.iter().any(|record| done(&record.event)));
}

#[test]
fn the_kitchen_is_asked_for_on_a_screen_and_written() {
    let home = tempfile::tempdir().unwrap();
    let file = home.path().join("mine.toml");
    let mut command = command(PROGRAM, home.path());
    command.args(["kitchen", "--output"]);
    command.arg(&file);
    let mut pty = Pty::start(command);
    pty.wait_for("cookware");
    // Two cooks; five burners, typed; the oven has three racks; a stockpot, and a lid that is taken away again.
    assert!(pty.press("\x1b[C"));
    assert!(pty.press("\x1b[B"));
    pty.press("\r");
    pty.press("\x7f5");
    pty.press("\r");
    pty.wait_for("burners");
    pty.press("\x1b[B");
    pty.press("\r");
    pty.press("\x7f3\r");
    pty.wait_for("3 racks");
    for key in [
        "\x1b[B",
        "\x1b[B",
        "\r",
        "stockpot, 1, 6 L",
        "\r",
        "\r",
        "lid",
        "\r",
    ] {
        pty.press(key);
    }
    pty.wait_for("lid");
    for key in ["\x1b[A", "\r", "\x7f\x7f\x7f", "\r", "\x1b[B"] {
        pty.press(key);
    }
    pty.keys("\r");
    assert!(pty.end());
    let text = std::fs::read_to_string(&file).unwrap();
    let kitchen = mealtide::menu::load_kitchen("mine.toml", text.as_bytes())
        .unwrap()
        .0;
    assert_eq!((kitchen.cooks, kitchen.burners), (2, 5));
    assert_eq!(kitchen.ovens.len(), 1);
    assert_eq!(kitchen.ovens[0].racks, 3);
    let ware: Vec<_> = kitchen
        .wares
        .iter()
        .map(|ware| ware.name.as_str())
        .collect();
    assert_eq!(ware, ["stockpot"]);
}
