//! Calls, held to what an outsider hears and sees: a recording, a notification bus, a voice's file.

#[path = "alert_desktop.rs"]
mod desktop;
#[path = "alert_ear.rs"]
mod ear;
#[path = "alert_evening.rs"]
mod evening;
#[path = "alert_live.rs"]
mod live;
#[path = "alert_pans.rs"]
mod pans;
#[cfg(target_os = "linux")]
#[path = "alert_player.rs"]
mod player;
#[path = "alert_server.rs"]
mod server;
#[path = "alert_sound.rs"]
mod sound;
#[path = "alert_speech.rs"]
mod speech;
#[path = "alert_stage.rs"]
mod stage;
#[path = "alert_terminal.rs"]
mod terminal;

use std::time::{Duration, Instant};

use mealtide::alert::{AlertConfig, Announcement, Priority, Surroundings};

/// Whether programs are installed; says loudly what isn't tested without them, and fails where all are said to be there.
fn installed(programs: &[&str]) -> bool {
    let surroundings = Surroundings::of_the_process();
    let missing: Vec<&&str> = programs
        .iter()
        .filter(|name| surroundings.program(name).is_none())
        .collect();
    if !missing.is_empty() {
        assert!(
            std::env::var_os("MEALTIDE_ALL_TOOLS").is_none(),
            "{missing:?} not installed"
        );
        eprintln!("NOT TESTED: {missing:?} not installed; .ci/run installs them");
    }
    missing.is_empty()
}

/// Waits for something that another process does; only its absence takes the whole bound.
fn until(what: &str, mut done: impl FnMut() -> bool) {
    let begun = Instant::now();
    while !done() {
        assert!(
            begun.elapsed() < Duration::from_secs(60),
            "{what} does not happen"
        );
        std::thread::sleep(Duration::from_millis(5));
    }
}

fn call(id: &str, priority: Priority, sentence: &str) -> Announcement {
    Announcement {
        id: id.into(),
        priority,
        sentence: sentence.into(),
        title: "Oven".into(),
        count: 1,
        repeat: 0,
        late: 0,
    }
}

/// Sound alone, in an environment of the test's own.
fn sound_only(surroundings: Surroundings) -> AlertConfig {
    AlertConfig {
        notification: false,
        speech: false,
        surroundings,
        ..AlertConfig::default()
    }
}

/// A program of this name in a folder, as a shell script.
#[cfg(target_os = "linux")]
fn script(folder: &std::path::Path, name: &str, text: &str) {
    use std::os::unix::fs::PermissionsExt;
    let path = folder.join(name);
    std::fs::write(&path, format!("#!/bin/sh\n{text}\n")).unwrap();
    std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o755)).unwrap();
}
