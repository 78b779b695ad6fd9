//! The last line: a message, or the keys that are of use now. Above it, lines that need no action.

use ratatui::layout::Rect;

use crate::{
    live::{Board, board::Weight},
    screen::{Command, Ui, canvas::Canvas, keys::Place, text, theme::Meaning},
};

/// Draws the foot of the screen.
pub fn draw(canvas: &mut Canvas, area: Rect, board: &Board, ui: &Ui) {
    if let Some(words) = ui.message(board.now) {
        canvas.say(area, 0, 0, words, Meaning::Now);
        return;
    }
    let commands: &[Command] = match ui.place {
        Place::Replay => &[
            Command::Pause,
            Command::NextCall,
            Command::Step,
            Command::StepBack,
            Command::Faster,
            Command::Slower,
            Command::Quit,
        ],
        _ => &[
            Command::Help,
            Command::Undo,
            Command::More(None),
            Command::Oven(None),
            Command::Core(None),
            Command::Skip,
            Command::Glance,
            Command::Lanes,
            Command::Note(None),
            Command::Quit,
        ],
    };
    let shown = commands
        .iter()
        .filter(|c| !(**c == Command::Undo && board.undoable == 0))
        .filter_map(|c| Some((c, ui.keys.hint(ui.place, c)?)));
    let mut x: u16 = 0;
    for (command, (key, words)) in shown {
        let wide = u16::try_from(text::width(&key) + text::width(words) + 3).unwrap_or(u16::MAX);
        if x.saturating_add(wide) > area.width.saturating_add(2) {
            break;
        }
        let start = x;
        x = canvas.say(area, x, 0, &key, Meaning::Text);
        x = canvas.say(area, x + 1, 0, words, Meaning::Muted) + 3;
        canvas.hit(
            Rect {
                x: area.x + start,
                width: x - start,
                ..area
            },
            command.clone(),
        );
    }
}

/// How many rows the notices would like.
pub fn notices_wanted(board: &Board) -> u16 {
    u16::try_from(board.notices.len()).unwrap_or(u16::MAX)
}

/// Draws the gravest notices, as many as fit.
pub fn notices(canvas: &mut Canvas, area: Rect, board: &Board) {
    let mut notices: Vec<_> = board.notices.iter().collect();
    notices.sort_by_key(|n| std::cmp::Reverse(n.weight));
    for (y, notice) in (0..area.height).zip(notices) {
        let (word, meaning) = match notice.weight {
            Weight::Wrong => ("wrong  ", Meaning::Late),
            Weight::Caution => ("mind  ", Meaning::Caution),
            Weight::Info => ("", Meaning::Muted),
        };
        let x = canvas.say(area, 0, y, word, meaning);
        canvas.say(area, x, y, &notice.words, meaning);
    }
}
