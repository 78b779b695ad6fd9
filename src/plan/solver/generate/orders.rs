//! Orders in which dishes are placed.

use crate::plan::problem::Tick;
use crate::plan::solver::model::Model;
use crate::plan::solver::profile::FOREVER;

/// Steps by dish, so that a backward pass finishes one dish after the other.
pub fn dish_order(model: &Model, dishes: &[usize]) -> Vec<usize> {
    let mut order = Vec::with_capacity(model.steps);
    for &d in dishes {
        order.extend(model.problem.dishes[d].steps.iter().rev());
    }
    order
}

/// Dishes that wait least first, then longer ones.
pub fn first_dishes(model: &Model) -> Vec<usize> {
    let p = model.problem;
    let key = |d: &usize| {
        let steps = &p.dishes[*d].steps;
        let last = |i: &&usize| model.followers[**i].is_empty();
        let keeps = steps
            .iter()
            .filter(last)
            .filter_map(|&i| p.steps[i].keeps)
            .min()
            .unwrap_or(FOREVER);
        let work: Tick = steps.iter().map(|&i| p.steps[i].length).sum();
        (keeps, std::cmp::Reverse(work))
    };
    let mut dishes: Vec<usize> = (0..p.dishes.len()).collect();
    dishes.sort_by_key(key);
    dishes
}
