//! The sentence that follows a sound.

use super::Worker;
use crate::alert::mailbox::News;
use crate::alert::{Announcement, Way, speech, stop::Stop};

/// A sentence that is being spoken.
pub(super) struct Speaking {
    token: u64,
    stop: Stop,
}

impl Speaking {
    pub(super) fn stop(&self) {
        self.stop.stop();
    }
}

impl Worker {
    /// Speaks an announcement, after its sound and never at night.
    pub(super) fn speak(&mut self, call: &Announcement) {
        let night = self.config.is_night(jiff::ZonedDateTime::now().time());
        if !self.config.uses(Way::Speech) || night {
            return;
        }
        // A system without a voice is not a failure, unless nothing but the voice was wanted.
        if self.speakers.is_empty() && self.config.only.is_none() {
            return;
        }
        let (speakers, surroundings, text) = (
            self.speakers.clone(),
            self.config.surroundings.clone(),
            call.body(),
        );
        let spoken = self.throw_away(Way::Speech, move |token, mailbox, stop| {
            let result = speech::speak(&speakers, &text, &surroundings, stop);
            mailbox.tell(News::Spoken { token, result });
        });
        match spoken {
            Ok((token, stop)) => self.speaking = Some(Speaking { token, stop }),
            Err(why) => self.note(Way::Speech, Some(why)),
        }
    }

    pub(super) fn spoken(&mut self, token: u64, result: Result<(), String>) {
        if self
            .speaking
            .take_if(|speaking| speaking.token == token)
            .is_some()
        {
            self.note(Way::Speech, result.err());
        }
    }
}
