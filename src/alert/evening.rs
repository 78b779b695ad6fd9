//! Announcements that are waited for: the test of the evening, and `mealtide sound`.

use std::{sync::mpsc, time::Duration};

use super::{AlertConfig, Alerts, Announcement, Outcome, Priority, Report, Way, worker::Notice};

/// All ways together have had their time by then: a sentence is spoken within 30 s, or not at all.
const PATIENCE: Duration = Duration::from_secs(45);

/// How an announcement was made heard.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Heard {
    /// By which ways, in order; [`Way::Bell`] when whoever owns the terminal has to ring it.
    pub ways: Vec<Way>,
    /// Which ways failed, and why.
    pub failed: Vec<(Way, String)>,
}

/// Announces one thing after another, and waits for each.
pub struct Audition {
    alerts: Alerts,
    notices: mpsc::Receiver<Notice>,
}

impl Audition {
    /// Starts a worker.
    pub fn start(config: AlertConfig) -> Self {
        let (sender, notices) = mpsc::channel();
        let alerts = Alerts::start_with(config, move |notice| {
            // Nobody listens any more when the patience is over.
            let _ = sender.send(notice);
        });
        Self { alerts, notices }
    }

    /// Makes an announcement heard, and waits until it has ended. It stays unanswered.
    pub fn hear(&mut self, call: Announcement) -> Heard {
        let id = call.id.clone();
        self.alerts.announce(call);
        let mut heard = Heard::default();
        while let Ok(notice) = self.notices.recv_timeout(PATIENCE) {
            match notice {
                Notice::Did(Report {
                    way,
                    outcome: Outcome::Fails(why),
                }) => heard.failed.push((way, why)),
                Notice::Did(Report { way, .. }) => heard.ways.push(way),
                Notice::Report(_) => {}
                Notice::Finished { id: finished } if finished == id => break,
                Notice::Finished { .. } => {}
            }
        }
        heard
    }

    /// Answers an announcement.
    pub fn answer(&self, id: &str) {
        self.alerts.answered(id);
    }
}

/// Plays one short sound, as a call of low priority, and says by which way: [`Way::Bell`] when the caller has to ring the
/// terminal's bell. Blocks for the length of the sound, and for at most some seconds; call it on a thread of its own
/// where that matters.
pub fn test_of_the_evening(config: &AlertConfig) -> Heard {
    let quiet = AlertConfig {
        notification: false,
        speech: false,
        ..config.clone()
    };
    Audition::start(quiet).hear(Announcement {
        id: "test".into(),
        priority: Priority::Low,
        sentence: "This is how a call sounds".into(),
        title: "Test".into(),
        count: 1,
        repeat: 0,
        late: 0,
    })
}
