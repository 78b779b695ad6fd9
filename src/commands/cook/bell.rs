//! Calls, handed to what makes them heard: the alert room's worker, and what the terminal itself can do.

mod test;

use std::io::IsTerminal;

use self::test::SoundTest;
use crate::{
    alert::{
        AlertConfig, Announcement, Surroundings,
        terminal::{self, TerminalKind},
    },
    commands::view,
    engine::{
        bell::{Bell, Said},
        face::View,
    },
    live::{Call, Event, Ring},
};

/// Nothing sounds but what the face does itself: in virtual time.
pub struct Silent;

impl Bell for Silent {
    fn ring(&mut self, _: &Ring) {}

    fn standing(&mut self, _: &[Call]) {}

    async fn report(&mut self) -> Said {
        std::future::pending().await
    }
}

/// What the terminal does for a call, and the test of the evening.
pub struct Calls {
    kind: TerminalKind,
    /// The bell rings with every call.
    always: bool,
    /// A notification of the terminal stands.
    shown: bool,
    test: Option<SoundTest>,
}

impl Calls {
    /// In virtual time: the bell alone.
    pub fn virtually() -> Self {
        Self {
            kind: TerminalKind::default(),
            always: true,
            shown: false,
            test: None,
        }
    }

    /// In real time: the terminal's notifications; the bell where nothing else sounds. If it is to be `tested`, a short
    /// sound is made at once, unless sound is off.
    pub fn really(config: &AlertConfig, tested: bool) -> Self {
        Self {
            kind: TerminalKind::of(&Surroundings::of_the_process()),
            always: !config.sound,
            shown: false,
            test: (tested && config.sound).then(|| SoundTest::start(config.clone())),
        }
    }

    /// Does for a view what the terminal itself can do, and tries the next way of making a sound when the last wasn't
    /// heard.
    ///
    /// # Errors
    /// When the terminal is gone.
    pub fn show(&mut self, view: &View<'_>) -> std::io::Result<()> {
        for record in view.news {
            if let (Event::Heard { yes: false }, Some(test)) = (&record.event, &mut self.test) {
                test.next();
            }
        }
        if let Some(ring) = view.ring {
            return self.ring(ring);
        }
        let calls = || view.state.calls(view.now).into_iter();
        if self.shown && calls().all(|call| call.silent) {
            self.shown = false;
            write(&terminal::closing(&self.kind).unwrap_or_default())?;
        }
        Ok(())
    }

    fn ring(&mut self, ring: &Ring) -> std::io::Result<()> {
        let Some(first) = ring.calls.first() else {
            return Ok(());
        };
        let call = Announcement {
            id: "mealtide".into(),
            priority: ring.priority,
            sentence: first.sentence.clone(),
            title: first.subject.clone(),
            count: ring.calls.len(),
            repeat: ring.round,
            late: ring.late,
        };
        let mut bytes = terminal::sequence(&call, &self.kind).unwrap_or_default();
        self.shown = !bytes.is_empty();
        if self.always {
            bytes.push_str(terminal::BEL);
        }
        write(&bytes)
    }

    /// Rings the bell.
    ///
    /// # Errors
    /// When the terminal is gone.
    pub fn beep(&self) -> std::io::Result<()> {
        write(terminal::BEL)
    }

    /// Waits for what the test of the evening has to tell.
    pub async fn tried(&mut self) -> Event {
        match &mut self.test {
            Some(test) => test.tried().await,
            None => std::future::pending().await,
        }
    }
}

/// Writes to the terminal; what isn't one gets the words alone.
fn write(bytes: &str) -> std::io::Result<()> {
    if bytes.is_empty() || !std::io::stdout().is_terminal() {
        return Ok(());
    }
    view::write(bytes)
}
