//! A session is opened, or taken up again.

use std::path::Path;

use jiff::ZonedDateTime;

use super::clocks;
use crate::{
    commands::{Outcome, complain, timing::Draft, view},
    engine::{
        clock::{Anchor, Real, anchor},
        core::{Core, Effort, Record},
    },
    live::{Event, Ms},
    log::{self, OpenError, Writer},
    plan::solver::Search,
};

/// A session that is about to run.
pub struct Begun {
    /// The session.
    pub core: Core<Search>,
    /// Its log.
    pub log: Option<Writer<Event>>,
    /// Session-clock time.
    pub now: Ms,
    /// Civil time at session-clock 0.
    pub opened: ZonedDateTime,
    /// How the session was opened, while it isn't known how to be as sure as it asks to be.
    pub draft: Option<Draft>,
    /// What is to be said of the log before anything else.
    pub told: Option<String>,
}

impl Begun {
    /// Finds how to be as sure as the session asks to be, and plans for it. Nothing has happened or was logged yet.
    pub fn settle(&mut self) {
        let Some(draft) = self.draft.take() else {
            return;
        };
        // The plan that is there is kept where there is no other.
        if let Ok(core) = Core::open(draft.settled(), Search::new(), Effort::default()) {
            self.core = core;
        }
    }
}

/// Opens a session and its log.
pub fn open(draft: Draft, log: Option<&Path>, virtual_time: bool) -> Result<Begun, Outcome> {
    let Draft { opening, settled } = draft;
    let title = opening.session.title.clone();
    let opened = opening.opened.clone();
    let draft = (!settled).then(|| Draft {
        opening: opening.clone(),
        settled,
    });
    let core = Core::open(opening, Search::new(), Effort::default())
        .map_err(|error| complain(&error.to_string()))?;
    let log = match log {
        Some(path) => Some(create(path, &opened)?),
        // A trial in virtual time leaves nothing behind unless it is told to.
        None if virtual_time => None,
        None => {
            let folder = log::place::logs().map_err(|error| complain(&error.to_string()))?;
            Some(create(
                &log::place::fresh(&folder, &title, &opened),
                &opened,
            )?)
        }
    };
    Ok(Begun {
        core,
        log,
        now: 0,
        opened,
        draft,
        told: None,
    })
}

/// A log that can't be created is kept in memory until it can.
fn create(path: &Path, now: &ZonedDateTime) -> Result<Writer<Event>, Outcome> {
    let told = |error: &dyn std::fmt::Display| complain(&format!("{}: {error}", path.display()));
    match Writer::create(path, now) {
        Ok(writer) => Ok(writer),
        Err(OpenError::Io(why)) => Writer::absent(path, &why).map_err(|error| told(&error)),
        Err(error) => Err(told(&error)),
    }
}

/// Takes a session up from its log.
pub fn resume(path: &Path, virtual_time: bool) -> Result<Begun, Outcome> {
    let told = |error: &dyn std::fmt::Display| complain(&format!("{}: {error}", path.display()));
    let civil = ZonedDateTime::now();
    let opened: log::writer::Opened<Event> =
        Writer::open(path, &civil).map_err(|error| told(&error))?;
    let records: Vec<Record> = opened
        .reading
        .records
        .iter()
        .map(|record| Record {
            at: record.ms,
            event: record.event.clone(),
        })
        .collect();
    let mut core =
        Core::resume(&records, Search::new(), Effort::default()).map_err(|error| told(&error))?;
    if core.state().closed {
        return Err(complain(&format!(
            "{}: the session was closed; 'mealtide replay' plays it",
            path.display()
        )));
    }
    let script = core.state().script.clone();
    let Some(last) = opened.reading.records.last() else {
        return Err(complain(&format!("{}: the log is empty", path.display())));
    };
    let aside = opened.set_aside.as_ref().map(|aside| {
        let aside = aside.display();
        format!("a torn end of the log was set aside as {aside}")
    });
    let mut now = last.ms;
    if !virtual_time {
        let anchor = Anchor::load(path);
        let carry = || {
            let here = Real::boot();
            let here = here.as_ref().map(|(boot, shows)| (boot.as_str(), *shows));
            let civil = ZonedDateTime::now();
            anchor::carry((&last.at, last.ms), &civil, anchor.as_ref(), here)
        };
        let (mut input, mut out) = (std::io::stdin().lock(), std::io::stdout().lock());
        let believed = clocks::ask(
            &carry(),
            &civil,
            view::hours_of_the_user(),
            &mut input,
            &mut out,
        );
        drop((input, out));
        // Time went on while the cook was asked.
        let (resumed, mut events) =
            clocks::believe(&carry(), believed.map_err(|error| told(&error))?);
        now = resumed;
        events.extend(aside.clone().map(|text| Event::Noted { text }));
        for event in events {
            core.tell(event, now).map_err(|error| told(&error))?;
        }
    }
    Ok(Begun {
        core,
        log: Some(opened.writer),
        now,
        opened: script.opened.clone(),
        draft: None,
        told: aside,
    })
}
