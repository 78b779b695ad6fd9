//! The one who writes, in a thread or at hand: everything that waits is one write and one sync; what fails is taken back
//! and kept.

use std::{
    fmt,
    sync::{
        Arc,
        atomic::{AtomicUsize, Ordering},
        mpsc,
    },
    thread::JoinHandle,
};

use tokio::sync::{oneshot, watch};

use super::{Health, Kept, Written};
use crate::log::disk::Disk;

/// What the thread is told.
#[derive(Debug)]
pub(super) enum Task {
    Append(Batch),
    Retry,
}

/// Records as bytes, and who wants to know.
#[derive(Debug)]
pub(super) struct Batch {
    pub bytes: Vec<u8>,
    pub records: usize,
    pub tell: Option<oneshot::Sender<Written>>,
}

/// What both ends see.
#[derive(Debug)]
pub(super) struct Shared {
    /// Bytes appended and not on the disk.
    pub held: AtomicUsize,
    pub health: watch::Sender<Health>,
}

impl Shared {
    /// Nothing appended yet; the disk fails already for `failure`, if there is one.
    pub fn new(failure: Option<&str>) -> Arc<Self> {
        let health = match failure {
            None => Health::Well,
            Some(why) => Health::Failing {
                why: why.to_owned(),
                kept: 0,
                torn: false,
            },
        };
        Arc::new(Shared {
            held: AtomicUsize::new(0),
            health: watch::Sender::new(health),
        })
    }
}

/// Who writes when there is a thread for it, and when there is none.
pub(super) enum Hand {
    /// A thread of its own.
    Thread {
        tasks: mpsc::Sender<Task>,
        thread: JoinHandle<()>,
    },
    /// Whoever appends, who waits for it.
    Own(Box<dyn Own>),
}

impl Hand {
    /// Hands it over; whether there was somebody to take it.
    pub fn give(&mut self, task: Task) -> bool {
        match self {
            Hand::Thread { tasks, .. } => tasks.send(task).is_ok(),
            Hand::Own(own) => {
                own.take(task);
                true
            }
        }
    }

    /// Waits until all that was handed over is done.
    pub fn finish(self) {
        match self {
            Hand::Thread { tasks, thread } => {
                drop(tasks);
                // That it panicked was told when it did.
                let _ = thread.join();
            }
            Hand::Own(mut own) => own.end(),
        }
    }
}

impl fmt::Debug for Hand {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Hand::Thread { .. } => "Thread",
            Hand::Own(_) => "Own",
        })
    }
}

/// A writer of any disk.
pub(super) trait Own: Send {
    fn take(&mut self, task: Task);

    fn end(&mut self);
}

impl<D: Disk> Own for Thread<D> {
    fn take(&mut self, task: Task) {
        Thread::take(self, [task]);
    }

    fn end(&mut self) {
        Thread::end(self);
    }
}

/// The side that writes.
pub(super) struct Thread<D> {
    disk: D,
    /// Bytes known to be on the disk, all of them whole records.
    synced: u64,
    kept: Kept,
    /// What failed last, until it works again.
    failure: Option<Failure>,
    shared: Arc<Shared>,
}

struct Failure {
    why: String,
    /// The bytes after `synced` could not be taken back.
    torn: bool,
}

impl<D: Disk> Thread<D> {
    pub fn new(disk: D, synced: u64, shared: Arc<Shared>, failure: Option<String>) -> Self {
        Thread {
            disk,
            synced,
            kept: Kept::new(),
            failure: failure.map(|why| Failure { why, torn: false }),
            shared,
        }
    }

    /// Runs until the other end is gone.
    pub fn run(mut self, tasks: &mpsc::Receiver<Task>) {
        while let Ok(first) = tasks.recv() {
            self.take(std::iter::once(first).chain(tasks.try_iter()));
        }
        self.end();
    }

    /// Does what it is told; of several batches at once it makes one write and one sync.
    pub fn take(&mut self, tasks: impl IntoIterator<Item = Task>) {
        let mut retry = false;
        for task in tasks {
            match task {
                Task::Append(batch) => self.kept.push_back(batch),
                Task::Retry => retry = true,
            }
        }
        if self.failure.is_none() || retry {
            self.attempt();
        } else {
            self.report(Kept::new());
        }
    }

    /// Tries once more, if it has to.
    fn end(&mut self) {
        if self.failure.is_some() && !self.kept.is_empty() {
            self.attempt();
        }
    }

    /// Writes and syncs what is kept: all of it, or as much of it as a disk has room for that is all but full.
    fn attempt(&mut self) {
        let mut count = self.kept.len();
        let mut first = None;
        loop {
            match self.write(count) {
                Ok(length) => {
                    self.synced += length;
                    break;
                }
                Err(error) => {
                    // After a failed sync nobody knows what of the written is on the disk: it is taken back as a whole,
                    // and written again from memory.
                    let torn = self.disk.cut(self.synced).is_err();
                    let why = first.get_or_insert_with(|| error.to_string()).clone();
                    self.failure = Some(Failure { why, torn });
                    count = if torn { 0 } else { count / 2 };
                    if count == 0 {
                        break;
                    }
                }
            }
        }
        if first.is_none() {
            self.failure = None;
        }
        let rest = self.kept.split_off(count);
        let synced = std::mem::replace(&mut self.kept, rest);
        self.report(synced);
    }

    /// Writes and syncs so many of the batches that are kept; gives how many bytes they are.
    fn write(&mut self, count: usize) -> std::io::Result<u64> {
        if self.failure.is_some() {
            self.disk.restore(self.synced)?;
            self.disk.cut(self.synced)?;
        }
        let parts: Vec<&[u8]> = self
            .kept
            .iter()
            .take(count)
            .map(|batch| batch.bytes.as_slice())
            .collect();
        let bytes = parts.concat();
        self.disk.write(self.synced, &bytes)?;
        self.disk.sync()?;
        Ok(bytes.len() as u64)
    }

    /// Says how it went: the health first, so that whoever hears of a batch finds the reason there.
    fn report(&mut self, synced: Kept) {
        let health = match &self.failure {
            None => Health::Well,
            Some(Failure { why, torn }) => Health::Failing {
                why: why.clone(),
                kept: self.kept.iter().map(|batch| batch.records).sum(),
                torn: *torn,
            },
        };
        self.shared.health.send_if_modified(|known| {
            let news = *known != health && !matches!(known, Health::Ended { .. });
            if news {
                *known = health;
            }
            news
        });
        let bytes = synced.iter().map(|batch| batch.bytes.len()).sum();
        self.shared.held.fetch_sub(bytes, Ordering::AcqRel);
        let kept = self
            .kept
            .iter_mut()
            .map(|batch| (batch.tell.take(), Written::Kept));
        let synced = synced
            .into_iter()
            .map(|batch| (batch.tell, Written::Synced));
        for (tell, written) in synced.chain(kept) {
            // Nobody may be waiting any more.
            let _ = tell.map(|tell| tell.send(written));
        }
    }
}
