//! The built-in sessions, opened at the hours at which one would.

#![allow(clippy::unwrap_used, reason = "a test fails by it")]

use mealtide::{
    live::Opening,
    measure::Ratio,
    menu::{Session, builtin, load_text},
    plan::Part,
};

/// Each built-in session with the moment at which it is opened.
pub const OPENED: &[(&str, &str)] = &[
    (
        "midwinter-supper",
        "2026-12-21T09:00:00+01:00[Europe/Berlin]",
    ),
    ("friday-fish", "2026-11-27T18:40:00+01:00[Europe/Berlin]"),
    ("garden-lunch", "2026-07-18T08:00:00+02:00[Europe/Berlin]"),
];

/// A built-in session as it is opened.
pub fn opening(id: &str) -> Opening {
    let (_, opened) = OPENED.iter().find(|(known, _)| *known == id).unwrap();
    let session = builtin::find(id).unwrap().load().unwrap().session;
    opened_at(opened, session, Part::Service)
}

/// A session given as text, as it is opened.
pub fn opening_of(text: &str, part: Part, opened: &str) -> Opening {
    let loaded = load_text("session.toml", text).unwrap_or_else(|faults| panic!("{faults}"));
    opened_at(opened, loaded.session, part)
}

fn opened_at(opened: &str, session: Session, part: Part) -> Opening {
    Opening {
        program: concat!("mealtide ", env!("CARGO_PKG_VERSION")).into(),
        session,
        part,
        quantile: Ratio::new(1, 2),
        opened: opened.parse().unwrap(),
    }
}
