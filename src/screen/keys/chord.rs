//! One key with its modifiers, written as a person would: "Space", "Ctrl-c", "?".

use std::{fmt, str::FromStr};

use crossterm::event::{KeyCode, KeyEvent, KeyEventKind, KeyModifiers};

/// A key, with Ctrl or Alt held or not. Shift is in the letter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Chord {
    code: KeyCode,
    ctrl: bool,
    alt: bool,
}

const NAMED: [(&str, KeyCode); 15] = [
    ("Space", KeyCode::Char(' ')),
    ("Enter", KeyCode::Enter),
    ("Esc", KeyCode::Esc),
    ("Tab", KeyCode::Tab),
    ("BackTab", KeyCode::BackTab),
    ("Backspace", KeyCode::Backspace),
    ("Delete", KeyCode::Delete),
    ("Up", KeyCode::Up),
    ("Down", KeyCode::Down),
    ("Left", KeyCode::Left),
    ("Right", KeyCode::Right),
    ("PageUp", KeyCode::PageUp),
    ("PageDown", KeyCode::PageDown),
    ("Home", KeyCode::Home),
    ("End", KeyCode::End),
];

impl Chord {
    /// The chord that an event presses; `None` for a release.
    pub fn pressed(event: &KeyEvent) -> Option<Chord> {
        // Windows reports releases too.
        if event.kind == KeyEventKind::Release {
            return None;
        }
        let ctrl = event.modifiers.contains(KeyModifiers::CONTROL);
        let code = match event.code {
            KeyCode::Char(c) if ctrl => KeyCode::Char(c.to_ascii_lowercase()),
            code => code,
        };
        Some(Chord {
            code,
            ctrl,
            alt: event.modifiers.contains(KeyModifiers::ALT),
        })
    }

    /// The event that presses it.
    pub fn event(self) -> KeyEvent {
        let mut modifiers = KeyModifiers::NONE;
        modifiers.set(KeyModifiers::CONTROL, self.ctrl);
        modifiers.set(KeyModifiers::ALT, self.alt);
        KeyEvent::new(self.code, modifiers)
    }
}

impl fmt::Display for Chord {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.ctrl {
            f.write_str("Ctrl-")?;
        }
        if self.alt {
            f.write_str("Alt-")?;
        }
        match self.code {
            KeyCode::Char(c) if c != ' ' => write!(f, "{c}"),
            KeyCode::F(n) => write!(f, "F{n}"),
            code => {
                let name = NAMED.iter().find(|(_, c)| *c == code).map(|(n, _)| *n);
                f.write_str(name.unwrap_or("?"))
            }
        }
    }
}

impl FromStr for Chord {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let (mut rest, mut ctrl, mut alt) = (text, false, false);
        loop {
            if let Some(r) = rest.strip_prefix("Ctrl-").filter(|r| !r.is_empty()) {
                (rest, ctrl) = (r, true);
            } else if let Some(r) = rest.strip_prefix("Alt-").filter(|r| !r.is_empty()) {
                (rest, alt) = (r, true);
            } else {
                break;
            }
        }
        let mut letters = rest.chars();
        let code = match (letters.next(), letters.next()) {
            (Some(c), None) if !c.is_control() && c != ' ' => KeyCode::Char(c),
            _ => match NAMED.iter().find(|(n, _)| n.eq_ignore_ascii_case(rest)) {
                Some((_, code)) => *code,
                None => match rest.strip_prefix('F').and_then(|n| n.parse().ok()) {
                    Some(n @ 1..=12) => KeyCode::F(n),
                    _ => {
                        return Err(format!(
                            "`{text}` is no key; write one letter, Space, Enter, Esc, Tab, Up, F1, Ctrl-c"
                        ));
                    }
                },
            },
        };
        Ok(Chord { code, ctrl, alt })
    }
}
