//! Dinners made up from a seed, of any size: problems like those of real session files.
#![allow(dead_code)]

use mealtide::measure::{Ratio, temperature::Accepts};
use mealtide::plan::problem::{
    Course, Dish, Hold, Mode, Oven, OvenUse, Problem, Segment, Step, Tick,
};
use rand_pcg::{
    Pcg64,
    rand_core::{Rng, SeedableRng},
};

/// What a made-up dinner shall look like.
#[derive(Clone, Copy, Debug)]
pub struct Shape {
    /// Steps, at least about.
    pub steps: usize,
    pub cooks: u32,
    pub ovens: usize,
    pub courses: usize,
    /// Promised so early that it may have to be late.
    pub tight: bool,
}

impl Shape {
    /// A kitchen that fits so many steps.
    pub fn of(steps: usize, tight: bool) -> Self {
        let (cooks, ovens, courses) = match steps {
            0..=24 => (1, 1, 2),
            25..=40 => (1, 1, 3),
            41..=80 => (2, 2, 4),
            81..=160 => (2, 2, 5),
            161..=320 => (4, 3, 6),
            _ => (6, 4, 8),
        };
        Shape {
            steps,
            cooks,
            ovens,
            courses,
            tight,
        }
    }
}

struct Dice(Pcg64);

impl Dice {
    fn below(&mut self, n: u64) -> u64 {
        self.0.next_u64() % n
    }

    /// From `lo` to `hi`, both possible.
    fn span(&mut self, lo: Tick, hi: Tick) -> Tick {
        lo + self.below((hi - lo + 1) as u64) as Tick
    }

    fn chance(&mut self, percent: u64) -> bool {
        self.below(100) < percent
    }
}

struct Maker {
    dice: Dice,
    steps: Vec<Step>,
    holds: Vec<Hold>,
    dish: usize,
    wares: usize,
}

const HEATS: [i64; 7] = [140, 160, 170, 180, 200, 220, 240];

impl Maker {
    fn step(&mut self, length: Tick, hands: bool, after: Vec<usize>) -> usize {
        let step = Step {
            dish: self.dish,
            length,
            hands,
            burners: 0,
            after,
            keeps: None,
            oven: None,
            begun: None,
        };
        self.steps.push(step);
        self.steps.len() - 1
    }

    fn hold(&mut self, ware: usize, steps: Vec<usize>) {
        if !self.holds.iter().any(|h| h.ware == ware) {
            self.holds.push(Hold {
                ware,
                count: 1,
                steps,
            });
        }
    }

    fn segment(&mut self, from: Tick, to: Tick, heat: i64, within: i64) -> Segment {
        let at = |c: i64| Ratio::from_integer(i128::from(c));
        Segment {
            from,
            to,
            accepts: Accepts::Span {
                lo: at(heat - within),
                hi: at(heat + within),
            },
        }
    }

    /// Prepared, baked or roasted, rested, finished.
    fn oven_dish(&mut self) {
        let t = self.dice.span(8, 36);
        let prep = self.step(t, true, vec![]);
        let mut last = prep;
        if self.dice.chance(40) {
            let t = self.dice.span(4, 16);
            last = self.step(t, true, vec![prep]);
        }
        let length = self.dice.span(30, 160);
        let bake = self.step(length, false, vec![last]);
        let heat = HEATS[self.dice.below(7) as usize];
        let within = if self.dice.chance(15) { 0 } else { 10 };
        let mut segments = vec![self.segment(0, length, heat, within)];
        if self.dice.chance(25) && length > 60 {
            let turn = self.dice.span(10, 40);
            let lower = heat - 40;
            segments = vec![
                self.segment(0, turn, heat, within),
                self.segment(turn, length, lower, 10),
            ];
        }
        self.steps[bake].oven = Some(OvenUse { racks: 1, segments });
        if self.dice.chance(60) {
            let ware = self.dice.below(self.wares as u64) as usize;
            self.hold(ware, vec![last, bake]);
        }
        let mut end = bake;
        if self.dice.chance(60) {
            self.steps[bake].keeps = Some(self.dice.span(2, 20));
            let t = self.dice.span(20, 50);
            end = self.step(t, false, vec![bake]);
        }
        if self.dice.chance(70) {
            self.steps[end].keeps = Some(self.dice.span(10, 60));
            let t = self.dice.span(4, 14);
            end = self.step(t, true, vec![end]);
        }
        self.steps[end].keeps = Some(self.dice.span(10, 80));
    }

    /// Cut, cooked on the hob in one pot, finished.
    fn hob_dish(&mut self) {
        let t = self.dice.span(8, 30);
        let cut = self.step(t, true, vec![]);
        let t = self.dice.span(6, 16);
        let sweat = self.step(t, true, vec![cut]);
        let t = self.dice.span(20, 90);
        let simmer = self.step(t, false, vec![sweat]);
        let t = self.dice.span(4, 12);
        let finish = self.step(t, true, vec![simmer]);
        for i in [sweat, simmer, finish] {
            self.steps[i].burners = 1;
        }
        let ware = self.dice.below(self.wares as u64) as usize;
        self.hold(ware, vec![sweat, finish]);
        if self.dice.chance(40) {
            self.steps[simmer].keeps = Some(self.dice.span(10, 40));
        }
        self.steps[finish].keeps = Some(self.dice.span(6, 60));
        if self.dice.chance(30) {
            let t = self.dice.span(10, 24);
            let garnish = self.step(t, true, vec![]);
            self.steps[finish].after.push(garnish);
        }
    }

    /// Two things made apart and put together cold or at the last moment.
    fn cold_dish(&mut self) {
        let t = self.dice.span(10, 30);
        let one = self.step(t, true, vec![]);
        let t = self.dice.span(6, 20);
        let two = self.step(t, true, vec![]);
        let mut before = vec![one, two];
        if self.dice.chance(50) {
            let t = self.dice.span(40, 180);
            let chill = self.step(t, false, vec![one]);
            before = vec![chill, two];
        }
        let t = self.dice.span(4, 16);
        let put = self.step(t, true, before);
        self.steps[put].keeps = Some(self.dice.span(20, 120));
        if self.dice.chance(30) {
            let ware = self.dice.below(self.wares as u64) as usize;
            self.hold(ware, vec![one, put]);
        }
    }
}

/// A dinner of the given shape; the same seed gives the same dinner.
pub fn dinner(shape: Shape, seed: u64) -> Problem {
    let wares = 3 + shape.steps / 20;
    let mut maker = Maker {
        dice: Dice(Pcg64::seed_from_u64(seed)),
        steps: Vec::new(),
        holds: Vec::new(),
        dish: 0,
        wares,
    };
    let mut dishes: Vec<Dish> = Vec::new();
    while maker.steps.len() < shape.steps {
        let begin = maker.steps.len();
        match maker.dice.below(10) {
            0..=3 => maker.oven_dish(),
            4..=7 => maker.hob_dish(),
            _ => maker.cold_dish(),
        }
        let holds = std::mem::take(&mut maker.holds);
        dishes.push(Dish {
            course: 0,
            steps: (begin..maker.steps.len()).collect(),
            holds,
        });
        maker.dish += 1;
    }
    let courses = shape.courses.min(dishes.len());
    let hands: Tick = maker
        .steps
        .iter()
        .filter(|s| s.hands)
        .map(|s| s.length)
        .sum();
    let baking: Tick = maker
        .steps
        .iter()
        .filter(|s| s.oven.is_some())
        .map(|s| s.length)
        .sum();
    let need = (hands / shape.cooks as Tick)
        .max(baking * 7 / 10 / shape.ovens as Tick)
        .max(240);
    let serve = if shape.tight {
        need * 8 / 10
    } else {
        need * 13 / 10 + 60
    };
    let mut promised = serve;
    let mut list = Vec::new();
    for k in 0..courses {
        let gap = if k == 0 {
            0
        } else {
            maker.dice.span(4, 10) * 10
        };
        promised += gap;
        let plating = if shape.steps > 160 { 2 } else { 4 };
        list.push(Course {
            promised,
            gap,
            plating,
            dishes: Vec::new(),
            served: None,
        });
    }
    for (d, dish) in dishes.iter_mut().enumerate() {
        dish.course = if d < courses {
            d
        } else {
            maker.dice.below(courses as u64) as usize
        };
        list[dish.course].dishes.push(d);
    }
    let rate = |c: i128| Ratio::from_integer(c);
    let oven = Oven {
        racks: 2,
        heats: rate(10),
        cools: rate(4),
        room: rate(20),
        from: 0,
        temperature: rate(20),
    };
    Problem {
        cooks: shape.cooks,
        burners: 4.max(shape.cooks * 2),
        ovens: vec![oven; shape.ovens],
        wares: (0..wares).map(|w| 1 + u32::from(w % 3 == 2)).collect(),
        courses: list,
        dishes,
        steps: maker.steps,
        mode: Mode::Before,
    }
}
