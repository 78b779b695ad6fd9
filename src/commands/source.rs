//! The session that a command is about.

use std::path::PathBuf;

use super::{Outcome, faults};
use crate::menu::{self, Diagnostics, Loaded, Lookup, Session, builtin};

/// Which session.
#[derive(Debug, clap::Args)]
#[group(skip)]
pub struct Args {
    /// The session's file, or the name of a built-in one [default: midwinter-supper].
    #[arg(value_name = "SESSION")]
    session: Option<PathBuf>,
}

/// A session, read.
pub struct Source {
    /// As understood.
    pub session: Session,
    /// With what is doubtful about it.
    pub loaded: Loaded,
}

impl Args {
    /// Reads it.
    ///
    /// # Errors
    /// When something is wrong with it; all of that was told on standard error.
    pub fn read(&self) -> Result<Source, Outcome> {
        let loaded = match &self.session {
            None => builtin::SESSIONS[0].load(),
            Some(path) => read(path),
        };
        match loaded {
            Ok(loaded) => Ok(Source {
                session: loaded.session.clone(),
                loaded,
            }),
            Err(found) => Err(faults::tell(&found, false)),
        }
    }
}

/// Reads the file at a path; where there is none, the built-in session of that name.
///
/// # Errors
/// All that is wrong with it.
pub fn read(path: &std::path::Path) -> Result<Loaded, Diagnostics> {
    match path
        .to_str()
        .and_then(builtin::find)
        .filter(|_| !path.exists())
    {
        Some(session) => session.load(),
        None => menu::load(path, &Lookup::of_the_user()),
    }
}
