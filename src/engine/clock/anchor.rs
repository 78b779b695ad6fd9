//! The session clock across a restart.
//!
//! The civil clock carries: what it shows now, less what it showed at the last record, is how long nobody was there.
//! If the machine has not been started anew, its boot clock says the same independently; where the two disagree, the
//! cook decides which is right.

use std::{
    fs,
    io::Read,
    path::{Path, PathBuf},
};

use jiff::ZonedDateTime;
use serde::{Deserialize, Serialize};

use crate::live::{Event, Ms, event::Trouble};

/// Which boot clock a session clock was read from, and how far ahead of it that is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Anchor {
    /// Which start of the machine; two that are equal share a boot clock.
    pub boot: String,
    /// What the boot clock showed at session-clock 0, in ms.
    pub zero: Ms,
}

/// The session clock, taken up again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Carried {
    /// Session clock by the civil clock, in ms; never before the last record.
    pub now: Ms,
    /// Session clock of the last record, in ms.
    pub last: Ms,
    /// Session clock by the civil clock, as it stands: before the last record if it was set back that far.
    pub wall: Ms,
    /// Session clock by the boot clock if that says something else, in ms; or by the last record, if the civil clock
    /// shows an earlier time than that. It is for the cook to decide.
    pub machine: Option<Ms>,
}

impl Carried {
    /// That the clocks disagree, when nobody is there to decide.
    pub fn disagreement(&self, machine: Ms) -> Event {
        let minutes = (self.wall - machine).abs() / 60_000;
        let which = if self.wall > machine {
            "later"
        } else {
            "earlier"
        };
        Event::Trouble {
            about: Trouble::Clock,
            words: format!(
                "the clock on the wall is {minutes} min {which} than the machine's own says; look at a clock you trust"
            ),
        }
    }
}

/// Two clocks that differ by less than this agree, in ms.
const AGREE: Ms = 5_000;

/// Takes a session clock up again, from the last record of its log.
pub fn carry(
    last: (&ZonedDateTime, Ms),
    civil: &ZonedDateTime,
    anchor: Option<&Anchor>,
    here: Option<(&str, Ms)>,
) -> Carried {
    let (at, ms) = last;
    let passed = civil.timestamp().as_millisecond() - at.timestamp().as_millisecond();
    let by_civil = ms.saturating_add(passed);
    let now = by_civil.max(ms);
    let by_boot = match (anchor, here) {
        (Some(anchor), Some((boot, shows))) if anchor.boot == boot => {
            Some(shows.saturating_sub(anchor.zero).max(ms))
        }
        // The civil clock went back, and nothing else knows how long it was.
        _ if passed < -AGREE => Some(ms),
        _ => None,
    };
    Carried {
        now,
        last: ms,
        wall: by_civil,
        machine: by_boot.filter(|boot| (boot - by_civil).abs() > AGREE),
    }
}

impl Anchor {
    /// Leaves the anchor beside the log at `path`. Without it the civil clock alone carries.
    ///
    /// # Errors
    /// When it cannot be written.
    pub fn save(&self, path: &Path) -> std::io::Result<()> {
        let text = serde_json::to_vec(self)?;
        fs::write(beside(path), text)
    }

    /// The anchor beside the log at `path`, if there is a usable one.
    pub fn load(path: &Path) -> Option<Anchor> {
        let mut text = Vec::new();
        let file = fs::File::open(beside(path)).ok()?;
        file.take(1024).read_to_end(&mut text).ok()?;
        serde_json::from_slice(&text).ok()
    }

    /// Takes it away: the session has ended.
    pub fn remove(path: &Path) {
        // It is small, and its absence is what matters.
        let _ = fs::remove_file(beside(path));
    }
}

/// "supper.jsonl.clock", beside "supper.jsonl".
fn beside(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".clock");
    PathBuf::from(name)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> ZonedDateTime {
        text.parse().unwrap()
    }

    fn carried(civil: &str, here: Option<(&str, Ms)>) -> (Ms, Ms, Option<Ms>) {
        let anchor = Anchor {
            boot: "first".to_owned(),
            zero: 100_000,
        };
        let last = at("2026-12-21T18:00:00+01:00[Europe/Berlin]");
        let carried = carry((&last, 600_000), &at(civil), Some(&anchor), here);
        (carried.now, carried.now - carried.last, carried.machine)
    }

    #[test]
    fn the_civil_clock_carries_over_a_restart_of_the_machine() {
        let later = "2026-12-21T18:20:00+01:00[Europe/Berlin]";
        let expected = (1_800_000, 1_200_000, None);
        assert_eq!(carried(later, Some(("second", 9_000))), expected);
        assert_eq!(carried(later, None), expected);
    }

    #[test]
    fn two_clocks_that_agree_are_not_spoken_of() {
        let later = "2026-12-21T18:20:00+01:00[Europe/Berlin]";
        let shows = 100_000 + 1_800_000 + 4_000;
        assert_eq!(
            carried(later, Some(("first", shows))),
            (1_800_000, 1_200_000, None)
        );
    }

    #[test]
    fn a_clock_set_while_nobody_was_there_is_for_the_cook_to_decide() {
        let later = "2026-12-21T20:20:00+01:00[Europe/Berlin]";
        let shows = 100_000 + 1_800_000;
        let (now, away, otherwise) = carried(later, Some(("first", shows)));
        assert_eq!((now, away), (9_000_000, 8_400_000));
        assert_eq!(otherwise, Some(1_800_000));
    }

    #[test]
    fn the_session_clock_never_goes_back() {
        let earlier = "2026-12-21T17:00:00+01:00[Europe/Berlin]";
        assert_eq!(carried(earlier, None), (600_000, 0, Some(600_000)));
        let shows = 100_000 + 660_000;
        assert_eq!(
            carried(earlier, Some(("first", shows))),
            (600_000, 0, Some(660_000))
        );
    }

    #[test]
    fn an_anchor_reads_back() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("supper.jsonl");
        assert_eq!(Anchor::load(&path), None);
        let anchor = Anchor {
            boot: "x".to_owned(),
            zero: -5,
        };
        anchor.save(&path).unwrap();
        assert_eq!(Anchor::load(&path), Some(anchor));
        Anchor::remove(&path);
        assert_eq!(Anchor::load(&path), None);
    }
}
