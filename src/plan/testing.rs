//! Hand-made sessions and random problems for the tests of this room.

use jiff::ZonedDateTime;
use rand_pcg::{
    Pcg64,
    rand_core::{Rng, SeedableRng},
};

use super::{
    problem::{Course, Dish, Hold, Mode, Oven, OvenUse, Problem, Segment, Step, Tick},
    schedule::Schedule,
};
use crate::{
    measure::{
        Ratio,
        duration::DurationRange,
        temperature::{Accepts, OvenTemperature},
    },
    menu::{self, Hands, Kitchen, Moment, Need, OvenNeed, OvenThen, Session, StepRef, Ware},
};

pub(super) fn whole(n: i64) -> Ratio {
    Ratio::from_integer(i128::from(n))
}

/// A moment: "2026-12-21T18:00[Europe/Berlin]".
pub(super) fn moment(text: &str) -> ZonedDateTime {
    text.parse().expect("a moment")
}

/// A single temperature with 10 C either side.
pub(super) fn at(c: i64) -> OvenTemperature {
    OvenTemperature {
        text: format!("{c} C"),
        accepts: span(c - 10, c + 10),
    }
}

pub(super) fn span(lo: i64, hi: i64) -> Accepts {
    Accepts::Span {
        lo: whole(lo),
        hi: whole(hi),
    }
}

/// A step of so many minutes; `after` is the step before it unless changed.
pub(super) fn step(id: &str, minutes: (i64, i64)) -> menu::Step {
    menu::Step {
        id: id.into(),
        instruction: format!("Do {id}"),
        takes: DurationRange {
            lo: whole(60 * minutes.0),
            hi: whole(60 * minutes.1),
        },
        hands: Hands::On,
        after: Vec::new(),
        needs: Vec::new(),
        oven: None,
        until: None,
        core: None,
        keeps: None,
        ahead: None,
        uses: Vec::new(),
        scales: false,
        batch: None,
        hot: false,
        lead: whole(60),
    }
}

pub(super) fn in_oven(mut step: menu::Step, c: i64, then: &[(i64, i64)]) -> menu::Step {
    step.hands = Hands::Off;
    step.oven = Some(OvenNeed {
        at: at(c),
        then: then
            .iter()
            .map(|&(m, c)| OvenThen {
                after: whole(60 * m),
                at: at(c),
            })
            .collect(),
        racks: 1,
    });
    step
}

pub(super) fn needing(mut step: menu::Step, needs: &[(&str, u32)]) -> menu::Step {
    step.needs = needs
        .iter()
        .map(|&(name, count)| Need {
            name: name.into(),
            count,
        })
        .collect();
    step
}

/// A dish whose steps follow each other.
pub(super) fn dish(id: &str, mut steps: Vec<menu::Step>) -> menu::Dish {
    for i in 1..steps.len() {
        let before = steps[i - 1].id.clone();
        if steps[i].after.is_empty() {
            steps[i].after = vec![StepRef {
                dish: id.into(),
                step: before,
            }];
        }
    }
    menu::Dish {
        id: id.into(),
        title: id.into(),
        serves: Some(whole(4)),
        makes: None,
        ingredients: Vec::new(),
        steps,
    }
}

/// A session for four at 19:30 of one course.
pub(super) fn session(dishes: Vec<menu::Dish>) -> Session {
    Session {
        title: "Supper".into(),
        guests: 4,
        serve: Moment::Clock(jiff::civil::time(19, 30, 0, 0)),
        start: None,
        ahead: Vec::new(),
        kitchen: Kitchen {
            cooks: 1,
            burners: 4,
            ovens: vec![menu::Oven {
                name: "oven".into(),
                racks: 2,
                heats: whole(10),
                cools: whole(4),
                room: whole(20),
                dial: None,
            }],
            wares: vec![Ware {
                name: "pot".into(),
                count: 2,
                holds: Some(whole(3)),
            }],
        },
        avoid: Vec::new(),
        sure: None,
        courses: vec![menu::Course {
            name: "Main".into(),
            gap: whole(0),
            plating: whole(120),
            dishes: dishes.iter().map(|d| d.id.clone()).collect(),
        }],
        dishes,
    }
}

/// A seeded source of small numbers.
pub(super) struct Dice(Pcg64);

impl Dice {
    pub(super) fn new(seed: u64) -> Self {
        Self(Pcg64::seed_from_u64(seed))
    }

    /// From `lo` to `hi`, both possible.
    pub(super) fn roll(&mut self, lo: i64, hi: i64) -> i64 {
        let width = u64::try_from(hi - lo + 1).expect("lo <= hi");
        lo + i64::try_from(self.0.next_u64() % width).expect("small")
    }

    pub(super) fn tick(&mut self, lo: Tick, hi: Tick) -> Tick {
        Tick::try_from(self.roll(lo.into(), hi.into())).expect("small")
    }

    pub(super) fn one_in(&mut self, n: i64) -> bool {
        self.roll(1, n) == 1
    }
}

/// A random kitchen problem of a few steps, small enough to try every schedule of it.
pub(super) fn problem(dice: &mut Dice, steps: usize, longest: Tick) -> Problem {
    let dishes = 1 + steps / 3;
    let courses = dice.roll(1, 2);
    let mut made = Problem {
        cooks: u32::try_from(dice.roll(1, 2)).expect("small"),
        burners: 1,
        ovens: vec![Oven {
            racks: u32::try_from(dice.roll(1, 2)).expect("small"),
            heats: whole(40),
            cools: whole(30),
            room: whole(20),
            from: 0,
            temperature: whole(20),
        }],
        wares: vec![1, 2],
        courses: (0..courses)
            .map(|k| Course {
                promised: dice.tick(0, 12),
                gap: if k == 0 { 0 } else { dice.tick(0, 4) },
                plating: dice.tick(0, 1),
                dishes: Vec::new(),
                served: None,
            })
            .collect(),
        dishes: Vec::new(),
        steps: Vec::new(),
        mode: Mode::Before,
    };
    for k in 1..made.courses.len() {
        made.courses[k].promised = made.courses[k - 1].promised + made.courses[k].gap;
    }
    for d in 0..dishes {
        let course = usize::try_from(dice.roll(0, courses - 1)).expect("small");
        made.courses[course].dishes.push(d);
        made.dishes.push(Dish {
            course,
            steps: Vec::new(),
            holds: Vec::new(),
        });
    }
    for i in 0..steps {
        let d = i % dishes;
        let length = dice.tick(1, longest);
        let mut after: Vec<usize> = made.dishes[d].steps.last().copied().into_iter().collect();
        if i > 0 && dice.one_in(4) {
            after = vec![usize::try_from(dice.roll(0, i as i64 - 1)).expect("small")];
        }
        let oven = dice.one_in(2).then(|| oven_use(dice, length));
        made.steps.push(Step {
            dish: d,
            length,
            hands: oven.is_none() && dice.one_in(2),
            burners: u32::from(oven.is_none() && dice.one_in(3)),
            after,
            keeps: dice.one_in(3).then(|| dice.tick(0, 4)),
            oven,
            begun: None,
        });
        made.dishes[d].steps.push(i);
        if dice.one_in(3) {
            let ware = usize::from(dice.one_in(2));
            match made.dishes[d].holds.iter_mut().find(|h| h.ware == ware) {
                Some(hold) => hold.steps.push(i),
                None => made.dishes[d].holds.push(Hold {
                    ware,
                    count: 1,
                    steps: vec![i],
                }),
            }
        }
    }
    made
}

fn oven_use(dice: &mut Dice, length: Tick) -> OvenUse {
    let set = |dice: &mut Dice| {
        let c = 100 + 20 * dice.roll(0, 6);
        if dice.one_in(12) {
            Accepts::Off
        } else {
            span(c - 10, c + 10)
        }
    };
    let mut segments = vec![Segment {
        from: 0,
        to: length,
        accepts: set(dice),
    }];
    if length > 1 && dice.one_in(3) {
        let cut = dice.tick(1, length - 1);
        segments[0].to = cut;
        segments.push(Segment {
            from: cut,
            to: length,
            accepts: set(dice),
        });
    }
    OvenUse { racks: 1, segments }
}

/// Puts one step after the other at the first tick that breaks no hard rule but `keeps`, trying them in a random
/// order that respects `after`, each a random while later than it could; serves as soon as possible.
/// `None` when a random choice leads nowhere.
pub(super) fn schedule(dice: &mut Dice, problem: &Problem, limit: Tick) -> Option<Schedule> {
    let n = problem.steps.len();
    let mut placed: Vec<Option<Tick>> = vec![None; n];
    while placed.contains(&None) {
        let ready: Vec<usize> = (0..n)
            .filter(|&i| {
                placed[i].is_none() && problem.steps[i].after.iter().all(|&a| placed[a].is_some())
            })
            .collect();
        let i = ready[usize::try_from(dice.roll(0, ready.len() as i64 - 1)).expect("small")];
        let mut at = dice.tick(0, 3);
        loop {
            placed[i] = Some(at);
            if correct_so_far(problem, &placed) {
                break;
            }
            at += 1;
            if at > limit {
                return None;
            }
        }
    }
    let starts: Vec<Tick> = placed.into_iter().flatten().collect();
    let ovens = problem
        .steps
        .iter()
        .map(|s| s.oven.as_ref().map(|_| 0))
        .collect();
    let mut made = Schedule {
        starts,
        ovens,
        served: vec![0; problem.courses.len()],
    };
    for k in 0..problem.courses.len() {
        made.served[k] = problem.courses[k].promised;
        while super::verify::verify(problem, &made)
            .iter()
            .any(|v| v.rule == 3 || v.words.starts_with(&format!("course {k} ")))
        {
            made.served[k] += 1;
            if made.served[k] > limit {
                return None;
            }
            for later in k + 1..problem.courses.len() {
                // Out of the way until its turn comes.
                made.served[later] = limit * 4 + Tick::try_from(later).expect("small") * 4;
            }
        }
    }
    Some(made)
}

/// Whether the steps placed so far break no rule but 2 and 9 among themselves.
fn correct_so_far(problem: &Problem, placed: &[Option<Tick>]) -> bool {
    let mut part = problem.clone();
    let keep: Vec<usize> = (0..placed.len()).filter(|&i| placed[i].is_some()).collect();
    let index = |i: usize| keep.iter().position(|&k| k == i);
    part.steps = keep.iter().map(|&i| problem.steps[i].clone()).collect();
    for step in &mut part.steps {
        step.after = step.after.iter().filter_map(|&a| index(a)).collect();
    }
    for dish in &mut part.dishes {
        dish.steps = dish.steps.iter().filter_map(|&s| index(s)).collect();
        for hold in &mut dish.holds {
            hold.steps = hold.steps.iter().filter_map(|&s| index(s)).collect();
        }
        dish.holds.retain(|h| !h.steps.is_empty());
    }
    part.courses.clear();
    let schedule = Schedule {
        starts: keep.iter().filter_map(|&i| placed[i]).collect(),
        ovens: part
            .steps
            .iter()
            .map(|s| s.oven.as_ref().map(|_| 0))
            .collect(),
        served: Vec::new(),
    };
    super::verify::verify(&part, &schedule)
        .iter()
        .all(|v| v.rule == 2)
}
