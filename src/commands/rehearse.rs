//! `mealtide rehearse`: a session cooked by a simulated cook in virtual time.

use std::path::PathBuf;

use super::{Outcome, complain, print, source, timing};
use crate::{
    engine::{
        core::{Effort, Record},
        rehearse::{Manner, Rehearsed, rehearse},
    },
    live::{Event, Ms, Opening, State, words},
    log::{Stamped, Writer, Written},
    plan::{frame::Part, solver::Search},
};

/// A dinner is on time when every course is served within this long of its promise.
const ON_TIME: Ms = 5 * 60_000;

/// What to rehearse.
#[derive(Debug, clap::Args)]
pub struct Args {
    #[command(flatten)]
    source: source::Args,
    #[command(flatten)]
    timing: timing::Args,
    /// The seed of the simulated cook: the same seed, the same dinner.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// How many dinners, with the seed and those after it.
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=100_000))]
    dinners: u32,
    /// Rehearse what is made ahead.
    #[arg(long)]
    ahead: bool,
    /// Write the log of the dinner to a file, to be replayed.
    #[arg(long, value_name = "FILE", conflicts_with = "dinners")]
    log: Option<PathBuf>,
    /// Print JSON.
    #[arg(long)]
    json: bool,
}

/// Rehearses, and says how it went.
pub fn run(args: Args) -> Outcome {
    let part = if args.ahead {
        Part::Ahead
    } else {
        Part::Service
    };
    let opening = args
        .source
        .read()
        .and_then(|source| args.timing.open(&source.session, part));
    let opening = match opening {
        Ok(opening) => opening,
        Err(outcome) => return outcome,
    };
    let mut dinners = Vec::new();
    for seed in args.seed..args.seed.saturating_add(u64::from(args.dinners)) {
        let effort = Effort::default();
        match rehearse(
            opening.clone(),
            Search::new(),
            effort,
            Manner::default(),
            seed,
        ) {
            Ok(dinner) => dinners.push((seed, dinner)),
            Err(error) => return complain(&format!("seed {seed}: {error}")),
        }
    }
    if let (Some(path), Some((_, dinner))) = (&args.log, dinners.first())
        && let Err(error) = keep(path, &opening, dinner)
    {
        return complain(&format!("{}: {error}", path.display()));
    }
    let late = dinners
        .iter()
        .any(|(_, dinner)| lateness(&dinner.state) > ON_TIME);
    let text = match (args.json, dinners.as_slice()) {
        (true, all) => json(all),
        (false, [(seed, dinner)]) => story(*seed, dinner),
        (false, all) => table(all),
    };
    match print(&text) {
        Outcome::Well if late => Outcome::No,
        outcome => outcome,
    }
}

/// The lateness of the latest course, in ms.
fn lateness(state: &State) -> Ms {
    let courses = state.courses.iter().zip(&state.script.courses);
    courses
        .filter_map(|(course, script)| Some(course.served? - script.promised))
        .max()
        .unwrap_or(0)
}

fn keep(path: &std::path::Path, opening: &Opening, dinner: &Rehearsed) -> Result<(), String> {
    let mut writer = Writer::create(path, &opening.opened).map_err(|error| error.to_string())?;
    let stamp = |record: &Record| Stamped {
        at: dinner.state.clock(record.at),
        ms: record.at,
        event: record.event.clone(),
    };
    let batch: Vec<Stamped<Event>> = dinner.records.iter().map(stamp).collect();
    match writer.append(&batch).wait() {
        Written::Synced => Ok(()),
        _ => Err(format!("it can't be written: {:?}", writer.health())),
    }
}

/// One dinner, told in order.
fn story(seed: u64, dinner: &Rehearsed) -> String {
    let state = &dinner.state;
    let mut text = format!("{}, seed {seed}\n\n", state.script.session.title);
    for record in &dinner.records {
        let line = match &record.event {
            Event::Begun { step, .. } => format!("begin    {step}"),
            Event::Done { step } => format!("done     {step}"),
            Event::Extended { step, by } => format!("longer   {step}, {}", words::span(*by)),
            Event::Skipped { step } => format!("left out {step}"),
            Event::OvenSet { oven, to } => format!("oven     {oven} {}", words::setting(to)),
            Event::Served { course } => format!("serve    {}", state.script.courses[*course].name),
            Event::Undone => "undo".to_owned(),
            _ => continue,
        };
        text += &format!(
            "{}  {line}\n",
            state.clock(record.at).strftime("%a %H:%M:%S")
        );
    }
    text += "\n";
    for (course, script) in state.courses.iter().zip(&state.script.courses) {
        let served = course.served.unwrap_or_default();
        text += &format!(
            "{}: promised {}, served {}\n",
            script.name,
            state.clock(script.promised).strftime("%H:%M"),
            state.clock(served).strftime("%H:%M:%S"),
        );
    }
    text += &format!("{} calls sounded\n", dinner.rings.len());
    text
}

/// Many dinners: how many were on time, and how late the others.
fn table(dinners: &[(u64, Rehearsed)]) -> String {
    let mut late: Vec<Ms> = dinners
        .iter()
        .map(|(_, dinner)| lateness(&dinner.state))
        .collect();
    late.sort_unstable();
    let on_time = late.iter().filter(|&&late| late <= ON_TIME).count();
    let at = |share: usize| {
        late.get((late.len() * share / 100).min(late.len() - 1))
            .copied()
            .unwrap_or(0)
    };
    let told = |late: Ms| {
        if late > 0 {
            words::span(late)
        } else {
            "0 s".into()
        }
    };
    format!(
        "{} dinners, seeds {} to {}: {} on time ({} %)\nlateness of the latest course: median {}, 90 % {}, worst {}\n",
        dinners.len(),
        dinners.first().map_or(0, |(seed, _)| *seed),
        dinners.last().map_or(0, |(seed, _)| *seed),
        on_time,
        on_time * 100 / dinners.len().max(1),
        told(at(50)),
        told(at(90)),
        told(at(100)),
    )
}

fn json(dinners: &[(u64, Rehearsed)]) -> String {
    let dinner = |(seed, dinner): &(u64, Rehearsed)| {
        let state = &dinner.state;
        let courses = state
            .courses
            .iter()
            .zip(&state.script.courses)
            .map(|(course, script)| {
                let late = course
                    .served
                    .map(|served| (served - script.promised) as f64 / 60_000.0);
                serde_json::json!({ "name": script.name, "late_min": late })
            });
        let steps = state.steps.iter().zip(&state.script.steps).map(|(step, script)| {
            serde_json::json!({ "step": script.name, "begun_ms": step.begun, "ended_ms": step.ended })
        });
        serde_json::json!({
            "seed": seed,
            "on_time": lateness(state) <= ON_TIME,
            "courses": courses.collect::<Vec<_>>(),
            "steps": steps.collect::<Vec<_>>(),
            "events": dinner.records.len(),
            "calls": dinner.rings.len(),
        })
    };
    let all: Vec<serde_json::Value> = dinners.iter().map(dinner).collect();
    format!("{:#}\n", serde_json::Value::Array(all))
}
