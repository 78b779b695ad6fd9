//! The test of the evening in the real program, on a terminal of the system: each way is tried until one is heard.

use mealtide::live::Event;
use tempfile::TempDir;

use super::{
    ear::listen,
    installed,
    server::{Recorder, Server},
    until,
};
use crate::{
    cook::records,
    pty::{Pty, command},
};

const PROGRAM: &str = env!("CARGO_BIN_EXE_mealtide");

/// The first step is due some hours later.
const HOURS_BEFORE: &str = "2026-11-27 15:00";

/// A dinner that is opened at `now`, with a server of sound.
fn cook(server: &Server, home: &TempDir, now: &str, arguments: &[&str]) -> Pty {
    let config = home.path().join("config/mealtide");
    std::fs::create_dir_all(&config).unwrap();
    let silent = "theme = 'dark'\n[alert]\nnotification = false\nspeech = false\n";
    std::fs::write(config.join("config.toml"), silent).unwrap();
    let mut command = command(PROGRAM, home.path());
    for name in ["PULSE_RUNTIME_PATH", "PULSE_SERVER", "XDG_RUNTIME_DIR"] {
        command.env(name, server.surroundings().var(name).unwrap());
    }
    command.args(["cook", "friday-fish", "--now", now, "--log"]);
    command.arg(home.path().join("log.jsonl"));
    command.args(arguments);
    Pty::start(command)
}

/// How often the terminal's bell rang; a bell ends no sequence of ours.
fn bells(pty: &Pty) -> usize {
    pty.written.iter().filter(|&&byte| byte == 7).count()
}

fn two_pulses(recorder: &Recorder) {
    until("two pulses", || {
        listen(&recorder.so_far()).onsets.len() == 2
    });
    recorder.silence(600);
    recorder.forget();
}

/// The server's sound, then a player's, then the bell; after the last "no" the screen says that it is alone.
#[test]
fn a_sound_that_is_not_heard_is_made_by_the_next_way() {
    if !installed(&["pulseaudio", "parec", "paplay"]) {
        return;
    }
    let server = Server::running();
    let recorder = server.record();
    let home = tempfile::tempdir().unwrap();
    let mut pty = cook(&server, &home, HOURS_BEFORE, &[]);
    pty.wait_for("by the sound server");
    two_pulses(&recorder);
    pty.keys("n");
    pty.wait_for("by a player program");
    two_pulses(&recorder);
    assert_eq!(bells(&pty), 0);
    pty.keys("n");
    pty.wait_for("by the terminal bell");
    assert_eq!(bells(&pty), 1);
    pty.keys("n");
    pty.wait_for("mealtide doctor");
    pty.keys("q");
    pty.wait_for("Leave the kitchen?");
    pty.keys("\r");
    assert!(pty.end());
    let heard: Vec<bool> = records(&home.path().join("log.jsonl"))
        .iter()
        .filter_map(|record| match record.event {
            Event::Heard { yes } => Some(yes),
            _ => None,
        })
        .collect();
    assert_eq!(heard, [false; 3]);
}

#[test]
fn without_a_server_the_bell_is_the_test_in_lines_of_text_too() {
    let server = Server::absent();
    for plain in [false, true] {
        let home = tempfile::tempdir().unwrap();
        let arguments: &[&str] = if plain { &["--plain"] } else { &[] };
        let mut pty = cook(&server, &home, HOURS_BEFORE, arguments);
        pty.wait_for("by the terminal bell");
        until("the bell", || bells(&pty) == 1);
        pty.keys(if plain { "heard yes\r" } else { " " });
        pty.wait_for(if plain {
            "The sound is heard."
        } else {
            "Nothing to do now"
        });
        pty.keys(if plain { "quit\r" } else { "q" });
        if !plain {
            pty.wait_for("Leave the kitchen?");
            pty.keys("\r");
        }
        assert!(pty.end());
        assert_eq!(bells(&pty), 1, "no call, no bell");
    }
}

/// A call is due at once: without a server the bell rings for it, also the first time.
#[test]
fn without_a_server_the_bell_rings_with_the_first_call() {
    let server = Server::absent();
    let home = tempfile::tempdir().unwrap();
    let mut pty = cook(&server, &home, "2026-11-27 19:10", &[]);
    let mut frames = 0;
    while bells(&pty) < 2 {
        assert!(pty.frame_after(frames), "it ended");
        frames = pty.frames();
    }
    pty.wait_for("the terminal bell rings instead");
}
