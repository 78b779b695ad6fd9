//! Telling a thread that blocks to stop.

use std::{
    sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError},
    time::Duration,
};

type Action = Box<dyn FnOnce() + Send>;

#[derive(Default)]
struct Inner {
    stopped: bool,
    action: Option<Action>,
}

/// A request to stop, shared between who asks and who obeys. It is never taken back.
#[derive(Clone, Default)]
pub(super) struct Stop(Arc<(Mutex<Inner>, Condvar)>);

impl Stop {
    fn lock(&self) -> MutexGuard<'_, Inner> {
        self.0.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Asks to stop: wakes who waits, and does what was left to be done.
    pub(super) fn stop(&self) {
        let action = {
            let mut inner = self.lock();
            inner.stopped = true;
            inner.action.take()
        };
        self.0.1.notify_all();
        if let Some(action) = action {
            action();
        }
    }

    pub(super) fn stopped(&self) -> bool {
        self.lock().stopped
    }

    /// What unblocks the thread when it is to stop; done at once if it is already.
    #[cfg(all(unix, not(target_os = "macos")))]
    pub(super) fn on_stop(&self, action: impl FnOnce() + Send + 'static) {
        let mut inner = self.lock();
        if inner.stopped {
            drop(inner);
            action();
        } else {
            inner.action = Some(Box::new(action));
        }
    }

    /// Waits for at most `span`; says whether it is to stop.
    pub(super) fn wait(&self, span: Duration) -> bool {
        let waited = self
            .0
            .1
            .wait_timeout_while(self.lock(), span, |inner| !inner.stopped);
        waited.unwrap_or_else(PoisonError::into_inner).0.stopped
    }
}
