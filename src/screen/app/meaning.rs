//! What a command means on a board: which step, oven or choice it is about.

use crate::{
    live::{Action, Board, Ms, board::Choice},
    screen::{
        Command, Ui,
        panes::calls,
        time::MINUTE,
        typed,
        ui::{Chosen, rows},
    },
};

/// The action that a command means on a board; `None`: the command is about something else than the meal.
///
/// # Errors
/// Why it means nothing now, in words for the cook.
pub fn action(command: &Command, board: &Board, ui: &Ui) -> Result<Option<Action>, String> {
    let focus = &board.focus;
    let need = |step: Option<usize>, words: &str| step.ok_or_else(|| words.to_owned());
    let action = match command {
        Command::Next => focus.action.clone().ok_or("nothing is to be done now")?,
        Command::Take => return take(board, ui).map(Some),
        Command::Choice(n) => {
            let choice = focus.choices.get(usize::from(*n).saturating_sub(1));
            // A substitute has a key of its own: "not yet" never changes what goes into a dish.
            let first = |c: &&Choice| *n > 1 || !matches!(c.action, Action::Substitute(..));
            let choice = choice.filter(first);
            choice.ok_or("there is no other choice now")?.action.clone()
        }
        Command::Heard => {
            let call = calls::calling(board).next().ok_or("nothing calls")?;
            Action::Answer(call.key.clone())
        }
        Command::Undo if board.undoable == 0 => {
            return Err("nothing is left to take back".to_owned());
        }
        Command::Undo => Action::Undo,
        Command::Begin => Action::Begin(need(begun(board, ui), "nothing is left to begin")?),
        Command::Done => Action::Finish(need(running(board, ui), "nothing is running")?),
        Command::Skip => Action::Skip(need(any_step(board, ui), "choose a step to leave out")?),
        Command::More(Some(n)) => {
            Action::Extend(need(running(board, ui), "nothing is running")?, n * MINUTE)
        }
        Command::Fewer(n) => {
            Action::Extend(need(running(board, ui), "nothing is running")?, -n * MINUTE)
        }
        Command::Oven(Some(text)) => {
            Action::SetOven(oven(board), typed::oven(text, ui.fahrenheit)?)
        }
        Command::Core(Some(text)) => {
            let step = need(measured(board, ui), "nothing is running to be measured")?;
            Action::Measure(step, typed::core(text, ui.fahrenheit)?)
        }
        Command::Substitute => {
            let offered = focus
                .choices
                .iter()
                .find(|c| matches!(c.action, Action::Substitute(..)));
            offered
                .ok_or("no substitute is offered now")?
                .action
                .clone()
        }
        Command::Note(Some(text)) => Action::Note(text.clone()),
        Command::Row(n) => {
            let row = rows(board).nth(usize::from(*n).saturating_sub(1));
            row_action(row.ok_or_else(|| format!("there is no row {n}"))?)
        }
        _ => return Ok(None),
    };
    Ok(Some(action))
}

fn row_action(row: Chosen) -> Action {
    match row {
        Chosen::Running(step) => Action::Finish(step),
        Chosen::Coming(action) => action,
        Chosen::Choice(_) => Action::Undo,
    }
}

fn take(board: &Board, ui: &Ui) -> Result<Action, String> {
    match &ui.chosen {
        Some(Chosen::Choice(i)) => {
            let choice = board.focus.choices.get(*i);
            Ok(choice.ok_or("that choice is gone")?.action.clone())
        }
        Some(chosen) if rows(board).any(|row| row == *chosen) => Ok(row_action(chosen.clone())),
        Some(_) => Err("that row is gone; choose again".to_owned()),
        None => Ok(board
            .focus
            .action
            .clone()
            .ok_or("nothing is to be done now")?),
    }
}

fn step_of(action: &Action) -> Option<usize> {
    match action {
        Action::Begin(step)
        | Action::Finish(step)
        | Action::Extend(step, _)
        | Action::Skip(step)
        | Action::Measure(step, _) => Some(*step),
        _ => None,
    }
}

fn chosen_step(ui: &Ui) -> Option<usize> {
    match &ui.chosen {
        Some(Chosen::Running(step)) => Some(*step),
        Some(Chosen::Coming(action)) => step_of(action),
        _ => None,
    }
}

fn focus_step(board: &Board) -> Option<usize> {
    let choices = board.focus.choices.iter().map(|c| &c.action);
    board.focus.action.iter().chain(choices).find_map(step_of)
}

fn is_running(board: &Board, step: usize) -> bool {
    board.countdowns.iter().any(|c| c.step == step)
}

/// The running step that a command is about: the chosen one, else that in focus, else the first to end.
pub fn running(board: &Board, ui: &Ui) -> Option<usize> {
    if ui.chosen.is_some() {
        return chosen_step(ui).filter(|s| is_running(board, *s));
    }
    let focus = focus_step(board).filter(|s| is_running(board, *s));
    focus.or(board.countdowns.first().map(|c| c.step))
}

/// The step to begin: the chosen one, else that in focus, else the first that comes.
fn begun(board: &Board, ui: &Ui) -> Option<usize> {
    if ui.chosen.is_some() {
        return chosen_step(ui).filter(|s| !is_running(board, *s));
    }
    let begins = |a: &Action| match a {
        Action::Begin(step) => Some(*step),
        _ => None,
    };
    let focus = board.focus.action.as_ref().and_then(begins);
    focus.or(board.upcoming.iter().find_map(|u| begins(&u.action)))
}

fn any_step(board: &Board, ui: &Ui) -> Option<usize> {
    chosen_step(ui).or(focus_step(board))
}

/// The step that a thermometer is in: the chosen one, else the first with a core temperature to reach, else in the oven.
pub fn measured(board: &Board, ui: &Ui) -> Option<usize> {
    let chosen = chosen_step(ui).filter(|s| is_running(board, *s));
    let cored = board
        .countdowns
        .iter()
        .find(|c| c.core.is_some())
        .map(|c| c.step);
    chosen.or(cored).or(running(board, ui))
}

/// The oven that is meant: the one whose knob is to be turned next.
pub fn oven(board: &Board) -> usize {
    if let Some(Action::SetOven(oven, _)) = board.focus.action {
        return oven;
    }
    let next = |i: &usize| {
        board
            .ovens
            .get(*i)
            .and_then(|o| o.next.as_ref())
            .map_or(Ms::MAX, |n| n.at)
    };
    (0..board.ovens.len()).min_by_key(next).unwrap_or(0)
}
