//! One writer at a time, and who it is.
//!
//! The lock is on the log itself, so it goes with the process that holds it, however that ends. Who holds it stands
//! in a small file beside it, which is only ever read when the lock is found taken.

use std::{
    fs::{File, TryLockError},
    io::{self, Read},
    path::{Path, PathBuf},
};

use jiff::ZonedDateTime;
use serde::{Deserialize, Serialize};

/// Who has a log open for writing.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Holder {
    /// Its process.
    pub pid: u32,
    /// Since when.
    pub since: ZonedDateTime,
}

/// What came of asking for the lock.
pub(super) enum Lock {
    /// It is ours.
    Ours,
    /// Another has it, and it may be known who.
    Taken(Option<Holder>),
}

/// Takes the lock on `file`, which is at `path`.
pub(super) fn take(file: &File, path: &Path) -> io::Result<Lock> {
    match file.try_lock() {
        Ok(()) => Ok(Lock::Ours),
        Err(TryLockError::WouldBlock) => Ok(Lock::Taken(holder(path))),
        // A file system without locks is no reason not to cook.
        Err(TryLockError::Error(error)) if error.kind() == io::ErrorKind::Unsupported => {
            Ok(Lock::Ours)
        }
        Err(TryLockError::Error(error)) => Err(error),
    }
}

/// Leaves word that this process has the log at `path`. It is a courtesy: that it fails is of no consequence.
pub(super) fn sign(path: &Path, since: &ZonedDateTime) {
    let holder = Holder {
        pid: std::process::id(),
        since: since.clone(),
    };
    if let Ok(text) = serde_json::to_vec(&holder) {
        let _ = std::fs::write(beside(path), text);
    }
}

/// Takes the word back.
pub(super) fn unsign(path: &Path) {
    let _ = std::fs::remove_file(beside(path));
}

/// Who left word at `path`.
pub(super) fn holder(path: &Path) -> Option<Holder> {
    let mut text = Vec::new();
    File::open(beside(path))
        .ok()?
        .take(1024)
        .read_to_end(&mut text)
        .ok()?;
    serde_json::from_slice(&text).ok()
}

/// "supper.jsonl.holder", beside "supper.jsonl".
fn beside(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".holder");
    PathBuf::from(name)
}
