//! What keeps people safe while the meal runs.

use super::{
    Action, Call, CallKey, Ms, Priority, State,
    board::{Notice, Weight},
    kitchen::to_f64,
};
use crate::{
    measure::{Ratio, units::Units},
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
                limit: limit.limit,
            };
            calls.push(Call {
                priority: if now >= limit.at_ms {
                    Priority::High
                } else {
                    Priority::Medium
                },
                since: limit.warn_ms,
                subject: self.script.dishes[dish].title.clone(),
                sentence: format!(
                    "{}, by {}",
                    limit.sentence,
                    self.clock(limit.at_ms).strftime("%H:%M")
                ),
                action: Some(Action::Answer(key.clone())),
                silent: false,
                key,
            });
        }
        calls
    }

    /// When those calls begin and grow more urgent.
    pub(super) fn safety_moments(&self) -> Vec<Ms> {
        self.limits()
            .iter()
            .flat_map(|(_, limit)| [limit.warn_ms, limit.at_ms])
            .collect()
    }

    /// The limits of every dish that is out of the heat, with its position.
    fn limits(&self) -> Vec<(usize, Deadline)> {
        let of = |dish| {
            self.limits_of(dish)
                .into_iter()
                .map(move |limit| (dish, limit))
        };
        (0..self.script.dishes.len()).flat_map(of).collect()
    }

    /// The limits of a dish that is out of the heat, for the service: out on the table; for what is made ahead: cooling.
    fn limits_of(&self, dish: usize) -> Vec<Deadline> {
        let Some(off) = self.out_of_heat(dish) else {
            return Vec::new();
        };
        let kind = Kind {
            rice: self.script.dishes[dish].rice,
            hot_day: false,
        };
        match self.script.part {
            Part::Service => clocks::out_of_heat(off, kind).into_iter().collect(),
            Part::Ahead => clocks::cooling(off, kind).into_iter().collect(),
        }
    }

    /// When the last step of a dish that spoils came out of the heat, once all of the dish is done.
    fn out_of_heat(&self, dish: usize) -> Option<Ms> {
        let script = &self.script.dishes[dish];
        script.use_by.as_ref()?;
        let done = script.steps.iter().all(|&step| self.steps[step].over());
        let ended = |step: &&usize| self.script.steps[**step].heat() && !self.steps[**step].skipped;
        let off = script
            .steps
            .iter()
            .filter(ended)
            .filter_map(|&step| self.steps[step].ended)
            .max();
        off.filter(|_| done)
    }

    pub(super) fn safety_notices(&self, now: Ms) -> Vec<Notice> {
        let near = self
            .limits()
            .into_iter()
            .filter(|(_, limit)| now >= limit.warn_ms);
        let line = |(dish, limit): (usize, Deadline)| Notice {
            weight: if now >= limit.at_ms {
                Weight::Wrong
            } else {
                Weight::Caution
            },
            words: format!(
                "{}: {}, by {} ({})",
                self.script.dishes[dish].title,
                limit.sentence,
                self.clock(limit.at_ms).strftime("%H:%M"),
                limit.source,
            ),
        };
        near.map(line).collect()
    }

    /// What to do with what is left: by when it is chilled, and until when it is eaten.
    pub(super) fn leftovers(&self) -> Vec<String> {
        let mut lines = vec!["Cool what is left in shallow layers, and chill it".to_owned()];
        for (i, dish) in self.script.dishes.iter().enumerate() {
            let Some((date, what)) = dish.use_by.as_ref().filter(|_| !dish.steps.is_empty()) else {
                continue;
            };
            let chill = self.limits_of(i).pop();
            let chill = chill.map_or_else(String::new, |limit| {
                format!("chill by {}, ", self.clock(limit.at_ms).strftime("%H:%M"))
            });
            lines.push(format!(
                "{}: {chill}eat by {} ({what})",
                dish.title,
                date.strftime("%a %-d %b")
            ));
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
                let [early, late] = [forecast.early_ms, forecast.late_ms]
                    .map(|at| self.clock(at).strftime("%H:%M").to_string());
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

    /// Amounts of what goes into a step, with the substitutes that were chosen.
    pub(super) fn amounts(&self, step: usize, units: Units) -> Vec<String> {
        let (session, script) = (&self.script.session, &self.script.steps[step]);
        let dish = &session.dishes[script.dish];
        let text = |line: &Line| {
            let choice = self.substitutes.get(&(script.dish, line.ingredient));
            let substitute =
                choice.and_then(|&choice| dish.ingredients.get(line.ingredient)?.or.get(choice));
            let words = match substitute {
                Some(text) => amounts::substitute(text, amounts::factor(session, dish), units),
                None => line.text(),
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
