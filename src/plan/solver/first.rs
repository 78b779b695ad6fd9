//! A first schedule: dishes in a plausible order, backward, and forward where that begins too early.

use super::generate::{Placing, dish_order, first_dishes};
use super::model::Model;
use super::score;
use crate::plan::schedule::Schedule;

/// A schedule by the given order of dishes; `None` when cookware is held crosswise and no order worked out.
pub fn by_dishes(placing: &mut Placing, model: &Model, dishes: &[usize]) -> Option<Schedule> {
    let order = dish_order(model, dishes);
    let held = placing.backward(&order, &[]);
    if held && placing.in_time() {
        return Some(placing.schedule());
    }
    // All served later by what is missing: every `keeps` holds, but more is late than need be.
    let delayed = (held && !model.live).then(|| {
        let mut schedule = placing.schedule();
        let late = placing.shortfall();
        schedule.starts.iter_mut().for_each(|t| *t += late);
        schedule.served.iter_mut().for_each(|t| *t += late);
        schedule
    });
    let keys = if held {
        placing.keys()
    } else {
        ranks(model, dishes)
    };
    if !placing.forward(&keys) && !placing.forward(&ranks(model, dishes)) {
        return delayed;
    }
    placing.justify();
    let both = [Some(placing.schedule()), delayed];
    both.into_iter()
        .flatten()
        .min_by_key(|s| score::of(model.problem, s))
}

/// Positions in a list of whole dishes, the other way round, that respects the order of steps.
fn ranks(model: &Model, dishes: &[usize]) -> Vec<i32> {
    let mut keys = vec![0; model.steps + model.courses];
    let steps = dishes
        .iter()
        .rev()
        .flat_map(|&d| &model.problem.dishes[d].steps);
    for (rank, &i) in steps.enumerate() {
        keys[i] = rank as i32;
    }
    for k in 0..model.courses {
        keys[model.course(k)] = model.steps as i32;
    }
    keys
}

/// The hint, moved as little as what has changed asks for.
pub fn repaired(model: &Model, hint: &Schedule) -> Option<Schedule> {
    let fits = hint.starts.len() == model.steps && hint.served.len() == model.courses;
    if !fits || hint.ovens.len() != model.steps {
        return None;
    }
    let mut placing = Placing::new(model);
    placing.repair(hint).then(|| placing.schedule())
}

/// The better of the two plain orders of dishes.
pub fn first(model: &Model) -> Option<Schedule> {
    let mut placing = Placing::new(model);
    let one = first_dishes(model);
    let mut other = one.clone();
    other.reverse();
    let found = [one, other]
        .into_iter()
        .filter_map(|dishes| by_dishes(&mut placing, model, &dishes));
    found.min_by_key(|s| score::of(model.problem, s))
}

/// The first step that has no place when everything is put as early as it can be.
pub fn stuck(model: &Model) -> usize {
    let mut placing = Placing::new(model);
    placing.forward(&ranks(model, &first_dishes(model)));
    placing.unplaced().unwrap_or(0)
}
