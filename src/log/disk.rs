//! What the writer asks of a disk, and the real one.

use std::{
    fs::{self, File, OpenOptions},
    io::{self, Seek, SeekFrom, Write},
    path::{Path, PathBuf},
};

use super::lock::{self, Lock};

/// A file that only grows, but for what is taken back.
pub trait Disk: Send + 'static {
    /// Writes at `offset`, the end of the file.
    ///
    /// # Errors
    /// When not all could be written; a part of it may have been.
    fn write(&mut self, offset: u64, bytes: &[u8]) -> io::Result<()>;

    /// Returns when all that was written is on the disk, and the file is still where it belongs.
    ///
    /// # Errors
    /// When it is not known to be on the disk.
    fn sync(&mut self) -> io::Result<()>;

    /// Takes back all after the first `length` bytes.
    ///
    /// # Errors
    /// When that failed; the end of the file is then unknown.
    fn cut(&mut self, length: u64) -> io::Result<()>;

    /// If the file is not where it belongs, puts it there, with its first `length` bytes. Asked before each retry.
    ///
    /// # Errors
    /// When it still is not there.
    fn restore(&mut self, length: u64) -> io::Result<()>;
}

/// A file of the file system.
#[derive(Debug)]
pub struct RealDisk {
    file: Option<File>,
    path: PathBuf,
}

impl RealDisk {
    /// A file that is open for reading and writing, and locked.
    pub(super) fn new(file: File, path: PathBuf) -> Self {
        RealDisk {
            file: Some(file),
            path,
        }
    }

    /// A file that could not be created yet.
    pub(super) fn absent(path: PathBuf) -> Self {
        RealDisk { file: None, path }
    }

    fn file(&mut self) -> io::Result<&mut File> {
        self.file
            .as_mut()
            .ok_or_else(|| io::Error::new(io::ErrorKind::NotFound, "the log could not be created"))
    }
}

impl Disk for RealDisk {
    fn write(&mut self, offset: u64, bytes: &[u8]) -> io::Result<()> {
        let file = self.file()?;
        file.seek(SeekFrom::Start(offset))?;
        file.write_all(bytes)
    }

    fn sync(&mut self) -> io::Result<()> {
        let file = self.file()?;
        file.sync_data()?;
        match is_deleted(file)? {
            true => Err(deleted()),
            false => Ok(()),
        }
    }

    fn cut(&mut self, length: u64) -> io::Result<()> {
        match &self.file {
            Some(file) => file.set_len(length),
            None if length == 0 => Ok(()),
            None => Err(deleted()),
        }
    }

    fn restore(&mut self, length: u64) -> io::Result<()> {
        match &mut self.file {
            Some(file) if !is_deleted(file)? => return Ok(()),
            _ => {}
        }
        let mut new = create(&self.path)?;
        if let Err(error) = refill(self.file.as_mut(), &mut new, length) {
            // Half a copy must not stand in the way of the next attempt.
            let _ = fs::remove_file(&self.path);
            return Err(error);
        }
        self.file = Some(new);
        Ok(())
    }
}

/// Copies the beginning of a deleted file, which lives as long as it is open.
fn refill(old: Option<&mut File>, new: &mut File, length: u64) -> io::Result<()> {
    if let Some(old) = old {
        old.seek(SeekFrom::Start(0))?;
        if io::copy(&mut io::Read::take(old, length), new)? != length {
            return Err(io::Error::new(
                io::ErrorKind::UnexpectedEof,
                "the deleted log could not be read back",
            ));
        }
    }
    new.sync_all()
}

fn deleted() -> io::Error {
    io::Error::new(io::ErrorKind::NotFound, "the log was deleted")
}

#[cfg(unix)]
fn is_deleted(file: &File) -> io::Result<bool> {
    use std::os::unix::fs::MetadataExt;
    Ok(file.metadata()?.nlink() == 0)
}

/// Elsewhere an open file cannot be deleted.
#[cfg(not(unix))]
fn is_deleted(_: &File) -> io::Result<bool> {
    Ok(false)
}

/// Creates and locks a new file, with the folders it needs; after a power cut all of them are still there.
pub(super) fn create(path: &Path) -> io::Result<File> {
    let folder = folder_of(path);
    create_folders(folder)?;
    let file = OpenOptions::new()
        .read(true)
        .write(true)
        .create_new(true)
        .open(path)?;
    if let Lock::Taken(_) = lock::take(&file, path)? {
        return Err(io::Error::new(
            io::ErrorKind::WouldBlock,
            "another program locked the new log",
        ));
    }
    sync_folder(folder)?;
    Ok(file)
}

pub(super) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

pub(super) fn create_folders(folder: &Path) -> io::Result<()> {
    if folder.is_dir() {
        return Ok(());
    }
    if let Some(above) = folder
        .parent()
        .filter(|above| !above.as_os_str().is_empty())
    {
        create_folders(above)?;
    }
    match fs::create_dir(folder) {
        Err(error) if error.kind() != io::ErrorKind::AlreadyExists => Err(error),
        _ => sync_folder(folder_of(folder)),
    }
}

/// The name of a new file is on the disk only when its folder is.
pub(super) fn sync_folder(folder: &Path) -> io::Result<()> {
    if cfg!(unix) {
        match File::open(folder)?.sync_all() {
            // Some file systems cannot sync a folder; they have nothing better to offer.
            Err(error) if error.kind() != io::ErrorKind::InvalidInput => return Err(error),
            _ => {}
        }
    }
    Ok(())
}
