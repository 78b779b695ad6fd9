//! A genetic search on lists of jobs, with two populations: schedules pushed to the begin, and schedules pushed to the
//! end (the begin of the mirrored project). A child of two schedules of the one is justified into the other, so that
//! each schedule generated is one half of a forward-backward improvement (D. Debels, M. Vanhoucke, "A bi-population
//! based genetic algorithm for the resource-constrained project scheduling problem", ICCSA 2005).
//!
//! Effort counts as in R. Kolisch, S. Hartmann, "Experimental investigation of heuristics for resource-constrained
//! project scheduling: an update", EJOR 174, 2006: a schedule is one assignment of a start to every job by a generation
//! scheme. One given up half way, because what must follow shows that it will be too long, is charged for the jobs
//! placed, as D. Debels, M. Vanhoucke, "A decomposition-based genetic algorithm for the resource-constrained
//! project-scheduling problem", Operations Research 55, 2007, charge parts of schedules.

mod cross;
mod dice;
mod model;
mod population;
mod sample;
mod scheme;

use std::collections::HashSet;
use std::hash::{DefaultHasher, Hash, Hasher};

use super::Project;
use dice::Dice;
use model::Model;
use population::{Individual, Population};
use scheme::Scheme;

/// How to search. The default was tuned on every fifth project of PSPLIB's set J120 at 5,000 schedules.
#[derive(Clone, Debug)]
pub struct Settings {
    /// Schedules in each of the two populations.
    pub population: usize,
    /// Rounds of the tournaments in which parents are chosen: the one whose busy time is kept, and the other.
    pub rounds: (usize, usize),
    /// Width of what is kept from one parent: the least and the most, as shares of the makespan.
    pub window: (f64, f64),
    /// How often it is the busiest part rather than any part.
    pub busiest: f64,
    /// How much, at most, chance makes a part look busier.
    pub noise: f64,
    /// How often the other parent says what comes before and after that part.
    pub loose: f64,
    /// How often a job of a child's list is moved, and how many places at most.
    pub mutation: (f64, usize),
    /// The last part of a schedule, as a share of its makespan, in which work counts against it among its equals.
    pub last_part: f64,
    /// Children in a row that are not fit enough, after which other populations take their turn.
    pub patience: usize,
    /// How much larger those are.
    pub growth: f64,
    /// How much the first lists follow latest finish times.
    pub bias: f64,
}

impl Default for Settings {
    fn default() -> Self {
        Settings {
            population: 90,
            rounds: (2, 3),
            window: (0.05, 0.25),
            busiest: 0.5,
            noise: 0.1,
            loose: 0.5,
            mutation: (1.0, 20),
            last_part: 0.5,
            patience: 100,
            growth: 1.5,
            bias: 1.5,
        }
    }
}

/// What a search found.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// In periods.
    pub makespan: u32,
    /// Of each job, in periods from the begin of the project.
    pub starts: Vec<u32>,
    /// Schedules generated, parts of them included.
    pub schedules: f64,
}

/// The shortest schedule found by generating so many; fewer if one is as short as the critical path.
///
/// # Errors
/// When the project is larger than the search is made for.
pub fn search(p: &Project, schedules: u64, seed: u64, s: &Settings) -> Result<Found, String> {
    let model = Model::new(p)?;
    let mut search = Search {
        model: &model,
        settings: s,
        scheme: Scheme::new(&model),
        dice: Dice::new(seed),
        populations: Default::default(),
        size: s.population.max(2),
        tried: HashSet::new(),
        budget: schedules.max(1) * model.jobs as u64,
        best: None,
    };
    search.begin();
    search.breed();
    let placed = search.scheme.placed as f64;
    let (makespan, starts) = search.best.unwrap_or_default();
    Ok(Found {
        makespan,
        starts,
        schedules: placed / model.jobs.max(1) as f64,
    })
}

struct Search<'m> {
    model: &'m Model,
    settings: &'m Settings,
    scheme: Scheme<'m>,
    dice: Dice,
    populations: [Population; 2],
    /// Schedules in each.
    size: usize,
    /// Hashes of the lists that were generated from, with their direction.
    tried: HashSet<u64>,
    /// Jobs that may be placed.
    budget: u64,
    /// Makespan, and starts in the project's own direction.
    best: Option<(u32, Vec<u32>)>,
}

impl Search<'_> {
    /// Nothing shorter exists, or another whole schedule would be one too many.
    fn done(&self) -> bool {
        let shortest = self.model.critical_path;
        self.best.as_ref().is_some_and(|b| b.0 <= shortest)
            || self.scheme.placed + self.model.jobs as u64 > self.budget
    }

    /// A schedule from a list, unless it would take longer than `limit`.
    fn generate(&mut self, direction: usize, list: &[u16], limit: u32) -> Option<Individual> {
        let makespan = self.scheme.run(direction, list, limit)?;
        let starts = &self.scheme.starts;
        if self.best.as_ref().is_none_or(|b| makespan < b.0) {
            let durations = self.model.durations.iter();
            let mirrored = starts.iter().zip(durations).map(|(s, d)| makespan - s - d);
            let forward = if direction == 0 {
                starts.clone()
            } else {
                mirrored.collect()
            };
            self.best = Some((makespan, forward));
        }
        let part = self.settings.last_part;
        Some(Individual::new(self.model, starts, makespan, part))
    }

    /// Sampled schedules, and what they are when justified into the other direction.
    fn begin(&mut self) {
        while self.populations[0].0.len() < self.size && !self.done() {
            let list = sample::sample(self.model, 0, self.settings.bias, &mut self.dice);
            let Some(early) = self.generate(0, &list, u32::MAX) else {
                return;
            };
            if !self.done()
                && let Some(late) = self.generate(1, &early.list, u32::MAX)
            {
                self.populations[1].0.push(late);
            }
            self.populations[0].0.push(early);
        }
    }

    /// Children into the two populations by turns.
    fn breed(&mut self) {
        let (mut from, mut vain) = (0, 0);
        while !self.done() {
            let to = 1 - from;
            let list = self.child(from);
            let worst = &self.populations[to];
            let limit = worst.worst().map_or(u32::MAX, |k| worst.0[k].makespan);
            let child = self.generate(to, &list, limit);
            if child.is_some_and(|c| self.populations[to].admit(c)) {
                vain = 0;
            } else {
                vain += 1;
            }
            if vain > self.settings.patience {
                self.restart();
                vain = 0;
            }
            from = to;
        }
    }

    /// Other, larger populations.
    fn restart(&mut self) {
        self.populations = Default::default();
        self.tried.clear();
        self.size = (self.size as f64 * self.settings.growth) as usize;
        self.begin();
    }

    /// A list for the other direction that was not tried before.
    fn child(&mut self, from: usize) -> Vec<u16> {
        let (parents, dice) = (&self.populations[from], &mut self.dice);
        let one = parents.tournament(self.settings.rounds.0, dice);
        let mut other = parents.tournament(self.settings.rounds.1, dice);
        for _ in 0..TRIES {
            if one != other {
                break;
            }
            other = parents.tournament(self.settings.rounds.1, dice);
        }
        let pair = (&parents.0[one], &parents.0[other]);
        let mut list = cross::cross(self.model, from, pair, self.settings, dice);
        let d = &self.model.directions[1 - from];
        let (chance, reach) = self.settings.mutation;
        if dice.share() < chance {
            cross::mutate(d, &mut list, reach, dice);
        }
        for _ in 0..TRIES {
            let mut hash = DefaultHasher::new();
            (from, &list).hash(&mut hash);
            if self.tried.insert(hash.finish()) {
                break;
            }
            cross::mutate(d, &mut list, reach, dice);
        }
        list
    }
}

/// Attempts to find another parent, or a list that was not tried.
const TRIES: usize = 20;
