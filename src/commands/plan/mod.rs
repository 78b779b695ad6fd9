//! `mealtide plan`: the timetable of a session, proven best where there is time for the proof.

mod calendar;
pub(super) mod make;
mod search;

use std::io::IsTerminal;

use jiff::ZonedDateTime;

use self::make::Plan;
use super::{Outcome, complain, learned, print, source, values};
use crate::{
    measure::{Ratio, units::Units},
    menu::{Lookup, Session, StepRef, config::Config, prepare},
    plan::{
        Part, forecast::Forecast, json, knobs, markdown, text, timeline, timetable::Timetable, why,
    },
};

/// What to plan, and how to print it.
#[derive(Debug, clap::Args)]
#[group(skip)]
pub struct Args {
    #[command(flatten)]
    source: source::Args,
    /// Print JSON; moments and lengths are ticks of 30 seconds from 'zero'.
    #[arg(long, group = "form")]
    json: bool,
    /// Print a run sheet in Markdown, for one page.
    #[arg(long, group = "form")]
    markdown: bool,
    /// Print a calendar (iCalendar, RFC 5545) with an alarm at every call.
    #[arg(long, group = "form")]
    ics: bool,
    /// Print the timeline alone.
    #[arg(long, group = "form")]
    timeline: bool,
    /// Print what to prepare: what to get out and when, cookware, ingredients, the order at the board.
    #[arg(long, group = "form")]
    prep: bool,
    /// Say why a step is when it is.
    #[arg(long, group = "form", value_name = "DISH/STEP")]
    why: Option<StepRef>,
    /// Plan what is made ahead of the day.
    #[arg(long)]
    ahead: bool,
    /// Plan as if it were this moment: "18:00", "2026-12-21 18:00", RFC 3339.
    #[arg(long, value_name = "TIME")]
    now: Option<String>,
    /// Where in its range each step's length is taken: 0 the shortest, 1 the longest [default: 0.5].
    #[arg(long, value_name = "Q", value_parser = values::share, conflicts_with = "sure")]
    quantile: Option<Ratio>,
    /// Plan so that this share of dinners is on time: "90 %".
    #[arg(long, value_name = "P", value_parser = values::share)]
    sure: Option<Ratio>,
    /// Search for at most so many seconds.
    #[arg(long, value_name = "S", value_parser = values::seconds, default_value = "5")]
    seconds: f64,
    /// Show the other system beside the author's units [default: as in the config].
    #[arg(long, value_enum)]
    units: Option<Units>,
    /// How many columns to use [default: the terminal's, or 100].
    #[arg(long, value_name = "COLUMNS", value_parser = clap::value_parser!(u16).range(40..=1000))]
    width: Option<u16>,
}

/// Plans, prints, and says whether everything is on time.
pub fn run(args: Args) -> Outcome {
    let mut session = match args.source.read() {
        Ok(source) => source.session,
        Err(outcome) => return outcome,
    };
    let learned = learned::apply(&mut session);
    let clock = ZonedDateTime::now();
    let now = match args
        .now
        .as_deref()
        .map_or(Ok(clock.clone()), |text| values::moment(text, &clock))
    {
        Ok(now) => now,
        Err(words) => return complain(&format!("--now: {words}")),
    };
    match plan(&session, &now, &args, &learned) {
        Ok((text, good)) => match print(&text) {
            Outcome::Well if !good => Outcome::No,
            outcome => outcome,
        },
        Err(words) => {
            for word in &words {
                complain(word);
            }
            Outcome::Fault
        }
    }
}

/// What is printed, and whether everything is on time.
fn plan(
    session: &Session,
    now: &ZonedDateTime,
    args: &Args,
    learned: &[String],
) -> Result<(String, bool), Vec<String>> {
    let wish = make::Wish {
        part: if args.ahead {
            Part::Ahead
        } else {
            Part::Service
        },
        quantile: args.quantile,
        sure: args
            .sure
            .or(session.sure.filter(|_| args.quantile.is_none())),
        seconds: args.seconds,
        shown: true,
    };
    let user = how_the_user_reads();
    let mut plan = make::make(session, now, &wish)?;
    plan.built.frame.hours = user.hours();
    let turns = knobs::turns(&plan.built.problem, &plan.solution.schedule, &[]);
    let table = Timetable {
        session,
        built: &plan.built,
        solution: &plan.solution,
        turns: &turns,
        units: args.units.unwrap_or(user.units),
    };
    let text = if let Some(step) = &args.why {
        told(&table, step).map_err(|words| vec![words])?
    } else if args.json {
        let document = json::document(
            &table,
            plan.solve_ms,
            make::remedies(session, now, &wish, &plan),
        );
        let mut text = as_json(&document, learned).map_err(|e| vec![e.to_string()])?;
        text.push('\n');
        text
    } else if args.markdown {
        markdown::markdown(&table)
    } else if args.ics {
        let written = calendar::calendar(&table, ZonedDateTime::now().timestamp()).write();
        written.map_err(|faults| faults.iter().map(|f| format!("{f:?}")).collect::<Vec<_>>())?
    } else if args.timeline {
        timeline::timeline(&table, width(args))
    } else if args.prep {
        prep(&table)
    } else {
        let remedies = make::remedies(session, now, &wish, &plan);
        let mut text = full(&table, &plan, &remedies, width(args));
        if !learned.is_empty() {
            text.push_str("\nPlanned with what past evenings here have taught\n");
            text.extend(learned.iter().map(|words| format!("  {words}\n")));
        }
        text
    };
    Ok((text, table.good()))
}

/// The timetable, the timeline below it, and how it will go.
fn full(table: &Timetable, plan: &Plan, remedies: &[json::Remedy], width: usize) -> String {
    let mut out = text::timetable(table, remedies, width);
    out.push('\n');
    out.push_str(&timeline::timeline(table, width));
    if let Some(forecast) = &plan.forecast {
        out.push('\n');
        out.push_str(&prospects(table, forecast, plan.sure));
    }
    out
}

/// The forecast in a few lines.
fn prospects(table: &Timetable, forecast: &Forecast, sure: Option<(Ratio, bool)>) -> String {
    let mut out = String::new();
    let percent = |share: f64| format!("{:.0} %", 100.0 * share);
    let quantile = table.built.frame.quantile;
    match sure {
        Some((_, true)) => out.push_str(&format!(
            "Planned with lengths at {} of their ranges, to be as sure as asked.\n",
            of_range(quantile)
        )),
        Some((wanted, false)) => out.push_str(&format!(
            "No quantile makes {} of dinners be on time; this plan comes nearest.\n",
            of_range(wanted)
        )),
        None => {}
    }
    out.push_str(&format!(
        "Of {} simulated dinners {} have every course within 5 minutes of its promise.\n",
        forecast.dinners,
        percent(forecast.on_time)
    ));
    for (name, course) in table.built.frame.courses.iter().zip(&forecast.courses) {
        let minutes = |ms: f64| format!("{:.0} min", ms / 60_000.0);
        out.push_str(&format!(
            "  {name}: on time in {}, {} late on average, in nine of ten at most {}.\n",
            percent(course.on_time),
            minutes(course.late_ms),
            minutes(course.late_90_ms as f64),
        ));
    }
    if let Some((step, share)) = forecast.blame {
        out.push_str(&format!(
            "Most to blame for lateness: {} ({} of it).\n",
            table.built.frame.steps[step],
            percent(share)
        ));
    }
    out
}

/// "70 %".
fn of_range(share: Ratio) -> String {
    format!(
        "{} %",
        crate::measure::print::decimal(share * Ratio::from_integer(100), 1)
    )
}

/// Why a step is when it is, or what the step could have been meant to be.
fn told(table: &Timetable, step: &StepRef) -> Result<String, String> {
    let frame = &table.built.frame;
    if let Some(index) = frame.index(step) {
        return Ok(why::why(table, index).join("\n") + "\n");
    }
    let elsewhere = table
        .session
        .dishes
        .iter()
        .any(|d| d.id == step.dish && d.steps.iter().any(|s| s.id == step.step));
    if elsewhere {
        let word = if frame.part == Part::Ahead {
            "on the day: leave out --ahead"
        } else {
            "ahead of the day: add --ahead"
        };
        return Err(format!("step '{step}' is done {word}"));
    }
    let near = frame.steps.iter().map(ToString::to_string);
    let near = near.max_by(|a, b| {
        let like = |s: &str| strsim::jaro_winkler(s, &step.to_string());
        like(a).total_cmp(&like(b))
    });
    let hint = near.map_or(String::new(), |near| format!(": did you mean '{near}'?"));
    Err(format!("there is no step '{step}' in this plan{hint}"))
}

/// The plan as JSON, with what it has learned from past evenings if it has: `learned`, one text each.
fn as_json(document: &json::Document, learned: &[String]) -> serde_json::Result<String> {
    if learned.is_empty() {
        return serde_json::to_string_pretty(document);
    }
    let mut value = serde_json::to_value(document)?;
    if let Some(object) = value.as_object_mut() {
        object.insert("learned".to_owned(), learned.into());
    }
    serde_json::to_string_pretty(&value)
}

/// How the user wants amounts and clock times shown. A config with faults is told of where it is used; here the sample
/// holds.
fn how_the_user_reads() -> Config {
    Config::of_the_user(&Lookup::of_the_user()).unwrap_or_default()
}

/// What to prepare, by the clock of the plan.
fn prep(table: &Timetable) -> String {
    let frame = &table.built.frame;
    let start = |dish: usize, step: usize| {
        let index = frame
            .places
            .iter()
            .position(|&place| place == (dish, step))?;
        Some(i64::from(table.start(index)) * 30)
    };
    let sheet = prepare::sheet(table.session, &start, table.units);
    // The cook prepares by the minute; what the plan begins half a minute later is ready then.
    let clock = |seconds: i64| {
        let at = frame.at_ms(seconds.saturating_mul(1000));
        let whole = seconds.saturating_sub(i64::from(at.second()));
        frame.clock(&frame.at_ms(whole.saturating_mul(1000)))
    };
    prepare::text(&sheet, &clock)
}

/// The columns to use.
fn width(args: &Args) -> usize {
    let terminal = || {
        let shown = std::io::stdout().is_terminal();
        shown
            .then(crossterm::terminal::size)
            .and_then(Result::ok)
            .map(|(columns, _)| columns.clamp(40, 1000))
    };
    args.width.or_else(terminal).unwrap_or(100).into()
}
