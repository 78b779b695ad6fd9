//! The environment, read once: what it says and which programs it holds.

use std::{
    collections::BTreeMap,
    ffi::{OsStr, OsString},
    path::{Path, PathBuf},
    process::{Command, Stdio},
};

/// Environment variables as they were at the start, or as a test wants them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Surroundings {
    vars: BTreeMap<OsString, OsString>,
}

impl Surroundings {
    /// Those of this process.
    pub fn of_the_process() -> Self {
        Self {
            vars: std::env::vars_os().collect(),
        }
    }

    /// The same with one variable set.
    #[must_use]
    pub fn with(mut self, name: &str, value: impl Into<OsString>) -> Self {
        self.vars.insert(name.into(), value.into());
        self
    }

    /// The same with one variable unset.
    #[must_use]
    pub fn without(mut self, name: &str) -> Self {
        self.vars.remove(OsStr::new(name));
        self
    }

    /// A variable; an empty one counts as unset.
    pub fn var(&self, name: &str) -> Option<&OsStr> {
        let value = self.vars.get(OsStr::new(name))?;
        (!value.is_empty()).then_some(value)
    }

    /// A variable as text; empty when it is unset.
    pub fn text(&self, name: &str) -> std::borrow::Cow<'_, str> {
        self.var(name).unwrap_or_default().to_string_lossy()
    }

    /// A variable that holds a full path.
    pub fn path(&self, name: &str) -> Option<&Path> {
        let path = Path::new(self.var(name)?);
        path.is_absolute().then_some(path)
    }

    /// Where a program is, or `None` when it isn't installed. A name with a separator is a path already.
    pub fn program(&self, name: &str) -> Option<PathBuf> {
        let named = Path::new(name);
        if named.components().count() > 1 {
            return executable(named).then(|| named.to_owned());
        }
        let folders =
            std::env::split_paths(self.var("PATH")?).filter(|folder| folder.is_absolute());
        folders
            .map(|folder| folder.join(format!("{name}{}", std::env::consts::EXE_SUFFIX)))
            .find(|path| executable(path))
    }

    /// A command with these variables, whose streams lead nowhere.
    pub(super) fn command(&self, program: &Path) -> Command {
        let mut command = Command::new(program);
        command
            .env_clear()
            .envs(&self.vars)
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null());
        command
    }
}

#[cfg(unix)]
fn executable(path: &Path) -> bool {
    use std::os::unix::fs::PermissionsExt;
    path.metadata()
        .is_ok_and(|data| data.is_file() && data.permissions().mode() & 0o111 != 0)
}

#[cfg(not(unix))]
fn executable(path: &Path) -> bool {
    path.is_file()
}
