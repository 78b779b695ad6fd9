//! When a session is opened, as the command line has it.

use jiff::{
    ZonedDateTime,
    tz::{AmbiguousOffset, TimeZone},
};

use super::{
    Outcome, complain, note,
    plan::make::{Wish, make},
    values,
};
use crate::{
    live::Opening,
    measure::Ratio,
    menu::{Moment, Session},
    plan::Part,
};

/// How long a plan is searched for to find how sure it is, in seconds.
const SEARCH: f64 = 2.0;

/// When, and with which lengths.
#[derive(Debug, clap::Args)]
#[group(skip)]
pub struct Args {
    /// As if it were this moment: "18:00", "2026-12-21 18:00", RFC 3339.
    #[arg(long, value_name = "TIME")]
    now: Option<String>,
    /// Serve the first course then, whatever the session says.
    #[arg(long, value_name = "TIME")]
    serve: Option<String>,
    /// Where in its range each step's length is taken: 0 the shortest, 1 the longest [default: 0.5].
    #[arg(long, value_name = "Q", value_parser = values::share)]
    quantile: Option<Ratio>,
}

impl Args {
    /// The moment.
    ///
    /// # Errors
    /// When what was given is none; it was complained about.
    pub fn now(&self) -> Result<ZonedDateTime, Outcome> {
        let clock = ZonedDateTime::now();
        // The session clock counts milliseconds; less than one would be shown as the minute before.
        let clock = clock.round(jiff::Unit::Millisecond).unwrap_or(clock);
        self.now
            .as_deref()
            .map_or_else(|| Ok(clock.clone()), |text| read("now", text, &clock))
    }

    /// A session as it is opened, with all that it takes to be as sure as it asks to be.
    ///
    /// # Errors
    /// When a moment is none; it was complained about.
    pub fn open(&self, session: &Session, part: Part) -> Result<Opening, Outcome> {
        self.draft(session, part).map(Draft::settled)
    }

    /// A session as it can be opened at once.
    ///
    /// # Errors
    /// When a moment is none; it was complained about.
    pub fn draft(&self, session: &Session, part: Part) -> Result<Draft, Outcome> {
        let opened = self.now()?;
        let mut session = session.clone();
        if let Some(text) = &self.serve {
            let serve = read("serve", text, &opened)?;
            // A clock time alone is the next one.
            let alone = text.trim().len() <= 8 && serve <= opened;
            session.serve = if alone {
                Moment::Clock(serve.time())
            } else {
                Moment::At(serve.datetime())
            };
        }
        if let Some(words) = doubtful(session.serve, opened.time_zone()) {
            note(&words);
        }
        Ok(Draft {
            settled: self.quantile.is_some() || session.sure.is_none() || part == Part::Ahead,
            opening: Opening {
                program: concat!("mealtide ", env!("CARGO_PKG_VERSION")).into(),
                part,
                quantile: self.quantile.unwrap_or(Ratio::new(1, 2)),
                opened,
                session,
            },
        })
    }
}

/// A time to serve that the clock doesn't show on its day, or shows twice, and how it is taken.
fn doubtful(serve: Moment, zone: &TimeZone) -> Option<String> {
    let Moment::At(civil) = serve else {
        return None;
    };
    let shown = civil.strftime("%Y-%m-%d %H:%M");
    let taken = zone.to_zoned_datetime(civil).ok()?.strftime("%H:%M (%Z)");
    match zone.to_ambiguous_timestamp(civil).offset() {
        AmbiguousOffset::Unambiguous { .. } => None,
        AmbiguousOffset::Gap { .. } => Some(format!(
            "{shown} is left out as the clocks go forward: it is taken as {taken}"
        )),
        AmbiguousOffset::Fold { .. } => Some(format!(
            "{shown} comes twice as the clocks go back: it is taken as the first, {taken}"
        )),
    }
}

/// A session as it can be opened at once, before it is known which lengths make it as sure as it asks to be: thousands
/// of simulated dinners tell that.
pub struct Draft {
    /// At the quantile that was asked for, or one half.
    pub opening: Opening,
    /// Nothing is left to be found out.
    pub settled: bool,
}

impl Draft {
    /// At the quantile at which the session is as sure to be on time as it asks to be.
    pub fn settled(self) -> Opening {
        let Opening {
            session,
            opened,
            part,
            ..
        } = &self.opening;
        if self.settled {
            return self.opening;
        }
        let wish = Wish {
            part: *part,
            quantile: None,
            sure: session.sure,
            seconds: SEARCH,
            shown: false,
        };
        match make(session, opened, &wish) {
            Ok(plan) => Opening {
                quantile: plan.built.frame.quantile,
                ..self.opening
            },
            // What can't be planned is told by whoever opens the session.
            Err(_) => self.opening,
        }
    }
}

fn read(name: &str, text: &str, clock: &ZonedDateTime) -> Result<ZonedDateTime, Outcome> {
    values::moment(text, clock).map_err(|why| complain(&format!("--{name}: {why}")))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The days on which the clocks of the EU change in 2026: Directive 2000/84/EC, articles 2 and 3 (last Sundays of March
    /// and of October, at 01:00 UTC).
    #[test]
    fn a_time_that_the_clock_leaves_out_or_shows_twice_is_told() {
        let zone = TimeZone::get("Europe/Berlin").unwrap();
        let told = |serve: &str| doubtful(Moment::At(serve.parse().unwrap()), &zone);
        assert_eq!(told("2026-03-29T01:59:00"), None);
        let gap = told("2026-03-29T02:30:00").unwrap();
        assert!(gap.ends_with("left out as the clocks go forward: it is taken as 03:30 (CEST)"));
        assert_eq!(told("2026-03-29T03:00:00"), None);
        let fold = told("2026-10-25T02:30:00").unwrap();
        assert!(fold.ends_with(
            "comes twice as the clocks go back: it is taken as the first, 02:30 (CEST)"
        ));
        assert_eq!(told("2026-10-25T03:00:00"), None);
    }
}
