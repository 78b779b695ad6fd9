//! Children of two schedules: within the busiest time of one parent its own order, before and after it the other's
//! (V. Valls, F. Ballestin, S. Quintanilla, "A hybrid genetic algorithm for the resource-constrained project scheduling
//! problem", EJOR 185, 2008; D. Debels, M. Vanhoucke, "A bi-population based genetic algorithm for the RCPSP", 2005).

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::Settings;
use super::dice::Dice;
use super::model::{Direction, Model};
use super::population::Individual;

/// From a moment to before another, in the direction of a schedule.
struct Window {
    from: u32,
    to: u32,
}

/// A list for the direction other than that of the parents, which is `direction`.
pub fn cross(
    model: &Model,
    direction: usize,
    (one, other): (&Individual, &Individual),
    settings: &Settings,
    dice: &mut Dice,
) -> Vec<u16> {
    let window = window(model, one, settings, dice);
    if dice.share() < settings.loose {
        loose(
            model,
            &model.directions[1 - direction],
            (one, other),
            &window,
        )
    } else {
        strict(model, (one, other), &window)
    }
}

/// The part of a schedule that uses most, or one at random.
fn window(model: &Model, one: &Individual, settings: &Settings, dice: &mut Dice) -> Window {
    let (least, most) = settings.window;
    let makespan = one.makespan as usize;
    let share = least + (most - least) * dice.share();
    let width = ((makespan as f64 * share) as usize).clamp(1, makespan.max(1));
    let places = makespan.saturating_sub(width) + 1;
    let from = if dice.share() < settings.busiest {
        busiest(&used(model, one), width, places, settings.noise, dice)
    } else {
        dice.below(places)
    };
    Window {
        from: from as u32,
        to: (from + width) as u32,
    }
}

/// Shares of the capacities in use, added up, in each period.
fn used(model: &Model, one: &Individual) -> Vec<f64> {
    let mut used = vec![0.0; one.makespan as usize];
    for j in 0..model.jobs as u16 {
        let periods = one.starts[usize::from(j)] as usize..one.end(model, j) as usize;
        for period in &mut used[periods] {
            *period += model.weights[usize::from(j)];
        }
    }
    used
}

fn busiest(used: &[f64], width: usize, places: usize, noise: f64, dice: &mut Dice) -> usize {
    let mut sum: f64 = used.iter().take(width).sum();
    let (mut best, mut most) = (0, f64::MIN);
    for from in 0..places {
        let value = sum * (1.0 + noise * dice.share());
        if value > most {
            (best, most) = (from, value);
        }
        if let Some(next) = used.get(from + width) {
            sum += next - used[from];
        }
    }
    best
}

/// What lies before, in and after the window in `one` does so in the child.
fn strict(model: &Model, (one, other): (&Individual, &Individual), window: &Window) -> Vec<u16> {
    let after = |j: &&u16| one.starts[usize::from(**j)] >= window.to;
    let before = |j: &&u16| !after(j) && one.end(model, **j) <= window.from;
    let within = |j: &&u16| !after(j) && !before(j);
    let parts = other
        .list
        .iter()
        .filter(after)
        .chain(one.list.iter().filter(within))
        .chain(other.list.iter().filter(before));
    parts.copied().collect()
}

/// What lies in the window in `one` keeps its order; what else there is comes before or after by its place in `other`.
fn loose(
    model: &Model,
    towards: &Direction,
    (one, other): (&Individual, &Individual),
    window: &Window,
) -> Vec<u16> {
    let key = |j: u16| {
        let k = usize::from(j);
        let (end, theirs) = (one.end(model, j), other.end(model, j));
        if one.starts[k] < window.to && end > window.from {
            (1, end)
        } else if other.starts[k] + theirs < window.from + window.to {
            (0, theirs)
        } else {
            (2, theirs)
        }
    };
    let mut order: Vec<u16> = (0..model.jobs as u16).collect();
    order.sort_by_key(|&j| Reverse((key(j), j)));
    let mut rank = vec![0u16; model.jobs];
    for (k, &j) in order.iter().enumerate() {
        rank[usize::from(j)] = k as u16;
    }
    sorted(towards, &rank)
}

/// The jobs by rank, each after those before it.
fn sorted(d: &Direction, rank: &[u16]) -> Vec<u16> {
    let mut waiting: Vec<usize> = d.before.iter().map(Vec::len).collect();
    let mut list = Vec::with_capacity(rank.len());
    let ready = (0..rank.len()).filter(|&j| waiting[j] == 0);
    let mut ready: BinaryHeap<_> = ready.map(|j| Reverse((rank[j], j as u16))).collect();
    while let Some(Reverse((_, j))) = ready.pop() {
        list.push(j);
        for &s in &d.after[usize::from(j)] {
            let k = usize::from(s);
            waiting[k] -= 1;
            if waiting[k] == 0 {
                ready.push(Reverse((rank[k], s)));
            }
        }
    }
    list
}

/// Moves a random job of a list within `reach` places, not past those it must follow or come before.
pub fn mutate(d: &Direction, list: &mut Vec<u16>, reach: usize, dice: &mut Dice) {
    let from = dice.below(list.len());
    let job = list[from];
    let (before, after) = (&d.before[usize::from(job)], &d.after[usize::from(job)]);
    let earlier = list[..from].iter().rev().take(reach);
    let earlier = earlier.take_while(|j| !before.contains(j)).count();
    let later = list[from + 1..].iter().take(reach);
    let later = later.take_while(|j| !after.contains(j)).count();
    let to = from - earlier + dice.below(earlier + later + 1);
    list.remove(from);
    list.insert(to, job);
}
