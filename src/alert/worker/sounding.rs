//! A sound, from way to way until one makes it heard.

use std::{
    sync::Arc,
    time::{Duration, Instant},
};

use super::{Notice, Worker};
use crate::alert::mailbox::News;
use crate::alert::{
    Announcement, Outcome, Report, Way,
    sound::{self, Job},
    stop::Stop,
};

/// How long a way may take to make the first sound, and how long one that let the last call down.
const PATIENCE: Duration = Duration::from_millis(1500);
const PATIENCE_WITH_A_FAILING_ONE: Duration = Duration::from_millis(300);

/// How far a device may be behind, and how long the ear needs to tell one sound from the next.
const LAG: Duration = Duration::from_millis(500);

/// A sound that is under way.
pub(super) struct Sounding {
    call: Announcement,
    job: Arc<Job>,
    /// Position of the way in the chain.
    position: usize,
    token: u64,
    stop: Stop,
    phase: Phase,
    /// The bell was asked for already.
    rung: bool,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Phase {
    /// The way was asked, and has until then.
    Asked(Instant),
    /// It sounds until then.
    Heard(Instant),
    /// It has sounded by the clock. A device may lag behind that, and the ear wants a pause: until then.
    Lags(Instant),
    /// Nothing more is waited for.
    Over,
}

impl Sounding {
    pub(super) fn deadline(&self) -> Option<Instant> {
        match self.phase {
            Phase::Asked(until) | Phase::Heard(until) | Phase::Lags(until) => Some(until),
            Phase::Over => None,
        }
    }

    pub(super) fn over(&self) -> bool {
        self.phase == Phase::Over
    }

    pub(super) fn stop(&self) {
        self.stop.stop();
    }

    /// A more urgent sound is heard to its end.
    pub(super) fn gives_way_to(&self, call: &Announcement) -> bool {
        self.over() || call.priority >= self.call.priority || call.id == self.call.id
    }
}

impl Worker {
    /// Sounds an announcement.
    pub(super) fn sound(&mut self, call: Announcement) {
        let now = jiff::ZonedDateTime::now().time();
        let tone = &self.tones[call.priority as usize];
        let job = Job {
            samples: tone.raw(),
            gain: tone.gain(self.config.loudness_at(now), call.repeat),
            length: tone.length(),
        };
        self.try_from(0, call, Arc::new(job), false);
    }

    /// Tries the ways of the chain from `first` on; the bell unless it was `rung` already.
    fn try_from(&mut self, first: usize, call: Announcement, job: Arc<Job>, rung: bool) {
        for (position, &way) in sound::CHAIN.iter().enumerate().skip(first) {
            if !self.config.uses(way) {
                continue;
            }
            if way == Way::Bell {
                if !rung {
                    self.ring_the_bell();
                }
                break;
            }
            match self.ask(way, &job) {
                Ok((token, stop)) => {
                    let phase = Phase::Asked(Instant::now() + self.patience(way));
                    self.sounding = Some(Sounding {
                        call,
                        job,
                        position,
                        token,
                        stop,
                        phase,
                        rung,
                    });
                    return;
                }
                Err(why) => self.note(way, Some(why)),
            }
        }
        self.speak(&call);
    }

    fn ask(&mut self, way: Way, job: &Arc<Job>) -> Result<(u64, Stop), String> {
        let (job, surroundings) = (Arc::clone(job), self.config.surroundings.clone());
        self.throw_away(way, move |token, mailbox, stop| {
            let started = || mailbox.tell(News::Started { token });
            let result = sound::play(way, &job, &surroundings, stop, &started);
            mailbox.tell(News::Ended { token, result });
        })
    }

    fn patience(&self, way: Way) -> Duration {
        match self.health.get(&way) {
            Some(Some(_)) => PATIENCE_WITH_A_FAILING_ONE,
            _ => PATIENCE,
        }
    }

    pub(super) fn sound_started(&mut self, token: u64) {
        let Some(sounding) = self
            .sounding
            .as_mut()
            .filter(|sounding| sounding.token == token)
        else {
            return;
        };
        sounding.phase = Phase::Heard(Instant::now() + sounding.job.length);
        let way = sound::CHAIN[sounding.position];
        self.note(way, None);
    }

    pub(super) fn sound_ended(&mut self, token: u64, result: Result<(), String>) {
        let Some(sounding) = self.sounding.take_if(|sounding| sounding.token == token) else {
            return;
        };
        let way = sound::CHAIN[sounding.position];
        match (sounding.phase, result) {
            (Phase::Lags(_) | Phase::Over, _) => self.sounding = Some(sounding),
            (phase, Ok(())) => {
                if matches!(phase, Phase::Asked(_)) {
                    self.note(way, None);
                }
                self.speak(&sounding.call);
            }
            (_, Err(why)) => {
                self.note(way, Some(why));
                self.try_from(
                    sounding.position + 1,
                    sounding.call,
                    sounding.job,
                    sounding.rung,
                );
            }
        }
    }

    /// Asks whoever owns the terminal to ring its bell.
    fn ring_the_bell(&self) {
        let report = Report {
            way: Way::Bell,
            outcome: Outcome::Wanted,
        };
        (self.notice)(Notice::Report(report.clone()));
        (self.notice)(Notice::Did(report));
    }

    pub(super) fn sound_deadline(&mut self, now: Instant) {
        let Some(mut sounding) = self
            .sounding
            .take_if(|sounding| sounding.deadline().is_some_and(|at| at <= now))
        else {
            return;
        };
        match sounding.phase {
            Phase::Asked(_) => {
                sounding.stop();
                let way = sound::CHAIN[sounding.position];
                self.note(way, Some("it does not answer".into()));
                // A player that hangs on the same server looks as one that plays.
                if !sounding.rung && self.config.uses(Way::Bell) {
                    self.ring_the_bell();
                }
                self.try_from(sounding.position + 1, sounding.call, sounding.job, true);
            }
            Phase::Heard(_) => {
                sounding.phase = Phase::Lags(now + LAG);
                let call = sounding.call.clone();
                self.sounding = Some(sounding);
                self.speak(&call);
            }
            Phase::Lags(_) | Phase::Over => {
                sounding.phase = Phase::Over;
                self.sounding = Some(sounding);
            }
        }
    }
}
