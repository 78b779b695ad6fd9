//! How early a course can be served when all that must come before it has to pass through one thing.
//!
//! For every set of tasks that come before a moment: the earliest of their begins, plus what they
//! take together, plus the least of the ways from their ends to the moment (the relaxation of
//! J. Carlier, "The one-machine sequencing problem", 1982, for several machines by division).

use super::core::{Core, Done, Lit};
use super::variable::var;
use crate::plan::problem::Tick;
use crate::plan::solver::model::{Model, Node};

/// A task that comes before a target.
#[derive(Clone, Copy, Debug)]
struct Item {
    begin: Node,
    work: i64,
    tail: i64,
}

/// One thing, one target, and the tasks that pass through the one before the other, longest tails first.
#[derive(Clone, Debug)]
pub struct Energy {
    target: Node,
    capacity: i64,
    /// Taken off once: what follows the last task of all.
    spare: i64,
    items: Vec<Item>,
}

/// The longest way from each node to `target`.
fn ways(model: &Model, target: Node) -> Vec<Option<i64>> {
    let mut into: Vec<Vec<(Node, i64)>> = vec![Vec::new(); model.nodes];
    for a in &model.arcs {
        into[a.to].push((a.from, i64::from(a.gap)));
    }
    let mut way = vec![None; model.nodes];
    way[target] = Some(0);
    let mut queue = std::collections::VecDeque::from([target]);
    while let Some(node) = queue.pop_front() {
        let Some(here) = way[node] else { continue };
        for &(from, gap) in &into[node] {
            if way[from].is_none_or(|w| w < here + gap) {
                way[from] = Some(here + gap);
                queue.push_back(from);
            }
        }
    }
    way
}

/// Sets of tasks that pass through one thing: begin, work, own length, capacity, spare.
struct Stream {
    capacity: i64,
    spare: i64,
    tasks: Vec<(Node, i64, i64)>,
}

fn streams(model: &Model) -> Vec<Stream> {
    let mut out = Vec::new();
    for pool in &model.pools {
        let mut tasks = Vec::new();
        for t in pool.tasks.iter().filter(|t| t.begin == t.end) {
            let length = i64::from(t.tail);
            tasks.push((t.begin, length * i64::from(t.demand), length));
        }
        out.push(Stream {
            capacity: i64::from(pool.capacity),
            spare: 0,
            tasks,
        });
    }
    out.extend(oven_stream(model));
    out
}

/// Oven steps of which no two can be in the oven at once.
pub struct Clique {
    pub steps: Vec<usize>,
    /// From the start of each to the start of whichever comes after it, at least.
    pub work: Vec<i64>,
}

/// Longest first, every step that excludes all that are taken already.
pub fn oven_clique(model: &Model) -> Clique {
    let length = |i: usize| i64::from(model.problem.steps[i].length);
    let open = |i: &usize| !model.fixed[*i];
    let mut order: Vec<usize> = model.oven_steps.iter().copied().filter(open).collect();
    order.sort_by_key(|&i| std::cmp::Reverse(length(i)));
    let mut clique = Clique {
        steps: Vec::new(),
        work: Vec::new(),
    };
    for i in order {
        // Least distances of the two starts, either way round.
        let apart = |&j: &usize| {
            let spans = model.pairs.forbidden(0, i, j);
            let whole = spans.iter().find(|s| covers(s, length(i), length(j)));
            whole.map(|s| (i64::from(s.before), -i64::from(s.after)))
        };
        let Some(pairs) = clique.steps.iter().map(apart).collect::<Option<Vec<_>>>() else {
            continue;
        };
        let own = pairs.iter().map(|p| p.0).min().unwrap_or(i64::MAX);
        for (work, pair) in clique.work.iter_mut().zip(&pairs) {
            *work = (*work).min(pair.1);
        }
        clique.steps.push(i);
        clique.work.push(own);
    }
    if let [only] = clique.steps[..] {
        clique.work = vec![length(only)];
    }
    clique
}

/// With one oven: such steps, one after the other.
fn oven_stream(model: &Model) -> Option<Stream> {
    if model.problem.ovens.len() != 1 {
        return None;
    }
    let clique = oven_clique(model);
    let length = |i: usize| i64::from(model.problem.steps[i].length);
    let spare = clique
        .steps
        .iter()
        .zip(&clique.work)
        .map(|(&i, w)| w - length(i))
        .max()
        .unwrap_or(0);
    let tasks = clique
        .steps
        .iter()
        .zip(&clique.work)
        .map(|(&i, &w)| (i, w, length(i)))
        .collect();
    Some(Stream {
        capacity: 1,
        spare,
        tasks,
    })
}

fn covers(span: &crate::plan::solver::ovens::Forbidden, i: i64, j: i64) -> bool {
    i64::from(span.after) <= -j && i64::from(span.before) >= i
}

impl Energy {
    /// For every course and every thing with more than one task before it.
    pub fn all(model: &Model) -> Vec<Energy> {
        let streams = streams(model);
        let mut out = Vec::new();
        for k in 0..model.courses {
            let target = model.course(k);
            if model.fixed[target] {
                continue;
            }
            let way = ways(model, target);
            for s in &streams {
                let item = |&(begin, work, length): &(Node, i64, i64)| {
                    let tail = way[begin].filter(|_| begin != target)? - length;
                    (tail >= 0).then_some(Item { begin, work, tail })
                };
                let mut items: Vec<Item> = s.tasks.iter().filter_map(item).collect();
                items.sort_by_key(|i| std::cmp::Reverse(i.tail));
                if items.len() > 1 && s.capacity > 0 {
                    out.push(Energy {
                        target,
                        capacity: s.capacity,
                        spare: s.spare,
                        items,
                    });
                }
            }
        }
        out
    }

    /// The moments that the bound depends on.
    pub fn nodes(&self) -> impl Iterator<Item = Node> {
        self.items.iter().map(|i| i.begin)
    }

    pub fn target(&self) -> Node {
        self.target
    }

    /// The best bound over all sets for given begins: its value, the least begin and the least tail.
    fn best(&self, head: impl Fn(Node) -> i64) -> (i64, i64, i64) {
        let mut found = (i64::MIN, 0, 0);
        // Begins of the tasks taken in so far, latest first, with their work.
        let mut taken: Vec<(i64, i64)> = Vec::with_capacity(self.items.len());
        for item in &self.items {
            let h = head(item.begin);
            let at = taken.partition_point(|t| t.0 > h);
            taken.insert(at, (h, item.work));
            let mut work: i64 = taken[..at].iter().map(|t| t.1).sum();
            for &(begin, w) in &taken[at..] {
                work += w;
                let rest = work - self.spare;
                let value =
                    begin + (rest + self.capacity - 1).div_euclid(self.capacity) + item.tail;
                if value > found.0 {
                    found = (value, begin, item.tail);
                }
            }
        }
        found
    }

    /// The earliest moment of the target when nothing is earlier than `at`.
    pub fn target_from(&self, at: impl Fn(Node) -> i64) -> Option<Tick> {
        Tick::try_from(self.best(at).0).ok()
    }

    /// The bound between the first start of all and the target.
    pub fn span_from(&self, heads: &[Option<i64>]) -> Option<Tick> {
        if self.items.iter().any(|i| heads[i.begin].is_none()) {
            return None;
        }
        let (value, _, _) = self.best(|n| heads[n].unwrap_or(0));
        Tick::try_from(value).ok()
    }

    /// Raises the target to the best bound.
    pub fn propagate(&self, core: &mut Core) -> Done {
        let (value, begin, tail) = self.best(|n| core.lo(var(n)));
        if value <= core.lo(var(self.target)) {
            return Ok(());
        }
        let set = self
            .items
            .iter()
            .filter(|i| i.tail >= tail && core.lo(var(i.begin)) >= begin);
        let because: Vec<Lit> = set.map(|i| Lit::at_least(var(i.begin), begin)).collect();
        core.imply(Lit::at_least(var(self.target), value), &because)
    }
}

/// The longest way from the first start to each node.
pub fn heads(model: &Model, first: Node) -> Vec<Option<i64>> {
    let mut out: Vec<Vec<(Node, i64)>> = vec![Vec::new(); model.nodes];
    for a in &model.arcs {
        out[a.from].push((a.to, i64::from(a.gap)));
    }
    let mut way = vec![None; model.nodes];
    way[first] = Some(0);
    let mut queue = std::collections::VecDeque::from([first]);
    while let Some(node) = queue.pop_front() {
        let Some(here) = way[node] else { continue };
        for &(to, gap) in &out[node] {
            if way[to].is_none_or(|w| w < here + gap) {
                way[to] = Some(here + gap);
                queue.push_back(to);
            }
        }
    }
    way
}
