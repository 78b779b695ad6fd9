//! A program that plays a WAV file.

use std::{io::Write, time::Duration};

use super::Job;
use crate::alert::{Surroundings, child, stop::Stop, tone};

/// Programs, the likeliest first, with what comes before the file's name.
const PLAYERS: [(&str, &[&str]); 3] = [("pw-play", &[]), ("paplay", &[]), ("aplay", &["-q"])];

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
    // Readable by this user alone, gone when this ends.
    let mut file = tempfile::Builder::new()
        .prefix("mealtide-")
        .suffix(".wav")
        .tempfile()
        .map_err(|error| format!("no file for the sound: {error}"))?;
    file.write_all(&tone::wav(&job.samples, job.gain))
        .and_then(|()| file.flush())
        .map_err(|error| format!("no file for the sound: {error}"))?;
    let mut failures = Vec::new();
    for (name, options) in PLAYERS {
        let Some(program) = surroundings.program(name) else {
            continue;
        };
        let mut command = surroundings.command(&program);
        command.args(options).arg(file.path());
        match child::run(command, None, stop, job.length + GRACE, started) {
            Ok(()) => return Ok(()),
            Err(why) => failures.push(why),
        }
    }
    Err(failures.join("; "))
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
