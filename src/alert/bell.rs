//! The engine's bell: rings become announcements, and what no longer stands is answered.

use std::collections::{BTreeMap, VecDeque};

use super::{AlertConfig, Alerts, Announcement, Outcome, Report, Way};
use crate::{
    engine::bell::{Bell, Said},
    live::{Call, CallKey, Ring, event::Trouble},
};

/// Makes the rings of a session heard.
pub struct Sounding {
    alerts: Alerts,
    /// The last ring, until a call of it is answered.
    last: Option<(String, Vec<CallKey>)>,
    rings: u64,
    failing: BTreeMap<Way, String>,
    /// What is still to be said.
    unsaid: VecDeque<Said>,
}

impl Sounding {
    /// Starts the worker.
    pub fn start(config: AlertConfig) -> Self {
        Self {
            alerts: Alerts::start(config),
            last: None,
            rings: 0,
            failing: BTreeMap::new(),
            unsaid: VecDeque::new(),
        }
    }

    /// Notes what there is to say after a report.
    fn learn(&mut self, report: Report) {
        if report.outcome == Outcome::Wanted {
            self.unsaid.push_back(Said::Beep);
        }
        let news = self.news(report);
        self.unsaid
            .extend(news.map(|(about, words)| Said::Trouble(about, words)));
    }

    /// How a kind of way is after a report. Of the ways of making a tone one that works is enough.
    fn news(&mut self, report: Report) -> Option<(Trouble, String)> {
        match report.outcome {
            Outcome::Fails(why) => {
                self.failing.insert(report.way, why);
            }
            Outcome::Works => {
                self.failing.remove(&report.way);
            }
            Outcome::Wanted => {}
        }
        let about = match report.way {
            Way::Desktop => Trouble::Notification,
            Way::Speech => Trouble::Speech,
            _ => Trouble::Sound,
        };
        let words = match about {
            // Without another way the bell was asked for; until then one of them may still work.
            Trouble::Sound if report.way == Way::Bell => {
                let all: Vec<String> = self
                    .failing
                    .iter()
                    .filter(|(way, _)| way.sounds())
                    .map(said)
                    .collect();
                if all.is_empty() {
                    "the terminal bell alone rings, as nothing else is heard".into()
                } else {
                    format!("the terminal bell rings instead: {}", all.join("; "))
                }
            }
            Trouble::Sound if self.failing.contains_key(&report.way) => return None,
            Trouble::Sound => String::new(),
            _ => self.failing.get(&report.way).cloned().unwrap_or_default(),
        };
        Some((about, words))
    }
}

fn said((way, why): (&Way, &String)) -> String {
    format!("{}: {why}", way.words())
}

impl Bell for Sounding {
    fn ring(&mut self, ring: &Ring) {
        let Some(first) = ring.calls.first() else {
            return;
        };
        self.rings += 1;
        let id = self.rings.to_string();
        let keys = ring.calls.iter().map(|call| call.key.clone()).collect();
        self.last = Some((id.clone(), keys));
        self.alerts.announce(Announcement {
            id,
            priority: ring.priority,
            sentence: first.sentence.clone(),
            title: first.subject.clone(),
            count: ring.calls.len(),
            repeat: ring.round,
            late: ring.late,
        });
    }

    fn standing(&mut self, calls: &[Call]) {
        let stands = |key: &CallKey| calls.iter().any(|call| call.key == *key);
        // To answer one of several is to be at the screen, where the others stand.
        if let Some((id, _)) = self.last.take_if(|(_, keys)| !keys.iter().all(stands)) {
            self.alerts.answered(&id);
        }
    }

    async fn report(&mut self) -> Said {
        loop {
            if let Some(said) = self.unsaid.pop_front() {
                return said;
            }
            match self.alerts.reports().recv().await {
                Some(report) => self.learn(report),
                None => std::future::pending().await,
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What the cook was told before by the test of the evening isn't known here.
    #[test]
    fn a_way_that_works_is_said_though_none_failed_before() {
        let config = AlertConfig {
            surroundings: super::super::Surroundings::default(),
            ..AlertConfig::default()
        };
        let mut bell = Sounding::start(config);
        for _ in 0..2 {
            bell.learn(Report {
                way: Way::Server,
                outcome: Outcome::Works,
            });
        }
        let well = Said::Trouble(Trouble::Sound, String::new());
        assert_eq!(bell.unsaid, [well.clone(), well]);
    }
}
