//! A program that plays a WAV file. The file has no name, so that nothing of it stays behind, however this program ends.

use std::{
    fs::File,
    io::{self, Seek, Write},
    time::Duration,
};

use super::Job;
use crate::alert::{Surroundings, child, stop::Stop, tone};

/// Programs, the likeliest first, with what comes before the file's name.
const PLAYERS: [(&str, &[&str]); 3] = [("pw-play", &[]), ("paplay", &[]), ("aplay", &["-q"])];

/// What the programs are told to play: their standard input by its name, for not all of them read it unasked.
const FILE: &str = "/dev/stdin";

/// After the length of the sound itself: a sink without a device buffers two seconds.
const GRACE: Duration = Duration::from_secs(3);

/// Plays with the first program that can.
pub(super) fn play(
    job: &Job,
    surroundings: &Surroundings,
    stop: &Stop,
    started: &dyn Fn(),
) -> Result<(), String> {
    installed(surroundings)?;
    let mut file = unnamed(&tone::wav(&job.samples, job.gain))
        .map_err(|error| format!("no file for the sound: {error}"))?;
    let mut failures = Vec::new();
    for (name, options) in PLAYERS {
        let Some(program) = surroundings.program(name) else {
            continue;
        };
        let mut command = surroundings.command(&program);
        let input = file.rewind().and_then(|()| file.try_clone());
        match input {
            Ok(input) => command.args(options).arg(FILE).stdin(input),
            Err(error) => return Err(format!("no file for the sound: {error}")),
        };
        match child::run(command, None, stop, job.length + GRACE, started) {
            Ok(()) => return Ok(()),
            Err(why) => failures.push(why),
        }
    }
    Err(failures.join("; "))
}

/// A file that only who holds it can read, gone when nobody does.
fn unnamed(content: &[u8]) -> io::Result<File> {
    let mut file = tempfile::tempfile()?;
    file.write_all(content)?;
    Ok(file)
}

/// The programs that are there.
pub(super) fn installed(surroundings: &Surroundings) -> Result<String, String> {
    let there: Vec<&str> = PLAYERS
        .iter()
        .map(|(name, _)| *name)
        .filter(|name| surroundings.program(name).is_some())
        .collect();
    if there.is_empty() {
        Err("none of pw-play, paplay and aplay is installed".into())
    } else {
        Ok(there.join(", "))
    }
}
