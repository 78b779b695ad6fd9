//! `mealtide sound`: what the calls sound like, and by which way.

use std::{
    io::{IsTerminal, Write},
    path::PathBuf,
    thread,
    time::Duration,
};

use clap::ValueEnum;

use super::{Outcome, faults, print, view};
use crate::{
    alert::{
        self, AlertConfig, Announcement, Audition, Heard, Notes, Pattern, Priority, Way,
        terminal::BEL,
    },
    menu::{Diagnostics, files},
};

/// Between two sounds, so that the ear takes them for two.
const PAUSE: Duration = Duration::from_millis(700);

/// A way of reaching the cook, on the command line.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum WayName {
    /// A PulseAudio or PipeWire server.
    Server,
    /// The sound device itself.
    Device,
    /// A program that plays a file.
    Player,
    /// The terminal's bell.
    Bell,
    /// A desktop notification.
    Notification,
    /// The system's voice.
    Speech,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum PriorityName {
    Low,
    Medium,
    High,
}

/// What to play.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Say what there is and what it means; play nothing.
    #[arg(long)]
    list: bool,
    /// Use this way alone.
    #[arg(long, value_enum)]
    way: Option<WayName>,
    /// Play this priority alone.
    #[arg(long, value_enum)]
    priority: Option<PriorityName>,
    /// Play each so many times, rising as a call does that nobody answers.
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=1000))]
    repeat: u32,
    /// Read the notes from a file, to try them.
    #[arg(long, value_name = "FILE")]
    notes: Option<PathBuf>,
}

/// Plays each priority with its meaning, and says by which way.
pub fn run(args: Args) -> Outcome {
    let mut config = match view::config().map(|config| AlertConfig::of_the_user(&config.alert)) {
        Ok(Ok(config)) => config,
        Ok(Err(found)) => return faults::tell(&found, false),
        Err(outcome) => return outcome,
    };
    if let Some(path) = &args.notes {
        let name = path.display().to_string();
        let notes = files::read_bounded(path)
            .map_err(|why| Diagnostics::whole_file(&name, format!("can't be read: {why}")))
            .and_then(|bytes| Notes::read(&name, &bytes));
        match notes {
            Ok(notes) => config.notes = notes,
            Err(found) => return faults::tell(&found, false),
        }
    }
    config.only = args.way.map(way);
    let priorities = match args.priority.map(priority) {
        Some(priority) => vec![priority],
        None => vec![Priority::Low, Priority::Medium, Priority::High],
    };
    if args.list {
        return print(&list(&config, &priorities));
    }
    play(config, &priorities, args.repeat)
}

fn play(config: AlertConfig, priorities: &[Priority], repeat: u32) -> Outcome {
    let notes = config.notes.clone();
    let only = config.only;
    let mut audition = Audition::start(config);
    let mut outcome = Outcome::Well;
    let sounds = priorities
        .iter()
        .flat_map(|&priority| (0..repeat).map(move |round| (priority, round)));
    for (number, (priority, round)) in sounds.enumerate() {
        if number > 0 {
            thread::sleep(PAUSE);
        }
        let pattern = notes.of(priority);
        if print(&format!("{}\n", line(priority, pattern))) != Outcome::Well {
            return Outcome::Fault;
        }
        let heard = audition.hear(Announcement {
            id: number.to_string(),
            priority,
            sentence: pattern.meaning.clone(),
            title: format!("A call of {} priority", name(priority)),
            count: 1,
            repeat: round,
            late: 0,
        });
        let rung = !heard.ways.contains(&Way::Bell) || ring();
        let sounded = heard.ways.iter().any(|&way| way != Way::Bell || rung);
        if !sounded || only.is_some_and(|only| !heard.ways.contains(&only)) {
            outcome = Outcome::No;
        }
        if print(&ways(&heard, rung)) != Outcome::Well {
            return Outcome::Fault;
        }
    }
    // One announcement takes the place of the one before; the last one goes with its answer.
    let last = priorities.len() * repeat as usize;
    audition.answer(&last.saturating_sub(1).to_string());
    outcome
}

/// Rings the terminal's bell, where one of the streams is a terminal.
fn ring() -> bool {
    let out = std::io::stdout();
    if out.is_terminal() {
        return write!(out.lock(), "{BEL}")
            .and_then(|()| out.lock().flush())
            .is_ok();
    }
    let error = std::io::stderr();
    error.is_terminal() && write!(error.lock(), "{BEL}").is_ok()
}

fn ways(heard: &Heard, rung: bool) -> String {
    let mut text = String::new();
    for way in &heard.ways {
        let not = if *way == Way::Bell && !rung {
            ": there is no terminal to ring it"
        } else {
            ""
        };
        text += &format!("        by {}{not}\n", way.words());
    }
    for (way, why) in &heard.failed {
        text += &format!("        not by {}: {why}\n", way.words());
    }
    if text.is_empty() {
        text = "        by no way at all\n".into();
    }
    text
}

fn list(config: &AlertConfig, priorities: &[Priority]) -> String {
    let mut text = String::new();
    for &priority in priorities {
        text += &format!("{}\n", line(priority, config.notes.of(priority)));
    }
    text.push('\n');
    for (way, found) in alert::sound_ways(&config.surroundings) {
        let what = found.unwrap_or_else(|missing| format!("missing: {missing}"));
        text += &format!("{:<13} {what}\n", way.name());
    }
    let voices = alert::speakers(config.speech_command.as_deref(), &config.surroundings);
    let names: Vec<&str> = voices.iter().map(alert::Speaker::name).collect();
    let voices = if names.is_empty() {
        "missing: no voice is installed".into()
    } else {
        names.join(", ")
    };
    text + &format!("{:<13} {voices}\n", Way::Speech.name())
}

fn line(priority: Priority, pattern: &Pattern) -> String {
    let pulses = pattern.onsets_ms().len();
    let seconds = pattern.total_ms() as f64 / 1000.0;
    let pitch = pattern.pitch_hz;
    format!(
        "{:<7} {pulses} pulses at {pitch:.0} Hz, {seconds:.1} s: {}",
        name(priority),
        alert::tame(&pattern.meaning)
    )
}

fn name(priority: Priority) -> &'static str {
    match priority {
        Priority::Low => "low",
        Priority::Medium => "medium",
        Priority::High => "high",
    }
}

fn priority(name: PriorityName) -> Priority {
    match name {
        PriorityName::Low => Priority::Low,
        PriorityName::Medium => Priority::Medium,
        PriorityName::High => Priority::High,
    }
}

fn way(name: WayName) -> Way {
    match name {
        WayName::Server => Way::Server,
        WayName::Device => Way::Device,
        WayName::Player => Way::Player,
        WayName::Bell => Way::Bell,
        WayName::Notification => Way::Desktop,
        WayName::Speech => Way::Speech,
    }
}
