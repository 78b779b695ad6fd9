//! The session as appended lines of text: for screen readers, pipes and tests.

use std::io::{self, BufRead, Write};

use tokio::sync::mpsc;

use super::bell::Calls;
use crate::{
    commands::view,
    engine::face::{Face, Input, View},
    live::{
        Board, Event, Ms, State,
        event::Believed,
        typed::{Typed, WORDS},
    },
    measure::units::Units,
    menu::config::Config,
    screen::plain,
};

/// A typed line longer than this is cut, in bytes.
const LINE: u64 = 4096;

/// Lines in, lines out.
pub struct Plain {
    lines: mpsc::UnboundedReceiver<io::Result<String>>,
    before: Option<Board>,
    units: Units,
    words: plain::Plain,
    out: io::Stdout,
    calls: Calls,
}

impl Plain {
    /// Reads standard input on a thread of its own.
    ///
    /// # Errors
    /// When the system gives no thread.
    pub fn start(config: &Config, calls: Calls) -> io::Result<Self> {
        let (tell, lines) = mpsc::unbounded_channel();
        std::thread::Builder::new()
            .name("stdin".into())
            .spawn(move || {
                loop {
                    let mut line = Vec::new();
                    let read =
                        io::Read::take(io::stdin().lock(), LINE).read_until(b'\n', &mut line);
                    let told = match read {
                        Ok(0) => return,
                        Ok(_) => tell.send(Ok(String::from_utf8_lossy(&line).into_owned())),
                        Err(error) => tell.send(Err(error)),
                    };
                    if told.is_err() {
                        return;
                    }
                }
            })?;
        Ok(Self {
            lines,
            before: None,
            units: config.units,
            words: view::words(config),
            out: io::stdout(),
            calls,
        })
    }

    fn say(&mut self, line: &str) -> io::Result<()> {
        writeln!(self.out, "{line}")
    }

    /// Output that can't be written is found at the next view, which can fail.
    fn tell(&mut self, lines: &[String]) {
        for line in lines {
            let _ = self.say(line);
        }
        let _ = self.out.flush();
    }
}

impl Face for Plain {
    fn show(&mut self, view: &View<'_>) -> io::Result<()> {
        let board = view.state.board(view.now, self.units);
        let lines = match &self.before {
            None => self.words.lines(&board),
            Some(before) => self.words.changes(before, &board),
        };
        for line in lines {
            self.say(&line)?;
        }
        for record in view.news {
            if let Some(line) = happened(&record.event) {
                self.say(&line)?;
            }
        }
        self.out.flush()?;
        self.calls.show(view)?;
        self.before = Some(board);
        Ok(())
    }

    async fn input(&mut self) -> Input {
        let line = tokio::select! {
            line = self.lines.recv() => line,
            event = self.calls.tried() => return Input::Told(event),
        };
        match line {
            Some(Ok(line)) => Input::Line(line),
            // The end of the input is the end of the sitting; the log resumes.
            Some(Err(_)) | None => Input::Leave,
        }
    }

    fn changes_at(&self, _: &State, _: Ms) -> Option<Ms> {
        None
    }

    /// Lines are no frames: what is said to have happened is on the disk, or it is said that it can't be written.
    fn patience(&self) -> std::time::Duration {
        std::time::Duration::MAX
    }

    fn refuse(&mut self, why: &str) {
        self.tell(&[format!("Not done: {why}.")]);
    }

    fn answer(&mut self, question: &Typed, state: &State, now: Ms) {
        let lines: Vec<String> = match question {
            Typed::Status => self.words.lines(&state.board(now, self.units)),
            _ => WORDS
                .iter()
                .map(|(word, does)| format!("{word}: {does}."))
                .collect(),
        };
        self.tell(&lines);
    }

    fn beep(&mut self) -> io::Result<()> {
        self.calls.beep()
    }

    fn suspend(&mut self) -> io::Result<()> {
        crate::engine::signals::stop()
    }
}

/// What is acknowledged in a line of its own because the board doesn't show it.
fn happened(event: &Event) -> Option<String> {
    match event {
        Event::Undone => Some("Taken back.".into()),
        Event::Noted { .. } => Some("Noted.".into()),
        Event::Measured { core, .. } => Some(format!("Core {} C written down.", core.to_integer())),
        Event::SoundTried { ways } => Some(format!(
            "A test sound was made {ways}. Type 'heard yes' or 'heard no'."
        )),
        Event::Heard { yes: true } => Some("The sound is heard.".into()),
        Event::Heard { yes: false } => Some("The sound is not heard.".into()),
        Event::ClocksDisagreed { believed, .. } => Some(match believed {
            Believed::Wall => "The clock on the wall is right.".into(),
            Believed::Machine => "The machine's own clock is right.".into(),
        }),
        Event::Closed => Some("The session is closed.".into()),
        _ => None,
    }
}
