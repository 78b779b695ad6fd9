//! Where the panes lie, by the size of the terminal: laid out for 80x24, 100x30, 120x40 and 200x60, sensible
//! between them and below.

use ratatui::layout::Rect;

use super::{
    Ui,
    canvas::{Canvas, cut_bottom, cut_left, cut_top, inset},
    panes::{
        after, before, courses, focus, foot, glance, head, help, next, oven, prompt, running,
        timeline,
    },
    theme::Meaning,
    time::Clock,
    ui::Overlay,
};
use crate::live::{Board, board::Phase};

/// Draws the whole screen of a session that is cooked.
pub fn screen(canvas: &mut Canvas, board: &Board, ui: &Ui) {
    let area = canvas.area();
    canvas.paper();
    cook(canvas, area, board, ui);
    over(canvas, area, board, ui);
}

/// Draws what lies over a screen.
pub fn over(canvas: &mut Canvas, area: Rect, board: &Board, ui: &Ui) {
    match ui.overlay {
        Overlay::Help(scroll) => help::draw(canvas, area, ui, scroll),
        _ => prompt::draw(canvas, area, board, ui),
    }
}

/// Draws the panes of a session in an area.
pub fn cook(canvas: &mut Canvas, area: Rect, board: &Board, ui: &Ui) {
    if ui.is_glance(board.now) {
        glance::draw(canvas, area, board, ui);
    } else if area.width < 72 || area.height < 18 {
        small(canvas, area, board, ui);
    } else {
        full(canvas, area, board, ui);
    }
}

/// Down to a few lines: the action, then what ends next, then the oven.
fn small(canvas: &mut Canvas, area: Rect, board: &Board, ui: &Ui) {
    let clock = Clock::of(board, ui.clock);
    let (mut rest, foot) = match area.height {
        ..8 => (area, Rect::default()),
        _ => cut_bottom(area, 1),
    };
    if area.height >= 5 {
        let (top, below) = cut_top(rest, 1);
        head::draw(canvas, inset(top, 1, 0, 1, 0), board, ui);
        rest = below;
    }
    // The whole action, over one countdown and the oven.
    let most = match rest.height {
        ..=4 => rest.height,
        rows => {
            let wanted = focus::wanted(board, ui, rest.width);
            wanted.clamp((rows * 3 / 5).max(4), (rows - 2).max(4))
        }
    };
    let (band, below) = cut_top(rest, most);
    focus::draw(canvas, band, board, ui);
    let below = inset(below, 1, 0, 1, 0);
    match &board.phase {
        Phase::Before { begin, get_out } => before::draw(canvas, below, board, ui, *begin, get_out),
        Phase::After { lines } => after::draw(canvas, below, lines),
        Phase::Cooking => {
            let ovens = u16::try_from(board.ovens.len())
                .unwrap_or(1)
                .min(below.height / 2);
            let (list, oven) = cut_bottom(below, ovens);
            let running = u16::try_from(board.countdowns.len()).unwrap_or(u16::MAX);
            next::rows(canvas, cut_top(list, running).1, board, ui);
            for (i, countdown) in board
                .countdowns
                .iter()
                .take(usize::from(list.height))
                .enumerate()
            {
                let y = list.y + u16::try_from(i).unwrap_or(0);
                running::draw_row(
                    canvas,
                    Rect {
                        y,
                        height: 1,
                        ..list
                    },
                    i,
                    countdown,
                    &clock,
                    ui,
                );
            }
            for (y, pane) in (0..oven.height).zip(&board.ovens) {
                let x = canvas.say(
                    oven,
                    0,
                    y,
                    &format!("{} {}", pane.name, pane.set_words),
                    Meaning::Oven,
                );
                let Some(turn) = &pane.next else { continue };
                let when = if turn.due {
                    "now".to_owned()
                } else {
                    clock.within(turn.at)
                };
                let words = format!("  turn to {} {when}", turn.to);
                canvas.say(
                    oven,
                    x,
                    y,
                    &words,
                    if turn.due {
                        Meaning::Late
                    } else {
                        Meaning::Muted
                    },
                );
            }
        }
    }
    foot::draw(canvas, inset(foot, 1, 0, 1, 0), board, ui);
}

fn full(canvas: &mut Canvas, area: Rect, board: &Board, ui: &Ui) {
    let tall = area.height >= 34;
    let (top, rest) = cut_top(inset(area, 0, u16::from(tall), 0, 0), 1);
    head::draw(canvas, inset(top, 2, 0, 2, 0), board, ui);
    let (rest, bottom) = cut_bottom(rest, 1);
    foot::draw(canvas, inset(bottom, 2, 0, 2, 0), board, ui);
    let rest = inset(rest, 0, u16::from(tall), 0, 0);
    // As high whatever it says: the panes below keep their places all evening.
    let rows = match area.height {
        ..22 => 8,
        22..28 => 12,
        height => height * 2 / 5,
    };
    let (band, rest) = cut_top(rest, rows);
    focus::draw(canvas, band, board, ui);
    let rest = inset(rest, 2, u16::from(area.height >= 28), 2, u16::from(tall));
    let (rest, lines) = cut_bottom(rest, notice_rows(board, rest.width, area.height));
    foot::notices(canvas, lines, board);
    match &board.phase {
        Phase::Before { begin, get_out } => quiet(canvas, rest, board, ui, |canvas, area| {
            before::draw(canvas, area, board, ui, *begin, get_out);
        }),
        Phase::After { lines } => quiet(canvas, rest, board, ui, |canvas, area| {
            after::draw(canvas, area, lines)
        }),
        Phase::Cooking => {
            let rest = with_timeline(canvas, rest, area.height, board, ui);
            if area.width >= 112 {
                three_columns(canvas, rest, area, board, ui);
            } else {
                two_columns(canvas, rest, board, ui);
            }
        }
    }
}

fn notice_rows(board: &Board, columns: u16, height: u16) -> u16 {
    let most = match height {
        ..22 => 1,
        22..44 => 2,
        _ => 4,
    };
    foot::notices_wanted(board, columns).min(most)
}

/// Takes the timeline's rows from the bottom; gives what is above.
fn with_timeline(canvas: &mut Canvas, area: Rect, height: u16, board: &Board, ui: &Ui) -> Rect {
    // On large terminals the names of bars stand above them.
    let wanted = timeline::wanted(board, ui, height >= 50);
    let most = match height {
        // What is compared with its plan is what a replay is for.
        _ if ui.compares() => area.height * 3 / 5,
        ..22 => 0,
        // What runs needs the rows more than what will run.
        22..28 if board.countdowns.len() > 3 => 0,
        // A notice that comes takes nothing from it.
        22..28 => match area.height {
            9..11 => 3,
            rows => rows.saturating_sub(8).min(5),
        },
        28..36 => area.height.saturating_sub(9).min(8),
        _ => area.height.saturating_sub(11).min(area.height / 2 + 2),
    };
    let rows = wanted.min(most);
    if rows < 3 {
        return area;
    }
    let (above, lanes) = cut_bottom(area, rows);
    timeline::draw(canvas, lanes, board, ui);
    inset(above, 0, 0, 0, u16::from(height >= 28))
}

/// Running and next at the left, oven and courses at the right.
fn two_columns(canvas: &mut Canvas, area: Rect, board: &Board, ui: &Ui) {
    let right = (area.width * 2 / 5).max(30);
    let (left, right) = cut_left(area, area.width - right - 3, 3);
    let gap = u16::from(area.height >= 12);
    // What runs takes up to three rows each while that is at most half, and never less than one each.
    let count = u16::try_from(board.countdowns.len()).unwrap_or(99).max(1);
    let tall = (1..=3)
        .rev()
        .find(|tall| count * tall < left.height / 2)
        .unwrap_or(1);
    let runs = (count * tall + 1).clamp(2, (left.height * 3 / 5).max(2));
    let (top, below) = cut_top(left, runs);
    running::draw(canvas, top, board, ui);
    next::draw(canvas, inset(below, 0, gap, 0, 0), board, ui);
    let plates = courses::wanted(board, false);
    let oven_rows = oven::wanted(board, false).min(right.height.saturating_sub(plates.min(3)));
    let (top, below) = cut_top(right, oven_rows);
    oven::draw(canvas, top, board, ui, false);
    let spare = u16::from(below.height > plates);
    courses::draw(canvas, inset(below, 0, spare, 0, 0), board, ui);
}

/// Running, next, and the oven with the courses.
fn three_columns(canvas: &mut Canvas, area: Rect, whole: Rect, board: &Board, ui: &Ui) {
    let third = (area.width * 3 / 11).max(33);
    let (one, rest) = cut_left(area, (area.width - third - 8) / 2, 4);
    let (two, three) = cut_left(rest, rest.width.saturating_sub(third + 4), 4);
    running::draw(canvas, one, board, ui);
    next::draw(canvas, two, board, ui);
    let plates = courses::wanted(board, false);
    let big = whole.height >= 36 && oven::wanted(board, true) + plates < area.height;
    let oven_rows = oven::wanted(board, big).min(area.height.saturating_sub(plates.min(3)));
    let (top, below) = cut_top(three, oven_rows);
    oven::draw(canvas, top, board, ui, big);
    courses::draw(canvas, inset(below, 0, 1, 0, 0), board, ui);
}

/// Before and after: one pane, with the oven and the courses beside it and the timeline below.
fn quiet(
    canvas: &mut Canvas,
    area: Rect,
    board: &Board,
    ui: &Ui,
    main: impl FnOnce(&mut Canvas, Rect),
) {
    let area = with_timeline(canvas, area, canvas.area().height, board, ui);
    let right = (area.width / 3).max(30);
    let (left, right) = cut_left(area, area.width.saturating_sub(right + 4), 4);
    let left = if area.width >= 112 && !board.upcoming.is_empty() {
        let (left, middle) = cut_left(left, left.width * 2 / 5, 4);
        next::draw(canvas, middle, board, ui);
        left
    } else {
        left
    };
    main(canvas, left);
    let rows = oven::wanted(board, false).min(right.height / 2);
    let (top, below) = cut_top(right, rows);
    oven::draw(canvas, top, board, ui, false);
    courses::draw(canvas, inset(below, 0, 1, 0, 0), board, ui);
}
