//! What the terminal itself is asked to show, byte for byte, on a terminal of the system and through a real tmux.

use std::path::Path;

use portable_pty::CommandBuilder;

use super::installed;
use crate::pty::{Pty, command};

const PROGRAM: &str = env!("CARGO_BIN_EXE_mealtide");

/// One step, due as the session opens. In its words is what separates fields, and half of what ends a sequence.
const SESSION: &str = r#"
title  = "Tea"
guests = 1
serve  = "2026-11-27 19:30"

[[course]]
name   = "Tea"
dishes = ["toast"]

[[dish]]
id    = "toast"
title = 'Toast; \ butter'

[[dish.step]]
id    = "bake"
do    = "Bake it; turn it once"
takes = "20 min"
hands = "off"
needs = ["burner"]
"#;

/// The program with its session in a terminal of the kind that these variables tell of; nothing else is heard or shown.
fn cook(home: &Path, variables: &[(&str, &str)]) -> CommandBuilder {
    let config = home.join("config/mealtide");
    std::fs::create_dir_all(&config).unwrap();
    let quiet = "theme = 'dark'\n[alert]\nsound = false\nnotification = false\nspeech = false\n";
    std::fs::write(config.join("config.toml"), quiet).unwrap();
    std::fs::write(home.join("tea.toml"), SESSION).unwrap();
    let mut command = command(PROGRAM, home);
    for (name, value) in variables {
        command.env(name, value);
    }
    command.args(["cook", "tea.toml", "--now", "2026-11-27 19:10"]);
    command
}

fn count(pty: &Pty, sequence: &str) -> usize {
    let found = pty.written.windows(sequence.len());
    found.filter(|bytes| *bytes == sequence.as_bytes()).count()
}

const TITLE: &str = "Toast; \\ butter";
/// What tells of a terminal, and its form.
const FORMS: [((&str, &str), &str); 3] = [
    (
        ("WEZTERM_PANE", "1"),
        "\x1b]9;Toast; \\ butter: Bake it; turn it once\x1b\\",
    ),
    (
        ("TERM", "foot"),
        "\x1b]777;notify;Toast, \\ butter;Bake it, turn it once\x1b\\",
    ),
    (
        ("KITTY_WINDOW_ID", "1"),
        "\x1b]99;i=mealtide:d=0:u=1;Toast; \\ butter\x1b\\\x1b]99;i=mealtide:p=body;Bake it; turn it once\x1b\\",
    ),
];
const CLOSE: &str = "\x1b]99;i=mealtide:p=close;\x1b\\";

fn leave(mut pty: Pty) {
    pty.keys("q");
    pty.wait_for("Leave the kitchen?");
    pty.keys("\r");
    assert!(pty.end());
}

/// Forms: by the terminals' own documentation, as in the unit tests of the alert room.
#[test]
fn a_terminal_is_asked_in_the_form_that_it_knows() {
    for (terminal, form) in FORMS {
        let home = tempfile::tempdir().unwrap();
        let mut pty = Pty::start(cook(home.path(), &[terminal]));
        pty.until(|pty| count(pty, form) > 0);
        assert!(pty.text().contains(TITLE), "{}", pty.text());
        assert_eq!(count(&pty, CLOSE), 0);
        assert!(pty.press(" "));
        if terminal.0 == "KITTY_WINDOW_ID" {
            pty.until(|pty| count(pty, CLOSE) > 0);
        }
        assert_eq!(count(&pty, "\x1bPtmux;"), 0);
        leave(pty);
    }
}

/// One that isn't known gets none of them: it might print it.
#[test]
fn a_terminal_that_is_not_known_is_asked_nothing() {
    let home = tempfile::tempdir().unwrap();
    let mut pty = Pty::start(cook(home.path(), &[]));
    pty.until(|pty| count(pty, "\x07") > 0);
    assert!(pty.press(" "));
    for form in ["\x1b]9;", "\x1b]777;", "\x1b]99;", "\x1bPtmux;"] {
        assert_eq!(count(&pty, form), 0, "{form:?}");
    }
    leave(pty);
}

/// Within tmux each form reaches the terminal around it, as it is without.
#[test]
fn tmux_passes_it_on() {
    if !installed(&["tmux"]) {
        return;
    }
    for (terminal, form) in [FORMS[0], FORMS[2]] {
        let home = tempfile::tempdir().unwrap();
        let inner = cook(home.path(), &[]);
        let settings = "set -g allow-passthrough on\nset -g status off\nset -g default-terminal tmux-256color\n";
        std::fs::write(home.path().join("tmux.conf"), settings).unwrap();
        let mut outer = command("tmux", home.path());
        outer.env(terminal.0, terminal.1);
        outer.env("LC_ALL", "C.UTF-8");
        outer.args(["-S", "tmux.sock", "-f", "tmux.conf", "new-session"]);
        outer.args(inner.get_argv());
        let mut pty = Pty::start(outer);
        pty.until(|pty| count(pty, form) > 0);
        pty.keys(" ");
        if terminal.0 == "KITTY_WINDOW_ID" {
            pty.until(|pty| count(pty, CLOSE) > 0);
        }
        pty.keys("q");
        pty.until(|pty| pty.text().contains("Leave the kitchen?"));
        pty.keys("\r");
        assert!(pty.end());
    }
}
