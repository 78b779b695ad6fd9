//! `mealtide review`: logs held against their plans, and what they teach.

mod screen;

use std::{io::IsTerminal, path::PathBuf};

use serde::Serialize;

use super::{Outcome, complain, learned, note, print, view};
use crate::{
    engine::{core::Record, replay::Player},
    live::{Event, Ms, Priority},
    log::{
        self,
        learn::{History, Learned, LearnedOven},
        place,
        review::{Review, review},
    },
    measure::hours::ClockFormat,
    menu::Session,
};

/// Which logs, and how they are shown.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Logs of sessions, one or more.
    #[arg(required = true, value_name = "LOG")]
    logs: Vec<PathBuf>,
    /// Print JSON.
    #[arg(long)]
    json: bool,
    /// Print the steps as WebVTT chapters, for a film of the evening; needs a single log.
    #[arg(long, conflicts_with = "json")]
    chapters: bool,
    /// Print lines of text instead of showing the evening on the screen.
    #[arg(long)]
    plain: bool,
    /// Do not add to the history that later plans learn from.
    #[arg(long)]
    no_learn: bool,
    /// Width of the timeline in columns; default: that of the terminal.
    #[arg(long, value_name = "COLUMNS", value_parser = clap::value_parser!(u16).range(40..=1000))]
    width: Option<u16>,
}

/// All that is printed.
#[derive(Serialize)]
struct Reviewed {
    reviews: Vec<Review>,
    lengths: Vec<Learned>,
    ovens: Vec<LearnedOven>,
}

/// Reviews the logs in the order given.
pub fn run(args: Args) -> Outcome {
    if args.chapters && args.logs.len() > 1 {
        return complain("--chapters needs a single log");
    }
    let mut evenings = Vec::new();
    let mut faults = Vec::new();
    for path in &args.logs {
        match look(path) {
            Ok(evening) => evenings.push(evening),
            Err(why) => faults.push(format!("{}: {why}", path.display())),
        }
    }
    if !faults.is_empty() {
        for fault in &faults {
            complain(fault);
        }
        return Outcome::Fault;
    }
    if args.chapters {
        let chapters: Vec<String> = evenings
            .iter()
            .map(|(review, _)| review.chapters())
            .collect();
        return print(&chapters.concat());
    }
    let history = if args.no_learn || !learned::wanted() {
        History::default()
    } else {
        learn(&evenings)
    };
    let reviewed = reviewed(&evenings, &history);
    let on_screen = view::possible() && !args.plain && args.width.is_none();
    if args.json {
        return match serde_json::to_string_pretty(&reviewed) {
            Ok(text) => print(&format!("{text}\n")),
            Err(error) => complain(&format!("cannot write the review as JSON: {error}")),
        };
    }
    if on_screen && let ([(review, session)], [path]) = (evenings.as_slice(), args.logs.as_slice())
    {
        return screen::show(review, session, calls(path), &learned_words(&reviewed));
    }
    print(&text(
        &reviewed,
        args.width.map_or_else(columns, usize::from),
    ))
}

fn look(path: &std::path::Path) -> Result<(Review, Session), String> {
    let reading = log::read::<Event>(path).map_err(|refusal| refusal.to_string())?;
    if let Some(flaw) = &reading.flaw {
        note(&format!(
            "{}: {flaw}; what stands before it is reviewed",
            path.display()
        ));
    }
    let Some(Event::Opened(opening)) = reading.records.first().map(|record| &record.event) else {
        return Err("its first record does not open a session".to_owned());
    };
    let session = opening.session.clone();
    let mut review = review(&reading.records).map_err(|why| why.to_string())?;
    review.hours = view::hours_of_the_user();
    Ok((review, session))
}

/// When calls fell due in a log that was reviewed, and how urgent they were.
fn calls(path: &std::path::Path) -> Vec<(Ms, Priority)> {
    let reading = log::read::<Event>(path).ok();
    let records = reading.into_iter().flat_map(|reading| reading.records);
    let records = records.map(|record| Record {
        at: record.ms,
        event: record.event,
    });
    Player::new(records.collect(), ClockFormat::default())
        .map_or_else(|_| Vec::new(), |player| player.marks().to_vec())
}

/// Adds the evenings to the user's history. That it cannot be kept is said, and spoils no review.
fn learn(evenings: &[(Review, Session)]) -> History {
    let path = match place::history() {
        Ok(path) => path,
        Err(_) => {
            note("there is no home folder to keep the history in: set HOME or XDG_DATA_HOME");
            return History::default();
        }
    };
    let mut history = match History::load(&path) {
        Ok(history) => history,
        Err(why) => {
            note(&why.to_string());
            return History::default();
        }
    };
    for (review, session) in evenings {
        history.add(review, session);
    }
    if let Err(why) = history.save(&path) {
        note(&why.to_string());
    }
    history
}

fn reviewed(evenings: &[(Review, Session)], history: &History) -> Reviewed {
    let (mut lengths, mut ovens) = (Vec::new(), Vec::new());
    for (_, session) in evenings {
        for learned in history.lengths(session) {
            if !lengths
                .iter()
                .any(|known: &Learned| known.step == learned.step)
            {
                lengths.push(learned);
            }
        }
        for learned in history.ovens(&session.kitchen) {
            if !ovens
                .iter()
                .any(|known: &LearnedOven| known.oven == learned.oven)
            {
                ovens.push(learned);
            }
        }
    }
    let reviews = evenings.iter().map(|(review, _)| review.clone()).collect();
    Reviewed {
        reviews,
        lengths,
        ovens,
    }
}

fn text(reviewed: &Reviewed, width: usize) -> String {
    let reviews: Vec<String> = reviewed
        .reviews
        .iter()
        .map(|review| review.text(width))
        .collect();
    let mut text = reviews.join("\n");
    let learned = learned_words(reviewed);
    if !learned.is_empty() {
        text.push_str("\nLearned, and used by the next plan\n\n");
        for line in learned {
            text.push_str(&format!("  {line}\n"));
        }
    }
    text
}

/// What the next plan uses of it, one a line.
fn learned_words(reviewed: &Reviewed) -> Vec<String> {
    let evenings = |count: usize| match count {
        1 => "1 evening".to_owned(),
        _ => format!("{count} evenings"),
    };
    let lengths = reviewed.lengths.iter();
    let lengths = lengths.map(|known| (known.step.to_string(), known.words(), known.evenings));
    let ovens = reviewed.ovens.iter();
    let ovens = ovens.map(|known| (known.oven.clone(), known.words(), known.evenings));
    lengths
        .chain(ovens)
        .map(|(what, words, count)| format!("{what}: {words} ({})", evenings(count)))
        .collect()
}

fn columns() -> usize {
    let terminal = std::io::stdout()
        .is_terminal()
        .then(crossterm::terminal::size);
    terminal
        .and_then(Result::ok)
        .map_or(80, |(columns, _)| usize::from(columns))
}
