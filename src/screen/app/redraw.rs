//! When the screen has to be drawn again by time alone.

use crate::{
    live::{Board, Ms, board::Phase},
    screen::{
        Ui,
        panes::calls,
        time::{Clock, MINUTE},
    },
};

/// The next moment at which anything that is shown changes by time alone; `None`: nothing counts.
pub fn next_redraw(board: &Board, ui: &Ui) -> Option<Ms> {
    let clock = Clock::of(board, ui.clock);
    let mut next: Option<Ms> = None;
    let mut at = |moment: Ms| {
        if moment > board.now {
            next = Some(next.map_or(moment, |n| n.min(moment)));
        }
    };
    if let Some((_, until)) = &ui.message {
        at(*until);
    }
    let called = calls::calling(board).next().is_some();
    if called {
        let ms = Ms::from(board.clock.millisecond());
        let half = Ms::from(calls::BLINK);
        at(board.now + if ms < half { half - ms } else { 1000 - ms });
    }
    if matches!(board.phase, Phase::After { .. }) && board.countdowns.is_empty() && !called {
        return next;
    }
    at(clock.minute() + MINUTE);
    if let (Some(after), false) = (ui.glance_after, ui.glance) {
        at(ui.last_input.saturating_add(after));
    }
    let moments = board.countdowns.iter().map(|c| c.due);
    let moments = moments.chain(board.upcoming.iter().map(|u| u.at));
    let moments = moments.chain(board.focus.moment);
    let moments = moments.chain(
        board
            .courses
            .iter()
            .filter(|c| !c.served)
            .map(|c| c.expected),
    );
    let ovens = board.ovens.iter();
    let moments =
        moments.chain(ovens.flat_map(|o| o.ready.into_iter().chain(o.next.as_ref().map(|n| n.at))));
    let moments = moments.chain(board.calls.iter().map(|c| c.since));
    for moment in moments {
        at(clock.changes(moment));
    }
    next
}
