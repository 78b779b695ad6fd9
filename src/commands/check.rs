//! `mealtide check`: what is wrong, unsafe, doubtful or too late in session, dish, kitchen, config, sounds and pantry files.

use std::io::IsTerminal;
use std::path::{Path, PathBuf};

use jiff::{Span, ZonedDateTime, civil::DateTime, tz::TimeZone};

use super::{Outcome, faults, print, view};
use crate::measure::{Ratio, duration};
use crate::menu::config::Config;
use crate::menu::files::read_bounded;
use crate::menu::shop::Pantry;
use crate::menu::sounds::Notes;
use crate::menu::{
    self, Diagnostics, FileKind, Loaded, Lookup, Moment, Place, Session, StepRef, builtin,
};
use crate::plan::{Options, Part, build, hopeless::hopeless};
use crate::safety;

/// Files to check.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Session, dish, kitchen, config, sounds or pantry files, or the name of a built-in session.
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// One line a finding: FILE:LINE:COLUMN: error or warning: what.
    #[arg(long)]
    brief: bool,
}

/// Reads every file, and prints everything that is found.
pub fn run(args: Args) -> Outcome {
    let lookup = Lookup::of_the_user();
    let mut outcome = Outcome::Well;
    let mut text = String::new();
    for path in &args.files {
        let found = check(path, &lookup);
        let (found, one) = match found {
            Ok(report) if report.bad => (report.found, Outcome::No),
            Ok(report) => (report.found, Outcome::Well),
            Err(found) => (found, Outcome::Fault),
        };
        outcome = worse(outcome, one);
        if one == Outcome::Fault {
            faults::tell(&found, args.brief);
        } else if found.list.is_empty() {
            text += &format!(
                "{}: nothing to say against it\n",
                menu::text::clean(&path.display().to_string())
            );
        } else {
            text += &faults::rendered(&found, args.brief, std::io::stdout().is_terminal());
        }
    }
    match print(&text) {
        Outcome::Well => outcome,
        failed => worse(outcome, failed),
    }
}

struct Report {
    found: Diagnostics,
    /// A step can never be on time, or somebody may be harmed.
    bad: bool,
}

fn check(path: &Path, lookup: &Lookup) -> Result<Report, Diagnostics> {
    let name = path.display().to_string();
    if !path.exists()
        && let Some(session) = builtin::find(&name)
    {
        return session.load().map(with_safety);
    }
    let bytes = read_bounded(path)
        .map_err(|why| Diagnostics::whole_file(&name, format!("can't be read: {why}")))?;
    let plain = |found| Report { found, bad: false };
    match menu::kind_of(&name, &bytes) {
        FileKind::Session => menu::load(path, lookup).map(with_safety),
        FileKind::Dish => menu::load_dish(&name, &bytes, None).map(|(_, found)| plain(found)),
        FileKind::Kitchen => menu::load_kitchen(&name, &bytes).map(|(_, found)| plain(found)),
        FileKind::Sounds => Notes::read(&name, &bytes).map(|_| plain(Diagnostics::default())),
        FileKind::Pantry => Pantry::read(&name, &bytes).map(|_| plain(Diagnostics::default())),
        FileKind::Config => {
            let config = Config::read(&name, &bytes)?;
            let wrong = view::wrong(&config).into_iter();
            let mut wrong = wrong.map(|why| Diagnostics::whole_file(&name, why));
            match wrong.next() {
                None => Ok(plain(Diagnostics::default())),
                Some(mut first) => {
                    first.list.extend(wrong.flat_map(|found| found.list));
                    Err(first)
                }
            }
        }
    }
}

/// Adds what could make somebody ill or hurt. Advice is for the live session, where the step is at hand.
fn with_safety(mut loaded: Loaded) -> Report {
    let findings = safety::lint(&loaded.session);
    let harmful = findings
        .iter()
        .any(|finding| finding.severity == safety::Severity::Unsafe);
    for finding in findings
        .iter()
        .filter(|finding| finding.severity != safety::Severity::Advice)
    {
        let sources: Vec<String> = finding.sources.iter().map(ToString::to_string).collect();
        loaded.warn(
            place(finding).as_ref(),
            format!("{}: {}", finding.severity, finding.words),
            &sources.join("; "),
        );
    }
    let report = never_on_time(loaded);
    Report {
        bad: report.bad || harmful,
        ..report
    }
}

/// What a finding is about: its step, its ingredient, or its dish.
fn place(finding: &safety::Finding) -> Option<Place> {
    let dish = finding.dish.clone()?;
    Some(match (&finding.step, &finding.ingredient) {
        (Some(step), _) => Place::Step(StepRef {
            dish,
            step: step.clone(),
        }),
        (None, Some(item)) => Place::Ingredient {
            dish,
            item: item.clone(),
        },
        (None, None) => Place::Dish(dish),
    })
}

/// Warns of each step that can't be on time, whenever the cook begins within 'start'.
fn never_on_time(mut loaded: Loaded) -> Report {
    let late = hopeless_steps(&loaded.session);
    for (step, ticks) in &late {
        let by = duration::print(Ratio::from_integer(i128::from(*ticks) * 30));
        loaded.warn(
            Some(&Place::Step(step.clone())),
            format!("the step '{step}' can never be on time: it ends {by} late at the earliest"),
            "begin earlier ('start'), promise later ('serve', 'gap'), or make it ahead",
        );
    }
    Report {
        bad: !late.is_empty(),
        found: loaded.warnings,
    }
}

/// Without `start` there is always an earlier hour to begin. What can't be planned at all, `plan` says.
fn hopeless_steps(session: &Session) -> Vec<(StepRef, i64)> {
    if session.start.is_none() {
        return Vec::new();
    }
    let options = Options {
        quantile: Ratio::new(1, 2),
        part: Part::Service,
    };
    let Some(built) = long_before(session).and_then(|now| build(session, &now, &options).ok())
    else {
        return Vec::new();
    };
    hopeless(&built.problem)
        .into_iter()
        .filter_map(|found| {
            let (dish, step) = *built.frame.places.get(found.step)?;
            let dish = session.dishes.get(dish)?;
            let step = StepRef {
                dish: dish.id.clone(),
                step: dish.steps.get(step)?.id.clone(),
            };
            Some((step, i64::from(found.late)))
        })
        .collect()
}

/// A moment before anybody could begin: what is found does not depend on when the file is checked.
fn long_before(session: &Session) -> Option<ZonedDateTime> {
    let moment = match session.serve {
        Moment::At(serve) => serve.checked_sub(Span::new().days(366)).ok()?,
        // Just after the clock showed it, so that the next time is a day away.
        Moment::Clock(time) => DateTime::constant(2026, 6, 1, 0, 0, 0, 0)
            .date()
            .to_datetime(time)
            .checked_add(Span::new().seconds(1))
            .ok()?,
    };
    TimeZone::UTC.to_zoned_datetime(moment).ok()
}

fn worse(a: Outcome, b: Outcome) -> Outcome {
    match (a, b) {
        (Outcome::Fault, _) | (_, Outcome::Fault) => Outcome::Fault,
        (Outcome::No, _) | (_, Outcome::No) => Outcome::No,
        _ => Outcome::Well,
    }
}
