//! The loop: keys, clocks, signals and plans come in; the log, the calls and the screen go out, in that order.

use std::io;

use super::{
    bell::{Bell, Said},
    clock::Clock,
    core::{Core, Record, Stuck},
    face::{Face, Input, View},
    prover::{Background, Found},
    signals::{Signal, Signals},
};
use crate::{
    live::{
        Event, Ms, Ring,
        event::{Jump, Trouble},
        typed::Typed,
    },
    log::{Health, Stamped, Writer},
    plan::solver::Engine,
};

/// How a loop ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ending {
    /// The session was closed.
    Closed,
    /// The cook left, or the program was told to end; the session can be resumed.
    Left,
}

/// How time passes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Passing {
    /// As it does.
    Real,
    /// Virtual: it stands still while something is to be done, and else goes to the next deadline at once.
    Hurried,
    /// Virtual: only when the cook types that it shall.
    Told,
    /// Virtual, for a simulated cook: every sleep is over as soon as the clock says.
    Simulated,
}

impl Passing {
    /// Whether the loop sleeps to its next deadline, instead of standing still until it is told.
    fn sleeps(self) -> bool {
        matches!(self, Self::Real | Self::Simulated)
    }
}

/// Everything that the loop drives.
pub struct Loop<S, C, F, B, P> {
    /// The session.
    pub core: Core<S>,
    /// Time.
    pub clock: C,
    /// The log; `None`: nothing is kept.
    pub log: Option<Writer<Event>>,
    /// What the cook sees.
    pub face: F,
    /// What the cook hears.
    pub bell: B,
    /// Where better plans are searched for.
    pub background: P,
    /// How time passes.
    pub passing: Passing,
}

/// What a typed line asks of the loop.
enum Reply {
    Done,
    /// Let time pass until then; `Ms::MIN`: until the next deadline.
    Pass(Ms),
    Leave,
}

/// What woke the loop.
enum Woke {
    Input(Input),
    Time,
    Signal(Signal),
    Found(Found),
    Said(Said),
}

impl<S, C, F, B, P> Loop<S, C, F, B, P>
where
    S: Engine + Default + Send + 'static,
    C: Clock,
    F: Face,
    B: Bell,
    P: Background,
{
    /// Runs the session until it is closed or the cook leaves.
    ///
    /// # Errors
    /// When the terminal is gone, or the rest of the meal has no plan. The log is whole in any case.
    pub async fn run(mut self) -> Result<Ending, RunError> {
        let mut signals = Signals::new()?;
        let mut show = true;
        let mut warned = false;
        let mut pass: Option<Ms> = None;
        loop {
            let now = self.clock.now();
            show |= self.observe(now)?;
            let ring = self.core.wake(now)?;
            let news = self.core.drain();
            // A sound confirms nothing, so it doesn't wait for the disk.
            self.sound(ring.as_ref(), now);
            let saved = self.save(&news, now).await;
            self.prove(&news);
            if show || !news.is_empty() || ring.is_some() {
                let view = View {
                    state: self.core.state(),
                    now,
                    news: &news,
                    ring: ring.as_ref(),
                    saved,
                };
                self.face.show(&view)?;
            }
            if self.core.state().closed {
                return self.end(Ending::Closed);
            }
            let deadline = self.deadline(now);
            if self.hurry(&mut pass, deadline, now) {
                show = true;
                continue;
            }
            show = match self.wait(deadline, &mut signals).await {
                Woke::Input(Input::Act(action)) => {
                    if let Err(why) = self.core.act(&action, self.clock.now()) {
                        self.face.refuse(&why.to_string());
                    }
                    true
                }
                Woke::Input(Input::Told(event)) => {
                    self.core
                        .tell(event, self.clock.now())
                        .map_err(Stuck::from)?;
                    true
                }
                Woke::Input(Input::Redraw) | Woke::Signal(Signal::Resize) | Woke::Time => true,
                Woke::Signal(Signal::Continue) => {
                    self.face.proceed()?;
                    true
                }
                Woke::Input(Input::Line(line)) => match self.typed(&line) {
                    Reply::Done => true,
                    Reply::Pass(until) => {
                        pass = Some(until);
                        false
                    }
                    Reply::Leave if self.stays(&mut warned) => true,
                    Reply::Leave => return self.end(Ending::Left),
                },
                Woke::Input(Input::Suspend) | Woke::Signal(Signal::Suspend) => {
                    self.face.suspend()?;
                    true
                }
                Woke::Input(Input::Leave) if self.stays(&mut warned) => true,
                Woke::Input(Input::Leave) | Woke::Signal(_) => return self.end(Ending::Left),
                Woke::Found(found) => {
                    let now = self.clock.now();
                    self.core.improve(&found.solution, found.planned_at, now);
                    false
                }
                Woke::Said(Said::Beep) => {
                    self.face.beep()?;
                    false
                }
                Woke::Said(Said::Trouble(about, words)) if self.known(about) == words => false,
                Woke::Said(Said::Trouble(about, words)) => {
                    self.core
                        .tell(Event::Trouble { about, words }, self.clock.now())
                        .map_err(Stuck::from)?;
                    true
                }
            };
        }
    }

    /// Whoever leaves while the disk fails is told once what is lost by it.
    fn stays(&mut self, warned: &mut bool) -> bool {
        let health = self.log.as_ref().map(Writer::health);
        match health {
            Some(Health::Failing { why, kept, .. }) if kept > 0 && !*warned => {
                *warned = true;
                self.face.refuse(&format!(
                    "the log can't be written: {why}. Make room for it, or leave once more and lose what happened last"
                ));
                true
            }
            _ => false,
        }
    }

    /// Waits for what is still to be written.
    fn end(self, ending: Ending) -> Result<Ending, RunError> {
        match self.log.map(Writer::close) {
            Some(Health::Failing { why, kept, .. }) if kept > 0 => Err(RunError::Unsaved(why)),
            Some(Health::Ended { why }) => Err(RunError::Unsaved(why)),
            _ => Ok(ending),
        }
    }

    /// Does what a typed line says.
    fn typed(&mut self, line: &str) -> Reply {
        let now = self.clock.now();
        let told = self.passing == Passing::Told;
        match self.core.state().typed(line, now) {
            Ok(Typed::Act(action)) => {
                if let Err(why) = self.core.act(&action, now) {
                    self.face.refuse(&why.to_string());
                }
            }
            Ok(Typed::Wait(span)) if told => {
                return Reply::Pass(span.map_or(Ms::MIN, |span| now.saturating_add(span)));
            }
            Ok(Typed::Wait(_)) => self
                .face
                .refuse("time can be told to pass only with --virtual"),
            Ok(Typed::Quit) => return Reply::Leave,
            Ok(question @ (Typed::Status | Typed::Help)) => {
                self.face.answer(&question, self.core.state(), now)
            }
            // In told time, to expect nothing is to wait for the next thing.
            Err(_) if told && line.trim().is_empty() => return Reply::Pass(Ms::MIN),
            Err(why) => self.face.refuse(&why),
        }
        Reply::Done
    }

    /// Looks whether a clock jumped, and how the log is.
    fn observe(&mut self, now: Ms) -> Result<bool, RunError> {
        let mut news = false;
        for jump in self.clock.look() {
            let event = Event::ClockJumped {
                kind: jump.kind,
                by: jump.by,
            };
            self.core.tell(event, now).map_err(Stuck::from)?;
            news |= jump.kind == Jump::Civil || jump.by > 0;
        }
        let words = self
            .log
            .as_ref()
            .map_or_else(String::new, |log| words(&log.health()));
        let known = self.known(Trouble::Log);
        if known != words {
            self.core
                .tell(
                    Event::Trouble {
                        about: Trouble::Log,
                        words,
                    },
                    now,
                )
                .map_err(Stuck::from)?;
            news = true;
        }
        Ok(news)
    }

    /// What the cook knows to be wrong; nothing: all is well.
    fn known(&self, about: Trouble) -> &str {
        let troubles = &self.core.state().troubles;
        troubles.get(&about).map_or("", |(_, words)| words.as_str())
    }

    /// Hands records to the log and waits for the disk, for as long as the face is patient. Says whether all is durable.
    async fn save(&mut self, news: &[Record], now: Ms) -> bool {
        let Some(log) = &mut self.log else {
            return true;
        };
        let state = self.core.state();
        let batch: Vec<Stamped<Event>> = news
            .iter()
            .map(|record| Stamped {
                at: state.clock(record.at),
                ms: record.at,
                event: record.event.clone(),
            })
            .collect();
        let synced = log.append(&batch);
        log.retry(now);
        // That it took longer is seen by what is behind.
        let _ = tokio::time::timeout(self.face.patience(), synced).await;
        !log.behind()
    }

    fn sound(&mut self, ring: Option<&Ring>, now: Ms) {
        self.bell.standing(self.core.standing(now));
        if let Some(ring) = ring {
            self.bell.ring(ring);
        }
    }

    /// Searches on in the background when a plan is new and not proven.
    fn prove(&mut self, news: &[Record]) {
        if !self.passing.sleeps() {
            return;
        }
        let planned = news.iter().rev().find_map(|record| match &record.event {
            Event::Planned(plan) => Some(plan),
            _ => None,
        });
        if let Some(plan) = planned {
            self.background.stop();
            if plan.bound < plan.cost {
                let state = self.core.state();
                self.background.search::<S>(
                    self.core.problem().clone(),
                    state.hint(),
                    state.planned_at,
                );
            }
        }
    }

    fn deadline(&mut self, now: Ms) -> Option<Ms> {
        let log = self.log.as_mut().and_then(|log| log.retry(now));
        let face = self
            .face
            .changes_at(self.core.state(), now)
            .filter(|_| self.passing.sleeps());
        [self.core.deadline(now), face, log]
            .into_iter()
            .flatten()
            .min()
    }

    /// In virtual time: goes on to the next deadline when nothing is to be done, or when the cook said to wait.
    fn hurry(&self, pass: &mut Option<Ms>, deadline: Option<Ms>, now: Ms) -> bool {
        if let Some(until) = *pass {
            let next = deadline.unwrap_or(until).max(now);
            let to = if until == Ms::MIN {
                next
            } else {
                next.min(until)
            };
            let moved = self.clock.advance_to(to);
            if until == Ms::MIN || to >= until || !moved {
                *pass = None;
            }
            return moved;
        }
        match deadline {
            Some(deadline)
                if self.passing == Passing::Hurried
                    && self.core.state().expected(now).is_none() =>
            {
                self.clock.advance_to(deadline)
            }
            _ => false,
        }
    }

    async fn wait(&mut self, deadline: Option<Ms>, signals: &mut Signals) -> Woke {
        let stands = !self.passing.sleeps();
        let health = self.log.as_ref().map(Writer::watch);
        let known = self.known(Trouble::Log).to_owned();
        let failing = async {
            // That the log fails, or works again, is told at once.
            match health {
                Some(mut health) => match health.wait_for(|is| words(is) != known).await {
                    Ok(_) => {}
                    Err(_gone) => std::future::pending().await,
                },
                None => std::future::pending().await,
            }
        };
        let sleep = async {
            match deadline {
                Some(at) if !stands => self.clock.sleep_until(at).await,
                _ => std::future::pending().await,
            }
        };
        tokio::select! {
            biased;
            signal = signals.next() => Woke::Signal(signal),
            input = self.face.input() => Woke::Input(input),
            found = self.background.found() => Woke::Found(found),
            () = sleep => Woke::Time,
            () = failing => Woke::Time,
            () = self.clock.disturbed() => Woke::Time,
            said = self.bell.report() => Woke::Said(said),
        }
    }
}

/// What the cook is told of the log.
fn words(health: &Health) -> String {
    match health {
        Health::Well => String::new(),
        Health::Failing { why, .. } => {
            format!("can't be written: {why}. The session goes on in memory")
        }
        Health::Ended { why } => {
            format!("has ended: {why}. What happens from here on is not kept")
        }
    }
}

/// Why a loop ended against the cook's will.
#[derive(Debug, thiserror::Error)]
pub enum RunError {
    /// The session can't go on.
    #[error(transparent)]
    Stuck(#[from] Stuck),
    /// It ended, and what happened last is lost.
    #[error("the last entries of the log could not be written and are lost: {0}")]
    Unsaved(String),
    /// The terminal, or the system's signals.
    #[error("{0}")]
    Io(#[from] io::Error),
}
