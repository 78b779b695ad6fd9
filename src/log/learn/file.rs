//! The history as a file of the user's.

use std::{
    fs::{self, File},
    io::{self, Read, Write},
    path::{Path, PathBuf},
};

use serde::{Deserialize, Serialize};

use super::History;
use crate::log::disk;

/// The version of the history's format.
const FORMAT: u32 = 1;

/// A history larger than this is refused, in bytes.
const LIMIT: u64 = 4 << 20;

/// Why a history cannot be read or written.
#[derive(Debug, thiserror::Error)]
pub enum HistoryError {
    /// The system says no.
    #[error("{}: {}", .0.display(), .1)]
    Io(PathBuf, io::Error),
    /// It is larger than a history can be.
    #[error("{}: it has more than {} MiB, the most that a history may have", .0.display(), LIMIT >> 20)]
    TooLarge(PathBuf),
    /// It is not a history.
    #[error("{}: it is not a history of this program ({}); move it away to begin a new one", .0.display(), .1)]
    Damaged(PathBuf, serde_json::Error),
    /// It was written by a later version.
    #[error("{}: it has format {}, and this version reads {FORMAT}: use a newer mealtide", .0.display(), .1)]
    Newer(PathBuf, u32),
}

#[derive(Serialize)]
struct Written<'a> {
    format: u32,
    history: &'a History,
}

#[derive(Deserialize)]
struct Head {
    format: u32,
}

#[derive(Deserialize)]
struct Body {
    history: History,
}

impl History {
    /// Reads a history; one that is not there is empty.
    ///
    /// # Errors
    /// Every kind.
    pub fn load(path: &Path) -> Result<Self, HistoryError> {
        let fault = |error| HistoryError::Io(path.to_owned(), error);
        let file = match File::open(path) {
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(History::default()),
            file => file.map_err(fault)?,
        };
        let mut text = Vec::new();
        file.take(LIMIT + 1).read_to_end(&mut text).map_err(fault)?;
        if text.len() as u64 > LIMIT {
            return Err(HistoryError::TooLarge(path.to_owned()));
        }
        Self::read(path, &text)
    }

    /// Reads the bytes of the history at `path`.
    ///
    /// # Errors
    /// [`HistoryError::Damaged`] and [`HistoryError::Newer`].
    pub fn read(path: &Path, bytes: &[u8]) -> Result<Self, HistoryError> {
        let damaged = |error| HistoryError::Damaged(path.to_owned(), error);
        let Head { format } = serde_json::from_slice(bytes).map_err(damaged)?;
        if format > FORMAT {
            return Err(HistoryError::Newer(path.to_owned(), format));
        }
        let Body { history } = serde_json::from_slice(bytes).map_err(damaged)?;
        Ok(history)
    }

    /// Writes the history in place of what was there: whole or not at all.
    ///
    /// # Errors
    /// [`HistoryError::Io`]; the old one is then still there.
    pub fn save(&self, path: &Path) -> Result<(), HistoryError> {
        self.replace(path)
            .map_err(|error| HistoryError::Io(path.to_owned(), error))
    }

    fn replace(&self, path: &Path) -> io::Result<()> {
        let folder = disk::folder_of(path);
        disk::create_folders(folder)?;
        let mut name = path.as_os_str().to_owned();
        name.push(format!(".new-{}", std::process::id()));
        let new = PathBuf::from(name);
        let written = Written {
            format: FORMAT,
            history: self,
        };
        let put = || {
            let mut file = File::create(&new)?;
            file.write_all(&serde_json::to_vec(&written)?)?;
            file.sync_all()?;
            fs::rename(&new, path)
        };
        if let Err(error) = put() {
            let _ = fs::remove_file(&new);
            return Err(error);
        }
        disk::sync_folder(folder)
    }
}
