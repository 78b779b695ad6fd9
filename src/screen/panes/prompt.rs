//! What is asked over the foot of the screen: a typed line, or whether to leave.

use ratatui::layout::{Position, Rect};

use crate::{
    live::Board,
    screen::{
        Command, Ui,
        canvas::{Canvas, cut_bottom, inset},
        text,
        theme::Meaning,
        ui::{Ask, Overlay},
    },
};

/// Rows that a prompt covers.
const ROWS: u16 = 4;

/// Draws what is asked, over the last rows of the area.
pub fn draw(canvas: &mut Canvas, area: Rect, board: &Board, ui: &Ui) {
    let (_, foot) = cut_bottom(area, ROWS.min(area.height));
    match &ui.overlay {
        Overlay::Ask(ask, input) => {
            let room = sheet(canvas, foot);
            // What was wrong with the line stands where the question stood.
            match ui.message(board.now) {
                Some(fault) => canvas.say(room, 0, 0, fault, Meaning::Late),
                None => canvas.say(room, 0, 0, &question(*ask, board, ui), Meaning::Text),
            };
            let line = Rect {
                y: room.y + 1.min(room.height),
                height: 1.min(room.height),
                ..room
            };
            let columns = usize::from(line.width.saturating_sub(3));
            let scroll = input.visual_scroll(columns);
            let shown = text::from_column(input.value(), scroll);
            let x = canvas.say(line, 0, 0, "> ", Meaning::Now);
            canvas.say(line, x, 0, &shown, Meaning::Text);
            let at = input.visual_cursor().saturating_sub(scroll);
            let at = line
                .x
                .saturating_add(x)
                .saturating_add(u16::try_from(at).unwrap_or(0));
            canvas.cursor = Some(Position::new(
                at.min(line.right().saturating_sub(1)),
                line.y,
            ));
            keys(
                canvas,
                room,
                ui,
                &[(Command::Take, "take it"), (Command::Back, "leave it")],
            );
        }
        Overlay::Leave => {
            let room = sheet(canvas, foot);
            canvas.say(room, 0, 0, "Leave the kitchen?", Meaning::Now);
            let (kept, meaning) = match board.unwritten {
                false => (
                    "All that happened is kept; `mealtide cook --resume` goes on from here.",
                    Meaning::Text,
                ),
                true => (
                    "The log can't be written: what happened last is lost by it.",
                    Meaning::Late,
                ),
            };
            canvas.say(room, 0, 1, kept, meaning);
            keys(
                canvas,
                room,
                ui,
                &[
                    (Command::Take, "leave"),
                    (Command::Back, "stay"),
                    (Command::Done, "the meal is over: end it for good"),
                ],
            );
        }
        Overlay::None | Overlay::Help(_) => {}
    }
}

fn sheet(canvas: &mut Canvas, area: Rect) -> Rect {
    canvas.blank(area);
    canvas.lay(area, Meaning::Raised);
    let accent = canvas.style(Meaning::Now);
    for y in area.y..area.bottom() {
        canvas.dot(area.x, y, "█", accent);
    }
    inset(area, 3, u16::from(area.height >= ROWS), 2, 0)
}

fn keys(canvas: &mut Canvas, area: Rect, ui: &Ui, all: &[(Command, &str)]) {
    let y = area.height.saturating_sub(1);
    let mut x = 0;
    for (command, words) in all {
        let place = crate::screen::keys::Place::Cook;
        if let Some(key) = ui.keys.label(place, command) {
            let start = x;
            x = canvas.key(area, x, y, &key, words, Meaning::Text) + 3;
            let wide = x.saturating_sub(start);
            canvas.hit(
                Rect::new(
                    area.x.saturating_add(start),
                    area.y.saturating_add(y),
                    wide,
                    1,
                ),
                command.clone(),
            );
        }
    }
}

fn question(ask: Ask, board: &Board, ui: &Ui) -> String {
    let dish = |step: usize| {
        let found = board.countdowns.iter().find(|c| c.step == step);
        found.map_or(String::new(), |c| format!("{}: ", c.dish))
    };
    let unit = if ui.fahrenheit { "F" } else { "C" };
    match ask {
        Ask::Note => "A note for the log".to_owned(),
        Ask::Core(step) => format!(
            "{}the thermometer reads? {}",
            dish(step),
            match ui.fahrenheit {
                true => "Degrees F, or 74 C",
                false => "Two digits of C do; tenths: 073.5",
            }
        ),
        Ask::Oven(oven) => {
            let name = board.ovens.get(oven).map_or("oven", |o| o.name.as_str());
            format!("What is the {name} set to? Degrees {unit}, gas 7, fan 180, or off")
        }
        Ask::Minutes(step) => format!("{}how many minutes more? With a minus: fewer", dish(step)),
    }
}
