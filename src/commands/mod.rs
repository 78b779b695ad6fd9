//! One file per subcommand, thin: parse, hand over, exit code.

use std::process::ExitCode;

use clap::{CommandFactory, Parser, Subcommand};

use crate::menu::text;

pub mod check;
mod choose;
pub mod completions;
pub mod cook;
pub mod doctor;
mod faults;
pub mod import;
pub mod kitchen;
pub mod learned;
pub mod man;
pub mod new;
pub mod plan;
pub mod rehearse;
pub mod replay;
pub mod review;
pub mod schema;
pub mod shop;
pub mod sound;
pub mod source;
pub mod timing;
mod values;
mod view;
mod waiting;

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// All is well.
    Well,
    /// The answer is no: late, unsafe, impossible.
    No,
    /// The input or the usage is at fault.
    Fault,
}

impl From<Outcome> for ExitCode {
    fn from(outcome: Outcome) -> Self {
        ExitCode::from(match outcome {
            Outcome::Well => 0,
            Outcome::No => 1,
            Outcome::Fault => 2,
        })
    }
}

/// Plans a dinner of several courses, proven best, and runs it live in the terminal.
#[derive(Debug, Parser)]
#[command(
    name = "mealtide",
    version,
    about,
    propagate_version = true,
    max_term_width = 100,
    args_conflicts_with_subcommands = true
)]
pub struct Cli {
    #[command(subcommand)]
    command: Option<Command>,
    #[command(flatten)]
    timing: timing::Args,
    /// Virtual time: it stands still while something is to be done and else goes on to the next thing.
    #[arg(long)]
    r#virtual: bool,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Read session, dish, kitchen and config files and say what is wrong, unsafe or doubtful.
    Check(check::Args),
    /// Print a completion script for a shell.
    Completions(completions::Args),
    /// Cook a session, live.
    Cook(Box<cook::Args>),
    /// Look whether everything that reaches the cook works.
    Doctor(doctor::Args),
    /// Make a dish file of a recipe in a page or JSON file.
    Import(import::Args),
    /// Write down what the kitchen has.
    Kitchen(kitchen::Args),
    /// Print the manual page.
    Man(man::Args),
    /// Write a dish or a session to begin from.
    New(new::Args),
    /// Print the timetable of a session, proven best.
    Plan(Box<plan::Args>),
    /// Let a simulated cook cook a session in virtual time.
    Rehearse(rehearse::Args),
    /// Play a log in the live screen.
    Replay(replay::Args),
    /// Hold logs against their plans: what cost the time, and what they teach.
    Review(review::Args),
    /// Print a JSON Schema of a kind of file, for editors.
    Schema(schema::Args),
    /// Print one shopping list over all dishes of one or several sessions.
    Shop(shop::Args),
    /// Play each sound with its meaning.
    Sound(sound::Args),
}

impl Cli {
    /// The command line, as data: for completions, the manual page and tests.
    pub fn table() -> clap::Command {
        Self::command()
    }

    /// Does what the command line says.
    pub fn run(self) -> Outcome {
        match self.command {
            Some(Command::Check(args)) => check::run(args),
            Some(Command::Completions(args)) => completions::run(args),
            Some(Command::Cook(args)) => cook::run(*args),
            Some(Command::Doctor(args)) => doctor::run(args),
            Some(Command::Import(args)) => import::run(args),
            Some(Command::Kitchen(args)) => kitchen::run(args),
            Some(Command::Man(args)) => man::run(args),
            Some(Command::New(args)) => new::run(args),
            Some(Command::Plan(args)) => plan::run(*args),
            Some(Command::Rehearse(args)) => rehearse::run(args),
            Some(Command::Replay(args)) => replay::run(args),
            Some(Command::Review(args)) => review::run(args),
            Some(Command::Schema(args)) => schema::run(args),
            Some(Command::Shop(args)) => shop::run(args),
            Some(Command::Sound(args)) => sound::run(args),
            None if view::possible() => choose::run(self.r#virtual, &self.timing),
            // Without a terminal: the plan of the built-in session.
            None => match Self::try_parse_from(["mealtide", "plan"]) {
                Ok(Self {
                    command: Some(Command::Plan(args)),
                    ..
                }) => plan::run(*args),
                _ => Outcome::Fault,
            },
        }
    }
}

/// Prints to standard output; a closed pipe (`mealtide plan | head`) is not an error.
pub(crate) fn print(text: &str) -> Outcome {
    use std::io::Write;
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Ok(()) => Outcome::Well,
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Outcome::Well,
        Err(error) => complain(&format!("cannot write the output: {error}")),
    }
}

/// Says on standard error what is at fault.
pub(crate) fn complain(message: &str) -> Outcome {
    use std::io::Write;
    // Nothing is left to tell when standard error is gone too.
    let _ = writeln!(
        std::io::stderr().lock(),
        "error: {}",
        text::message(message)
    );
    Outcome::Fault
}

/// Says on standard error what the cook should know, and goes on.
pub(crate) fn note(message: &str) {
    use std::io::Write;
    // Nothing is left to tell when standard error is gone too.
    let _ = writeln!(std::io::stderr().lock(), "note: {}", text::message(message));
}
