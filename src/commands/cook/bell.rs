//! Calls, handed to what makes them heard: the alert room's worker, and what the terminal itself can do.

use tokio::sync::mpsc;

use crate::{
    alert::{
        AlertConfig, Announcement, Surroundings,
        terminal::{self, TerminalKind},
        test_of_the_evening,
    },
    commands::view,
    engine::run::Bell,
    live::{Call, Event, Ring, State, event::Trouble},
};

/// Nothing sounds but what the face does itself: in virtual time.
pub struct Silent;

impl Bell for Silent {
    fn ring(&mut self, _: &Ring) {}

    fn standing(&mut self, _: &[Call]) {}

    async fn report(&mut self) -> (Trouble, String) {
        std::future::pending().await
    }
}

/// What the terminal does for a call, and the test of the evening.
pub struct Calls {
    kind: Option<TerminalKind>,
    /// The bell rings with every call.
    always: bool,
    tried: mpsc::UnboundedReceiver<Event>,
}

impl Calls {
    /// In virtual time: the bell alone.
    pub fn virtually() -> Self {
        let (_, tried) = mpsc::unbounded_channel();
        Self {
            kind: None,
            always: true,
            tried,
        }
    }

    /// In real time: the terminal's notifications; the bell where nothing else sounds. One short sound is made at once,
    /// on a thread of its own, unless a session goes on or sound is off.
    pub fn really(config: &AlertConfig, first: bool) -> Self {
        let (tell, tried) = mpsc::unbounded_channel();
        let config = config.clone();
        let always = !config.sound;
        if first && config.sound {
            let try_it = move || {
                let heard = test_of_the_evening(&config);
                let ways: Vec<&str> = heard.ways.iter().map(|way| way.words()).collect();
                let ways = if ways.is_empty() {
                    "the terminal's bell".to_owned()
                } else {
                    format!("by {}", ways.join(", "))
                };
                // Nobody listens when the session has ended before its test.
                let _ = tell.send(Event::SoundTried { ways });
            };
            // Without a thread there is no test; the calls themselves say whether they fail.
            let _ = std::thread::Builder::new()
                .name("sound test".into())
                .spawn(try_it);
        }
        Self {
            kind: Some(TerminalKind::of(&Surroundings::of_the_process())),
            always,
            tried,
        }
    }

    /// Shows a ring by the terminal's own means.
    ///
    /// # Errors
    /// When the terminal is gone.
    pub fn show(&self, ring: &Ring, state: &State) -> std::io::Result<()> {
        let Some(first) = ring.calls.first() else {
            return Ok(());
        };
        let mut bytes = String::new();
        if let Some(kind) = &self.kind {
            let call = Announcement {
                id: "mealtide".into(),
                priority: ring.priority,
                sentence: first.sentence.clone(),
                title: first.subject.clone(),
                count: ring.calls.len(),
                repeat: ring.round,
            };
            bytes.extend(terminal::sequence(&call, kind));
        }
        if self.always || state.troubles.contains_key(&Trouble::Sound) {
            bytes.push_str(terminal::BEL);
        }
        view::write(&bytes)
    }

    /// Waits for the test sound to have been made.
    pub async fn tried(&mut self) -> Event {
        match self.tried.recv().await {
            Some(event) => event,
            None => std::future::pending().await,
        }
    }
}
