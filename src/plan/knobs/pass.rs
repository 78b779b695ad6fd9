//! The pass forwards through the use of one oven.

use super::place::Placed;
use super::tube::Tube;
use super::{IDLE, LONGEST, Reason, Setting, Turn, value};
use crate::measure::{Ratio, to_f64};
use crate::plan::problem::{Mode, Oven, Problem, Tick};

/// Idle time before the first use that is looked at, in ticks: 16 hours are enough for any oven to heat up.
const WARM_UP: Tick = 1920;

/// The pass forwards through the use of one oven.
pub(super) struct Pass<'a> {
    oven: usize,
    known: &'a Oven,
    placed: Vec<Placed>,
    tube: Tube,
    /// C per tick.
    heats: f64,
    cools: f64,
    now: Tick,
    last: Tick,
    temperature: f64,
    knob: Setting,
    /// The same in C: asked for at every tick.
    set: f64,
    /// What the knob was turned to ahead of a segment, until that begins: index into `placed`.
    committed: Option<usize>,
}

impl<'a> Pass<'a> {
    pub fn new(
        problem: &'a Problem,
        oven: usize,
        placed: Vec<Placed>,
        knob: Setting,
    ) -> Option<Self> {
        let known = &problem.ovens[oven];
        let first = placed.iter().map(|p| p.from).min()?;
        let last = placed.iter().map(|p| p.to).max()?;
        // Live, an idle oven that is on has to be turned off now; before the meal nothing happens for long.
        let begin = match problem.mode {
            Mode::Before => known.from.max(first.saturating_sub(WARM_UP)),
            Mode::Live { .. } => known.from,
        };
        if last <= begin || last - begin > LONGEST {
            return None;
        }
        let tube = Tube::new(known, &placed, begin, last);
        Some(Self {
            oven,
            known,
            placed,
            heats: to_f64(known.heats) / 2.0,
            cools: to_f64(known.cools) / 2.0,
            now: begin,
            last,
            temperature: to_f64(known.temperature),
            tube,
            knob,
            set: value(known, knob),
            committed: None,
        })
    }

    pub fn run(mut self) -> Vec<Turn> {
        let mut turns: Vec<Turn> = Vec::new();
        while self.now < self.last {
            let knob = self.knob;
            let (to, reason, wished) = self.choose();
            if to != knob {
                turns.push(Turn {
                    oven: self.oven,
                    at: self.now,
                    to,
                    reason,
                });
                self.knob = to;
                self.set = value(self.known, to);
            }
            let then = self.moved(to);
            let steady = wished && to == knob && then == self.temperature;
            self.temperature = then;
            self.now += 1;
            if steady {
                self.wait();
            }
        }
        if self.knob != Setting::Off {
            turns.push(Turn {
                oven: self.oven,
                at: self.last,
                to: Setting::Off,
                reason: Reason::Unneeded,
            });
        }
        turns
    }

    /// Lets time pass in which nothing begins or ends and the oven stays as it is: what was right a tick ago is right
    /// until then, while the tube holds it.
    fn wait(&mut self) {
        let next = self.next_change().min(self.last);
        while self.now < next && self.tube.holds(self.now + 1, self.temperature) {
            self.now += 1;
        }
    }

    /// The next tick from now on at which another answer than that of the tick before may be right.
    fn next_change(&self) -> Tick {
        let moments = self.placed.iter().flat_map(|p| {
            let needed = self.needed(p);
            // A setting that is reached binds from the tick after its begin.
            let ahead = [needed, IDLE, 0, -1].map(|ticks| p.from.saturating_sub(ticks));
            ahead.into_iter().chain([p.to, p.binds])
        });
        let later = moments.filter(|&at| at >= self.now);
        later.min().unwrap_or(self.last)
    }

    /// How long the oven needs from here to what a segment aims at, in ticks.
    fn needed(&self, p: &Placed) -> Tick {
        let distance = p.aim - self.temperature;
        let rate = if distance > 0.0 {
            self.heats
        } else {
            self.cools
        };
        (distance.abs() / rate - 1e-6).ceil() as Tick
    }

    /// What the oven tends to with the knob at `setting`, in C.
    fn value(&self, setting: Setting) -> f64 {
        if setting == self.knob {
            self.set
        } else {
            value(self.known, setting)
        }
    }

    /// The temperature a tick from now with the knob at `setting`.
    fn moved(&self, setting: Setting) -> f64 {
        let target = self.value(setting);
        if target > self.temperature {
            (self.temperature + self.heats).min(target)
        } else {
            (self.temperature - self.cools).max(target)
        }
    }

    /// What to set now and why, and whether that is what was wished.
    fn choose(&mut self) -> (Setting, Reason, bool) {
        self.bind();
        if self
            .committed
            .is_some_and(|p| self.placed[p].from <= self.now)
        {
            self.committed = None;
        }
        let (wish, reason) = self.wish();
        if self.tube.holds(self.now + 1, self.moved(wish)) {
            return (wish, reason, true);
        }
        let (to, reason) = self.correct(wish, reason);
        (to, reason, false)
    }

    /// A setting that the oven was on its way to binds from when it is reached.
    fn bind(&mut self) {
        let (now, temperature) = (self.now, self.temperature);
        let reached = self.placed.iter_mut().filter(|p| {
            p.from < now
                && now < p.binds
                && now < p.to
                && p.lo <= temperature
                && temperature <= p.hi
        });
        let mut any = false;
        for p in reached {
            p.binds = now;
            any = true;
        }
        if any {
            // What is past is not asked for again.
            self.tube = Tube::new(self.known, &self.placed, self.now, self.last);
        }
    }

    /// What the author would set it to now, whatever comes later.
    fn wish(&self) -> (Setting, Reason) {
        if let Some(p) = self.committed {
            return (self.placed[p].target, self.ready(p));
        }
        let now = self.now;
        let changed = self
            .placed
            .iter()
            .rfind(|p| p.from == now && p.segment > 0 && p.from < p.to);
        if let Some(p) = changed {
            return (p.target, self.next(p));
        }
        let inside = || self.placed.iter().filter(|p| p.from <= now && now < p.to);
        if let Some(latest) = inside().max_by_key(|p| p.from) {
            let set = self.set;
            let off = self.knob == Setting::Off;
            // An unlit oven serves only what wants it off, however warm the room.
            let serves = inside().all(|p| p.lo <= set && set <= p.hi && p.off == off);
            return if serves {
                (self.knob, Reason::Unneeded)
            } else {
                (latest.target, self.next(latest))
            };
        }
        self.idle()
    }

    /// Nothing is inside.
    fn idle(&self) -> (Setting, Reason) {
        let next = (0..self.placed.len())
            .filter(|&p| self.placed[p].from > self.now)
            .min_by_key(|&p| self.placed[p].from);
        let Some(p) = next else {
            return (Setting::Off, Reason::Unneeded);
        };
        let target = self.placed[p].target;
        let left = self.placed[p].from - self.now;
        let lit = self.knob != Setting::Off;
        if left <= self.needed(&self.placed[p]) || (lit && left <= IDLE) {
            (target, self.ready(p))
        } else {
            (Setting::Off, Reason::Unneeded)
        }
    }

    fn ready(&self, p: usize) -> Reason {
        Reason::Ready {
            step: self.placed[p].step,
            cold: self.knob == Setting::Off,
            hotter: self.placed[p].aim > self.set,
        }
    }

    fn next(&self, p: &Placed) -> Reason {
        let hotter = p.aim > self.set;
        if p.segment == 0 {
            let cold = self.knob == Setting::Off;
            return Reason::Ready {
                step: p.step,
                cold,
                hotter,
            };
        }
        Reason::Next {
            step: p.step,
            segment: p.segment,
            hotter,
        }
    }

    /// The reason to keep the oven as it must be: what is inside, else what comes next.
    fn nearest(&self) -> Reason {
        let open = (0..self.placed.len()).filter(|&p| self.now < self.placed[p].to);
        let first = open.min_by_key(|&p| self.placed[p].from);
        first.map_or(Reason::Unneeded, |p| self.ready(p))
    }

    /// Whether the knob at `setting` keeps to the tube and does not lead away from a setting that the oven is on its way to.
    fn serves(&self, at: Tick, setting: Setting) -> bool {
        let then = self.moved(setting);
        let mut under_way = self.placed.iter().filter(|p| {
            p.segment > 0 && p.from <= self.now && self.now < p.to && self.now < p.binds
        });
        let off = |p: &Placed, c: f64| (p.lo - c).max(c - p.hi).max(0.0);
        self.tube.holds(at, then)
            && under_way.all(|p| off(p, then) <= 0.0 || off(p, then) < off(p, self.temperature))
    }

    /// The wish would leave the tube: turn to what comes next that needs it, or as near to the wish as the tube allows.
    fn correct(&mut self, wish: Setting, reason: Reason) -> (Setting, Reason) {
        let at = self.now + 1;
        let ahead = (0..self.placed.len()).filter(|&p| self.placed[p].from > self.now);
        let serving = ahead
            .filter(|&p| self.serves(at, self.placed[p].target))
            .min_by_key(|&p| self.placed[p].from);
        if let Some(p) = serving {
            self.committed = Some(p);
            return (self.placed[p].target, self.ready(p));
        }
        let reason = match reason {
            Reason::Unneeded => self.nearest(),
            other => other,
        };
        let wanted = self.value(wish);
        let edges = self.placed.iter().flat_map(|p| p.edges.iter().copied());
        let nearest = edges.filter(|&e| self.serves(at, e)).min_by(|a, b| {
            let far = |s: &Setting| (self.value(*s) - wanted).abs();
            far(a).total_cmp(&far(b))
        });
        if let Some(setting) = nearest {
            return (setting, reason);
        }
        let (lo, hi) = self.tube.at(at);
        let inside = wanted.clamp(lo.min(hi), hi.max(lo));
        // A tenth of a degree is finer than any knob and far inside the degree that is allowed.
        let tenths = (inside * 10.0).round();
        if tenths.is_finite() && tenths.abs() < 1e6 {
            (Setting::At(Ratio::new(tenths as i128, 10)), reason)
        } else {
            (wish, reason)
        }
    }
}
