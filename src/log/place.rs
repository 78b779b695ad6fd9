//! Where logs are, what they are called, and which of them are unfinished.

use std::{
    ffi::OsStr,
    fs::{self, File, TryLockError},
    io,
    path::{Path, PathBuf},
};

use etcetera::BaseStrategy;
use jiff::ZonedDateTime;
use serde::de::DeserializeOwned;

use super::{
    Flaw, Record,
    lock::{self, Holder},
    read,
};

/// Nobody said where the user's files are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "there is no home folder to keep the log in: set HOME, or XDG_STATE_HOME to a full path, or name a file with --log"
)]
pub struct NoHome;

/// The folder of the user's logs: "mealtide/logs" in `$XDG_STATE_HOME`, by default "~/.local/state".
///
/// XDG Base Directory Specification 0.8, sections 2 and 3: a variable that is empty counts as unset, and one that is
/// not an absolute path is ignored.
///
/// # Errors
/// When there is neither a home folder nor such a variable.
pub fn logs() -> Result<PathBuf, NoHome> {
    let state = match etcetera::choose_base_strategy() {
        Ok(user) => user.state_dir().unwrap_or_else(|| user.data_dir()),
        Err(_) => absolute("XDG_STATE_HOME").ok_or(NoHome)?,
    };
    Ok(state.join("mealtide").join("logs"))
}

/// The file of what the user's logs have taught: "mealtide/history.json" in `$XDG_DATA_HOME`, by default
/// "~/.local/share".
///
/// # Errors
/// As [`logs`].
pub fn history() -> Result<PathBuf, NoHome> {
    let data = match etcetera::choose_base_strategy() {
        Ok(user) => user.data_dir(),
        Err(_) => absolute("XDG_DATA_HOME").ok_or(NoHome)?,
    };
    Ok(data.join("mealtide").join("history.json"))
}

fn absolute(variable: &str) -> Option<PathBuf> {
    let path = PathBuf::from(std::env::var_os(variable)?);
    path.is_absolute().then_some(path)
}

/// The most characters of a title that go into a file's name.
const NAME_LIMIT: usize = 60;

/// A name for a new log in `folder` that no file has yet: "2026-12-21-1502-midwinter-supper.jsonl".
pub fn fresh(folder: &Path, title: &str, at: &ZonedDateTime) -> PathBuf {
    let stem = format!("{}-{}", at.strftime("%Y-%m-%d-%H%M"), plain(title));
    let first = folder.join(format!("{stem}.jsonl"));
    let further = (2..).map(|number| folder.join(format!("{stem}-{number}.jsonl")));
    std::iter::once(first)
        .chain(further)
        .find(|path| fs::symlink_metadata(path).is_err())
        .unwrap_or_else(|| folder.join("session.jsonl"))
}

/// A title as part of a file's name: letters and digits, with one hyphen for all else.
fn plain(title: &str) -> String {
    let mut name = String::new();
    for letter in title.chars().flat_map(char::to_lowercase).take(NAME_LIMIT) {
        if letter.is_alphanumeric() {
            name.push(letter);
        } else if !name.is_empty() && !name.ends_with('-') {
            name.push('-');
        }
    }
    match name.trim_end_matches('-') {
        "" => "session".to_owned(),
        name => name.to_owned(),
    }
}

/// A session that can be gone on with.
#[derive(Clone, Debug, PartialEq)]
pub struct Unfinished<E> {
    /// Its log.
    pub path: PathBuf,
    /// How it began.
    pub first: Record<E>,
    /// What happened last.
    pub last: Record<E>,
    /// What is wrong with its end.
    pub flaw: Option<Flaw>,
    /// Whether a running program has it, and who that is if it is known.
    pub held: Option<Option<Holder>>,
}

/// No more than this many of the newest logs are looked at.
pub const LOOKED_AT: usize = 100;

/// The logs of a folder whose last record does not close them, newest first. Every line of them is verified, the
/// first and the last alone are read. What is not a usable log is passed over.
///
/// # Errors
/// When the folder is there and cannot be read.
pub fn unfinished<E: DeserializeOwned>(
    folder: &Path,
    closes: impl Fn(&E) -> bool,
) -> io::Result<Vec<Unfinished<E>>> {
    let mut paths = Vec::new();
    let entries = match fs::read_dir(folder) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        entries => entries?,
    };
    for entry in entries {
        let path = entry?.path();
        if path.extension() == Some(OsStr::new("jsonl")) {
            paths.push(path);
        }
    }
    // Names begin with date and time.
    paths.sort_unstable_by(|a, b| b.cmp(a));
    let newest = paths.into_iter().take(LOOKED_AT);
    let looked = newest.filter_map(look);
    Ok(looked.filter(|log| !closes(&log.last.event)).collect())
}

fn look<E: DeserializeOwned>(path: PathBuf) -> Option<Unfinished<E>> {
    let mut file = File::open(&path).ok()?;
    let held = match file.try_lock_shared() {
        Err(TryLockError::WouldBlock) => Some(lock::holder(&path)),
        _ => None,
    };
    let bytes = read::bytes(&mut file).ok()?;
    let (first, last, flaw) = read::ends(&bytes).ok()?;
    Some(Unfinished {
        path,
        first,
        last,
        flaw,
        held,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::log::{Stamped, Writer};

    fn at(minute: i8) -> ZonedDateTime {
        let at: ZonedDateTime = "2026-12-21T15:00:00+01:00[Europe/Berlin]".parse().unwrap();
        at.with().minute(minute).build().unwrap()
    }

    #[test]
    fn titles_become_names() {
        let folder = tempfile::tempdir().unwrap();
        let name = |title: &str| {
            let path = fresh(folder.path(), title, &at(2));
            assert_eq!(path.parent(), Some(folder.path()));
            path.file_name().unwrap().to_str().unwrap().to_owned()
        };
        assert_eq!(
            name("Midwinter supper"),
            "2026-12-21-1502-midwinter-supper.jsonl"
        );
        assert_eq!(
            name("../../etc/passwd\0\x1b[2J"),
            "2026-12-21-1502-etc-passwd-2j.jsonl"
        );
        assert_eq!(name("Crème brûlée"), "2026-12-21-1502-crème-brûlée.jsonl");
        assert_eq!(name("…"), "2026-12-21-1502-session.jsonl");
        assert_eq!(name(&"x".repeat(500)).chars().count(), 16 + NAME_LIMIT + 6);
        fs::write(folder.path().join(name("a")), "").unwrap();
        assert_eq!(name("a"), "2026-12-21-1502-a-2.jsonl");
    }

    #[test]
    fn unfinished_sessions_are_listed_newest_first() {
        let folder = tempfile::tempdir().unwrap();
        assert_eq!(
            unfinished::<i64>(&folder.path().join("none"), |_| false).unwrap(),
            []
        );
        let mut open = Vec::new();
        for (minute, events) in [(1, vec![7, 8]), (2, vec![7, 0]), (3, vec![9]), (4, vec![])] {
            let path = fresh(folder.path(), "supper", &at(minute));
            let mut writer = Writer::create(&path, &at(minute)).unwrap();
            let stamped: Vec<_> = events
                .into_iter()
                .map(|event| Stamped {
                    at: at(minute),
                    ms: 0,
                    event,
                })
                .collect();
            writer.append(&stamped).wait();
            open.push(writer);
        }
        fs::write(folder.path().join("2027-other.jsonl"), "no log\n").unwrap();
        let running = open.swap_remove(2);
        drop(open);
        let found = unfinished::<i64>(folder.path(), |event| *event == 0).unwrap();
        let ends: Vec<_> = found
            .iter()
            .map(|log| (log.first.event, log.last.event))
            .collect();
        assert_eq!(ends, [(9, 9), (7, 8)]);
        let pids: Vec<_> = found
            .iter()
            .map(|log| log.held.as_ref().map(|who| who.as_ref().unwrap().pid))
            .collect();
        assert_eq!(pids, [Some(std::process::id()), None]);
        drop(running);
    }
}
