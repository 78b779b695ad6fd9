//! The thread: everything that waits is one write and one sync; what fails is taken back and kept.

use std::sync::{
    Arc,
    atomic::{AtomicUsize, Ordering},
    mpsc,
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

/// The thread's side.
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

    /// Runs until the other end is gone; then tries once more, if it has to.
    pub fn run(mut self, tasks: &mpsc::Receiver<Task>) {
        while let Ok(first) = tasks.recv() {
            let mut retry = false;
            for task in std::iter::once(first).chain(tasks.try_iter()) {
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
        if self.failure.is_some() && !self.kept.is_empty() {
            self.attempt();
        }
    }

    /// Writes and syncs all that is kept.
    fn attempt(&mut self) {
        match self.write() {
            Ok(length) => {
                self.synced += length;
                self.failure = None;
                let synced = std::mem::take(&mut self.kept);
                self.report(synced);
            }
            Err(error) => {
                // After a failed sync nobody knows what of the written is on the disk: it is taken back as a whole,
                // and written again from memory.
                let torn = self.disk.cut(self.synced).is_err();
                self.failure = Some(Failure {
                    why: error.to_string(),
                    torn,
                });
                self.report(Kept::new());
            }
        }
    }

    fn write(&mut self) -> std::io::Result<u64> {
        if self.failure.is_some() {
            self.disk.restore(self.synced)?;
            self.disk.cut(self.synced)?;
        }
        let parts: Vec<&[u8]> = self
            .kept
            .iter()
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
