//! Named commands of a screen. Keys, taps and typed lines all become one of these; each can be written as text
//! and read back.

use std::{fmt, str::FromStr};

/// Something the person at the screen asks for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Command {
    /// Do the expected next thing.
    Next,
    /// Act on the chosen row or choice.
    Take,
    /// Take the choice beside what is asked for, from 1.
    Choice(u8),
    /// Answer the most urgent call by having heard it.
    Heard,
    /// Take back what was done last.
    Undo,
    /// Begin the chosen step.
    Begin,
    /// The chosen step is done.
    Done,
    /// Give the chosen step so many minutes more; `None`: ask how many.
    More(Option<i64>),
    /// Give the chosen step so many minutes fewer.
    Fewer(i64),
    /// Leave the chosen step out.
    Skip,
    /// Say what the oven is set to, as typed ("190", "190 C", "off"); `None`: ask.
    Oven(Option<String>),
    /// Read a thermometer, as typed ("74", "165 F"); `None`: ask.
    Core(Option<String>),
    /// Use the substitute that is offered.
    Substitute,
    /// Write something down; `None`: ask.
    Note(Option<String>),
    /// Choose a running or coming row, 1 to 9.
    Row(u8),
    /// The row above.
    Up,
    /// The row below.
    Down,
    /// The choice to the left.
    Left,
    /// The choice to the right.
    Right,
    /// Scroll back.
    Earlier,
    /// Scroll on.
    Later,
    /// Timeline by dish or by place.
    Lanes,
    /// Giant digits, and back.
    Glance,
    /// Mouse on or off.
    Mouse,
    /// All keys.
    Help,
    /// Close what is open.
    Back,
    /// Leave.
    Quit,
    /// Put the program to sleep.
    Suspend,
    /// Draw afresh.
    Redraw,
    /// Say how things stand (plain).
    Status,
    /// Show the plan.
    Plan,
    /// Replay: play or pause.
    Pause,
    /// Replay: on to the next event.
    Step,
    /// Replay: back to the event before.
    StepBack,
    /// Replay: twice as fast.
    Faster,
    /// Replay: half as fast.
    Slower,
    /// Replay: to the next call.
    NextCall,
    /// Replay: to the call before.
    PreviousCall,
}

/// Commands that are one word.
const WORDS: [(&str, Command); 30] = [
    ("next", Command::Next),
    ("take", Command::Take),
    ("heard", Command::Heard),
    ("undo", Command::Undo),
    ("begin", Command::Begin),
    ("done", Command::Done),
    ("skip", Command::Skip),
    ("substitute", Command::Substitute),
    ("up", Command::Up),
    ("down", Command::Down),
    ("left", Command::Left),
    ("right", Command::Right),
    ("earlier", Command::Earlier),
    ("later", Command::Later),
    ("lanes", Command::Lanes),
    ("glance", Command::Glance),
    ("mouse", Command::Mouse),
    ("help", Command::Help),
    ("back", Command::Back),
    ("quit", Command::Quit),
    ("suspend", Command::Suspend),
    ("redraw", Command::Redraw),
    ("status", Command::Status),
    ("plan", Command::Plan),
    ("pause", Command::Pause),
    ("step", Command::Step),
    ("step-back", Command::StepBack),
    ("faster", Command::Faster),
    ("slower", Command::Slower),
    ("next-call", Command::NextCall),
];

/// Commands that carry something.
const WITH: [&str; 7] = ["choice", "more", "fewer", "oven", "core", "note", "row"];

impl fmt::Display for Command {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let carried = |f: &mut fmt::Formatter<'_>, word: &str, text: &Option<String>| match text {
            Some(text) => write!(f, "{word} {text}"),
            None => f.write_str(word),
        };
        match self {
            Command::Choice(n) => write!(f, "choice {n}"),
            Command::More(Some(n)) => write!(f, "more {n}"),
            Command::More(None) => f.write_str("more"),
            Command::Fewer(n) => write!(f, "fewer {n}"),
            Command::Oven(text) => carried(f, "oven", text),
            Command::Core(text) => carried(f, "core", text),
            Command::Note(text) => carried(f, "note", text),
            Command::Row(n) => write!(f, "row {n}"),
            Command::PreviousCall => f.write_str("previous-call"),
            plain => {
                let word = WORDS.iter().find(|(_, c)| c == plain).map(|(w, _)| *w);
                f.write_str(word.unwrap_or_default())
            }
        }
    }
}

/// A line that is no command.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct NoCommand(String);

impl FromStr for Command {
    type Err = NoCommand;

    fn from_str(line: &str) -> Result<Self, NoCommand> {
        let line = line.trim();
        let (word, rest) = match line.split_once(char::is_whitespace) {
            Some((word, rest)) => (word, Some(rest.trim())),
            None => (line, None),
        };
        let rest = rest.filter(|r| !r.is_empty());
        let number = |what: &str, lo: i64, hi: i64| {
            rest.and_then(|r| r.parse::<i64>().ok())
                .filter(|n| (lo..=hi).contains(n))
                .ok_or_else(|| NoCommand(format!("`{word}` needs {what}, {lo} to {hi}")))
        };
        let small = |n: i64| u8::try_from(n).unwrap_or(u8::MAX);
        match word {
            "choice" => number("the number of a choice", 1, 9).map(|n| Command::Choice(small(n))),
            "row" => number("the number of a row", 1, 9).map(|n| Command::Row(small(n))),
            "more" if rest.is_none() => Ok(Command::More(None)),
            "more" => number("minutes", -600, 600).map(|n| Command::More(Some(n))),
            "fewer" => number("minutes", 1, 600).map(Command::Fewer),
            "oven" => Ok(Command::Oven(rest.map(str::to_owned))),
            "core" => Ok(Command::Core(rest.map(str::to_owned))),
            "note" => Ok(Command::Note(rest.map(str::to_owned))),
            "previous-call" if rest.is_none() => Ok(Command::PreviousCall),
            _ => match WORDS.iter().find(|(w, _)| *w == word) {
                Some((_, command)) if rest.is_none() => Ok(command.clone()),
                Some(_) => Err(NoCommand(format!("`{word}` stands alone"))),
                None => {
                    let words = WORDS.iter().map(|(w, _)| *w).chain(WITH);
                    let near = super::theme::nearest(word, words);
                    Err(NoCommand(format!(
                        "`{word}` is no command; did you mean `{near}`?"
                    )))
                }
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn commands_survive_being_written_and_read() {
        let mut all: Vec<Command> = WORDS.iter().map(|(_, c)| c.clone()).collect();
        all.extend([
            Command::Choice(2),
            Command::More(None),
            Command::More(Some(-3)),
            Command::Fewer(4),
            Command::Oven(None),
            Command::Oven(Some("190 C".into())),
            Command::Core(Some("74".into())),
            Command::Note(Some("less salt next time".into())),
            Command::Row(9),
            Command::PreviousCall,
        ]);
        for command in all {
            assert_eq!(command.to_string().parse(), Ok(command));
        }
    }

    #[test]
    fn a_wrong_word_is_told_the_nearest() {
        let said = |line: &str| line.parse::<Command>().unwrap_err().to_string();
        assert!(said("dnoe").contains("`done`"));
        assert!(said("row 12").contains("1 to 9"));
        assert!(said("undo twice").contains("alone"));
    }
}
