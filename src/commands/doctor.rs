//! `mealtide doctor`: what this machine can do for a dinner, one line each, with what to do where something is missing.

use std::io::IsTerminal;

use jiff::ZonedDateTime;

use super::{Outcome, print};
use crate::{
    alert::{
        self, AlertConfig, Announcement, Audition, Heard, Priority, Surroundings, Way,
        terminal::{Protocol, TerminalKind},
    },
    log::place,
    menu::{Lookup, config::Config, text},
};

/// How to look.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Make no sound and show no notification; only look whether it can be done.
    #[arg(long)]
    quiet: bool,
}

/// What was found of one thing.
enum Finding {
    Well(String),
    /// It works without, or with less.
    Less(String),
    /// A dinner shouldn't begin like this: what is wrong, and what to do.
    Wrong(String),
}

use Finding::{Less, Well, Wrong};

/// Looks, and says it in one line each. The answer is no when something is wrong.
pub fn run(args: Args) -> Outcome {
    let config = Config::of_the_user(&Lookup::of_the_user())
        .and_then(|config| AlertConfig::of_the_user(&config.alert))
        .map_err(|faults| faults.brief());
    let (config, configuration) = match config {
        Ok(config) => (config, None),
        Err(why) => (
            AlertConfig::default(),
            Some(Wrong(format!("{why}; correct it, or remove it"))),
        ),
    };
    type Look<'a> = Box<dyn FnOnce() -> Finding + 'a>;
    let surroundings = &config.surroundings;
    let mut looks: Vec<(&str, Look<'_>)> = vec![
        ("sound", Box::new(|| sound(&config, args.quiet))),
        (
            "notification",
            Box::new(|| notification(&config, args.quiet)),
        ),
        ("speech", Box::new(|| speech(&config, args.quiet))),
        ("terminal", Box::new(|| terminal(surroundings))),
        ("colours", Box::new(|| colours(surroundings))),
        ("clock", Box::new(clock)),
        ("folder", Box::new(folder)),
    ];
    if let Some(wrong) = configuration {
        looks.push(("configuration", Box::new(move || wrong)));
    }
    let mut well = true;
    for (name, look) in looks {
        // What is tried takes seconds: its name stands there meanwhile.
        if let fault @ Outcome::Fault = print(&format!("{name:<14} ")) {
            return fault;
        }
        let (mark, words) = match look() {
            Well(words) => ("well", words),
            Less(words) => ("less", words),
            Wrong(words) => {
                well = false;
                ("WRONG", words)
            }
        };
        let words = text::message(&words).replace('\n', " ");
        if let fault @ Outcome::Fault = print(&format!("{mark:<6} {words}\n")) {
            return fault;
        }
    }
    if well { Outcome::Well } else { Outcome::No }
}

fn sound(config: &AlertConfig, quiet: bool) -> Finding {
    if !config.sound {
        return Less("switched off; set sound = true under [alert] in config.toml".into());
    }
    let advice = "start PulseAudio or PipeWire, or install pulseaudio-utils or alsa-utils";
    if quiet {
        let ways = alert::sound_ways(&config.surroundings);
        let there = ways
            .iter()
            .find(|(way, found)| *way != Way::Bell && found.is_ok());
        return match there {
            Some((way, _)) => Well(format!("{} is there; nothing was played", way.words())),
            None => Less(format!("the terminal bell alone; {advice}")),
        };
    }
    let Heard { ways, failed } = alert::test_of_the_evening(config);
    match ways.first() {
        Some(way) if *way != Way::Bell => Well(format!(
            "two pulses were played by {}; not heard? Look at its volume and its output",
            way.words()
        )),
        _ => {
            let why: Vec<String> = failed
                .iter()
                .map(|(way, why)| format!("{}: {why}", way.words()))
                .collect();
            Less(format!(
                "the terminal bell alone; {advice} ({})",
                why.join("; ")
            ))
        }
    }
}

fn notification(config: &AlertConfig, quiet: bool) -> Finding {
    if !config.notification {
        return Less("switched off; set notification = true under [alert] in config.toml".into());
    }
    let there = terminal_form(&TerminalKind::of(&config.surroundings));
    if quiet {
        return Well(format!("not tried; {there}"));
    }
    let heard = tried(config, Way::Desktop, "This is how a call is shown");
    match heard.failed.first() {
        None => Well(format!("shown on the desktop; {there}")),
        Some((_, why)) => Less(format!(
            "not on the desktop: start a notification service; {there} ({why})"
        )),
    }
}

fn terminal_form(kind: &TerminalKind) -> String {
    let form = match kind.protocol {
        None => "the terminal knows none",
        Some(Protocol::Osc9) => "the terminal shows them (OSC 9)",
        Some(Protocol::Osc777) => "the terminal shows them (OSC 777)",
        Some(Protocol::Osc99) => "the terminal shows them (OSC 99)",
    };
    let tmux = if kind.tmux {
        ", within tmux with allow-passthrough on"
    } else {
        ""
    };
    format!("{form}{tmux}")
}

fn speech(config: &AlertConfig, quiet: bool) -> Finding {
    if !config.speech {
        return Less("switched off; set speech = true under [alert] in config.toml".into());
    }
    let voices = alert::speakers(config.speech_command.as_deref(), &config.surroundings);
    match voices.first() {
        None => Less("no voice; install speech-dispatcher or espeak-ng".into()),
        Some(voice) if config.surroundings.program(voice.name()).is_none() => Wrong(format!(
            "{} is not installed; correct speech_command under [alert] in config.toml",
            voice.name()
        )),
        Some(voice) if quiet => Well(format!("{} is there; nothing was spoken", voice.name())),
        Some(_) => {
            let failed = tried(config, Way::Speech, "This is how a call is spoken").failed;
            match failed.first() {
                None => Well(
                    "a sentence was spoken; not heard? Look at the voice's volume and its output"
                        .into(),
                ),
                Some((_, why)) => Less(format!(
                    "no voice works: correct it, or set speech_command under [alert] in config.toml ({why})"
                )),
            }
        }
    }
}

/// Makes one announcement by one way alone.
fn tried(config: &AlertConfig, way: Way, sentence: &str) -> Heard {
    let only = AlertConfig {
        only: Some(way),
        ..config.clone()
    };
    Audition::start(only).hear(Announcement {
        id: "doctor".into(),
        priority: Priority::Low,
        sentence: sentence.into(),
        title: "Test".into(),
        count: 1,
        repeat: 0,
        late: 0,
    })
}

fn terminal(surroundings: &Surroundings) -> Finding {
    let name = surroundings.text("TERM");
    if name.is_empty() || name == "dumb" {
        return Less(format!(
            "TERM is {name:?}: use mealtide cook --plain, or a terminal that can be drawn on"
        ));
    }
    if !(std::io::stdin().is_terminal() && std::io::stdout().is_terminal()) {
        return Less("this is not a terminal: mealtide cook --plain works".into());
    }
    match crossterm::terminal::size() {
        Ok((columns, rows)) if columns < 80 || rows < 24 => Less(format!(
            "{columns} by {rows} cells: make it 80 by 24 or larger, or its letters smaller"
        )),
        Ok((columns, rows)) => Well(format!("{columns} by {rows} cells, {name}")),
        Err(error) => Less(format!("its size is unknown ({error})")),
    }
}

/// `NO_COLOR`: present and not empty means no colour.
fn colours(surroundings: &Surroundings) -> Finding {
    let term = surroundings.text("TERM");
    let full = surroundings.text("COLORTERM");
    if surroundings.var("NO_COLOR").is_some() {
        Less("none, as NO_COLOR asks; every meaning is in words and shapes too".into())
    } else if full == "truecolor" || full == "24bit" {
        Well("all".into())
    } else if term.contains("256color") || term.contains("direct") {
        Well("256".into())
    } else {
        Well("16, or fewer; set COLORTERM=truecolor if the terminal has all".into())
    }
}

/// Two clocks that a session is timed by: the civil one and the one that runs through suspend.
fn clock() -> Finding {
    let now = ZonedDateTime::now();
    // The program is younger than this day, so a clock before it isn't set.
    if now.year() < 2025 {
        return Wrong(format!(
            "it says {}; set it",
            now.strftime("%Y-%m-%d %H:%M")
        ));
    }
    let says = now.strftime("%Y-%m-%d %H:%M");
    match now.time_zone().iana_name() {
        Some(zone) => Well(format!("{says}, {zone}")),
        None => Less(format!("{says}, but the time zone is not known; set TZ")),
    }
}

/// Writes a file where logs are kept, and takes it away again.
fn folder() -> Finding {
    let logs = match place::logs() {
        Ok(logs) => logs,
        Err(error) => return Wrong(error.to_string()),
    };
    let tried = std::fs::create_dir_all(&logs).and_then(|()| {
        use std::io::Write;
        let mut file = tempfile::NamedTempFile::new_in(&logs)?;
        file.write_all(&[b' '; 4096])?;
        file.as_file().sync_all()
    });
    match tried {
        Ok(()) => Well(format!("logs go to {}", logs.display())),
        Err(error) => Wrong(format!(
            "{}: {error}; make room, or name a file with --log",
            logs.display()
        )),
    }
}
