//! What past evenings teach, in the session that is planned or cooked now.

use super::note;
use crate::{
    log::{
        learn::{self, History},
        place,
    },
    menu::{Lookup, Session, config::Config},
};

/// Whether the user's config lets plans learn. A config with faults lets nothing; it is said that it has some.
pub fn wanted() -> bool {
    match Config::of_the_user(&Lookup::of_the_user()) {
        Ok(config) => config.learn,
        Err(found) => {
            note(&format!("nothing is learned: {}", found.brief()));
            false
        }
    }
}

/// Moves the lengths and heating rates of a session to what they usually are here, and says which and from what:
/// "roast-chicken/roast: usually 84 min here, recipe says 80".
pub fn apply(session: &mut Session) -> Vec<String> {
    // Without a home folder there is no history.
    let path = match place::history() {
        Ok(path) if path.exists() && wanted() => path,
        _ => return Vec::new(),
    };
    let history = match History::load(&path) {
        Ok(history) => history,
        Err(why) => {
            note(&why.to_string());
            return Vec::new();
        }
    };
    let (lengths, ovens) = (history.lengths(session), history.ovens(&session.kitchen));
    learn::apply(session, &lengths, &ovens);
    let lengths = lengths
        .iter()
        .map(|known| format!("{}: {}", known.step, known.words()));
    let ovens = ovens
        .iter()
        .map(|known| format!("{}: {}", known.oven, known.words()));
    lengths.chain(ovens).collect()
}
