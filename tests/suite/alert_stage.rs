//! The sound server of an evening of calls: what is done to it, and what is heard on it.

use std::{
    sync::{
        Arc, Mutex,
        atomic::{AtomicBool, Ordering},
    },
    time::Instant,
};

use mealtide::live::Ms;
use rustix::process::Signal;

use super::server::{Recorder, Server};

/// What is done to the sound server.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Do {
    Nothing,
    Start,
    Kill,
    Freeze,
    Thaw,
}

/// So many calls, each like this.
#[derive(Clone, Copy, Debug)]
pub struct Scene {
    pub name: &'static str,
    pub calls: usize,
    /// Before the first of them.
    pub before: Do,
    /// At the first sample of each.
    pub at_sound: Do,
    pub sounds: bool,
    pub beeps: bool,
    /// From one call heard to the next deadline, in ms.
    pub gap: Ms,
}

/// A server that is started and ended beside the loop, and what is heard on it.
#[derive(Default)]
pub struct Stage {
    pub server: Mutex<Option<Server>>,
    pub recorder: Mutex<Option<Recorder>>,
    busy: AtomicBool,
}

impl Stage {
    pub fn play(self: &Arc<Self>, what: Do) {
        if what == Do::Nothing {
            return;
        }
        self.busy.store(true, Ordering::SeqCst);
        let stage = Arc::clone(self);
        std::thread::spawn(move || {
            let mut server = stage.server.lock().unwrap();
            let server = server.get_or_insert_with(Server::absent);
            match what {
                Do::Nothing => {}
                Do::Start => {
                    server.start();
                    *stage.recorder.lock().unwrap() = Some(server.record());
                }
                Do::Kill => server.kill(),
                Do::Freeze => server.signal(Signal::STOP),
                Do::Thaw => server.signal(Signal::CONT),
            }
            stage.busy.store(false, Ordering::SeqCst);
        });
    }

    pub fn loud(&self) -> Option<Instant> {
        self.recorder.lock().unwrap().as_ref()?.loud()
    }

    /// Forgets what was heard, if nothing sounds any more and the server is as it is to be.
    pub fn ready(&self, expects_sound: bool) -> bool {
        if self.busy.load(Ordering::SeqCst) {
            return false;
        }
        match &*self.recorder.lock().unwrap() {
            Some(recorder) => {
                let silent = !expects_sound || recorder.is_silent(60);
                if silent {
                    recorder.forget();
                }
                silent
            }
            None => !expects_sound,
        }
    }
}
