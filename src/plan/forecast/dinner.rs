//! One simulated dinner.

use std::{cmp::Reverse, collections::BinaryHeap};

use rand_pcg::{
    Pcg64Mcg,
    rand_core::{Rng, SeedableRng},
};

use super::script::{Script, Task};

mod knob;

/// How a dinner went.
pub(super) struct Outcome {
    /// For each course, served - promised, in ms.
    pub late: Vec<i64>,
    /// What held late courses up: steps, with how many ms each ran over its planned length.
    pub blame: Vec<(usize, i64)>,
}

/// A kitchen in simulated time. Made once for many dinners.
pub(super) struct Dinner<'a> {
    script: &'a Script,
    /// When things happen: ends of steps (below the number of steps), plates carried out, or nothing but "look again".
    events: BinaryHeap<Reverse<(i64, usize)>>,
    lengths: Vec<i64>,
    starts: Vec<i64>,
    ended: Vec<bool>,
    begun: Vec<bool>,
    missing: Vec<u32>,
    /// What ended when a task could begin at last: the step that held it up.
    held_up: Vec<Option<usize>>,
    cooks: u32,
    burners: u32,
    racks: Vec<u32>,
    wares: Vec<u32>,
    /// For each hold: steps still to end, and whether it is held.
    holds: Vec<(u32, bool)>,
    in_oven: Vec<Vec<usize>>,
    served: Vec<Option<i64>>,
    unfinished: Vec<u32>,
    service_held_up: Vec<Option<usize>>,
    /// Tasks not begun, in the order of the plan.
    waiting: Vec<Task>,
    /// For each step and then each course, how long the cook takes to begin it when it is called for.
    hand: Vec<i64>,
    /// For each step, how long the cook takes to turn the knob for it, and when it has been turned.
    turn: Vec<i64>,
    turned: Vec<Option<i64>>,
    /// Calls are answered one after the other: when the last one was.
    answered: i64,
}

/// Spreads the numbers of dinners over all seeds: 2^64 by the golden ratio, odd.
const WEYL: u64 = 0x9E37_79B9_7F4A_7C15;

/// Event code of "look again".
const LOOK: usize = usize::MAX;

impl<'a> Dinner<'a> {
    pub(super) fn new(script: &'a Script) -> Self {
        let n = script.steps.len();
        Self {
            script,
            events: BinaryHeap::new(),
            lengths: vec![0; n],
            starts: vec![0; n],
            ended: vec![false; n],
            begun: vec![false; n],
            missing: vec![0; n],
            held_up: vec![None; n],
            cooks: 0,
            burners: 0,
            racks: Vec::new(),
            wares: Vec::new(),
            holds: Vec::new(),
            in_oven: Vec::new(),
            served: Vec::new(),
            unfinished: Vec::new(),
            service_held_up: Vec::new(),
            waiting: Vec::new(),
            hand: vec![0; n + script.courses.len()],
            turn: vec![0; n],
            turned: vec![None; n],
            answered: 0,
        }
    }

    fn reset(&mut self, seed: u64, n: u32) {
        let script = self.script;
        // Each dinner has a seed of its own: the answer does not depend on who simulates it.
        let own = seed.wrapping_add(u64::from(n).wrapping_mul(WEYL));
        let mut random = Pcg64Mcg::seed_from_u64(own);
        let mut even = || (random.next_u64() >> 11) as f64 / (1_u64 << 53) as f64;
        for (length, step) in self.lengths.iter_mut().zip(&script.steps) {
            // Triangular with its mode in the middle: the mean of two even draws.
            let share = f64::midpoint(even(), even());
            *length = step.lo + ((step.hi - step.lo) as f64 * share).round() as i64;
        }
        for hand in self.hand.iter_mut().chain(&mut self.turn) {
            *hand = (even() * script.reacts as f64).round() as i64;
        }
        self.answered = i64::MIN / 2;
        self.events.clear();
        self.ended.fill(false);
        self.begun.fill(false);
        self.held_up.fill(None);
        self.turned.fill(None);
        for (missing, step) in self.missing.iter_mut().zip(&script.steps) {
            *missing = u32::try_from(step.after.len()).unwrap_or(u32::MAX);
        }
        (self.cooks, self.burners) = (script.cooks, script.burners);
        self.racks.clone_from(&script.racks);
        self.wares.clone_from(&script.wares);
        self.holds.clear();
        self.holds.extend(script.holds.iter().map(|h| (h.2, false)));
        self.in_oven.resize(script.racks.len(), Vec::new());
        self.in_oven.iter_mut().for_each(Vec::clear);
        let courses = script.courses.len();
        self.served.clear();
        self.served.resize(courses, None);
        self.service_held_up.clear();
        self.service_held_up.resize(courses, None);
        self.unfinished.clear();
        self.unfinished
            .extend(script.courses.iter().map(|c| c.steps));
        self.waiting.clone_from(&script.order);
        for step in &script.steps {
            self.events.push(Reverse((step.start, LOOK)));
            let turn = step.oven.as_ref().and_then(|need| need.turn);
            self.events.extend(turn.map(|at| Reverse((at, LOOK))));
        }
        for course in &script.courses {
            self.events
                .push(Reverse((course.planned.min(course.promised), LOOK)));
        }
    }

    /// Cooks dinner number `n` of a seed.
    pub(super) fn cook(&mut self, seed: u64, n: u32) -> Outcome {
        self.reset(seed, n);
        let mut now = 0;
        while let Some(Reverse((at, what))) = self.events.pop() {
            now = at;
            let mut freed = self.happen(what);
            while let Some(&Reverse((next, what))) = self.events.peek() {
                if next > at {
                    break;
                }
                self.events.pop();
                freed = self.happen(what).or(freed);
            }
            self.begin(now, freed);
            if self.events.is_empty() && !self.waiting.is_empty() {
                self.force(now);
            }
        }
        let late = self.script.courses.iter().zip(&self.served);
        let late: Vec<i64> = late.map(|(c, s)| s.unwrap_or(now) - c.promised).collect();
        let blame = self.blame(&late);
        Outcome { late, blame }
    }

    /// Takes back what ends; the step that ended.
    fn happen(&mut self, what: usize) -> Option<usize> {
        if what == LOOK {
            return None;
        }
        let Some(step) = self.script.steps.get(what) else {
            self.cooks += 1;
            return None;
        };
        self.ended[what] = true;
        self.cooks += u32::from(step.hands);
        self.burners += step.burners;
        if let Some(need) = &step.oven {
            self.racks[need.oven] += need.racks;
        }
        for &h in &step.holds {
            self.holds[h].0 -= 1;
            if self.holds[h].0 == 0 {
                let (ware, count, _) = self.script.holds[h];
                self.wares[ware] += count;
            }
        }
        for &f in &step.followers {
            self.missing[f] -= 1;
        }
        self.unfinished[step.course] -= 1;
        Some(what)
    }

    /// Begins all that is due and can begin, in the order of the plan.
    fn begin(&mut self, now: i64, freed: Option<usize>) {
        let mut waiting = std::mem::take(&mut self.waiting);
        waiting.retain(|&task| match task {
            Task::Step(i) => !self.try_step(i, now, freed),
            Task::Serve(k) => !self.try_service(k, now, freed),
            Task::Turn(i) => !self.try_turn(i, now),
        });
        self.waiting = waiting;
    }

    fn try_step(&mut self, i: usize, now: i64, freed: Option<usize>) -> bool {
        let step = &self.script.steps[i];
        let free = step.start <= now
            && self.missing[i] == 0
            && (!step.hands || self.cooks > 0)
            && step.burners <= self.burners
            && step.holds.iter().all(|&h| {
                let (ware, count, _) = self.script.holds[h];
                self.holds[h].1 || count <= self.wares[ware]
            })
            && (!step.hands || self.cooks > self.owed(i, now));
        if !free {
            return false;
        }
        if let Some(need) = &step.oven {
            if need.racks > self.racks[need.oven] {
                return false;
            }
            let Some((ready, because)) = self.oven_ready(i, now) else {
                return false;
            };
            if ready > now {
                self.held_up[i] = because;
                self.events.push(Reverse((ready, LOOK)));
                return false;
            }
        }
        self.start(i, now, freed.filter(|_| step.start < now));
        true
    }

    /// When the cook, called now, begins a step or a course.
    fn answer(&mut self, what: usize, now: i64) -> i64 {
        self.answered = self.answered.max(now) + self.hand[what];
        self.answered
    }

    /// How many hands courses need that are planned before a step and would wait for it: a plan made again lets the step
    /// wait rather than the guests.
    fn owed(&self, i: usize, now: i64) -> u32 {
        let step = &self.script.steps[i];
        let end = now + step.planned;
        let waits = |k: usize| {
            let course = &self.script.courses[k];
            let first = course.planned <= step.start && course.plating > 0;
            first && self.served[k].is_none() && self.ready(k, now).is_some_and(|at| at < end)
        };
        let count = (0..self.served.len()).filter(|&k| waits(k)).count();
        u32::try_from(count).unwrap_or(u32::MAX)
    }

    /// When a course can be served, as far as can be foreseen; `None` while a step of it hasn't begun.
    fn ready(&self, k: usize, now: i64) -> Option<i64> {
        let course = &self.script.courses[k];
        let mut at = now.max(course.promised);
        if let Some(before) = k.checked_sub(1) {
            at = at.max(self.served[before]? + course.gap);
        }
        for (i, step) in self.script.steps.iter().enumerate() {
            if step.course == k && !self.ended[i] {
                if !self.begun[i] {
                    return None;
                }
                at = at.max(self.starts[i] + step.planned);
            }
        }
        Some(at)
    }

    fn start(&mut self, i: usize, now: i64, held_up: Option<usize>) {
        let step = &self.script.steps[i];
        let begun = self.answer(i, now);
        self.starts[i] = begun;
        self.begun[i] = true;
        self.held_up[i] = held_up.or(self.held_up[i]);
        self.cooks = self.cooks.saturating_sub(u32::from(step.hands));
        self.burners = self.burners.saturating_sub(step.burners);
        if let Some(need) = &step.oven {
            self.racks[need.oven] = self.racks[need.oven].saturating_sub(need.racks);
            self.in_oven[need.oven].push(i);
        }
        for &h in &step.holds {
            if !std::mem::replace(&mut self.holds[h].1, true) {
                let (ware, count, _) = self.script.holds[h];
                self.wares[ware] = self.wares[ware].saturating_sub(count);
            }
        }
        self.events.push(Reverse((begun + self.lengths[i], i)));
    }

    fn try_service(&mut self, k: usize, now: i64, freed: Option<usize>) -> bool {
        let course = &self.script.courses[k];
        let after = match k.checked_sub(1).map(|before| self.served[before]) {
            None => i64::MIN,
            Some(Some(before)) => before + course.gap,
            Some(None) => return false,
        };
        if self.unfinished[k] > 0 || now < course.promised {
            if self.unfinished[k] == 0 {
                self.events.push(Reverse((course.promised, LOOK)));
            }
            return false;
        }
        if now < after {
            self.events.push(Reverse((after, LOOK)));
            return false;
        }
        let n = self.script.steps.len();
        let at = self.answer(n + k, now);
        if course.plating > 0 {
            if self.cooks == 0 {
                return false;
            }
            self.cooks -= 1;
            self.events.push(Reverse((at + course.plating, n + k)));
        } else {
            self.events.push(Reverse((at, LOOK)));
        }
        self.served[k] = Some(at);
        let before = || self.service_held_up[k.checked_sub(1)?];
        self.service_held_up[k] = freed.or_else(before).filter(|_| course.planned < now);
        true
    }

    /// Nothing is under way and something waits for what is held elsewhere: the cook copes, the first in order begins.
    fn force(&mut self, now: i64) {
        let ready = self.waiting.iter().position(|task| match *task {
            Task::Step(i) => self.missing[i] == 0,
            Task::Serve(k) => self.unfinished[k] == 0,
            Task::Turn(_) => true,
        });
        let Some(task) = ready.map(|at| self.waiting.remove(at)) else {
            self.waiting.clear();
            return;
        };
        match task {
            Task::Step(i) => {
                self.cooks = self.cooks.max(1);
                self.start(i, now.max(self.script.steps[i].start), None);
            }
            Task::Turn(i) => {
                self.turned[i] = Some(now);
                self.events.push(Reverse((now, LOOK)));
            }
            Task::Serve(k) => {
                self.served[k] = Some(now.max(self.script.courses[k].promised));
                self.events.push(Reverse((now, LOOK)));
            }
        }
    }

    /// Goes back from each late course along what held it up.
    fn blame(&self, late: &[i64]) -> Vec<(usize, i64)> {
        let mut found = Vec::new();
        for (k, &by) in late.iter().enumerate() {
            if by <= 0 {
                continue;
            }
            let mut next = self.service_held_up[k];
            // A chain has no more links than there are steps.
            for _ in 0..self.script.steps.len() {
                let Some(i) = next else { break };
                let over = self.lengths[i] - self.script.steps[i].planned;
                if over > 0 {
                    found.push((i, over));
                }
                next = self.held_up[i];
            }
        }
        found
    }
}
