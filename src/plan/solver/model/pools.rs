//! What runs out: hands, burners and vessels, and from when until when they are held.

use super::{Arc, HoldSpan, Model, Pool, Task};
use crate::plan::problem::Tick;

impl Model<'_> {
    pub(super) fn pools(&mut self) {
        let p = self.problem;
        let mut cooks = Pool {
            capacity: p.cooks,
            tasks: Vec::new(),
        };
        let mut burners = Pool {
            capacity: p.burners,
            tasks: Vec::new(),
        };
        for (i, step) in p.steps.iter().enumerate() {
            if step
                .begun
                .is_some_and(|b| b.done || b.start + step.length <= self.now)
            {
                continue;
            }
            let task = |demand| Task {
                begin: i,
                end: i,
                tail: step.length,
                demand,
                begun: step.begun.is_some(),
            };
            if step.hands {
                cooks.tasks.push(task(1));
            }
            if step.burners > 0 {
                burners.tasks.push(task(step.burners));
            }
        }
        for (k, course) in p.courses.iter().enumerate() {
            let over = course
                .served
                .is_some_and(|at| at + course.plating <= self.now);
            if course.plating > 0 && p.cooks > 0 && !over {
                let node = self.steps + k;
                let begun = course.served.is_some();
                cooks.tasks.push(Task {
                    begin: node,
                    end: node,
                    tail: course.plating,
                    demand: 1,
                    begun,
                });
            }
        }
        self.pools = vec![cooks, burners];
        for &count in &p.wares {
            self.pools.push(Pool {
                capacity: count,
                tasks: Vec::new(),
            });
        }
        for d in 0..p.dishes.len() {
            for h in 0..p.dishes[d].holds.len() {
                self.hold(d, h);
            }
        }
    }

    /// A hold lies between its earliest and its latest step; where several could be it, a moment of its own does.
    fn hold(&mut self, dish: usize, h: usize) {
        let p = self.problem;
        let hold = &p.dishes[dish].holds[h];
        let open: Vec<usize> = hold
            .steps
            .iter()
            .copied()
            .filter(|&i| !self.past(i))
            .collect();
        if open.is_empty() {
            return;
        }
        let begun = |i: &&usize| p.steps[**i].begun.is_some();
        let since = hold.steps.iter().filter(begun).map(|&i| self.lo[i]).min();
        let ends = hold
            .steps
            .iter()
            .filter(begun)
            .map(|&i| self.lo[i] + p.steps[i].length);
        let until = ends.max().unwrap_or(Tick::MIN / 4);
        let free: Vec<usize> = open
            .iter()
            .copied()
            .filter(|&i| p.steps[i].begun.is_none())
            .collect();
        let firsts: Vec<usize> = free
            .iter()
            .copied()
            .filter(|&i| !free.iter().any(|&j| self.precedes(j, i)))
            .collect();
        let lasts: Vec<usize> = free
            .iter()
            .copied()
            .filter(|&i| !free.iter().any(|&j| self.precedes(i, j)))
            .collect();
        let begin = match (since, firsts.as_slice()) {
            (Some(at), _) => self.node(at, true),
            (None, [only]) => *only,
            (None, several) => {
                let node = self.node(self.now, false);
                for &i in several {
                    self.arcs.push(Arc::new(node, i, 0));
                }
                node
            }
        };
        let (end, tail) = match (since, lasts.as_slice()) {
            (_, []) => (self.node(until, true), 0),
            (None, [only]) => (*only, p.steps[*only].length),
            (_, several) => {
                let node = self.node(until.max(self.now), false);
                for &i in several {
                    self.arcs.push(Arc::new(i, node, p.steps[i].length));
                }
                (node, 0)
            }
        };
        let task = Task {
            begin,
            end,
            tail,
            demand: hold.count,
            begun: since.is_some(),
        };
        self.pools[2 + hold.ware].tasks.push(task);
        self.holds.push(HoldSpan {
            ware: hold.ware,
            count: hold.count,
            steps: free,
            since,
            until,
        });
    }

    /// Whether `a` comes before `b` along steps (not necessarily of one dish) that haven't begun: what was begun before its
    /// time keeps nothing behind `a`.
    fn precedes(&self, a: usize, b: usize) -> bool {
        if a == b {
            return false;
        }
        let mut stack = vec![b];
        let mut seen = vec![false; self.steps];
        while let Some(x) = stack.pop() {
            for &y in &self.problem.steps[x].after {
                if y == a {
                    return true;
                }
                let open = self.problem.steps[y].begun.is_none();
                if open && !std::mem::replace(&mut seen[y], true) {
                    stack.push(y);
                }
            }
        }
        false
    }
}
