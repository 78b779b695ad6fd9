//! The last line: a message, or the keys that are of use now. Above it, lines that need no action.

use ratatui::layout::Rect;

use super::hints;
use crate::{
    live::{
        Action, Board,
        board::{Notice, Weight},
    },
    screen::{Command, Ui, canvas::Canvas, keys::Place, text, theme::Meaning, ui::Chosen},
};

/// Draws the foot of the screen.
pub fn draw(canvas: &mut Canvas, area: Rect, board: &Board, ui: &Ui) {
    if let Some(words) = ui.message(board.now) {
        canvas.say(area, 0, 0, words, Meaning::Now);
        return;
    }
    if let Some((words, does)) = chosen(board, ui) {
        let keys = [(Command::Take, does), (Command::Back, "back")];
        let x = hints(canvas, area, ui, &keys);
        canvas.say(area, x, 0, &words, Meaning::Text);
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
            Command::Glance,
            Command::Quit,
            Command::Skip,
            Command::Lanes,
            Command::Note(None),
        ],
    };
    let shown: Vec<(Command, &str)> = commands
        .iter()
        .filter(|c| !(**c == Command::Undo && board.undoable == 0))
        .filter_map(|c| Some((c.clone(), ui.keys.hint(ui.place, c)?.1)))
        .collect();
    hints(canvas, area, ui, &shown);
}

/// The chosen row in full, with why it can't be done now, and what is done with it.
fn chosen(board: &Board, ui: &Ui) -> Option<(String, &'static str)> {
    match ui.chosen.as_ref()? {
        Chosen::Running(step) => {
            let row = board.countdowns.iter().find(|c| c.step == *step)?;
            Some((format!("{}: {}", row.dish, row.sentence), "done"))
        }
        Chosen::Coming(action) => {
            let row = board.upcoming.iter().find(|u| u.action == *action)?;
            let does = match action {
                Action::SetOven(..) => "is set",
                Action::Serve(_) => "is served",
                _ => "begin",
            };
            let words = match &row.waits_for {
                Some(why) => format!("{}: {why}", row.subject),
                None => format!("{}: {}", row.subject, row.sentence),
            };
            Some((words, does))
        }
        Chosen::Choice(_) => None,
    }
}

/// How many rows the notices would like at a width.
pub fn notices_wanted(board: &Board, columns: u16) -> u16 {
    let rows = |notice: &Notice| told(notice, columns, usize::MAX).2.len();
    let all: usize = board.notices.iter().map(rows).sum();
    u16::try_from(all).unwrap_or(u16::MAX)
}

/// Draws the gravest notices, as many as fit, each over as many rows as it takes.
pub fn notices(canvas: &mut Canvas, area: Rect, board: &Board) {
    let mut notices: Vec<_> = board.notices.iter().collect();
    notices.sort_by_key(|n| std::cmp::Reverse(n.weight));
    let mut y = 0;
    for notice in notices {
        let room = usize::from(area.height.saturating_sub(y));
        if room == 0 {
            return;
        }
        let (word, meaning, lines) = told(notice, area.width, room);
        let x = canvas.say(area, 0, y, word, meaning);
        for line in &lines {
            canvas.say(area, x, y, line, meaning);
            y += 1;
        }
    }
}

/// A notice in at most so many rows: the word before it, how it looks, its lines. Where it is from, in brackets at its
/// end, is told where it takes no row more.
fn told(notice: &Notice, columns: u16, rows: usize) -> (&'static str, Meaning, Vec<String>) {
    let (word, meaning) = match notice.weight {
        Weight::Wrong => ("wrong  ", Meaning::Late),
        Weight::Caution => ("mind  ", Meaning::Caution),
        Weight::Info => ("", Meaning::Muted),
    };
    let columns = usize::from(columns).saturating_sub(word.len());
    let mut lines = text::wrap(&notice.words, columns);
    if let Some((bare, _)) = notice.words.split_once(" (")
        && notice.words.ends_with(')')
    {
        let bare = text::wrap(bare, columns);
        if bare.len() < lines.len() {
            lines = bare;
        }
    }
    if lines.len() > rows {
        lines = text::wrap_in(&lines.join(" "), columns, rows);
    }
    (word, meaning, lines)
}
