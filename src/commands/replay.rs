//! `mealtide replay`: a log, played in the live screen.

use std::{
    path::{Path, PathBuf},
    time::{Duration, Instant},
};

use crossterm::event::{self, Event as Reported, MouseButton, MouseEventKind};

use super::{Outcome, complain, print, view};
use crate::{
    engine::{core::Record, replay::Player},
    live::{Event, Ms},
    log,
    screen::{
        Command,
        alike::Alike,
        app::{self, Effect},
        keys::Place,
        plain,
        replay_view::{self, Scrubber},
        time::ClockFormat,
    },
};

/// The screen is drawn this often while a log plays, at most.
const FRAME: Duration = Duration::from_millis(100);

/// How far the arrows go, in ms of the session.
const JUMP: Ms = 10_000;

/// What to play.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The log.
    log: PathBuf,
    /// Print what happened as lines of text.
    #[arg(long)]
    plain: bool,
}

/// Plays it.
pub fn run(args: Args) -> Outcome {
    let begun = view::config().and_then(|config| Ok((load(&args.log, config.hours())?, config)));
    let (player, config) = match begun {
        Ok(begun) => begun,
        Err(outcome) => return outcome,
    };
    if args.plain || !view::possible() {
        return print(&lines(player, view::words(&config)));
    }
    play(player).unwrap_or_else(|outcome| outcome)
}

/// Reads a log to be played; damage behind a usable beginning is told.
fn load(path: &Path, hours: ClockFormat) -> Result<Player, Outcome> {
    let told = |error: &dyn std::fmt::Display| complain(&format!("{}: {error}", path.display()));
    let reading = log::read::<Event>(path).map_err(|error| told(&error))?;
    if let Some(flaw) = &reading.flaw {
        told(&format!("{flaw}; what is before it is played"));
    }
    let records = reading.records.into_iter().map(|record| Record {
        at: record.ms,
        event: record.event,
    });
    Player::new(records.collect(), hours).map_err(|error| told(&error))
}

/// The whole log as lines, each with its clock time.
fn lines(mut player: Player, words: plain::Plain) -> String {
    let units = crate::measure::units::Units::Author;
    let mut before = player.state().board(0, units);
    let mut text = words.lines(&before).join("\n") + "\n";
    while player.now() < player.end() {
        player.step(true);
        let board = player.state().board(player.now(), units);
        let clock = match words.clock {
            ClockFormat::H24 => board.clock.strftime("%H:%M:%S"),
            ClockFormat::H12 => board.clock.strftime("%-I:%M:%S %P"),
        };
        for line in words.changes(&before, &board) {
            text += &format!("{clock} {line}\n");
        }
        before = board;
    }
    text
}

fn play(mut player: Player) -> Result<Outcome, Outcome> {
    let config = view::config()?;
    let mut look = view::View::open(&config, Place::Replay)?;
    look.ui.planned = player.planned(look.units);
    let failed = |error: std::io::Error| complain(&format!("the terminal: {error}"));
    let mut last = Instant::now();
    loop {
        let board = player.state().board(player.now(), look.units);
        let scrubber = Scrubber {
            end: player.end(),
            marks: player.marks().to_vec(),
            speed: player.speed(),
            paused: player.paused(),
        };
        look.draw(|buffer, ui| replay_view::paint(buffer, &board, ui, &scrubber))
            .map_err(failed)?;
        let waits = if player.paused() {
            Duration::from_secs(3600)
        } else {
            FRAME
        };
        let reported = event::poll(waits).map_err(failed)?;
        let now = Instant::now();
        player.pass(Ms::try_from((now - last).as_millis()).unwrap_or(0));
        last = now;
        if !reported {
            continue;
        }
        let reported = event::read().map_err(failed)?;
        look.fit(&reported);
        if let Some(to) = scrubbed(&reported, &look, &scrubber) {
            player.go_to(to);
            continue;
        }
        let area = look.screen.area();
        for effect in app::on_event(&reported, area, &board, &mut look.ui) {
            match effect {
                Effect::Other(command) => obey(&command, &mut player),
                Effect::Leave => return Ok(Outcome::Well),
                Effect::Afresh => look.obey(Alike::Afresh).map_err(failed)?,
                Effect::Mouse(on) => look.obey(Alike::Mouse(on)).map_err(failed)?,
                Effect::Suspend => {
                    look.obey(Alike::Suspend).map_err(failed)?;
                    last = Instant::now();
                }
                // The past can't be changed.
                Effect::Act(_) | Effect::Redraw => {}
            }
        }
    }
}

/// Where a tap on the scrubber goes.
fn scrubbed(reported: &Reported, look: &view::View, scrubber: &Scrubber) -> Option<Ms> {
    let Reported::Mouse(mouse) = reported else {
        return None;
    };
    let pressed = matches!(
        mouse.kind,
        MouseEventKind::Down(MouseButton::Left) | MouseEventKind::Drag(MouseButton::Left)
    );
    let at = replay_view::at_column(look.screen.area(), scrubber, mouse.column, mouse.row);
    at.filter(|_| pressed && look.ui.mouse)
}

fn obey(command: &Command, player: &mut Player) {
    match command {
        Command::Pause => player.pause(),
        Command::Step => player.step(true),
        Command::StepBack => player.step(false),
        Command::Faster => player.pace(true),
        Command::Slower => player.pace(false),
        Command::NextCall => player.next_call(),
        Command::PreviousCall => player.previous_call(),
        Command::Left => player.go_to(player.now() - JUMP),
        Command::Right => player.go_to(player.now() + JUMP),
        _ => {}
    }
}
