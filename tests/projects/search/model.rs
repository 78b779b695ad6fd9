//! A project as the search sees it: both directions of time, and demands packed into one word.

use std::collections::BTreeSet;

use super::super::Project;

/// Resources that fit into a word.
pub const RESOURCES: usize = 4;
/// The largest capacity that fits.
pub const CAPACITY: u32 = 0x7fff;
/// The bits that stay set while nothing is overdrawn.
pub const GUARD: u64 = 0x8000_8000_8000_8000;

/// One direction of time: the project itself, or its mirror, in which the last job is the first.
pub struct Direction {
    pub before: Vec<Vec<u16>>,
    pub after: Vec<Vec<u16>>,
    /// Periods of the longest chain after the end of each job.
    pub tail: Vec<u32>,
    /// Periods that must pass after the end of each job: the tail, or the work of its followers if that is more.
    pub rest: Vec<u32>,
}

/// A project in both directions.
pub struct Model {
    pub jobs: usize,
    pub durations: Vec<u32>,
    /// Demands, 16 bits a resource.
    pub demands: Vec<u64>,
    /// Capacities likewise, guarded.
    pub capacity: u64,
    /// The shares of the capacities that each job takes, added up.
    pub weights: Vec<f64>,
    pub directions: [Direction; 2],
    /// Places in a list in which each job comes after those before it.
    pub ranks: Vec<usize>,
    /// All durations one after the other.
    pub horizon: u32,
    /// No schedule is shorter.
    pub critical_path: u32,
}

impl Model {
    /// # Errors
    /// More resources or jobs, or a larger capacity, than the search is made for.
    pub fn new(p: &Project) -> Result<Self, String> {
        if p.capacity.len() > RESOURCES || p.capacity.iter().any(|&c| c > CAPACITY) {
            return Err(format!(
                "at most {RESOURCES} resources of at most {CAPACITY} units"
            ));
        }
        let jobs = p.durations.len();
        if jobs > usize::from(u16::MAX) {
            return Err(format!("at most {} jobs", u16::MAX));
        }
        let (mut before, mut after) = (vec![Vec::new(); jobs], vec![Vec::new(); jobs]);
        for (j, next) in p.successors.iter().enumerate() {
            for &s in next {
                after[j].push(s as u16);
                before[s].push(j as u16);
            }
        }
        let order = p.order();
        let mirrored: Vec<usize> = order.iter().rev().copied().collect();
        let mut ranks = vec![0; jobs];
        for (rank, &j) in order.iter().enumerate() {
            ranks[j] = rank;
        }
        let weight = |demands: &Vec<u32>| {
            let shares = demands.iter().zip(&p.capacity);
            shares
                .map(|(&d, &c)| f64::from(d) / f64::from(c.max(1)))
                .sum()
        };
        Ok(Model {
            jobs,
            durations: p.durations.clone(),
            demands: p.demands.iter().map(|d| packed(d)).collect(),
            capacity: packed(&p.capacity) | GUARD,
            weights: p.demands.iter().map(weight).collect(),
            directions: [
                Direction::new(p, before.clone(), after.clone(), &mirrored),
                Direction::new(p, after, before, &order),
            ],
            ranks,
            horizon: p.durations.iter().sum(),
            critical_path: p.critical_path(),
        })
    }
}

fn packed(units: &[u32]) -> u64 {
    let words = units.iter().enumerate();
    words.map(|(k, &u)| u64::from(u) << (16 * k)).sum()
}

impl Direction {
    /// `last_first` has every job after those that follow it in this direction.
    fn new(p: &Project, before: Vec<Vec<u16>>, after: Vec<Vec<u16>>, last_first: &[usize]) -> Self {
        let jobs = p.durations.len();
        let mut tail = vec![0; jobs];
        let mut rest = vec![0; jobs];
        let mut followers = vec![BTreeSet::new(); jobs];
        for &j in last_first {
            for &s in &after[j] {
                let s = usize::from(s);
                tail[j] = tail[j].max(tail[s] + p.durations[s]);
                rest[j] = rest[j].max(rest[s] + p.durations[s]);
                let theirs = followers[s].clone();
                followers[j].insert(s);
                followers[j].extend(theirs);
            }
            for r in 0..p.capacity.len() {
                let needs = followers[j].iter().copied();
                let needs = needs.filter(|&k| p.demands[k][r] > 0).collect();
                rest[j] = rest[j].max(work(p, r, needs, &rest));
            }
        }
        Direction {
            before,
            after,
            tail,
            rest,
        }
    }
}

/// Periods that a resource needs for jobs, and for what comes after them: those with the longest rest first.
fn work(p: &Project, resource: usize, mut jobs: Vec<usize>, rest: &[u32]) -> u32 {
    jobs.sort_by_key(|&j| std::cmp::Reverse(rest[j]));
    let (mut units, mut bound) = (0, 0);
    for j in jobs {
        units += p.durations[j] * p.demands[j][resource];
        bound = bound.max(units.div_ceil(p.capacity[resource]) + rest[j]);
    }
    bound
}
