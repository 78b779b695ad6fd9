//! One desktop notification: shown, replaced, and closed when it is answered.

use super::Announcement;

#[cfg(all(unix, not(target_os = "macos")))]
pub(super) use self::bus::{Shown, close, show};
#[cfg(not(all(unix, not(target_os = "macos"))))]
pub(super) use self::native::{Shown, close, show};

#[cfg(all(unix, not(target_os = "macos")))]
mod bus {
    use notify_rust::{Notification, NotificationHandle, Timeout, Urgency};

    use super::Announcement;
    use crate::live::Priority;

    /// A notification that is on the desktop, and the connection that it belongs to.
    pub(in crate::alert) type Shown = NotificationHandle;

    /// Shows a notification in place of `before`, with one connection for as long as that holds. May block without end.
    pub(in crate::alert) fn show(
        before: Option<Shown>,
        call: &Announcement,
    ) -> Result<Shown, String> {
        let wanted = notification(call);
        if let Some(mut shown) = before {
            // All of it: a second urgency would be added to the first.
            let held: &mut Notification = &mut shown;
            *held = wanted.clone();
            if shown.update().is_ok() {
                return Ok(shown);
            }
        }
        wanted.show().map_err(|error| error.to_string())
    }

    pub(in crate::alert) fn close(shown: Shown) {
        shown.close();
    }

    /// Urgency by the Desktop Notifications Specification: 0 low, 1 normal, 2 critical, which must not expire by itself.
    fn notification(call: &Announcement) -> Notification {
        let (urgency, timeout) = match call.priority {
            Priority::Low => (Urgency::Low, Timeout::Default),
            Priority::Medium => (Urgency::Normal, Timeout::Never),
            Priority::High => (Urgency::Critical, Timeout::Never),
        };
        let mut notification = Notification::new();
        notification
            .appname("mealtide")
            .summary(&call.heading())
            .body(&escaped(&call.body()))
            .urgency(urgency)
            .timeout(timeout);
        notification
    }

    /// Text as the notification's body, which may hold markup (Desktop Notifications Specification, "Markup").
    fn escaped(text: &str) -> String {
        text.replace('&', "&amp;")
            .replace('<', "&lt;")
            .replace('>', "&gt;")
    }
}

#[cfg(not(all(unix, not(target_os = "macos"))))]
mod native {
    use notify_rust::Notification;

    use super::Announcement;

    /// These systems give nothing back by which a notification could be replaced or closed.
    pub(in crate::alert) struct Shown;

    pub(in crate::alert) fn show(_: Option<Shown>, call: &Announcement) -> Result<Shown, String> {
        let mut fresh = Notification::new();
        fresh
            .appname("mealtide")
            .summary(&call.heading())
            .body(&call.body());
        fresh.show().map_err(|error| error.to_string())?;
        Ok(Shown)
    }

    pub(in crate::alert) fn close(_: Shown) {}
}
