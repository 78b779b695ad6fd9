//! The sessions that come with the program.

use super::diagnostic::Diagnostics;
use super::files::BuiltIn;
use super::load::{Loaded, load_bytes};
use super::lookup::Lookup;

/// A session that is built in.
#[derive(Clone, Copy, Debug)]
pub struct Session {
    /// By which it is asked for: "midwinter-supper".
    pub id: &'static str,
    /// Its file.
    pub text: &'static str,
}

/// In the order in which they are offered.
pub const SESSIONS: &[Session] = &[
    Session {
        id: "midwinter-supper",
        text: include_str!("../../sessions/midwinter-supper.toml"),
    },
    Session {
        id: "friday-fish",
        text: include_str!("../../sessions/friday-fish.toml"),
    },
    Session {
        id: "garden-lunch",
        text: include_str!("../../sessions/garden-lunch.toml"),
    },
];

/// The folder beside them.
const BESIDE: BuiltIn = BuiltIn(&[
    (
        "dishes/cold-pea-soup.toml",
        include_str!("../../sessions/dishes/cold-pea-soup.toml"),
    ),
    (
        "dishes/herb-flatbreads.toml",
        include_str!("../../sessions/dishes/herb-flatbreads.toml"),
    ),
    (
        "dishes/lentil-salad.toml",
        include_str!("../../sessions/dishes/lentil-salad.toml"),
    ),
    (
        "dishes/polenta-cake.toml",
        include_str!("../../sessions/dishes/polenta-cake.toml"),
    ),
    (
        "dishes/roast-vegetables.toml",
        include_str!("../../sessions/dishes/roast-vegetables.toml"),
    ),
    (
        "dishes/tomato-tarts.toml",
        include_str!("../../sessions/dishes/tomato-tarts.toml"),
    ),
    (
        "kitchens/garden-house.toml",
        include_str!("../../sessions/kitchens/garden-house.toml"),
    ),
]);

impl Session {
    /// The session as understood. It doesn't depend on what the user has: only what it brings is looked up.
    ///
    /// # Errors
    /// None, as the tests assure; a fault of a built-in file is told like that of any other.
    pub fn load(&self) -> Result<Loaded, Diagnostics> {
        let name = format!("built-in {}.toml", self.id);
        load_bytes(&name, self.text.as_bytes(), &BESIDE, &Lookup::default())
    }
}

/// The built-in session of that id (with or without ".toml").
pub fn find(id: &str) -> Option<&'static Session> {
    let id = id.strip_suffix(".toml").unwrap_or(id);
    SESSIONS.iter().find(|session| session.id == id)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_load_without_a_word() {
        for session in SESSIONS {
            let loaded = session.load().unwrap_or_else(|found| panic!("{found}"));
            assert!(loaded.warnings.list.is_empty(), "{}", loaded.warnings);
        }
    }
}
