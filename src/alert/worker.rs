//! The worker: takes announcements, starts every way on a thread of its own, and watches their deadlines.

mod desktop;
mod sounding;
mod speaking;

use std::{
    collections::BTreeMap,
    sync::Arc,
    thread::{self, JoinHandle},
    time::{Duration, Instant},
};

use tokio::sync::mpsc::{UnboundedReceiver, unbounded_channel};

use self::{desktop::Desk, sounding::Sounding, speaking::Speaking};
use super::{
    AlertConfig, Announcement, Outcome, Report, Speaker, Tone, Way,
    mailbox::{Mail, Mailbox, News},
    speech,
    stop::Stop,
};
use crate::live::Priority;

/// Threads of one way that are waited for without an answer; beyond that it isn't asked again until one comes back.
const UNANSWERED: usize = 4;

/// What the worker says to its owner.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Notice {
    /// How a way did for an announcement.
    Did(Report),
    /// The same, when it is new.
    Report(Report),
    /// Nothing more happens for an announcement.
    Finished { id: String },
}

/// The ways of reaching the cook. To drop it silences all of them.
pub struct Alerts {
    mailbox: Arc<Mailbox>,
    reports: UnboundedReceiver<Report>,
    worker: Option<JoinHandle<()>>,
}

impl Alerts {
    /// Starts the worker.
    pub fn start(config: AlertConfig) -> Self {
        Self::start_with(config, |_| ())
    }

    /// The same; `notice` is called on the worker's thread.
    pub(super) fn start_with(
        config: AlertConfig,
        notice: impl Fn(Notice) + Send + 'static,
    ) -> Self {
        let mailbox = Arc::new(Mailbox::default());
        let (sender, reports) = unbounded_channel();
        let failed = sender.clone();
        let inbox = Arc::clone(&mailbox);
        let tell = move |said: Notice| {
            if let Notice::Report(report) = &said {
                // Nobody has to listen.
                let _ = sender.send(report.clone());
            }
            notice(said);
        };
        let worker = thread::Builder::new()
            .name("alerts".into())
            .spawn(move || Worker::new(inbox, config, Box::new(tell)).run());
        if let Err(error) = &worker {
            let outcome = Outcome::Fails(format!("no thread: {error}"));
            let _ = failed.send(Report {
                way: Way::Bell,
                outcome,
            });
        }
        Self {
            mailbox,
            reports,
            worker: worker.ok(),
        }
    }

    /// Makes an announcement heard, now. Never blocks. It supersedes those that wait and are not more urgent, and
    /// interrupts what is sounding unless that is more urgent.
    pub fn announce(&self, announcement: Announcement) {
        self.mailbox.announce(announcement);
    }

    /// An announcement was answered: what is sounding of it falls silent, its notification goes. Never blocks.
    pub fn answered(&self, id: &str) {
        self.mailbox.answered(id);
    }

    /// What is said once: a way fails, a way works again, the bell has to be rung.
    pub fn reports(&mut self) -> &mut UnboundedReceiver<Report> {
        &mut self.reports
    }
}

impl Drop for Alerts {
    fn drop(&mut self) {
        self.mailbox.end();
        if let Some(worker) = self.worker.take() {
            // It ends by itself; a panic of it was reported where it happened.
            let _ = worker.join();
        }
    }
}

struct Worker {
    mailbox: Arc<Mailbox>,
    config: AlertConfig,
    tones: [Tone; 3],
    speakers: Vec<Speaker>,
    notice: Box<dyn Fn(Notice) + Send>,
    /// What is known of each way: `None` works, else why it fails.
    health: BTreeMap<Way, Option<String>>,
    /// Threads that haven't come back.
    outstanding: BTreeMap<u64, Way>,
    tokens: u64,
    /// The latest announcement that isn't answered.
    current: Option<Announcement>,
    /// It was said that nothing more happens for it.
    finished: bool,
    sounding: Option<Sounding>,
    speaking: Option<Speaking>,
    desk: Desk,
}

impl Worker {
    fn new(mailbox: Arc<Mailbox>, config: AlertConfig, notice: Box<dyn Fn(Notice) + Send>) -> Self {
        let tones = [Priority::Low, Priority::Medium, Priority::High]
            .map(|priority| Tone::of(config.notes.of(priority)));
        let speakers = speech::found(config.speech_command.as_deref(), &config.surroundings);
        Self {
            mailbox,
            config,
            tones,
            speakers,
            notice,
            health: BTreeMap::new(),
            outstanding: BTreeMap::new(),
            tokens: 0,
            current: None,
            finished: false,
            sounding: None,
            speaking: None,
            desk: Desk::default(),
        }
    }

    fn run(mut self) {
        loop {
            let until = [
                self.sounding.as_ref().and_then(Sounding::deadline),
                self.desk.deadline(),
            ];
            let mail = self
                .mailbox
                .next(until.into_iter().flatten().min(), |call| {
                    self.sounding
                        .as_ref()
                        .is_none_or(|sounding| sounding.gives_way_to(call))
                });
            match mail {
                Mail::Announce(announcement) => self.announce(*announcement),
                Mail::Answered(id) => self.answered(&id),
                Mail::News(news) => self.learn(news),
                Mail::Silence => self.look_at_deadlines(Instant::now()),
                Mail::End => return self.end(),
            }
            self.finish();
        }
    }

    fn announce(&mut self, announcement: Announcement) {
        self.fall_silent();
        self.current = Some(announcement.clone());
        self.finished = false;
        self.sound(announcement.clone());
        if self.config.uses(Way::Desktop) {
            self.want(Some(announcement));
        }
    }

    fn answered(&mut self, id: &str) {
        if self
            .current
            .as_ref()
            .is_some_and(|current| current.id == id)
        {
            self.current = None;
            self.fall_silent();
            self.want(None);
        }
    }

    /// Ends what is sounding and what is being spoken.
    fn fall_silent(&mut self) {
        if let Some(sounding) = self.sounding.take() {
            sounding.stop();
        }
        if let Some(speaking) = self.speaking.take() {
            speaking.stop();
        }
    }

    fn learn(&mut self, news: News) {
        match news {
            News::Started { token } => self.sound_started(token),
            News::Ended { token, result } => {
                self.outstanding.remove(&token);
                self.sound_ended(token, result);
            }
            News::Spoken { token, result } => {
                self.outstanding.remove(&token);
                self.spoken(token, result);
            }
            News::Shown { token, result } => {
                self.outstanding.remove(&token);
                self.shown(result.map(|shown| *shown));
            }
            News::Closed { token } => {
                self.outstanding.remove(&token);
                self.closed();
            }
        }
    }

    fn look_at_deadlines(&mut self, now: Instant) {
        self.sound_deadline(now);
        self.desk_deadline(now);
    }

    /// Notes how a way did, and says so when that is new.
    fn note(&mut self, way: Way, failure: Option<String>) {
        let outcome = failure.clone().map_or(Outcome::Works, Outcome::Fails);
        let report = Report { way, outcome };
        let before = self.health.insert(way, failure);
        let worked = before.map(|before| before.is_none());
        if worked != Some(report.outcome == Outcome::Works) {
            (self.notice)(Notice::Report(report.clone()));
        }
        (self.notice)(Notice::Did(report));
    }

    /// Says that nothing more happens for the current announcement.
    fn finish(&mut self) {
        let busy = self
            .sounding
            .as_ref()
            .is_some_and(|sounding| !sounding.over())
            || self.speaking.is_some()
            || self.desk.busy();
        if let Some(current) = self.current.as_ref().filter(|_| !busy && !self.finished) {
            self.finished = true;
            (self.notice)(Notice::Finished {
                id: current.id.clone(),
            });
        }
    }

    /// Starts a throw-away thread for a way.
    ///
    /// # Errors
    /// When too many of that way haven't come back, or there are no threads.
    fn throw_away(
        &mut self,
        way: Way,
        work: impl FnOnce(u64, &Mailbox, &Stop) + Send + 'static,
    ) -> Result<(u64, Stop), String> {
        if self
            .outstanding
            .values()
            .filter(|&&other| other == way)
            .count()
            >= UNANSWERED
        {
            return Err(format!("{} still does not answer", way.words()));
        }
        self.tokens += 1;
        let (token, stop) = (self.tokens, Stop::default());
        let (mailbox, obeyed) = (Arc::clone(&self.mailbox), stop.clone());
        thread::Builder::new()
            .name(way.name().into())
            .spawn(move || work(token, &mailbox, &obeyed))
            .map_err(|error| format!("no thread: {error}"))?;
        self.outstanding.insert(token, way);
        Ok((token, stop))
    }

    /// Silences everything. What has to be ended from outside (a notification, a program) has a moment to go.
    fn end(mut self) {
        self.fall_silent();
        self.want(None);
        let until = Instant::now() + Duration::from_millis(200);
        while self.desk.busy() || !self.outstanding.is_empty() {
            match self.mailbox.next_news(until) {
                Some(news) => self.learn(news),
                None => return,
            }
        }
    }
}
