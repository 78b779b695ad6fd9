//! A finished plan with all that is needed to read it: names, clock times, oven turns, amounts.

use super::{
    build::Built,
    cost,
    frame::Part,
    knobs::{Setting, Turn},
    problem::Tick,
    solver::Solution,
};
use crate::{
    measure::{Ratio, dial, print::decimal, temperature::OvenTemperature, units::Units},
    menu::{self, Hands, Session, amounts},
};

/// A plan of a session.
#[derive(Clone, Debug, PartialEq)]
pub struct Timetable<'a> {
    /// The session.
    pub session: &'a Session,
    /// Its problem and names.
    pub built: &'a Built,
    /// The schedule and its cost.
    pub solution: &'a Solution,
    /// The turns of the ovens' knobs, in order of time.
    pub turns: &'a [Turn],
    /// How amounts are shown.
    pub units: Units,
}

/// A `keeps` that the plan had to break.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Broken {
    /// The step whose result waits.
    pub step: usize,
    /// The step that it waits for.
    pub follower: usize,
    /// By how many ticks too long.
    pub ticks: Tick,
}

/// A dish that waits for its service longer than it keeps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OverKept {
    /// Its last step.
    pub step: usize,
    /// By how many ticks too long.
    pub ticks: Tick,
}

impl Timetable<'_> {
    /// When a step starts.
    pub fn start(&self, step: usize) -> Tick {
        self.solution.schedule.starts[step]
    }

    /// When a step ends.
    pub fn end(&self, step: usize) -> Tick {
        cost::end(&self.built.problem, &self.solution.schedule, step)
    }

    /// The dish of a step, as written.
    pub fn dish(&self, step: usize) -> &menu::Dish {
        &self.session.dishes[self.built.frame.places[step].0]
    }

    /// A step, as written.
    pub fn step(&self, step: usize) -> &menu::Step {
        let (d, s) = self.built.frame.places[step];
        &self.session.dishes[d].steps[s]
    }

    /// The steps in the order in which they start.
    pub fn in_order(&self) -> Vec<usize> {
        let mut all: Vec<usize> = (0..self.built.problem.steps.len()).collect();
        all.sort_by_key(|&i| (self.start(i), self.end(i), i));
        all
    }

    /// The oven of a step, by name.
    pub fn oven(&self, step: usize) -> Option<&str> {
        let oven = self.solution.schedule.ovens[step]?;
        self.session
            .kitchen
            .ovens
            .get(oven)
            .map(|o| o.name.as_str())
    }

    /// What an oven step sets the oven to, in the author's words, with the tick counted from its start; only what
    /// is reached within its planned length.
    pub fn settings(&self, step: usize) -> Vec<(Tick, String)> {
        let Some(need) = &self.step(step).oven else {
            return Vec::new();
        };
        let planned = self.built.problem.steps[step]
            .oven
            .iter()
            .flat_map(|o| &o.segments);
        planned
            .zip(need.settings())
            .map(|(s, t)| (s.from, t.text.clone()))
            .collect()
    }

    /// A step's oven and what its dial is turned to: "oven gas 6 (200 C), off from 19:10".
    pub fn in_the_oven(&self, step: usize) -> Option<String> {
        let name = self.oven(step)?;
        let oven = self.solution.schedule.ovens[step];
        let need = self.step(step).oven.iter().flat_map(|need| need.settings());
        let set = self.settings(step).into_iter().zip(need);
        let set = set.map(|((from, _), written)| {
            let target = dial::setting(written);
            let dial = target.map_or_else(
                || written.text.clone(),
                |target| self.on_the_dial(oven, target, Some(written)),
            );
            match from {
                0 => dial,
                _ => format!("{dial} from {}", self.clock(self.start(step) + from)),
            }
        });
        Some(format!("{name} {}", set.collect::<Vec<_>>().join(", ")))
    }

    /// What the knob is turned to, in the author's words where they name one temperature: "gas 7", "190 C", "off"; on
    /// an oven whose dial is known, as that is marked, with the author's words behind it: "fan 170 C (190 C)".
    pub fn dial(&self, turn: &Turn) -> String {
        let Setting::At(target) = turn.to else {
            return "off".into();
        };
        let from_step = turn.reason.step().and_then(|step| {
            let need = self.step(step).oven.as_ref()?;
            need.settings().find(|t| t.names(target))
        });
        self.on_the_dial(Some(turn.oven), target, from_step)
    }

    /// A temperature in conventional C, which a recipe may name, as an oven's dial is marked.
    fn on_the_dial(
        &self,
        oven: Option<usize>,
        target: Ratio,
        written: Option<&OvenTemperature>,
    ) -> String {
        let oven = oven.and_then(|oven| self.session.kitchen.ovens.get(oven));
        let scale = oven.and_then(|oven| oven.dial);
        let mark = scale.and_then(|scale| dial::turned_to(target, written, scale));
        match (written, mark) {
            (Some(written), Some(mark)) if mark != written.text => {
                format!("{mark} ({})", written.text)
            }
            (Some(written), _) => dial::show(written, self.units),
            (None, mark) => mark.unwrap_or_else(|| degrees(target)),
        }
    }

    /// The oven whose knob is turned.
    pub fn knob(&self, turn: &Turn) -> &str {
        let oven = self.session.kitchen.ovens.get(turn.oven);
        oven.map_or("oven", |oven| oven.name.as_str())
    }

    /// "oven off", "oven to 190 C".
    pub fn turned(&self, turn: &Turn) -> String {
        let oven = self.knob(turn);
        match turn.to {
            Setting::Off => format!("{oven} off"),
            Setting::At(_) => format!("{oven} to {}", self.dial(turn)),
        }
    }

    /// Why the knob is turned: "preheat for Roast chicken".
    pub fn why(&self, turn: &Turn) -> String {
        let dish = turn
            .reason
            .step()
            .map_or("", |s| self.dish(s).title.as_str());
        turn.words(dish)
    }

    /// The amounts that go in at a step, one text each.
    pub fn amounts(&self, step: usize) -> Vec<String> {
        let (d, s) = self.built.frame.places[step];
        let lines = amounts::for_step(self.session, d, s, self.units);
        lines.iter().map(amounts::Line::text).collect()
    }

    /// The `keeps` between steps that the plan breaks.
    pub fn broken(&self) -> Vec<Broken> {
        let steps = &self.built.problem.steps;
        let mut found = Vec::new();
        for (follower, step) in steps.iter().enumerate() {
            for &a in &step.after {
                let wait = self.start(follower) - self.end(a);
                if let Some(ticks) = steps[a].keeps.map(|k| wait - k).filter(|&t| t > 0) {
                    found.push(Broken {
                        step: a,
                        follower,
                        ticks,
                    });
                }
            }
        }
        found
    }

    /// The dishes that wait for service longer than they keep.
    pub fn over_kept(&self) -> Vec<OverKept> {
        let problem = &self.built.problem;
        let followed = |i: usize| problem.steps.iter().any(|s| s.after.contains(&i));
        let mut found = Vec::new();
        for (i, step) in problem.steps.iter().enumerate() {
            let Some(keeps) = step.keeps.filter(|_| !followed(i)) else {
                continue;
            };
            let served = self.solution.schedule.served[problem.dishes[step.dish].course];
            let ticks = served - self.end(i) - keeps;
            if ticks > 0 {
                found.push(OverKept { step: i, ticks });
            }
        }
        found
    }

    /// The courses that are late, with by how many ticks. What is made ahead is never late.
    pub fn late(&self) -> Vec<(usize, Tick)> {
        if self.built.frame.part == Part::Ahead {
            return Vec::new();
        }
        let courses = self
            .built
            .problem
            .courses
            .iter()
            .zip(&self.solution.schedule.served);
        let late = courses
            .enumerate()
            .map(|(k, (c, &served))| (k, served - c.promised));
        late.filter(|&(_, by)| by > 0).collect()
    }

    /// Every course is on time and no `keeps` between steps is broken.
    pub fn good(&self) -> bool {
        self.late().is_empty() && self.solution.cost.broken == 0
    }

    /// The tick at which somebody first has to do something.
    pub fn begin(&self) -> Option<Tick> {
        let steps = self.solution.schedule.starts.iter().min();
        let turns = self.turns.iter().map(|t| &t.at).min();
        steps.into_iter().chain(turns).min().copied()
    }

    /// The clock time of a tick; with the weekday where it isn't the day of service.
    pub fn clock(&self, tick: Tick) -> String {
        let frame = &self.built.frame;
        frame.clock(&frame.at(tick))
    }
}

/// "8 min", "1 h 15 min", "2 1/2 min".
pub fn minutes(ticks: Tick) -> String {
    let (whole, half) = (ticks / 2, ticks % 2 != 0);
    match (whole, half) {
        (0, true) => "30 s".into(),
        (m, true) if m < 60 => format!("{m} 1/2 min"),
        (m, _) if m < 60 => format!("{m} min"),
        (m, half) => {
            let rest = if half {
                format!(" {} 1/2 min", m % 60)
            } else {
                format!(" {} min", m % 60)
            };
            format!(
                "{} h{}",
                m / 60,
                if m % 60 == 0 && !half { "" } else { &rest }
            )
        }
    }
}

/// "190 C", "218.33 C".
pub fn degrees(c: Ratio) -> String {
    format!("{} C", decimal(c, 2))
}

/// How the author asks for the cook's hands: "on", "off", "check every 20 min".
pub fn hands(hands: Hands) -> String {
    match hands {
        Hands::On => "on".into(),
        Hands::Off => "off".into(),
        Hands::Check(every) => {
            let minutes = every / Ratio::from_integer(60);
            if minutes.is_integer() {
                format!("check every {} min", minutes.to_integer())
            } else {
                format!("check every {} s", decimal(every, 1))
            }
        }
    }
}
