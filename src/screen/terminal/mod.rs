//! The terminal itself: entered, left, put to sleep, and written to, one write a frame.
//!
//! [`restore`] undoes exactly what was set, shows the cursor and may be called any number of times, from anywhere:
//! on return, on an error, from the panic hook, on a signal, before the program sleeps. For it the module keeps
//! the program's only mutable global: the record of what was set.

mod frame;

use std::{
    io::{self, Write},
    sync::{
        Once,
        atomic::{AtomicU8, Ordering},
    },
    time::Duration,
};

use crossterm::{
    cursor, event, queue,
    terminal::{self, EndSynchronizedUpdate, EnterAlternateScreen, LeaveAlternateScreen},
};

pub use frame::Screen;

const RAW: u8 = 1;
const ALTERNATE: u8 = 2;
const PASTE: u8 = 4;
const MOUSE: u8 = 8;
const CURSOR: u8 = 16;

/// What was set in the terminal and must be undone: a panic hook can reach nothing else.
static SET: AtomicU8 = AtomicU8::new(0);
static HOOK: Once = Once::new();

/// How long the terminal is given to say what its background is.
const ANSWER: Duration = Duration::from_millis(100);

/// Enters: raw mode, alternate screen, bracketed paste, no cursor, and mouse reports if `mouse`; a panic restores.
///
/// # Errors
/// When the terminal can't be written to or set; what was set till then is undone.
pub fn enter(mouse: bool) -> io::Result<()> {
    HOOK.call_once(|| {
        let before = std::panic::take_hook();
        std::panic::set_hook(Box::new(move |info| {
            restore();
            before(info);
        }));
    });
    set(mouse).inspect_err(|_| restore())
}

fn set(mouse: bool) -> io::Result<()> {
    terminal::enable_raw_mode()?;
    SET.fetch_or(RAW, Ordering::SeqCst);
    let mut bytes = Vec::new();
    queue!(
        bytes,
        EnterAlternateScreen,
        event::EnableBracketedPaste,
        cursor::Hide
    )?;
    SET.fetch_or(ALTERNATE | PASTE | CURSOR, Ordering::SeqCst);
    if mouse {
        mouse_reports(&mut bytes, true)?;
        SET.fetch_or(MOUSE, Ordering::SeqCst);
    }
    write_once(&bytes)
}

/// Turns mouse reports on or off.
///
/// # Errors
/// When the terminal can't be written to.
pub fn set_mouse(on: bool) -> io::Result<()> {
    let mut bytes = Vec::new();
    if on {
        SET.fetch_or(MOUSE, Ordering::SeqCst);
        mouse_reports(&mut bytes, true)?;
    } else {
        SET.fetch_and(!MOUSE, Ordering::SeqCst);
        mouse_reports(&mut bytes, false)?;
    }
    write_once(&bytes)
}

/// Presses, releases and the wheel, in SGR coordinates; not every move, which would wake the program for nothing.
fn mouse_reports(bytes: &mut Vec<u8>, on: bool) -> io::Result<()> {
    if cfg!(windows) {
        return match on {
            true => queue!(bytes, event::EnableMouseCapture),
            false => queue!(bytes, event::DisableMouseCapture),
        };
    }
    bytes.extend_from_slice(match on {
        true => b"\x1b[?1000h\x1b[?1006h",
        false => b"\x1b[?1006l\x1b[?1000l",
    });
    Ok(())
}

/// Undoes what was set, and shows the cursor. What can't be undone any more is let be: nobody is left to tell.
pub fn restore() {
    let set = SET.swap(0, Ordering::SeqCst);
    if set == 0 {
        return;
    }
    let _ = undo_bytes(set).and_then(|bytes| write_once(&bytes));
    if set & RAW != 0 {
        let _ = terminal::disable_raw_mode();
    }
}

/// What undoes a record, in the reverse order of setting.
fn undo_bytes(set: u8) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    // A frame may have been cut short.
    queue!(bytes, EndSynchronizedUpdate)?;
    if set & MOUSE != 0 {
        mouse_reports(&mut bytes, false)?;
    }
    if set & PASTE != 0 {
        queue!(bytes, event::DisableBracketedPaste)?;
    }
    if set & ALTERNATE != 0 {
        queue!(bytes, LeaveAlternateScreen)?;
    }
    if set & CURSOR != 0 {
        queue!(bytes, cursor::Show)?;
    }
    Ok(bytes)
}

/// Restores, stops the process group as Ctrl-Z does, and enters again when it goes on. Draw afresh after it.
///
/// # Errors
/// When the terminal can't be entered again.
pub fn suspend() -> io::Result<()> {
    let mouse = SET.load(Ordering::SeqCst) & MOUSE != 0;
    restore();
    // The group, not the process alone: a shell waits for whoever it started (`cargo run`).
    #[cfg(unix)]
    rustix::process::kill_current_process_group(rustix::process::Signal::STOP)?;
    enter(mouse)
}

/// Enters again after something else had the terminal: whoever stopped this program unasked left it no time to restore.
/// In the background, where another has it, nothing is done. Draw afresh after it.
///
/// # Errors
/// When the terminal can't be entered again.
pub fn retake() -> io::Result<()> {
    #[cfg(unix)]
    if rustix::termios::tcgetpgrp(io::stdout())
        .is_ok_and(|group| group != rustix::process::getpgrp())
    {
        return Ok(());
    }
    let set = SET.swap(0, Ordering::SeqCst);
    if set & RAW != 0 {
        // What is believed to be raw is not set once more.
        terminal::disable_raw_mode()?;
    }
    enter(set & MOUSE != 0)
}

fn write_once(bytes: &[u8]) -> io::Result<()> {
    let mut out = io::stdout().lock();
    out.write_all(bytes)?;
    out.flush()
}

/// Whether the terminal says that its background is light; `None`: it doesn't say, within a tenth of a second.
/// To be asked before events are read.
pub fn is_light() -> Option<bool> {
    let mut options = terminal_colorsaurus::QueryOptions::default();
    options.timeout = ANSWER;
    match terminal_colorsaurus::theme_mode(options) {
        Ok(terminal_colorsaurus::ThemeMode::Light) => Some(true),
        Ok(terminal_colorsaurus::ThemeMode::Dark) => Some(false),
        Err(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_was_set_is_undone_and_the_cursor_comes_back() {
        let said = |set: u8| String::from_utf8(undo_bytes(set).unwrap()).unwrap();
        let all = said(RAW | ALTERNATE | PASTE | MOUSE | CURSOR);
        for sequence in ["\x1b[?1049l", "\x1b[?2004l", "\x1b[?25h", "\x1b[?1000l"] {
            assert!(all.contains(sequence), "{all:?}");
        }
        let some = said(ALTERNATE);
        assert!(some.contains("\x1b[?1049l") && !some.contains("1000") && !some.contains("2004"));
    }
}
