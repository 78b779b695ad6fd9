//! Opening a log for writing: a new one, or one that goes on.

use std::{
    fs::{File, OpenOptions},
    io::{self, Seek, SeekFrom, Write},
    path::{Path, PathBuf},
    sync::{Arc, mpsc},
};

use jiff::ZonedDateTime;
use serde::{Serialize, de::DeserializeOwned};

use super::{
    Pause, Writer,
    thread::{Hand, Shared, Thread},
};
use crate::log::{
    disk::{self, Disk, RealDisk},
    lock::{self, Holder, Lock},
    read::{self, Flaw, Reading, Refusal},
};

/// Why a log cannot be opened for writing.
#[derive(Debug, thiserror::Error)]
pub enum OpenError {
    /// Another program writes it.
    #[error("another mealtide writes this log{}", who(.0.as_ref()))]
    Held(Option<Holder>),
    /// A new log would stand in its place.
    #[error("it already exists; a log is never overwritten, but --resume goes on in one")]
    Exists,
    /// The system says no.
    #[error("{0}")]
    Io(#[from] io::Error),
    /// Nothing of it is usable.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// It is damaged before its end. To go on in it would be to throw away records that are whole.
    #[error(
        "{flaw}; {} whole records follow it. The {usable} records before it can be replayed; to go on from there, copy the first {} bytes to a new file and resume that",
        flaw.whole_after,
        flaw.offset
    )]
    Damaged {
        /// Where.
        flaw: Flaw,
        /// Records before it.
        usable: usize,
    },
}

fn who(holder: Option<&Holder>) -> String {
    match holder {
        Some(Holder { pid, since }) => {
            format!(
                ": process {pid}, since {}",
                since.strftime("%Y-%m-%d %H:%M:%S")
            )
        }
        None => String::new(),
    }
}

/// A log that goes on.
#[derive(Debug)]
pub struct Opened<E> {
    /// To append to it.
    pub writer: Writer<E>,
    /// What it says so far. A flaw here has been cut off.
    pub reading: Reading<E>,
    /// Where the damaged or torn end was put, if there was one.
    pub set_aside: Option<PathBuf>,
}

impl<E: Serialize> Writer<E> {
    /// Creates a log at `path`, with the folders it needs, and takes its lock. `now` is told to a second writer.
    ///
    /// # Errors
    /// [`OpenError::Exists`], [`OpenError::Held`], [`OpenError::Io`]. After the last [`Writer::absent`] goes on without
    /// a disk.
    pub fn create(path: &Path, now: &ZonedDateTime) -> Result<Self, OpenError> {
        let file = disk::create(path).map_err(|error| match error.kind() {
            io::ErrorKind::AlreadyExists => in_the_way(path),
            _ => OpenError::Io(error),
        })?;
        lock::sign(path, now);
        let disk = RealDisk::new(file, path.to_owned());
        Ok(Writer::start(path, disk, 0, 0, None)?)
    }

    /// A log that cannot be created now, for `why`: it is kept in memory and created when that works again.
    ///
    /// # Errors
    /// When the system gives no thread.
    pub fn absent(path: &Path, why: &io::Error) -> io::Result<Self> {
        let disk = RealDisk::absent(path.to_owned());
        Writer::start(path, disk, 0, 0, Some(why.to_string()))
    }

    /// Writes to any [`Disk`] that holds `next` records in `length` bytes: to try out what a disk can do.
    ///
    /// # Errors
    /// When the system gives no thread.
    pub fn over(path: &Path, disk: impl Disk, next: u64, length: u64) -> io::Result<Self> {
        Writer::start(path, disk, next, length, None)
    }

    /// Writes to any [`Disk`] without a thread: what is appended has been written when [`append`](Writer::append)
    /// returns. For simulations: a thread would give another dinner each time, with the same seed.
    pub fn at_hand(path: &Path, disk: impl Disk, next: u64, length: u64) -> Self {
        let shared = Shared::new(None);
        let own = Thread::new(disk, length, shared.clone(), None);
        Writer::by(path, next, shared, Hand::Own(Box::new(own)))
    }

    fn start(
        path: &Path,
        disk: impl Disk,
        next: u64,
        length: u64,
        failure: Option<String>,
    ) -> io::Result<Self> {
        let shared = Shared::new(failure.as_deref());
        let (tasks, todo) = mpsc::channel();
        let writing = Thread::new(disk, length, shared.clone(), failure);
        let thread = std::thread::Builder::new()
            .name("log".to_owned())
            .spawn(move || writing.run(&todo))?;
        Ok(Writer::by(
            path,
            next,
            shared,
            Hand::Thread { tasks, thread },
        ))
    }

    fn by(path: &Path, next: u64, shared: Arc<Shared>, hand: Hand) -> Self {
        Writer {
            path: path.to_owned(),
            next,
            hand: Some(hand),
            health: shared.health.subscribe(),
            shared,
            ended: false,
            pause: Pause::default(),
            events: std::marker::PhantomData,
        }
    }
}

impl<E: Serialize + DeserializeOwned> Writer<E> {
    /// Opens a log to go on in it. A torn or damaged end is moved to a file beside it.
    ///
    /// # Errors
    /// Every kind but [`OpenError::Exists`].
    pub fn open(path: &Path, now: &ZonedDateTime) -> Result<Opened<E>, OpenError> {
        let mut file = OpenOptions::new().read(true).write(true).open(path)?;
        if let Lock::Taken(holder) = lock::take(&file, path)? {
            return Err(OpenError::Held(holder));
        }
        let bytes = read::bytes(&mut file)?;
        let reading: Reading<E> = read::parse(&bytes)?;
        let mut set_aside = None;
        if let Some(flaw) = &reading.flaw {
            if !flaw.is_tail() {
                return Err(OpenError::Damaged {
                    flaw: flaw.clone(),
                    usable: reading.records.len(),
                });
            }
            let (_, torn) = bytes
                .split_at_checked(flaw.offset as usize)
                .unwrap_or_default();
            set_aside = Some(put_aside(path, torn)?);
            file.set_len(reading.good)?;
        }
        let mut length = reading.good;
        let whole = bytes.get(..length as usize).unwrap_or_default();
        if !whole.ends_with(b"\n") {
            // Whole but for its line feed, such as an editor takes away.
            file.seek(SeekFrom::Start(length))?;
            file.write_all(b"\n")?;
            length += 1;
        }
        file.sync_all()?;
        lock::sign(path, now);
        let disk = RealDisk::new(file, path.to_owned());
        let next = reading.records.len() as u64;
        Ok(Opened {
            writer: Writer::start(path, disk, next, length, None)?,
            reading,
            set_aside,
        })
    }
}

/// Why no log can be created where a file is: somebody writes it, or it only lies there.
fn in_the_way(path: &Path) -> OpenError {
    match File::open(path).and_then(|file| lock::take(&file, path)) {
        Ok(Lock::Taken(holder)) => OpenError::Held(holder),
        _ => OpenError::Exists,
    }
}

/// Saves the end that is cut off as "NAME.torn-1", or the next number that is free.
fn put_aside(path: &Path, torn: &[u8]) -> io::Result<PathBuf> {
    for number in 1..=999 {
        let mut name = path.as_os_str().to_owned();
        name.push(format!(".torn-{number}"));
        let beside = PathBuf::from(name);
        match File::create_new(&beside) {
            Ok(mut file) => {
                file.write_all(torn)?;
                file.sync_all()?;
                disk::sync_folder(disk::folder_of(path))?;
                return Ok(beside);
            }
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
            Err(error) => return Err(error),
        }
    }
    Err(io::Error::new(
        io::ErrorKind::AlreadyExists,
        "there are 999 torn ends beside the log already; delete some",
    ))
}
