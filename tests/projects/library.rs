//! Sets of projects in a folder or in an archive of one: `SET/*.sm`, and beside it `SET-best.csv` with the best known
//! makespan of each ("problem,optimum"; a value in doubt is "lower..upper").

use std::path::{Path, PathBuf};
use std::process::Command;

use super::{Project, file};

/// Where the sets lie; what was unpacked is removed with it.
pub struct Library {
    folder: PathBuf,
    _unpacked: Option<tempfile::TempDir>,
}

/// A project and its best known makespan, in periods.
pub struct Known {
    pub name: String,
    pub project: Project,
    pub best: u32,
}

impl Library {
    /// Opens a folder, or unpacks an archive with `tar`.
    ///
    /// # Errors
    /// When there is neither, or `tar` is missing or refuses.
    pub fn open(path: &Path) -> Result<Self, String> {
        if path.is_dir() {
            return Ok(Library {
                folder: path.to_owned(),
                _unpacked: None,
            });
        }
        if !path.is_file() {
            return Err(format!("{}: no such folder or archive", path.display()));
        }
        let unpacked = tempfile::tempdir().map_err(|e| e.to_string())?;
        let tar = Command::new("tar")
            .arg("-xf")
            .arg(path)
            .arg("-C")
            .arg(unpacked.path())
            .output()
            .map_err(|e| format!("tar cannot be run: {e}; give an unpacked folder"))?;
        if !tar.status.success() {
            let said = String::from_utf8_lossy(&tar.stderr);
            return Err(format!("{}: {}", path.display(), said.trim()));
        }
        Ok(Library {
            folder: unpacked.path().to_owned(),
            _unpacked: Some(unpacked),
        })
    }

    /// The projects of a set in the order of its table, and why others of the table were left out.
    ///
    /// # Errors
    /// When the table cannot be read.
    pub fn set(&self, set: &str) -> Result<(Vec<Known>, Vec<String>), String> {
        let table = self.folder.join(format!("{set}-best.csv"));
        let table =
            std::fs::read_to_string(&table).map_err(|e| format!("{}: {e}", table.display()))?;
        let (mut known, mut left_out) = (Vec::new(), Vec::new());
        for line in table.lines().skip(1) {
            match self.known(set, line) {
                Ok(one) => known.push(one),
                Err(why) => left_out.push(why),
            }
        }
        Ok((known, left_out))
    }

    fn known(&self, set: &str, line: &str) -> Result<Known, String> {
        let (name, value) = line
            .split_once(',')
            .ok_or_else(|| format!("{line:?}: a name, a comma, a makespan"))?;
        let best = value.rsplit("..").next().unwrap_or(value).trim();
        let best = best
            .parse()
            .map_err(|_| format!("{name}: a makespan, not {value:?}"))?;
        let text = std::fs::read_to_string(self.folder.join(set).join(name))
            .map_err(|e| format!("{name}: {e}"))?;
        let project = file::read(&text).map_err(|e| format!("{name}: {e}"))?;
        Ok(Known {
            name: name.trim_end_matches(".sm").into(),
            project,
            best,
        })
    }
}

/// Twenty projects of the set J30 and their optima (`tests/reference/projects.py` says where from).
///
/// # Panics
/// When the file in `tests/data` is not what that script writes.
#[allow(clippy::expect_used)]
pub fn twenty() -> Vec<Known> {
    let lines = include_str!("../data/j30.jsonl").lines();
    lines.map(|l| line(l).expect("a project")).collect()
}

/// One line of the form of `tests/reference/projects.py`.
fn line(text: &str) -> serde_json::Result<Known> {
    #[derive(serde::Deserialize)]
    struct Line {
        name: String,
        optimum: u32,
        capacity: Vec<u32>,
        durations: Vec<u32>,
        demands: Vec<Vec<u32>>,
        /// Counted from 1.
        successors: Vec<Vec<usize>>,
    }
    let line: Line = serde_json::from_str(text)?;
    let from_zero = |next: Vec<usize>| next.into_iter().map(|s| s.wrapping_sub(1)).collect();
    let project = Project {
        durations: line.durations,
        demands: line.demands,
        successors: line.successors.into_iter().map(from_zero).collect(),
        capacity: line.capacity,
    };
    Ok(Known {
        name: line.name,
        project: project.checked().map_err(serde::de::Error::custom)?,
        best: line.optimum,
    })
}
