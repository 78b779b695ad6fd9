//! Large dinners: a few dishes are taken out of the schedule and put back in another order, again and again.
//!
//! Ruin and recreate (G. Schrimpf et al., "Record breaking optimization results using the ruin and recreate
//! principle", 2000) under threshold acceptance. A move costs what its few dishes cost, not what the dinner does.
//! Times may lie before the begin: by the worst of them the whole would be served later, and that is its price.

use rand_pcg::{
    Pcg32,
    rand_core::{Rng, SeedableRng},
};

use super::generate::{Placing, first_dishes};
use super::model::{BROKEN, Model};
use crate::plan::cost::STALE;
use crate::plan::problem::{Problem, Tick};
use crate::plan::schedule::Schedule;

/// Most dishes that mostly are taken out at once.
const DISHES: usize = 6;

/// A search by moves of dishes, from a fixed seed.
pub struct Ruin<'m, 'p> {
    model: &'m Model<'p>,
    placing: Placing<'m, 'p>,
    dice: Pcg32,
    /// Where everything is, and what each dish costs there.
    now: Spot,
    /// Dishes whose cost depends on where a dish lies: itself, and those with steps that it comes after.
    linked: Vec<Vec<usize>>,
    /// The place of each dish in the order in which they came in.
    rank: Vec<usize>,
    out: Vec<usize>,
    /// Last steps that leave others room before their course, and how much.
    early: Vec<(usize, Tick)>,
    order: Vec<usize>,
}

/// A whole schedule with its cost.
#[derive(Clone)]
struct Spot {
    at: Vec<Tick>,
    oven: Vec<usize>,
    costs: Vec<i64>,
    total: i64,
}

impl<'m, 'p> Ruin<'m, 'p> {
    /// Begins with a schedule of a meal that hasn't begun.
    pub fn new(model: &'m Model<'p>, schedule: &Schedule) -> Self {
        let p = model.problem;
        let links = |d: usize| {
            let before = p.dishes[d].steps.iter().flat_map(|&i| &p.steps[i].after);
            let mut list: Vec<usize> = before.map(|&a| p.steps[a].dish).collect();
            list.push(d);
            list.sort_unstable();
            list.dedup();
            list
        };
        let mut ruin = Ruin {
            model,
            placing: Placing::new(model),
            dice: Pcg32::seed_from_u64(9),
            now: Spot {
                at: Vec::new(),
                oven: Vec::new(),
                costs: Vec::new(),
                total: 0,
            },
            linked: (0..p.dishes.len()).map(links).collect(),
            rank: vec![0; p.dishes.len()],
            out: Vec::new(),
            early: Vec::new(),
            order: Vec::new(),
        };
        for (k, d) in first_dishes(model).into_iter().enumerate() {
            ruin.rank[d] = k;
        }
        ruin.load(schedule);
        ruin
    }

    /// Goes on from another schedule.
    pub fn load(&mut self, schedule: &Schedule) {
        self.placing.load(schedule);
        self.now.at.clone_from(&self.placing.at);
        self.now.oven.clone_from(&self.placing.oven);
        self.now.costs = (0..self.linked.len()).map(|d| self.price(d)).collect();
        self.now.total = self.now.costs.iter().sum::<i64>() + self.common();
    }

    /// The problem searched.
    pub fn problem(&self) -> &'m Problem {
        self.model.problem
    }

    /// What it costs as it is.
    pub fn total(&self) -> i64 {
        self.now.total
    }

    /// The schedule as it is, moved to where nothing begins too early.
    pub fn schedule(&self) -> Schedule {
        let mut schedule = self.placing.schedule();
        let late = self.placing.shortfall();
        schedule.starts.iter_mut().for_each(|t| *t += late);
        schedule.served.iter_mut().for_each(|t| *t += late);
        schedule
    }

    fn below(&mut self, n: usize) -> usize {
        self.dice.next_u32() as usize % n.max(1)
    }

    /// One move; kept where it costs at most `patience` more.
    pub fn step(&mut self, patience: i64) {
        self.choose();
        self.arrange();
        self.exchange(patience);
    }

    /// Takes dishes out and puts them back in the order chosen.
    fn exchange(&mut self, patience: i64) {
        self.list();
        for k in 0..self.out.len() {
            for &i in &self.model.problem.dishes[self.out[k]].steps {
                self.placing.unplace(i);
            }
        }
        for k in 0..self.early.len() {
            let (i, wait) = self.early[k];
            self.placing.end_before(i, wait);
        }
        let placed = self.placing.complete(&self.order, 3 * self.order.len()) && self.ordered();
        let total = if placed { self.repriced() } else { i64::MAX };
        if total <= self.now.total.saturating_add(patience) {
            self.now.total = total;
            self.now.at.clone_from(&self.placing.at);
            self.now.oven.clone_from(&self.placing.oven);
            self.ranks();
        } else {
            self.placing.restore(&self.now.at, &self.now.oven);
            for k in 0..self.out.len() {
                self.reprice_links(k);
            }
        }
    }

    /// Everything comes in anew, in a random order.
    pub fn scatter(&mut self) {
        self.early.clear();
        self.out = (0..self.linked.len()).collect();
        for k in (1..self.out.len()).rev() {
            let other = self.below(k + 1);
            self.out.swap(k, other);
        }
        self.ranks();
        self.exchange(i64::MAX);
    }

    /// Picks a dish, rather one that costs much, and some whose times overlap with it.
    fn choose(&mut self) {
        let n = self.linked.len();
        self.out.clear();
        let mut seed = self.below(n);
        for _ in 0..self.below(4) {
            let other = self.below(n);
            if self.now.costs[other] > self.now.costs[seed] {
                seed = other;
            }
        }
        self.out.push(seed);
        let (from, to) = self.stretch(seed);
        let size = match self.below(32) {
            0 => n,
            1..=2 => 4 * DISHES,
            _ => DISHES,
        };
        let size = 1 + self.below(size);
        for _ in 0..2 * size {
            let other = self.below(n);
            let (begin, end) = self.stretch(other);
            if begin < to && from < end && !self.out.contains(&other) && self.out.len() < size {
                self.out.push(other);
            }
        }
    }

    /// What came back in another order keeps it.
    fn ranks(&mut self) {
        let mut ranks: Vec<usize> = self.out.iter().map(|&d| self.rank[d]).collect();
        ranks.sort_unstable();
        for (k, rank) in ranks.into_iter().enumerate() {
            self.rank[self.out[k]] = rank;
        }
    }

    fn stretch(&self, dish: usize) -> (Tick, Tick) {
        let p = self.model.problem;
        let steps = p.dishes[dish].steps.iter();
        steps.fold((Tick::MAX, Tick::MIN), |(from, to), &i| {
            let at = self.now.at[i];
            (from.min(at), to.max(at + p.steps[i].length))
        })
    }

    /// In which order they come back, and which of them leave others room before their course.
    fn arrange(&mut self) {
        let n = self.out.len();
        let few = n <= DISHES && self.below(2) == 0;
        if few {
            for k in (1..n).rev() {
                let other = self.below(k + 1);
                self.out.swap(k, other);
            }
        } else {
            let seed = self.out.swap_remove(0);
            self.out.sort_unstable_by_key(|&d| self.rank[d]);
            let to = self.below(n);
            self.out.insert(to, seed);
        }
        self.early.clear();
        for k in 0..n {
            if self.below(if few { 3 } else { 12 }) > 0 {
                continue;
            }
            let p = self.model.problem;
            let last = |i: &&usize| self.model.followers[**i].is_empty();
            if let Some(&i) = p.dishes[self.out[k]].steps.iter().find(last) {
                let keeps = p.steps[i].keeps.unwrap_or(STALE);
                let wait = self.below(keeps as usize + 1) as Tick;
                self.early.push((i, wait));
            }
        }
    }

    /// The steps of the dishes that are out, followers first.
    fn list(&mut self) {
        self.order.clear();
        for &d in &self.out {
            for &i in self.model.problem.dishes[d].steps.iter().rev() {
                self.order.push(i);
                self.placing.free_end(i);
            }
        }
    }

    /// Whether what was put back comes after what it has to.
    fn ordered(&self) -> bool {
        let p = self.model.problem;
        let after = |i: usize| {
            let ends = p.steps[i]
                .after
                .iter()
                .map(|&a| self.placing.at[a] + p.steps[a].length);
            ends.max().is_none_or(|end| end <= self.placing.at[i])
        };
        self.placing.complete_everywhere() && self.order.iter().all(|&i| after(i))
    }

    fn repriced(&mut self) -> i64 {
        for k in 0..self.out.len() {
            self.reprice_links(k);
        }
        self.now.costs.iter().sum::<i64>() + self.common()
    }

    fn reprice_links(&mut self, k: usize) {
        for x in 0..self.linked[self.out[k]].len() {
            let d = self.linked[self.out[k]][x];
            self.now.costs[d] = self.price(d);
        }
    }

    /// What the waits of a dish cost.
    fn price(&self, dish: usize) -> i64 {
        let p = self.model.problem;
        let mut sum = 0;
        for &i in &p.dishes[dish].steps {
            let step = &p.steps[i];
            let Some(keeps) = step.keeps else { continue };
            let end = self.placing.at[i] + step.length;
            let stale = if keeps <= STALE { 10 } else { 0 };
            let mut wait = |until: Tick, weight: i64| {
                let wait = i64::from(until - end);
                sum += weight * (wait - i64::from(keeps)).max(0) + stale * wait.max(0);
            };
            for &f in &self.model.followers[i] {
                wait(self.placing.at[f], BROKEN);
            }
            if self.model.followers[i].is_empty() {
                wait(self.placing.served[p.dishes[dish].course], 300);
            }
        }
        sum
    }

    /// Lateness and span.
    fn common(&self) -> i64 {
        let late = self.placing.shortfall();
        let courses = self.model.problem.courses.iter().zip(&self.placing.served);
        let sum: i64 = courses
            .map(|(c, &served)| i64::from((served + late - c.promised).max(0)))
            .sum();
        let last = self.placing.served.iter().max().copied().unwrap_or(0);
        let first = self.placing.at.iter().min().copied().unwrap_or(0);
        1000 * sum + i64::from(last - first)
    }
}
