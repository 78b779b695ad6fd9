//! `mealtide cook`: a session, live.

mod begin;
mod bell;
mod clocks;
mod plain;
mod tui;

use std::{
    io::IsTerminal,
    path::{Path, PathBuf},
};

use self::begin::Begun;
use super::{
    Outcome, complain, faults, learned, note, print, source,
    timing::{self, Draft},
    view, waiting,
};
use crate::{
    alert::{AlertConfig, Sounding},
    engine::{
        bell::Bell,
        clock::{Anchor, Pace, Real, Virtual},
        face::Face,
        prover::Prover,
        run::{Ending, Loop, Passing, RunError},
    },
    live::Ms,
    menu::text,
    plan::{Part, solver::Search},
    screen::{self, keys::Place},
};

/// What is said while a plan is made.
const PLANNING: &str = "making the plan .";

/// What to cook, and how.
#[derive(Debug, clap::Args)]
pub struct Args {
    #[command(flatten)]
    source: source::Args,
    #[command(flatten)]
    timing: timing::Args,
    /// Go on with the session of a log.
    #[arg(long, value_name = "LOG", conflicts_with_all = ["session", "ahead"])]
    resume: Option<PathBuf>,
    /// Cook what is made ahead of the day.
    #[arg(long)]
    ahead: bool,
    /// Lines of text instead of a screen: for screen readers, pipes and tests.
    #[arg(long)]
    plain: bool,
    /// Where to write the log; by default in the user's state folder.
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
    /// Virtual time. On the screen it stands still while something is to be done and else goes on to the next thing; with
    /// --plain it passes when 'wait' is typed.
    #[arg(long)]
    r#virtual: bool,
}

/// Cooks.
pub fn run(args: Args) -> Outcome {
    if !args.plain && !view::possible() {
        return complain(
            "the screen needs a terminal that can be drawn on; use --plain where there is none",
        );
    }
    let begun = match &args.resume {
        Some(log) => begin::resume(log, args.r#virtual),
        None => {
            let part = if args.ahead {
                Part::Ahead
            } else {
                Part::Service
            };
            let opening = args.source.read().map(|source| {
                let mut session = source.session;
                // A trial in virtual time is the same for every cook.
                if !args.r#virtual {
                    learned::apply(&mut session);
                }
                session
            });
            opening.and_then(|session| {
                waiting::during(PLANNING, || {
                    let draft = args.timing.draft(&session, part)?;
                    let mut begun = begin::open(draft, args.log.as_deref(), args.r#virtual)?;
                    if args.plain {
                        begun.settle();
                    }
                    Ok(begun)
                })
            })
        }
    };
    begun.map_or_else(
        |outcome| outcome,
        |begun| cook(begun, args.plain, args.r#virtual),
    )
}

/// Cooks a session on the screen.
pub fn anew(draft: impl FnOnce() -> Result<Draft, Outcome>, virtual_time: bool) -> Outcome {
    waiting::during(PLANNING, || begin::open(draft()?, None, virtual_time))
        .map_or_else(|outcome| outcome, |begun| cook(begun, false, virtual_time))
}

/// Goes on with the session of a log, on the screen.
pub fn again(log: &Path, virtual_time: bool) -> Outcome {
    begin::resume(log, virtual_time)
        .map_or_else(|outcome| outcome, |begun| cook(begun, false, virtual_time))
}

fn cook(mut begun: Begun, plain: bool, virtual_time: bool) -> Outcome {
    let config = match view::config() {
        Ok(config) => config,
        Err(outcome) => return outcome,
    };
    let runtime = match tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
    {
        Ok(runtime) => runtime,
        Err(error) => return complain(&format!("cannot start: {error}")),
    };
    let alert = match AlertConfig::of_the_user(&config.alert) {
        Ok(alert) => alert,
        Err(found) => return faults::tell(&found, false),
    };
    let path = begun.log.as_ref().map(|log| log.path().to_owned());
    let told = begun.told.clone();
    // Under the screen it is read when that is gone; the screen says it, too.
    told.iter().for_each(|words| note(words));
    end_on_panic(path.clone());
    begun.core.tell_time_in(config.hours());
    let state = begun.core.state();
    let untested = !state.under_way() && state.heard != Some(true);
    let ended = if plain {
        let calls = if virtual_time {
            bell::Calls::virtually()
        } else {
            // The test is for somebody who is there to hear it.
            bell::Calls::really(&alert, untested && std::io::stdout().is_terminal())
        };
        let face = plain::Plain::start(&config, calls).map_err(RunError::from);
        face.and_then(|face| match virtual_time {
            true => runtime.block_on(with_face(begun, face, bell::Silent, Passing::Told)),
            false => runtime.block_on(with_face(
                begun,
                face,
                Sounding::start(alert),
                Passing::Real,
            )),
        })
    } else {
        let mut look = match view::View::open(&config, Place::Cook) {
            Ok(look) => look,
            Err(outcome) => return outcome,
        };
        if let Err(error) = settle(&mut begun, &mut look) {
            drop(look);
            return farewell(
                Err(error.into()),
                path.map(|path| path.display().to_string()),
            );
        }
        runtime.block_on(async {
            if virtual_time {
                let face = tui::Tui::start(look, path.clone(), bell::Calls::virtually(), told);
                with_face(begun, face, bell::Silent, Passing::Hurried).await
            } else {
                let face = tui::Tui::start(
                    look,
                    path.clone(),
                    bell::Calls::really(&alert, untested),
                    told,
                );
                with_face(begun, face, Sounding::start(alert), Passing::Real).await
            }
        })
    };
    farewell(ended, path.map(|path| path.display().to_string()))
}

/// A session that asks to be surer than its first plan is shows that plan while a surer one is looked for.
fn settle(begun: &mut Begun, look: &mut view::View) -> std::io::Result<()> {
    if begun.draft.is_none() {
        return Ok(());
    }
    let board = begun.core.state().board(begun.now, look.units);
    let words = "looking for a plan as sure as the session asks for";
    look.ui.message = Some((words.to_owned(), Ms::MAX));
    look.draw(|buffer, ui| screen::paint(buffer, &board, ui))?;
    begun.settle();
    look.ui.message = None;
    Ok(())
}

/// A panic on any thread ends the program: half of one that goes on would be trusted. What was acknowledged is in the
/// log, and how to go on is said. The screen's own hook gives the terminal back before.
pub fn end_on_panic(log: Option<PathBuf>) {
    let before = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |info| {
        before(info);
        if let Some(log) = &log {
            note(&format!(
                "go on with: mealtide cook --resume '{}'",
                log.display()
            ));
        }
        std::process::exit(101);
    }));
}

/// What is said when the screen is gone: where the log is, and how to go on.
fn farewell(ended: Result<Ending, RunError>, log: Option<String>) -> Outcome {
    if let (Ok(Ending::Closed), Some(log)) = (&ended, &log) {
        Anchor::remove(Path::new(log));
    }
    let log = log.map(|log| text::message(&log));
    match (ended, log) {
        (Ok(Ending::Closed), Some(log)) => print(&format!(
            "The log is {log}\nLook back with: mealtide review '{log}'\n"
        )),
        (Ok(Ending::Left), Some(log)) => {
            print(&format!("Go on with: mealtide cook --resume '{log}'\n"))
        }
        (Ok(_), None) => Outcome::Well,
        (Err(error), Some(log)) => complain(&format!(
            "{error}\nGo on with: mealtide cook --resume '{log}'"
        )),
        (Err(error), None) => complain(&error.to_string()),
    }
}

async fn with_face<F: Face, B: Bell>(
    begun: Begun,
    face: F,
    bell: B,
    passing: Passing,
) -> Result<Ending, RunError> {
    let Begun {
        core,
        log,
        now,
        opened,
        ..
    } = begun;
    if passing == Passing::Real {
        let clock = Real::starting_at(now)?;
        if let (Some(log), Some(anchor)) = (&log, clock.anchor()) {
            // Without it the civil clock alone carries across a restart.
            let _ = anchor.save(log.path());
        }
        Loop::<Search, _, _, _, _> {
            core,
            clock,
            log,
            face,
            bell,
            background: Prover::default(),
            passing,
        }
        .run()
        .await
    } else {
        let clock = Virtual::new(opened, now, Pace::Told, Vec::new());
        Loop {
            core,
            clock,
            log,
            face,
            bell,
            background: Prover::default(),
            passing,
        }
        .run()
        .await
    }
}
