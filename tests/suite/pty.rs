//! A terminal of the system with a program in it, driven by keys and read as a person would read it.

#![cfg(unix)]
#![allow(clippy::unwrap_used, reason = "a test fails by it")]

use std::{
    io::{Read, Write},
    num::NonZero,
    path::Path,
    sync::mpsc::{Receiver, RecvTimeoutError, channel},
    time::Duration,
};

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};

/// A bound for what never comes; nothing is measured by it.
const NEVER: Duration = Duration::from_secs(120);

const BEGIN: &[u8] = b"\x1b[?2026h";
const END: &[u8] = b"\x1b[?2026l";

/// A program in a terminal.
pub struct Pty {
    master: Box<dyn MasterPty + Send>,
    keys: Box<dyn Write + Send>,
    output: Receiver<Vec<u8>>,
    /// What runs in it.
    pub child: Box<dyn Child + Send + Sync>,
    /// All that it wrote.
    pub written: Vec<u8>,
    screen: vt100::Parser,
    /// The last whole frame, also when the program is gone.
    pub drawn: String,
}

/// A size of a terminal.
pub fn size(rows: u16, cols: u16) -> PtySize {
    PtySize {
        rows,
        cols,
        pixel_width: 0,
        pixel_height: 0,
    }
}

/// The program, with a home of its own and none of the user's settings.
pub fn command(program: &str, home: &Path) -> CommandBuilder {
    let mut command = CommandBuilder::new(program);
    command.env_clear();
    command.env("PATH", std::env::var_os("PATH").unwrap_or_default());
    command.env("TERM", "xterm-256color");
    command.env("TZ", "Europe/Berlin");
    command.env("HOME", home);
    command.env("XDG_STATE_HOME", home.join("state"));
    command.env("XDG_CONFIG_HOME", home.join("config"));
    command.env("XDG_DATA_HOME", home.join("data"));
    command.env("XDG_RUNTIME_DIR", home.join("run"));
    command.cwd(home);
    command
}

fn screen(rows: u16, cols: u16) -> vt100::Parser {
    let least = |cells| NonZero::new(cells).unwrap_or(NonZero::<u16>::MIN);
    vt100::Parser::new(least(rows), least(cols), 0)
}

impl Pty {
    /// Starts a program in a terminal of 30 rows and 100 columns.
    pub fn start(command: CommandBuilder) -> Self {
        Self::start_in(command, 30, 100)
    }

    /// Starts a program in a terminal of so many rows and columns.
    pub fn start_in(command: CommandBuilder, rows: u16, cols: u16) -> Self {
        let pair = native_pty_system().openpty(size(rows, cols)).unwrap();
        let child = pair.slave.spawn_command(command).unwrap();
        let mut reader = pair.master.try_clone_reader().unwrap();
        let keys = pair.master.take_writer().unwrap();
        let (tell, output) = channel();
        std::thread::spawn(move || {
            let mut bytes = [0; 65_536];
            while let Ok(count @ 1..) = reader.read(&mut bytes) {
                if tell.send(bytes[..count].to_vec()).is_err() {
                    return;
                }
            }
        });
        Self {
            master: pair.master,
            keys,
            output,
            child,
            written: Vec::new(),
            screen: screen(rows, cols),
            drawn: String::new(),
        }
    }

    /// Reads once; `false`: the program has closed the terminal.
    fn read(&mut self) -> bool {
        match self.output.recv_timeout(NEVER) {
            Ok(bytes) => {
                for byte in bytes {
                    self.screen.process(&[byte]);
                    self.written.push(byte);
                    if self.written.ends_with(END) {
                        self.drawn = self.text();
                    }
                }
                true
            }
            Err(RecvTimeoutError::Disconnected) => false,
            Err(RecvTimeoutError::Timeout) => panic!("it says nothing any more:\n{}", self.text()),
        }
    }

    /// Whole frames that were drawn.
    pub fn frames(&self) -> usize {
        let begun = self.written.windows(8).filter(|w| *w == BEGIN).count();
        begun - usize::from(self.half_drawn())
    }

    fn half_drawn(&self) -> bool {
        let last = |mark: &[u8]| self.written.windows(8).rposition(|w| w == mark);
        last(BEGIN) > last(END)
    }

    /// Reads until more than `before` frames are whole; `false`: the program ended.
    pub fn frame_after(&mut self, before: usize) -> bool {
        while self.frames() <= before {
            if !self.read() {
                return false;
            }
        }
        true
    }

    /// Reads until the screen shows `words`, and no frame is half drawn.
    pub fn wait_for(&mut self, words: &str) {
        while self.half_drawn() || !self.text().contains(words) {
            assert!(
                self.read(),
                "it ended before it said '{words}':\n{}",
                self.text()
            );
        }
    }

    /// Reads until something holds of what was written.
    pub fn until(&mut self, holds: impl Fn(&Self) -> bool) {
        while !holds(self) {
            assert!(self.read(), "it ended before that:\n{}", self.text());
        }
    }

    /// Presses keys; a program that has ended doesn't get them.
    pub fn keys(&mut self, keys: &str) {
        let _ = self.keys.write_all(keys.as_bytes());
        let _ = self.keys.flush();
    }

    /// Presses keys and reads until something new is drawn; `false`: the program ended.
    pub fn press(&mut self, keys: &str) -> bool {
        let before = self.frames();
        self.keys(keys);
        self.frame_after(before)
    }

    /// Reads until the program has ended, and gives whether all was well.
    pub fn end(&mut self) -> bool {
        while self.read() {}
        self.child.wait().unwrap().success()
    }

    /// What the terminal shows.
    pub fn text(&self) -> String {
        self.screen.screen().contents()
    }

    /// What the terminal is: on its other screen, with a hidden cursor, reporting pastes?
    pub fn is_taken(&self) -> (bool, bool, bool) {
        let screen = self.screen.screen();
        (
            screen.alternate_screen(),
            screen.hide_cursor(),
            screen.bracketed_paste(),
        )
    }

    /// Whether it wants to be told of the mouse.
    pub fn mouse(&self) -> bool {
        self.screen.screen().mouse_protocol_mode() != vt100::MouseProtocolMode::None
    }

    /// Row and column, from 1, of where the terminal first shows `words`.
    pub fn find(&self, words: &str) -> Option<(usize, usize)> {
        let text = self.text();
        let mut lines = (1..).zip(text.lines());
        lines.find_map(|(row, line)| {
            let before = line.split_once(words)?.0;
            Some((row, before.chars().count() + 1))
        })
    }

    /// The modes of its line, to be compared.
    pub fn modes(&self) -> String {
        format!("{:?}", self.master.get_termios().unwrap())
    }

    /// Gives the terminal another size, and forgets what it showed.
    pub fn resize(&mut self, rows: u16, cols: u16) {
        // What is shown at one column is not followed: emulators differ there.
        self.screen = screen(rows.max(30), cols.max(100));
        self.master.resize(size(rows, cols)).unwrap();
    }
}
