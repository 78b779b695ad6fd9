//! What takes longer than half a second says so, before there is a screen.

use std::{
    io::{self, IsTerminal, Write},
    sync::mpsc::{RecvTimeoutError, channel},
    thread,
    time::Duration,
};

/// What is done faster than this is not told, and how often a dot is added after that.
const PATIENCE: Duration = Duration::from_millis(500);

/// Does some work; if it takes long and a person watches, says `words` meanwhile, and takes them back.
pub fn during<T>(words: &'static str, work: impl FnOnce() -> T) -> T {
    if !io::stderr().is_terminal() {
        return work();
    }
    let (done, is_done) = channel::<()>();
    let telling = thread::Builder::new().spawn(move || {
        let mut told = false;
        while is_done.recv_timeout(PATIENCE) == Err(RecvTimeoutError::Timeout) {
            let _ = say(if told { "." } else { words });
            told = true;
        }
        if told {
            // To the beginning of the line, and clear it.
            let _ = say("\r\x1b[K");
        }
    });
    let worked = work();
    drop(done);
    if let Ok(telling) = telling {
        let _ = telling.join();
    }
    worked
}

fn say(words: &str) -> io::Result<()> {
    let mut out = io::stderr().lock();
    out.write_all(words.as_bytes())?;
    out.flush()
}
