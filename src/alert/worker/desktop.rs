//! The one notification on the desktop: what is wanted there, what is shown, and the one request that is under way.

use std::time::{Duration, Instant};

use super::Worker;
use crate::alert::mailbox::News;
use crate::alert::{
    Announcement, Way,
    desktop::{self, Shown},
};

/// How long the desktop may take to answer.
const PATIENCE: Duration = Duration::from_secs(2);

/// See the module. Only the latest wish is kept: there is never a queue of stale notifications.
#[derive(Default)]
pub(super) struct Desk {
    shown: Option<Shown>,
    wanted: Option<Announcement>,
    /// What is wanted was not yet asked for.
    new: bool,
    request: Option<Request>,
}

struct Request {
    until: Instant,
    /// It was said that it isn't answered.
    late: bool,
}

impl Desk {
    pub(super) fn deadline(&self) -> Option<Instant> {
        self.request
            .as_ref()
            .filter(|request| !request.late)
            .map(|request| request.until)
    }

    pub(super) fn busy(&self) -> bool {
        self.deadline().is_some()
    }
}

impl Worker {
    /// Shows an announcement in place of the one before, or takes it away.
    pub(super) fn want(&mut self, wanted: Option<Announcement>) {
        self.desk.wanted = wanted;
        self.desk.new = true;
        self.request();
    }

    /// Asks for what is wanted, unless an answer is being waited for: then it is asked for after that.
    fn request(&mut self) {
        if self.desk.request.is_some() || !std::mem::take(&mut self.desk.new) {
            return;
        }
        let before = self.desk.shown.take();
        let asked = match (self.desk.wanted.clone(), before) {
            (Some(call), before) => self.throw_away(Way::Desktop, move |token, mailbox, _| {
                let result = desktop::show(before, &call);
                mailbox.tell(News::Shown {
                    token,
                    result: result.map(Box::new),
                });
            }),
            (None, Some(shown)) => self.throw_away(Way::Desktop, move |token, mailbox, _| {
                desktop::close(shown);
                mailbox.tell(News::Closed { token });
            }),
            (None, None) => return,
        };
        match asked {
            Ok(_) => {
                self.desk.request = Some(Request {
                    until: Instant::now() + PATIENCE,
                    late: false,
                })
            }
            Err(why) => self.note(Way::Desktop, Some(why)),
        }
    }

    pub(super) fn shown(&mut self, result: Result<Shown, String>) {
        self.desk.request = None;
        match result {
            Ok(shown) => {
                self.desk.shown = Some(shown);
                self.note(Way::Desktop, None);
            }
            Err(why) => self.note(Way::Desktop, Some(why)),
        }
        self.request();
    }

    pub(super) fn closed(&mut self) {
        self.desk.request = None;
        self.request();
    }

    pub(super) fn desk_deadline(&mut self, now: Instant) {
        if let Some(request) = self
            .desk
            .request
            .as_mut()
            .filter(|request| !request.late && request.until <= now)
        {
            request.late = true;
            self.note(Way::Desktop, Some("the desktop does not answer".into()));
        }
    }
}
