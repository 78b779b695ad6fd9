//! The program without a subcommand: the sessions at hand, to choose from.

use std::{
    fs, io,
    path::{Path, PathBuf},
};

use jiff::ZonedDateTime;

use super::{Outcome, complain, cook, learned, timing, view};
use crate::{
    engine::core::{Core, Effort},
    live::{Event, Ms, Opening, words},
    log::{self, place::Unfinished},
    measure::{Ratio, hours::ClockFormat},
    menu::{self, Lookup, Session, builtin},
    plan::{Part, solver::Search},
    screen::{
        chooser::{self, Chooser, Chosen, Entry, Source},
        keys::Place,
        plan_view,
    },
};

/// A search for the first start of a session looks no further than a first plan.
const GLANCE: Effort = Effort { first: 1, again: 1 };

/// No more files than this are looked at in a folder.
const FILES: usize = 200;

/// What stands behind an entry.
enum Behind {
    Log(PathBuf),
    Session(Box<Session>),
    Nothing,
}

/// Shows the chooser, and cooks what is chosen.
pub fn run(virtual_time: bool, timing: &timing::Args) -> Outcome {
    choose(virtual_time, timing).unwrap_or_else(|outcome| outcome)
}

fn choose(virtual_time: bool, timing: &timing::Args) -> Result<Outcome, Outcome> {
    let now = timing.now()?;
    let config = view::config()?;
    let (entries, behind) = gather(&now, !virtual_time, config.hours());
    let first_run = log::place::logs().map_or(true, |folder| !folder.exists());
    let (order, entries): (Vec<usize>, Vec<Entry>) = unfinished_first(entries);
    let mut chooser = Chooser::new(entries, first_run, now);
    let chosen = {
        let mut look = view::View::open(&config, Place::List)?;
        pick(&mut chooser, &mut look, |i| match &behind[order[i]] {
            Behind::Session(session) => Some(open(session, timing)),
            _ => None,
        })
        .map_err(|error| complain(&format!("the terminal: {error}")))?
    };
    let Some(chosen) = chosen else {
        return Ok(Outcome::Well);
    };
    match &behind[order[chosen]] {
        Behind::Log(path) => Ok(cook::again(path, virtual_time)),
        Behind::Session(session) => {
            let draft = || timing.draft(session, Part::Service);
            Ok(cook::anew(draft, virtual_time))
        }
        Behind::Nothing => Ok(Outcome::Fault),
    }
}

/// The chooser puts unfinished sessions first; so that positions stay known, it is given them so.
fn unfinished_first(entries: Vec<Entry>) -> (Vec<usize>, Vec<Entry>) {
    let mut all: Vec<(usize, Entry)> = entries.into_iter().enumerate().collect();
    all.sort_by_key(|(_, entry)| !matches!(entry.source, Source::Unfinished(_)));
    all.into_iter().unzip()
}

/// Lets the cook choose; `None`: leave.
fn pick(
    chooser: &mut Chooser,
    look: &mut view::View,
    plan: impl Fn(usize) -> Option<Result<Core<Search>, Outcome>>,
) -> io::Result<Option<usize>> {
    loop {
        match look.ask(chooser, chooser::paint, Chooser::on_event)? {
            None => return Ok(None),
            Some(Chosen::Cook(i)) => return Ok(Some(i)),
            Some(Chosen::Plan(i)) => {
                look.ui.message = Some(("making the plan".to_owned(), Ms::MAX));
                look.draw(|buffer, ui| chooser::paint(buffer, chooser, ui))?;
                let planned = plan(i);
                look.ui.message = None;
                if let Some(Ok(core)) = planned
                    && show_plan(&core, look)?
                {
                    return Ok(Some(i));
                }
            }
        }
    }
}

/// Shows a plan on the whole screen; says whether it is to be cooked.
fn show_plan(core: &Core<Search>, look: &mut view::View) -> io::Result<bool> {
    let board = core.state().board(0, look.units);
    look.page(plan_view::last_row(&board), |buffer, ui, first| {
        plan_view::paint(buffer, &board, ui, first)
    })
}

fn open(session: &Session, timing: &timing::Args) -> Result<Core<Search>, Outcome> {
    let opening = timing.open(session, Part::Service)?;
    Core::open(opening, Search::new(), Effort::default())
        .map_err(|error| complain(&error.to_string()))
}

/// All that is at hand: unfinished logs, built-in sessions, session files here and in `sessions`.
fn gather(now: &ZonedDateTime, learns: bool, hours: ClockFormat) -> (Vec<Entry>, Vec<Behind>) {
    let mut all: Vec<(Entry, Behind)> = Vec::new();
    for unfinished in log::place::logs()
        .ok()
        .and_then(|folder| {
            log::place::unfinished(&folder, |event: &Event| *event == Event::Closed).ok()
        })
        .unwrap_or_default()
    {
        all.extend(left(&unfinished, hours));
    }
    for session in builtin::SESSIONS {
        if let Ok(loaded) = session.load() {
            all.push(at_hand(loaded.session, Source::BuiltIn, now, learns));
        }
    }
    for path in files() {
        all.push(file(&path, now, learns));
    }
    all.into_iter().unzip()
}

fn left(unfinished: &Unfinished<Event>, hours: ClockFormat) -> Option<(Entry, Behind)> {
    let Event::Opened(opening) = &unfinished.first.event else {
        return None;
    };
    let mut entry = entry(
        &opening.session,
        Source::Unfinished(format!(
            "left at {} {}",
            unfinished.last.at.strftime("%a"),
            hours.words(unfinished.last.at.time())
        )),
    );
    if unfinished.held.is_some() {
        entry.troubles.push("another mealtide has it open".into());
        entry.broken = true;
    }
    if let Some(flaw) = &unfinished.flaw {
        entry
            .troubles
            .push(format!("the end of its log is damaged: {flaw}"));
    }
    Some((entry, Behind::Log(unfinished.path.clone())))
}

fn entry(session: &Session, source: Source) -> Entry {
    let title = |id: &String| {
        session
            .dishes
            .iter()
            .find(|dish| dish.id == *id)
            .map(|dish| dish.title.as_str())
    };
    let course = |course: &menu::Course| {
        let dishes: Vec<&str> = course.dishes.iter().filter_map(title).collect();
        format!("{}: {}", course.name, dishes.join(", "))
    };
    Entry {
        title: session.title.clone(),
        source,
        guests: Some(session.guests),
        courses: session.courses.iter().map(course).collect(),
        serve: None,
        begin: None,
        troubles: Vec::new(),
        notes: Vec::new(),
        broken: false,
    }
}

/// A session that was read, with its first start as of now; with what past evenings taught, if it learns.
fn at_hand(
    mut session: Session,
    source: Source,
    now: &ZonedDateTime,
    learns: bool,
) -> (Entry, Behind) {
    // A trial in virtual time is the same for every cook.
    let learned = if learns {
        learned::apply(&mut session)
    } else {
        Vec::new()
    };
    let session = &session;
    let mut entry = entry(session, source);
    let opening = Opening {
        program: String::new(),
        session: session.clone(),
        part: Part::Service,
        quantile: Ratio::new(1, 2),
        opened: now.clone(),
    };
    match Core::open(opening, Search::new(), GLANCE) {
        Ok(core) => {
            let state = core.state();
            entry.begin = state.first_moment().map(|at| state.clock(at));
            let courses = &state.script.courses;
            entry.serve = courses.first().map(|course| state.clock(course.promised));
            let served = state
                .plan
                .iter()
                .flat_map(|plan| &plan.served)
                .map(|&tick| state.script.ms(tick));
            let late = served
                .zip(courses)
                .map(|(served, course)| served - course.promised)
                .max()
                .unwrap_or(0);
            if late > 0 {
                entry
                    .troubles
                    .push(format!("begun now, it is {} late", words::span(late)));
            }
        }
        Err(error) => {
            entry.troubles.push(error.to_string());
            entry.broken = true;
        }
    }
    for dish in session
        .dishes
        .iter()
        .filter(|dish| session.ahead.contains(&dish.id))
    {
        let title = &dish.title;
        entry.notes.push(format!("made ahead of the day: {title}"));
    }
    entry.notes.extend(learned);
    (entry, Behind::Session(Box::new(session.clone())))
}

fn file(path: &Path, now: &ZonedDateTime, learns: bool) -> (Entry, Behind) {
    let source = Source::File(path.display().to_string());
    match menu::load(path, &Lookup::of_the_user()) {
        Ok(loaded) => at_hand(loaded.session, source, now, learns),
        Err(faults) => {
            let entry = Entry {
                title: path
                    .file_name()
                    .map_or_else(String::new, |name| name.to_string_lossy().into_owned()),
                source,
                guests: None,
                courses: Vec::new(),
                serve: None,
                begin: None,
                troubles: vec![
                    faults
                        .brief()
                        .lines()
                        .next()
                        .unwrap_or("it can't be read")
                        .to_owned(),
                ],
                notes: Vec::new(),
                broken: true,
            };
            (entry, Behind::Nothing)
        }
    }
}

/// Session files here and in `sessions`, less those that are built in. What names no course is none.
fn files() -> Vec<PathBuf> {
    let mut found = Vec::new();
    for folder in [Path::new("."), Path::new("sessions")] {
        let entries = fs::read_dir(folder)
            .into_iter()
            .flatten()
            .flatten()
            .take(FILES);
        let paths = entries
            .map(|entry| entry.path())
            .filter(|path| path.extension().is_some_and(|end| end == "toml"));
        for path in paths {
            let Ok(bytes) = menu::files::read_bounded(&path) else {
                continue;
            };
            let text = String::from_utf8_lossy(&bytes);
            let known = builtin::SESSIONS.iter().any(|session| session.text == text);
            if text.contains("[[course]]") && !known {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}
