//! How long dishes must wait for their course at least, because not all last steps can end together.
//!
//! Seen back from the service, last steps that take the same thing begin one after the other: before the k-th, all but as
//! many as fit at once are over, and the shortest of them take what they take. Least waits and longest allowed waits,
//! both in order, give the least excess: a convex sum is least where the lists are matched in order.

use super::model::Model;

/// Things that last steps take, in the order in which a step that takes several is counted for one of them.
const THINGS: [[Thing; 3]; 3] = [
    [Thing::Hands, Thing::Burner, Thing::Rack],
    [Thing::Burner, Thing::Rack, Thing::Hands],
    [Thing::Rack, Thing::Hands, Thing::Burner],
];

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Thing {
    Hands,
    Burner,
    Rack,
}

/// A last step: what it takes, for how long, and how long its result may wait.
#[derive(Clone, Copy, Debug)]
struct Last {
    demand: i64,
    length: i64,
    allowed: i64,
}

/// Ticks by which waits for service exceed what is allowed, in all; with `short`, the waits of what goes stale.
/// For meals that haven't begun.
pub fn least(model: &Model, short: Option<i64>) -> i64 {
    let course = |k: usize| {
        THINGS
            .iter()
            .map(|order| of_course(model, k, order, short))
            .max()
    };
    (0..model.courses).filter_map(course).sum()
}

fn of_course(model: &Model, course: usize, order: &[Thing], short: Option<i64>) -> i64 {
    let p = model.problem;
    let mut lists: Vec<Vec<Last>> = vec![Vec::new(); order.len()];
    let steps = p.courses[course]
        .dishes
        .iter()
        .flat_map(|&d| &p.dishes[d].steps);
    for &i in steps {
        let step = &p.steps[i];
        let Some(keeps) = step.keeps.map(i64::from) else {
            continue;
        };
        if !model.followers[i].is_empty() || short.is_some_and(|s| keeps > s) {
            continue;
        }
        let taken = order.iter().position(|&thing| demand(model, i, thing) > 0);
        if let Some(k) = taken {
            lists[k].push(Last {
                demand: demand(model, i, order[k]),
                length: i64::from(step.length),
                allowed: if short.is_some() { 0 } else { keeps },
            });
        }
    }
    let each = order.iter().zip(&mut lists);
    each.map(|(&thing, list)| excess(list, capacity(model, thing)))
        .sum()
}

fn demand(model: &Model, i: usize, thing: Thing) -> i64 {
    let step = &model.problem.steps[i];
    match thing {
        Thing::Hands => i64::from(step.hands),
        Thing::Burner => i64::from(step.burners),
        Thing::Rack => step.oven.as_ref().map_or(0, |o| i64::from(o.racks)),
    }
}

fn capacity(model: &Model, thing: Thing) -> i64 {
    let p = model.problem;
    match thing {
        Thing::Hands => i64::from(p.cooks),
        Thing::Burner => i64::from(p.burners),
        Thing::Rack => p.ovens.iter().map(|o| i64::from(o.racks)).sum(),
    }
}

fn excess(list: &mut [Last], capacity: i64) -> i64 {
    let Some(smallest) = list.iter().map(|l| l.demand).min().filter(|_| capacity > 0) else {
        return 0;
    };
    let at_once = (capacity / smallest).max(1) as usize;
    let mut works: Vec<i64> = list.iter().map(|l| l.demand * l.length).collect();
    works.sort_unstable();
    list.sort_unstable_by_key(|l| l.allowed);
    let (mut over, mut sum) = (0, 0);
    for (k, last) in list.iter().enumerate() {
        if k >= at_once {
            sum += works[k - at_once];
        }
        let wait = (sum + capacity - 1) / capacity;
        over += (wait - last.allowed).max(0);
    }
    over
}

#[cfg(test)]
mod tests {
    use super::*;

    fn last(demand: i64, length: i64, allowed: i64) -> Last {
        Last {
            demand,
            length,
            allowed,
        }
    }

    #[test]
    fn one_pair_of_hands_ends_one_thing_after_the_other() {
        // Ends 0, 4 and 10 ticks before service in the best order; 2 may wait 5.
        let mut list = [last(1, 4, 0), last(1, 6, 5), last(1, 20, 5)];
        assert_eq!(excess(&mut list, 1), 5);
    }

    #[test]
    fn what_fits_at_once_need_not_wait() {
        let mut list = [last(1, 4, 0), last(1, 6, 0), last(1, 20, 0)];
        assert_eq!(excess(&mut list, 3), 0);
        // Two at once: the third waits for half the work of the shortest at least.
        assert_eq!(excess(&mut list, 2), 2);
    }
}
