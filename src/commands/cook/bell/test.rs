//! The test of the evening: one short sound, and when that wasn't heard, another by the next way.

use tokio::sync::mpsc;

use super::write;
use crate::{
    alert::{AlertConfig, Heard, Way, terminal::BEL, test_of_the_evening},
    live::{Event, event::Trouble},
};

/// What is to be done when no way was heard.
const NONE: &str = "nothing is heard, calls are on the screen alone: run mealtide doctor";

/// See the module. Ways that aren't heard are passed over by the calls too.
pub struct SoundTest {
    config: AlertConfig,
    tell: mpsc::UnboundedSender<Heard>,
    tried: mpsc::UnboundedReceiver<Heard>,
    last: Option<Way>,
}

impl SoundTest {
    /// Makes the first sound, on a thread of its own.
    pub fn start(config: AlertConfig) -> Self {
        let (tell, tried) = mpsc::unbounded_channel();
        let test = Self {
            config,
            tell,
            tried,
            last: None,
        };
        test.sound();
        test
    }

    fn sound(&self) {
        let (config, tell) = (self.config.clone(), self.tell.clone());
        let try_it = move || {
            // Nobody listens when the session has ended before its test.
            let _ = tell.send(test_of_the_evening(&config));
        };
        // Without a thread there is no test; the calls themselves say whether they fail.
        let _ = std::thread::Builder::new()
            .name("sound test".into())
            .spawn(try_it);
    }

    /// The last sound wasn't heard: makes one by the next way. After the last way there is none.
    pub fn next(&mut self) {
        match self.last.take() {
            None => {}
            Some(Way::Bell) => {
                let _ = self.tell.send(Heard::default());
            }
            Some(way) => {
                self.config.unheard.add(way);
                self.sound();
            }
        }
    }

    /// Waits for a sound to have been made.
    pub async fn tried(&mut self) -> Event {
        let Some(heard) = self.tried.recv().await else {
            return std::future::pending().await;
        };
        // Those before it in the list failed in the middle.
        self.last = heard.ways.last().copied();
        let Some(way) = self.last else {
            return Event::Trouble {
                about: Trouble::Sound,
                words: NONE.into(),
            };
        };
        if way == Way::Bell {
            // A terminal that is gone is found by the next frame.
            let _ = write(BEL);
        }
        let ways = match way {
            Way::Bell => "by the terminal bell alone: mealtide doctor says why".into(),
            way => format!("by {}", way.words()),
        };
        Event::SoundTried { ways }
    }
}
