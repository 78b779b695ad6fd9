//! Why a step can't begin now: what it comes after, and what is taken.

use super::{Ms, State, words};

impl State {
    /// What a waiting step waits for, in words; `None`: it can begin.
    pub fn hindrance(&self, step: usize, now: Ms) -> Option<String> {
        self.unfinished(step).or_else(|| self.taken(step, now))
    }

    fn unfinished(&self, step: usize) -> Option<String> {
        let open = |&&before: &&usize| !self.steps[before].over();
        let before = *self.script.steps[step].after.iter().find(open)?;
        Some(format!("first: {}", self.script.steps[before].instruction))
    }

    fn taken(&self, step: usize, now: Ms) -> Option<String> {
        let script = &self.script.steps[step];
        let until = |i: usize| {
            let end = self.expected_end(i, now).unwrap_or(now);
            self.clock(end).strftime("%H:%M").to_string()
        };
        let running = || (0..self.steps.len()).filter(|&i| self.steps[i].running());
        if script.hands && self.busy_hands() >= self.script.cooks {
            let by = running()
                .filter(|&i| self.script.steps[i].hands)
                .min_by_key(|&i| self.steps[i].due)?;
            return Some(format!(
                "your hands are in {}",
                words::dish(&self.script, by)
            ));
        }
        let burning: u32 = running().map(|i| self.script.steps[i].burners).sum();
        if script.burners > 0 && burning + script.burners > self.script.burners {
            let by = running()
                .filter(|&i| self.script.steps[i].burners > 0)
                .min_by_key(|&i| self.steps[i].due)?;
            return Some(format!("the burners are taken until {}", until(by)));
        }
        if let Some(ware) = self.ware_taken(step) {
            return Some(format!("{ware} is taken"));
        }
        if script.oven {
            self.oven_taken(step, &running().collect::<Vec<_>>(), until)
        } else {
            None
        }
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

    fn oven_taken(
        &self,
        step: usize,
        running: &[usize],
        until: impl Fn(usize) -> String,
    ) -> Option<String> {
        let oven = self
            .plan
            .as_ref()
            .and_then(|plan| plan.ovens[step])
            .unwrap_or(0);
        let inside: Vec<usize> = running
            .iter()
            .copied()
            .filter(|&i| self.steps[i].oven == Some(oven))
            .collect();
        let racks: u32 = inside.iter().map(|&i| self.script.steps[i].racks).sum();
        let last = inside.iter().copied().max_by_key(|&i| self.steps[i].due)?;
        (racks + self.script.steps[step].racks > self.script.racks[oven]).then(|| {
            format!(
                "the {} is full until {}",
                self.script.ovens[oven],
                until(last)
            )
        })
    }
}
