//! Writing: a thread of its own that makes every record durable, and what the loop holds of it.

mod open;
mod thread;

use std::{
    collections::VecDeque,
    marker::PhantomData,
    path::{Path, PathBuf},
    pin::Pin,
    sync::{Arc, atomic::Ordering},
    task::{Context, Poll, Wake, Waker},
    thread::Thread,
};

use serde::Serialize;
use tokio::sync::{oneshot, watch};

use super::line::{self, Stamped};
pub use open::{OpenError, Opened};
use thread::{Batch, Hand, Shared, Task};

/// While the disk fails, no more than this is kept in memory, in bytes; some hundred evenings.
pub const KEPT_LIMIT: usize = 64 << 20;

/// The first pause before the disk is tried again, in ms; each further one is twice as long.
pub const FIRST_PAUSE: i64 = 1_000;

/// The longest pause, in ms.
pub const LONGEST_PAUSE: i64 = 30_000;

/// How the log is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Health {
    /// What is appended gets durable.
    #[default]
    Well,
    /// The disk fails; records are kept in memory and written as soon as it works again.
    Failing {
        /// The error, one line.
        why: String,
        /// Records in memory only.
        kept: usize,
        /// A record that was written in part could not be taken back either; nothing is written behind it.
        torn: bool,
    },
    /// Memory is full as well, or an event cannot be written at all. The log has ended; records are lost from here on.
    Ended {
        /// Why, one line.
        why: String,
    },
}

/// What became of a batch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Written {
    /// It is on the disk.
    Synced,
    /// It is in memory only; [`Writer::health`] says why.
    Kept,
    /// It is lost; [`Writer::health`] says why.
    Lost,
}

/// A promise to say what became of a batch: to be awaited, or waited for.
#[derive(Debug)]
pub struct Ack(oneshot::Receiver<Written>);

impl Ack {
    fn known(written: Written) -> Self {
        let (tell, told) = oneshot::channel();
        let _ = tell.send(written);
        Ack(told)
    }

    /// Waits for it, outside of async code.
    pub fn wait(mut self) -> Written {
        struct Unpark(Thread);
        impl Wake for Unpark {
            fn wake(self: Arc<Self>) {
                self.0.unpark();
            }
        }
        let waker = Waker::from(Arc::new(Unpark(std::thread::current())));
        let mut context = Context::from_waker(&waker);
        loop {
            match Pin::new(&mut self).poll(&mut context) {
                Poll::Ready(written) => return written,
                Poll::Pending => std::thread::park(),
            }
        }
    }
}

impl Future for Ack {
    type Output = Written;

    fn poll(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<Written> {
        // The thread answers every batch; that it is gone means that the batch is, too.
        Pin::new(&mut self.0)
            .poll(context)
            .map(|answer| answer.unwrap_or(Written::Lost))
    }
}

/// The writing end of a log. One exists per log: opening takes a lock.
///
/// Dropping it waits until what was appended is on the disk, or the disk has failed.
#[derive(Debug)]
pub struct Writer<E> {
    path: PathBuf,
    next: u64,
    hand: Option<Hand>,
    shared: Arc<Shared>,
    health: watch::Receiver<Health>,
    ended: bool,
    pause: Pause,
    events: PhantomData<fn(&E)>,
}

/// When the disk is tried again.
#[derive(Debug, Default)]
struct Pause {
    /// The session-clock moment of the next attempt.
    due: Option<i64>,
    /// Attempts since it failed.
    attempts: u32,
}

impl<E: Serialize> Writer<E> {
    /// Takes a batch, numbers it and hands it over; returns at once. One batch is one write and one sync.
    pub fn append(&mut self, batch: &[Stamped<E>]) -> Ack {
        if batch.is_empty() {
            return Ack::known(Written::Synced);
        }
        let mut bytes = Vec::new();
        for (seq, stamped) in (self.next..).zip(batch) {
            if let Err(error) = line::encode(&mut bytes, seq, stamped) {
                return self.end(format!("an event cannot be written as JSON: {error}"));
            }
        }
        let held = self.shared.held.load(Ordering::Acquire);
        if self.ended || held.saturating_add(bytes.len()) > KEPT_LIMIT {
            let limit = KEPT_LIMIT >> 20;
            return self.end(format!("{limit} MiB could not be written"));
        }
        self.shared.held.fetch_add(bytes.len(), Ordering::AcqRel);
        let (tell, told) = oneshot::channel();
        let task = Task::Append(Batch {
            bytes,
            records: batch.len(),
            tell: Some(tell),
        });
        self.next += batch.len() as u64;
        if self.give(task) {
            Ack(told)
        } else {
            self.end("the thread that writes it has ended".to_owned())
        }
    }

    /// A record behind a missing one would make the log unreadable: so the first loss is the end.
    fn end(&mut self, why: String) -> Ack {
        if !self.ended {
            self.ended = true;
            self.shared.health.send_replace(Health::Ended { why });
        }
        Ack::known(Written::Lost)
    }
}

impl<E> Writer<E> {
    /// Where the log is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Records appended so far, those of earlier sittings included.
    pub fn len(&self) -> u64 {
        self.next
    }

    /// Whether nothing has been appended yet.
    pub fn is_empty(&self) -> bool {
        self.next == 0
    }

    /// Whether some of what was appended is not yet on the disk.
    pub fn behind(&self) -> bool {
        self.shared.held.load(Ordering::Acquire) > 0
    }

    /// How the log is now.
    pub fn health(&self) -> Health {
        self.health.borrow().clone()
    }

    /// Says when the health changes: `changed().await`.
    pub fn watch(&self) -> watch::Receiver<Health> {
        self.health.clone()
    }

    /// Tries the disk again if it fails and its pause is over. Returns the session-clock moment at which this wants
    /// to be called again, or `None` if it need not be.
    pub fn retry(&mut self, now: i64) -> Option<i64> {
        let failing = matches!(*self.health.borrow(), Health::Failing { .. });
        if !failing || self.ended {
            self.pause = Pause::default();
            return None;
        }
        let due = *self
            .pause
            .due
            .get_or_insert(now.saturating_add(FIRST_PAUSE));
        if now < due {
            return Some(due);
        }
        self.give(Task::Retry);
        self.pause.attempts += 1;
        let longer = FIRST_PAUSE << self.pause.attempts.min(16);
        let due = now.saturating_add(longer.min(LONGEST_PAUSE));
        self.pause.due = Some(due);
        Some(due)
    }

    /// Waits until what was appended is on the disk or the disk has failed once more, and gives the lock back.
    pub fn close(mut self) -> Health {
        self.finish();
        self.health()
    }

    fn give(&mut self, task: Task) -> bool {
        self.hand.as_mut().is_some_and(|hand| hand.give(task))
    }

    fn finish(&mut self) {
        if let Some(hand) = self.hand.take() {
            hand.finish();
            super::lock::unsign(&self.path);
        }
    }
}

impl<E> Drop for Writer<E> {
    fn drop(&mut self) {
        self.finish();
    }
}

/// Batches that are not on the disk, oldest first.
type Kept = VecDeque<Batch>;

#[cfg(test)]
mod power;
#[cfg(test)]
mod tests;
