//! Why a step can't begin now: what it comes after, and what is taken.

use super::{Ms, State, words};

/// What a waiting step waits for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Hindrance<'a> {
    /// A step that it comes after.
    Before(usize),
    /// The hands that are in a step.
    Hands(usize),
    /// The burners, until a step ends.
    Burners(usize),
    Ware(&'a str),
    /// The racks of an oven, until a step ends.
    Racks(usize, usize),
}

impl State {
    /// Whether a waiting step can begin.
    pub fn can_begin(&self, step: usize) -> bool {
        self.waits_for(step).is_none()
    }

    /// What a waiting step waits for, in words; `None`: it can begin.
    pub fn hindrance(&self, step: usize, now: Ms) -> Option<String> {
        let until = |i: usize| {
            let end = self.expected_end(i, now).unwrap_or(now);
            self.clock_words(end)
        };
        Some(match self.waits_for(step)? {
            Hindrance::Before(i) => format!("first: {}", self.script.steps[i].instruction),
            Hindrance::Hands(i) => format!("your hands are in {}", words::dish(&self.script, i)),
            Hindrance::Burners(i) => format!("the burners are taken until {}", until(i)),
            Hindrance::Ware(ware) => format!("{ware} is taken"),
            Hindrance::Racks(oven, i) => {
                let name = &self.script.ovens[oven];
                format!("the {name} is full until {}", until(i))
            }
        })
    }

    fn waits_for(&self, step: usize) -> Option<Hindrance<'_>> {
        let open = |&&before: &&usize| !self.steps[before].over();
        let before = self.script.steps[step].after.iter().find(open);
        before
            .map(|&before| Hindrance::Before(before))
            .or_else(|| self.taken(step))
    }

    fn taken(&self, step: usize) -> Option<Hindrance<'_>> {
        let script = &self.script.steps[step];
        let running = || (0..self.steps.len()).filter(|&i| self.steps[i].running());
        if script.hands && self.busy_hands() >= self.script.cooks {
            let by = running()
                .filter(|&i| self.script.steps[i].hands)
                .min_by_key(|&i| self.steps[i].due)?;
            return Some(Hindrance::Hands(by));
        }
        let burning: u32 = running().map(|i| self.script.steps[i].burners).sum();
        if script.burners > 0 && burning + script.burners > self.script.burners {
            let by = running()
                .filter(|&i| self.script.steps[i].burners > 0)
                .min_by_key(|&i| self.steps[i].due)?;
            return Some(Hindrance::Burners(by));
        }
        if let Some(ware) = self.ware_taken(step) {
            return Some(Hindrance::Ware(ware));
        }
        script.oven.then(|| self.oven_taken(step)).flatten()
    }

    /// Cookware that other dishes hold: from the first of their steps that names it to the last.
    fn ware_taken(&self, step: usize) -> Option<&str> {
        let dish = self.script.steps[step].dish;
        self.script
            .wares
            .iter()
            .enumerate()
            .find_map(|(ware, (name, count))| {
                let mine = self.script.dishes[dish]
                    .holds
                    .iter()
                    .find(|hold| hold.ware == ware && hold.steps.contains(&step))?;
                let held: u32 = self
                    .script
                    .dishes
                    .iter()
                    .enumerate()
                    .filter(|&(other, _)| other != dish)
                    .flat_map(|(_, other)| &other.holds)
                    .filter(|hold| hold.ware == ware && self.holding(&hold.steps))
                    .map(|hold| hold.count)
                    .sum();
                (held + mine.count > *count).then_some(name.as_str())
            })
    }

    fn holding(&self, steps: &[usize]) -> bool {
        steps.iter().any(|&i| self.steps[i].begun.is_some())
            && steps.iter().any(|&i| !self.steps[i].over())
    }

    fn oven_taken(&self, step: usize) -> Option<Hindrance<'_>> {
        let oven = self
            .plan
            .as_ref()
            .and_then(|plan| plan.ovens[step])
            .unwrap_or(0);
        let inside = || {
            (0..self.steps.len())
                .filter(|&i| self.steps[i].running() && self.steps[i].oven == Some(oven))
        };
        let racks: u32 = inside().map(|i| self.script.steps[i].racks).sum();
        let last = inside().max_by_key(|&i| self.steps[i].due)?;
        (racks + self.script.steps[step].racks > self.script.racks[oven])
            .then_some(Hindrance::Racks(oven, last))
    }
}
