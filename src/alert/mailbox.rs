//! The worker's mailbox: bounded, and whoever puts something in never waits for the worker.

use std::{
    collections::{BTreeSet, VecDeque},
    sync::{Condvar, Mutex, MutexGuard, PoisonError},
    time::Instant,
};

use super::{Announcement, desktop::Shown};

/// Answers that the worker hasn't seen yet; beyond that the oldest name is no longer of interest.
const ANSWERS: usize = 256;

/// What a throw-away thread says to the worker.
pub(super) enum News {
    /// A sound has begun.
    Started { token: u64 },
    /// A sound has ended.
    Ended {
        token: u64,
        result: Result<(), String>,
    },
    /// A sentence has been spoken.
    Spoken {
        token: u64,
        result: Result<(), String>,
    },
    /// A notification is shown.
    Shown {
        token: u64,
        result: Result<Box<Shown>, String>,
    },
    /// It was taken away.
    Closed { token: u64 },
}

/// What the worker has to do next.
pub(super) enum Mail {
    Announce(Box<Announcement>),
    Answered(String),
    News(News),
    /// Nothing came until the deadline.
    Silence,
    /// The owner is gone.
    End,
}

#[derive(Default)]
struct Inner {
    /// At most one a priority; a newer one supersedes all that are not more urgent.
    waiting: Vec<Announcement>,
    answered: BTreeSet<String>,
    news: VecDeque<News>,
    ended: bool,
}

/// See the module.
#[derive(Default)]
pub(super) struct Mailbox {
    inner: Mutex<Inner>,
    came: Condvar,
}

impl Mailbox {
    fn lock(&self) -> MutexGuard<'_, Inner> {
        self.inner.lock().unwrap_or_else(PoisonError::into_inner)
    }

    pub(super) fn announce(&self, announcement: Announcement) {
        let mut inner = self.lock();
        inner.answered.remove(&announcement.id);
        inner
            .waiting
            .retain(|waiting| waiting.priority > announcement.priority);
        inner.waiting.push(announcement);
        drop(inner);
        self.came.notify_one();
    }

    pub(super) fn answered(&self, id: &str) {
        let mut inner = self.lock();
        inner.waiting.retain(|waiting| waiting.id != id);
        if inner.answered.len() >= ANSWERS {
            inner.answered.pop_first();
        }
        inner.answered.insert(id.to_owned());
        drop(inner);
        self.came.notify_one();
    }

    /// From the worker's own threads: at most two items for each of them.
    pub(super) fn tell(&self, news: News) {
        self.lock().news.push_back(news);
        self.came.notify_one();
    }

    pub(super) fn end(&self) {
        self.lock().ended = true;
        self.came.notify_one();
    }

    /// The next thing to do. Answers come before announcements: what is playing falls silent first. Announcements are
    /// held back while `busy`, but for those that `interrupts` lets through.
    pub(super) fn next(
        &self,
        until: Option<Instant>,
        interrupts: impl Fn(&Announcement) -> bool,
    ) -> Mail {
        let mut inner = self.lock();
        loop {
            if inner.ended {
                return Mail::End;
            }
            if let Some(id) = inner.answered.pop_first() {
                return Mail::Answered(id);
            }
            if let Some(news) = inner.news.pop_front() {
                return Mail::News(news);
            }
            // The most urgent is the first: each push leaves only more urgent ones before it.
            if inner.waiting.first().is_some_and(&interrupts) {
                return Mail::Announce(Box::new(inner.waiting.remove(0)));
            }
            let Some(until) = until else {
                inner = self
                    .came
                    .wait(inner)
                    .unwrap_or_else(PoisonError::into_inner);
                continue;
            };
            let left = until.saturating_duration_since(Instant::now());
            if left.is_zero() {
                return Mail::Silence;
            }
            inner = self
                .came
                .wait_timeout(inner, left)
                .unwrap_or_else(PoisonError::into_inner)
                .0;
        }
    }
    /// What a thread says, before `until`: for the end, when nothing else counts.
    pub(super) fn next_news(&self, until: Instant) -> Option<News> {
        let mut inner = self.lock();
        loop {
            if let Some(news) = inner.news.pop_front() {
                return Some(news);
            }
            let left = until.saturating_duration_since(Instant::now());
            if left.is_zero() {
                return None;
            }
            inner = self
                .came
                .wait_timeout(inner, left)
                .unwrap_or_else(PoisonError::into_inner)
                .0;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::live::Priority;

    fn call(id: &str, priority: Priority) -> Announcement {
        Announcement {
            id: id.into(),
            priority,
            sentence: String::new(),
            title: String::new(),
            count: 1,
            repeat: 0,
            late: 0,
        }
    }

    fn taken(mailbox: &Mailbox) -> Vec<String> {
        let mut all = Vec::new();
        loop {
            match mailbox.next(Some(Instant::now()), |_| true) {
                Mail::Announce(announcement) => all.push(announcement.id),
                Mail::Answered(id) => all.push(format!("answered {id}")),
                Mail::News(_) => all.push("news".into()),
                Mail::Silence | Mail::End => return all,
            }
        }
    }

    #[test]
    fn a_newer_announcement_supersedes_those_that_wait() {
        let mailbox = Mailbox::default();
        for number in 0..10_000 {
            mailbox.announce(call(&number.to_string(), Priority::Low));
        }
        mailbox.announce(call("now", Priority::Medium));
        assert_eq!(taken(&mailbox), ["now"]);
    }

    #[test]
    fn a_less_urgent_one_waits_behind_a_more_urgent_one() {
        let mailbox = Mailbox::default();
        mailbox.announce(call("high", Priority::High));
        mailbox.announce(call("medium", Priority::Medium));
        mailbox.announce(call("low", Priority::Low));
        mailbox.announce(call("lower", Priority::Low));
        assert_eq!(taken(&mailbox), ["high", "medium", "lower"]);
    }

    #[test]
    fn an_answer_takes_back_what_waits_and_comes_first() {
        let mailbox = Mailbox::default();
        mailbox.announce(call("a", Priority::High));
        mailbox.announce(call("b", Priority::Low));
        mailbox.answered("a");
        assert_eq!(taken(&mailbox), ["answered a", "b"]);
        for number in 0..10_000 {
            mailbox.answered(&number.to_string());
        }
        assert_eq!(taken(&mailbox).len(), ANSWERS);
    }

    #[test]
    fn announced_again_after_its_answer_it_is_heard() {
        let mailbox = Mailbox::default();
        mailbox.answered("a");
        mailbox.announce(call("a", Priority::Low));
        assert_eq!(taken(&mailbox), ["a"]);
    }

    #[test]
    fn what_does_not_interrupt_is_kept() {
        let mailbox = Mailbox::default();
        mailbox.announce(call("low", Priority::Low));
        assert!(matches!(
            mailbox.next(Some(Instant::now()), |_| false),
            Mail::Silence
        ));
        assert_eq!(taken(&mailbox), ["low"]);
        mailbox.end();
        assert!(matches!(mailbox.next(None, |_| true), Mail::End));
    }
}
