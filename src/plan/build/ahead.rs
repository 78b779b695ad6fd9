//! Which steps are made ahead of the day, and which on the day.

use super::{BuildError, Part};
use crate::menu::{Dish, Session};

/// For each dish of the session, its steps that belong to the part, in the order of the file.
pub(super) fn choose(session: &Session, part: Part) -> Result<Vec<Vec<usize>>, Vec<BuildError>> {
    let mut errors = Vec::new();
    let mut chosen = Vec::with_capacity(session.dishes.len());
    for dish in &session.dishes {
        let early = if session.ahead.contains(&dish.id) {
            made_ahead(dish)
        } else {
            vec![false; dish.steps.len()]
        };
        if session.ahead.contains(&dish.id) && !early.contains(&true) {
            errors.push(BuildError::NoAheadStep(dish.id.clone()));
        }
        let wanted = part == Part::Ahead;
        chosen.push(
            (0..dish.steps.len())
                .filter(|&s| early[s] == wanted)
                .collect(),
        );
    }
    if errors.is_empty() && part == Part::Ahead && chosen.iter().all(Vec::is_empty) {
        errors.push(BuildError::NothingAhead);
    }
    if errors.is_empty() {
        Ok(chosen)
    } else {
        Err(errors)
    }
}

/// The steps with `ahead` and all that they come after within the dish.
fn made_ahead(dish: &Dish) -> Vec<bool> {
    let mut early: Vec<bool> = dish.steps.iter().map(|s| s.ahead.is_some()).collect();
    let mut open: Vec<usize> = (0..early.len()).filter(|&s| early[s]).collect();
    while let Some(s) = open.pop() {
        for before in dish.steps[s].after.iter().filter(|r| r.dish == dish.id) {
            if let Some(b) = dish.steps.iter().position(|s| s.id == before.step)
                && !early[b]
            {
                early[b] = true;
                open.push(b);
            }
        }
    }
    early
}
