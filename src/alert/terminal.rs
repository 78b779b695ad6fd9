//! What the terminal itself can do: sequences for whoever owns it to write within a frame.
//!
//! OSC 9 and OSC 777 have no formal specification; their forms are those of the terminals' own documentation. OSC 99 is
//! the desktop notification protocol of the terminal that introduced it. Within tmux a sequence is wrapped so that it is
//! passed through (`allow-passthrough` has to be on there).

use super::{Announcement, Surroundings};
use crate::live::Priority;

/// Rings the bell.
pub const BEL: &str = "\x07";

/// String terminator.
const ST: &str = "\x1b\\";

/// A form of notification that a terminal knows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Protocol {
    /// `ESC ] 9 ; text ST`.
    Osc9,
    /// `ESC ] 777 ; notify ; title ; body ST`.
    Osc777,
    /// `ESC ] 99 ; metadata ; payload ST`.
    Osc99,
}

/// What a terminal understands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct TerminalKind {
    /// Its form of notification, if it has one.
    pub protocol: Option<Protocol>,
    /// It is inside tmux.
    pub tmux: bool,
}

impl TerminalKind {
    /// What the environment says of the terminal. One that isn't known gets no sequence: it might print it.
    pub fn of(surroundings: &Surroundings) -> Self {
        let is = |name: &str, value: &str| surroundings.text(name).eq_ignore_ascii_case(value);
        let set = |name: &str| surroundings.var(name).is_some();
        let term = surroundings.text("TERM");
        let program = |value: &str| is("TERM_PROGRAM", value) || is("LC_TERMINAL", value);
        let protocol = if term == "xterm-kitty" || set("KITTY_WINDOW_ID") {
            Some(Protocol::Osc99)
        } else if term.starts_with("foot") || term.starts_with("rxvt-unicode") || program("contour")
        {
            Some(Protocol::Osc777)
        } else if ["iTerm.app", "iTerm2", "WezTerm", "ghostty"]
            .into_iter()
            .any(program)
            || ["ITERM_SESSION_ID", "WEZTERM_PANE", "GHOSTTY_RESOURCES_DIR"]
                .into_iter()
                .any(set)
            || term == "xterm-ghostty"
        {
            Some(Protocol::Osc9)
        } else {
            None
        };
        Self {
            protocol: protocol.filter(|_| term != "dumb"),
            tmux: set("TMUX"),
        }
    }
}

/// The sequence that shows an announcement, or `None` where the terminal knows none.
pub fn sequence(call: &Announcement, kind: &TerminalKind) -> Option<String> {
    let (title, body) = (call.heading(), call.body());
    let text = match kind.protocol? {
        // With the heading first, no text can be taken for one of the numbered commands that share the code.
        Protocol::Osc9 => format!("\x1b]9;{title}: {body}{ST}"),
        Protocol::Osc777 => format!(
            "\x1b]777;notify;{};{}{ST}",
            title.replace(';', ","),
            body.replace(';', ",")
        ),
        Protocol::Osc99 => {
            let urgency = match call.priority {
                Priority::Low => 0,
                Priority::Medium => 1,
                Priority::High => 2,
            };
            // One identifier: a newer notification takes the place of the one before.
            format!(
                "\x1b]99;i=mealtide:d=0:u={urgency};{title}{ST}\x1b]99;i=mealtide:p=body;{body}{ST}"
            )
        }
    };
    Some(passed(&text, kind))
}

/// The sequence that takes the announcement away again, where there is one.
pub fn closing(kind: &TerminalKind) -> Option<String> {
    (kind.protocol? == Protocol::Osc99)
        .then(|| passed(&format!("\x1b]99;i=mealtide:p=close;{ST}"), kind))
}

/// Wrapped for tmux, each escape doubled.
fn passed(text: &str, kind: &TerminalKind) -> String {
    if kind.tmux {
        format!("\x1bPtmux;{}{ST}", text.replace('\x1b', "\x1b\x1b"))
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests;
