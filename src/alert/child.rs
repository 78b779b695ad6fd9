//! A program that is run for one call, and ended when it is no longer wanted.

use std::{
    io::Write,
    process::{Child, Command, Stdio},
    time::{Duration, Instant},
};

use super::stop::Stop;

/// How often a running program is looked at.
const LOOK: Duration = Duration::from_millis(10);

/// A program that can't do its work has ended by then (without a sound server: 20 ms).
const SETTLED: Duration = Duration::from_millis(60);

/// Runs a program to its end, with `input` on its standard input. `settled` is called once it has run long enough to
/// work, or ended well before.
///
/// # Errors
/// When it can't be started, ends with a failure, or isn't done within `limit`. To be stopped is not an error.
pub(super) fn run(
    mut command: Command,
    input: Option<&[u8]>,
    stop: &Stop,
    limit: Duration,
    settled: &dyn Fn(),
) -> Result<(), String> {
    if stop.stopped() {
        return Ok(());
    }
    let name = command.get_program().to_string_lossy().into_owned();
    if input.is_some() {
        command.stdin(Stdio::piped());
    }
    group(&mut command);
    let mut child = command
        .spawn()
        .map_err(|error| format!("{name} can't be started: {error}"))?;
    if let (Some(input), Some(mut pipe)) = (input, child.stdin.take()) {
        // A program that doesn't read ends with a status of its own.
        let _ = pipe.write_all(input);
    }
    let begun = Instant::now();
    let mut told = false;
    loop {
        match child.try_wait() {
            Ok(Some(status)) if status.success() => {
                if !told {
                    settled();
                }
                return Ok(());
            }
            Ok(Some(status)) => return Err(format!("{name} failed: {status}")),
            Ok(None) => {}
            Err(error) => {
                end(&mut child);
                return Err(format!("{name}: {error}"));
            }
        }
        if !told && begun.elapsed() >= SETTLED {
            told = true;
            settled();
        }
        if stop.wait(LOOK) {
            end(&mut child);
            return Ok(());
        }
        if begun.elapsed() >= limit {
            end(&mut child);
            return Err(format!("{name} did not end within {} s", limit.as_secs()));
        }
    }
}

/// A process group of its own, so that what the program starts ends with it.
#[cfg(unix)]
fn group(command: &mut Command) {
    use std::os::unix::process::CommandExt;
    command.process_group(0);
}

#[cfg(not(unix))]
fn group(_: &mut Command) {}

/// Ends the program and what it started, and waits for it.
fn end(child: &mut Child) {
    // Not yet waited for, so the number is still its own.
    #[cfg(unix)]
    if let Some(group) = i32::try_from(child.id())
        .ok()
        .and_then(rustix::process::Pid::from_raw)
    {
        let _ = rustix::process::kill_process_group(group, rustix::process::Signal::KILL);
    }
    let _ = child.kill();
    let _ = child.wait();
}
