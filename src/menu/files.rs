//! Where files come from: folders on disk, kept within themselves, or text that is built in.

use std::fs;
use std::io::Read;
use std::path::{Component, Path, PathBuf};

/// No file that is read is larger: 4 MiB.
pub const LARGEST: u64 = 4 * 1024 * 1024;

/// A folder of files by relative path.
pub trait Files {
    /// The bytes of a file; `None` if there is none of that name.
    ///
    /// # Errors
    /// Why it can't be read, or may not be.
    fn read(&self, path: &str) -> Result<Option<Vec<u8>>, String>;

    /// What the cook calls the file.
    fn shown(&self, path: &str) -> String;
}

/// A folder on disk. Nothing outside of it is read.
#[derive(Clone, Debug)]
pub struct Folder(pub PathBuf);

impl Files for Folder {
    fn read(&self, path: &str) -> Result<Option<Vec<u8>>, String> {
        let wanted = Path::new(path);
        let inside = wanted
            .components()
            .all(|c| matches!(c, Component::Normal(_) | Component::CurDir));
        if !inside || path.is_empty() || path.contains(['\\', '\0']) {
            return Err("a path stays within the folder: relative, without '..'".into());
        }
        let full = self.0.join(wanted);
        let real = match fs::canonicalize(&full) {
            Ok(real) => real,
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(None),
            Err(error) if error.kind() == std::io::ErrorKind::NotADirectory => return Ok(None),
            Err(error) => return Err(why(&error)),
        };
        let home = fs::canonicalize(&self.0).map_err(|error| why(&error))?;
        if !real.starts_with(&home) {
            return Err("a link leads out of the folder".into());
        }
        // A device or a pipe may never end.
        if !real.is_file() {
            return Err("it is not a regular file".into());
        }
        read_bounded(&real).map(Some)
    }

    fn shown(&self, path: &str) -> String {
        self.0.join(path).display().to_string()
    }
}

/// Files that are built in.
#[derive(Clone, Copy, Debug)]
pub struct BuiltIn(pub &'static [(&'static str, &'static str)]);

impl Files for BuiltIn {
    fn read(&self, path: &str) -> Result<Option<Vec<u8>>, String> {
        let found = self.0.iter().find(|(name, _)| *name == path);
        Ok(found.map(|(_, text)| text.as_bytes().to_vec()))
    }

    fn shown(&self, path: &str) -> String {
        format!("built-in {path}")
    }
}

/// The whole of a file, if it isn't too large.
///
/// # Errors
/// Why it can't be read, in words.
pub fn read_bounded(path: &Path) -> Result<Vec<u8>, String> {
    if path.is_dir() {
        return Err("it is a folder".into());
    }
    let file = fs::File::open(path).map_err(|error| why(&error))?;
    let mut bytes = Vec::new();
    file.take(LARGEST + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| why(&error))?;
    if bytes.len() as u64 > LARGEST {
        return Err("it is larger than 4 MiB".into());
    }
    Ok(bytes)
}

/// The whole of a file as text, if it isn't too large.
///
/// # Errors
/// Why it can't be read, in words.
pub fn read_text(path: &Path) -> Result<String, String> {
    String::from_utf8(read_bounded(path)?).map_err(|_| "it is not UTF-8 text".into())
}

fn why(error: &std::io::Error) -> String {
    match error.kind() {
        std::io::ErrorKind::NotFound => "there is no such file".into(),
        std::io::ErrorKind::PermissionDenied => "permission denied".into(),
        _ => error.to_string(),
    }
}
