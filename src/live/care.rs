//! What keeps people safe while the meal runs.

use super::{
    Action, Call, CallKey, Ms, Priority, State,
    board::{Choice, Notice, Weight},
};
use crate::{
    measure::{Ratio, to_f64, units::Units},
    menu::amounts::{self, Line},
    plan::Part,
    safety::{
        self,
        clocks::{self, Deadline, Kind},
        thermometer::{self, Medium, Reading, Setup},
    },
};

impl State {
    /// Limits of food safety that come near: each is called some time before.
    pub(super) fn safety_calls(&self, now: Ms) -> Vec<Call> {
        let mut calls = Vec::new();
        for (dish, limit) in self.limits() {
            if now < limit.warn_ms {
                continue;
            }
            let key = CallKey::Safety {
                dish,
                limit: limit.limit.to_owned(),
            };
            // It stands for hours, and words take time.
            if self.answered.contains_key(&key) {
                continue;
            }
            calls.push(Call {
                priority: if now >= limit.at_ms {
                    Priority::High
                } else {
                    Priority::Medium
                },
                since: limit.warn_ms,
                subject: self.script.dishes[dish].title.clone(),
                sentence: self.by(&limit),
                action: Some(Action::Answer(key.clone())),
                silent: false,
                key,
            });
        }
        calls
    }

    /// When those calls begin and grow more urgent.
    pub(super) fn safety_moments(&self) -> impl Iterator<Item = Ms> {
        self.limits()
            .flat_map(|(_, limit)| [limit.warn_ms, limit.at_ms])
    }

    /// "By 19:30 chill it".
    fn by(&self, limit: &Deadline) -> String {
        format!(
            "By {} {}",
            self.clock_words(limit.at_ms),
            limit.task.sentence()
        )
    }

    /// The limits of every dish that is out of the heat, with its position.
    fn limits(&self) -> impl Iterator<Item = (usize, Deadline)> {
        let of = |dish| {
            let limits = self.limits_of(dish).into_iter();
            limits.map(move |limit| (dish, limit))
        };
        (0..self.script.dishes.len()).flat_map(of)
    }

    /// The limits of a dish that is out of the heat: what is made ahead, or was put in the cold, cools; the rest stands.
    fn limits_of(&self, dish: usize) -> Vec<Deadline> {
        let Some(off) = self.out_of_heat(dish) else {
            return Vec::new();
        };
        let kind = Kind {
            rice: self.script.dishes[dish].rice,
            hot_day: self.script.hot_day,
        };
        if self.script.part == Part::Ahead || self.is_cooling(dish, off) {
            clocks::cooling(off, kind)
        } else {
            clocks::out_of_heat(off, kind).into_iter().collect()
        }
    }

    /// When a dish that spoils came out of the heat, while none of it is on the heat: its clock does not wait for the rest of the dish.
    fn out_of_heat(&self, dish: usize) -> Option<Ms> {
        let script = &self.script.dishes[dish];
        script.use_by.as_ref()?;
        let hot = |&&step: &&usize| self.script.steps[step].heat() && !self.steps[step].skipped;
        let mut off = None;
        for &step in script.steps.iter().filter(hot) {
            let state = &self.steps[step];
            if state.begun.is_some() && !state.over() {
                return None;
            }
            off = off.max(state.ended);
        }
        off
    }

    /// Whether a dish was put in the cold after it came out of the heat, and isn't on the table yet.
    fn is_cooling(&self, dish: usize, off: Ms) -> bool {
        let script = &self.script.dishes[dish];
        let cold = |&step: &usize| {
            let state = &self.steps[step];
            !state.skipped && state.begun.is_some_and(|begun| begun >= off)
        };
        let all_over = script.steps.iter().all(|&step| self.steps[step].over());
        script.chilled.iter().any(cold) && !(all_over && self.is_served(dish))
    }

    fn is_served(&self, dish: usize) -> bool {
        let mut courses = self.script.courses.iter().zip(&self.courses);
        courses.any(|(course, state)| course.dishes.contains(&dish) && state.served.is_some())
    }

    pub(super) fn safety_notices(&self, now: Ms) -> Vec<Notice> {
        let near = self.limits().filter(|(_, limit)| now >= limit.warn_ms);
        let line = |(dish, limit): (usize, Deadline)| Notice {
            weight: if now >= limit.at_ms {
                Weight::Wrong
            } else {
                Weight::Caution
            },
            words: format!(
                "{}: {} ({})",
                self.script.dishes[dish].title,
                self.by(&limit),
                limit.source,
            ),
        };
        near.map(line).collect()
    }

    /// What to do at `now` with what is left: by when it is chilled, and until when it is eaten; what has stood for too
    /// long is thrown away.
    pub(super) fn leftovers(&self, now: Ms) -> Vec<String> {
        let mut lines = vec!["Cool what is left in shallow layers, and chill it".to_owned()];
        for (i, dish) in self.script.dishes.iter().enumerate() {
            let Some((date, what)) = dish.use_by.as_ref().filter(|_| !dish.steps.is_empty()) else {
                continue;
            };
            let limit = self.limits_of(i).pop();
            let by = |limit: &Deadline| self.clock_words(limit.at_ms);
            if let Some(past) = limit.as_ref().filter(|limit| limit.at_ms <= now) {
                lines.push(format!(
                    "{}: throw away what is left, unless it was kept over 63 C or cold: its time was over at {} ({})",
                    dish.title,
                    by(past),
                    past.source,
                ));
                continue;
            }
            let chill =
                limit.map_or_else(String::new, |limit| format!("chill by {}, ", by(&limit)));
            let eat = match dish.made_before {
                Some(1) => "eat within a day of when it was made".to_owned(),
                Some(days) => format!("eat within {days} days of the day on which it was made"),
                None => format!("eat by {}", date.strftime("%a %-d %b")),
            };
            lines.push(format!("{}: {chill}{eat} ({what})", dish.title));
        }
        lines.push(safety::DISCLAIMER.to_owned());
        lines
    }

    /// The core temperature to reach, with the forecast if there are readings.
    pub(super) fn core_words(&self, step: usize) -> Option<String> {
        let core = self.script.steps[step].core?;
        let target = format!("core {} C", core.ceil().to_integer());
        let state = &self.steps[step];
        let Some((_, last)) = state.readings.last() else {
            return Some(target);
        };
        let now = format!("{target}, now {} C", last.floor().to_integer());
        Some(match &state.forecast {
            Some(forecast) if forecast.may_never => {
                format!("{now}; at this heat it may not get there")
            }
            Some(forecast) => {
                let [early, late] =
                    [forecast.early_ms, forecast.late_ms].map(|at| self.clock_words(at));
                format!("{now}; there between {early} and {late}")
            }
            None => now,
        })
    }

    /// A reading of the thermometer moves the expected end, once two of them say when the core gets there.
    pub(super) fn forecast_core(&mut self, step: usize, at: Ms) {
        let script = &self.script.steps[step];
        let (Some(core), Some(begun)) = (script.core, self.steps[step].begun) else {
            return;
        };
        let reading = |&(at_ms, celsius): &(Ms, Ratio)| Reading {
            at_ms,
            celsius: to_f64(celsius),
        };
        let readings: Vec<Reading> = self.steps[step].readings.iter().map(reading).collect();
        let setting = self.steps[step]
            .oven
            .and_then(|oven| self.ovens[oven].set.celsius());
        let setup = Setup {
            begun_ms: Some(begun),
            medium: setting.map_or(Medium::Unknown, |celsius| {
                Medium::AtMost(f64::from(celsius))
            }),
            ..Setup::default()
        };
        let forecast = thermometer::predict(&readings, to_f64(core), &setup);
        let state = &mut self.steps[step];
        if let Some(forecast) = forecast
            .as_ref()
            .filter(|forecast| state.ended.is_none() && !forecast.may_never)
        {
            state.due = forecast.at_ms.max(at);
            state.ask = state.due;
        }
        state.forecast = forecast;
    }

    /// The next substitute for each ingredient of a step that has any; after the last of them the ingredient itself.
    pub(super) fn substitutes_of(&self, step: usize, units: Units) -> Vec<Choice> {
        let (session, script) = (&self.script.session, &self.script.steps[step]);
        let offer = |line: &Line| {
            let chosen = self.substitutes.get(&(script.dish, line.ingredient));
            let next = chosen.map_or(0, |choice| choice + 1);
            let (choice, words) = match line.or.get(next) {
                Some(other) => (Some(next), format!("{other} for {}", line.item)),
                None => (None, format!("{} after all", line.item)),
            };
            Choice {
                action: Action::Substitute(script.dish, line.ingredient, choice),
                words,
            }
        };
        amounts::for_step(session, script.dish, script.place, units)
            .iter()
            .filter(|line| !line.or.is_empty())
            .map(offer)
            .collect()
    }

    /// Amounts of what goes into a step, with the substitutes that were chosen.
    pub(super) fn amounts(&self, step: usize, units: Units) -> Vec<String> {
        let (session, script) = (&self.script.session, &self.script.steps[step]);
        let dish = &session.dishes[script.dish];
        let text = |line: &Line| {
            let choice = self.substitutes.get(&(script.dish, line.ingredient));
            let substitute =
                choice.and_then(|&choice| dish.ingredients.get(line.ingredient)?.or.get(choice));
            let words = match substitute {
                Some(text) => {
                    let text = amounts::substitute(text, amounts::factor(session, dish), units);
                    format!("{text} (for {})", line.item)
                }
                None if line.or.is_empty() => line.text(),
                None => format!("{} (or {})", line.text(), line.or.join(", or ")),
            };
            match &line.hint {
                Some(hint) if substitute.is_none() => format!("{words}: {hint}"),
                _ => words,
            }
        };
        amounts::for_step(session, script.dish, script.place, units)
            .iter()
            .map(text)
            .collect()
    }
}
