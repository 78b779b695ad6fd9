//! Cookware by first use.

use super::{Cookware, Part};
use crate::measure::pan;
use crate::menu::amounts;
use crate::menu::model::Session;

/// Every vessel and tool, in order of first use.
pub(super) fn cookware(session: &Session, part: &Part<'_>) -> Vec<Cookware> {
    let mut wares: Vec<Cookware> = Vec::new();
    for (dish_index, dish) in session.dishes.iter().enumerate() {
        let factor = amounts::factor(session, dish);
        for (step_index, step) in dish.steps.iter().enumerate() {
            if !part.has_step(dish_index, step_index) {
                continue;
            }
            let at = part.start(dish_index, step_index);
            for need in step.needs.iter().filter(|n| n.name != "burner") {
                let at_hand = match wares.iter_mut().find(|w| w.name == need.name) {
                    Some(ware) => ware,
                    None => {
                        let new = Cookware {
                            name: need.name.clone(),
                            count: 0,
                            first: None,
                            dishes: Vec::new(),
                            size: pan::of(&need.name).and_then(|p| p.grown(factor)),
                        };
                        wares.push(new);
                        let Some(last) = wares.last_mut() else {
                            continue;
                        };
                        last
                    }
                };
                at_hand.count = at_hand.count.max(need.count);
                at_hand.first = [at_hand.first, at].into_iter().flatten().min();
                if !at_hand.dishes.contains(&dish.title) {
                    at_hand.dishes.push(dish.title.clone());
                }
            }
        }
    }
    wares.sort_by_key(|w| (w.first.is_none(), w.first));
    wares
}
