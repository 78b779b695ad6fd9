//! Faults of files, told.

use std::io::{IsTerminal, Write};

use super::Outcome;
use crate::menu::Diagnostics;

/// Tells what is wrong with files on standard error; `brief`: one line a finding.
pub fn tell(found: &Diagnostics, brief: bool) -> Outcome {
    let mut out = std::io::stderr().lock();
    let terminal = out.is_terminal();
    // Nothing is left to tell when standard error is gone.
    let _ = out.write_all(rendered(found, brief, terminal).as_bytes());
    Outcome::Fault
}

/// Findings as text, in colour on a terminal unless `NO_COLOR` is set (no-color.org: set and not empty).
pub fn rendered(found: &Diagnostics, brief: bool, terminal: bool) -> String {
    if brief {
        return found.brief();
    }
    let refused = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
    found.render(terminal && !refused)
}
