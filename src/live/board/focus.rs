//! The one thing to do now.

use super::{Choice, Focus};
use crate::{
    live::{Action, Call, CallKey, Ms, State, words},
    measure::{dial, units::Units},
    plan::look,
};

impl State {
    /// What to do now, with the substitutes that can be chosen: for what goes in here, and while nothing is to be done,
    /// for the next step that has any.
    pub(super) fn focus(&self, calls: &[Call], now: Ms, units: Units) -> Focus {
        let mut focus = self.focus_alone(calls, now, units);
        let here = match focus.action {
            Some(Action::Begin(step) | Action::Finish(step)) => Some(step),
            _ => None,
        };
        // Whose hands are full is asked nothing about another dish.
        let idle = focus.action.is_none();
        let mut later: Vec<usize> = (0..self.steps.len())
            .filter(|&step| idle && self.steps[step].begun.is_none() && !self.steps[step].over())
            .collect();
        later.sort_by_key(|&step| self.planned_start(step));
        let offered = here
            .into_iter()
            .chain(later)
            .map(|step| (step, self.substitutes_of(step, units)))
            .find(|(_, choices)| !choices.is_empty());
        if let Some((step, choices)) = offered {
            let dish = &self.script.dishes[self.script.steps[step].dish].title;
            focus
                .choices
                .extend(choices.into_iter().map(|choice| Choice {
                    words: match here == Some(step) {
                        true => choice.words,
                        false => format!("{dish}: {}", choice.words),
                    },
                    ..choice
                }));
        }
        focus
    }

    fn focus_alone(&self, calls: &[Call], now: Ms, units: Units) -> Focus {
        let action = self.expected(now);
        let call = calls
            .iter()
            .find(|call| call.action.is_some() && call.action == action);
        match (&action, call) {
            (Some(Action::SetOven(oven, _)), _) => self.focus_oven(*oven, action, units),
            (Some(done), Some(call)) => self.focus_call(done, call, now, units),
            (Some(Action::Finish(step)), None) => Focus {
                // As its countdown.
                moment: Some(self.steps[*step].ask),
                choices: self.step_choices(*step, now),
                ..self.focus_step(*step, "done", action, units)
            },
            (Some(Action::Begin(step)), None) => Focus {
                moment: self.planned_start(*step),
                choices: vec![Choice {
                    action: Action::Skip(*step),
                    words: "skip this step".into(),
                }],
                ..self.focus_step(*step, "begin early", action, units)
            },
            (Some(Action::Close), None) => Focus {
                word: "close the session".into(),
                subject: self.script.session.title.clone(),
                sentence: "All is served".into(),
                action,
                ..Focus::default()
            },
            _ => self.focus_nothing(),
        }
    }

    fn focus_call(&self, action: &Action, call: &Call, now: Ms, units: Units) -> Focus {
        let plain = |word: String| Focus {
            action: Some(action.clone()),
            word,
            subject: call.subject.clone(),
            sentence: call.sentence.clone(),
            moment: Some(call.since),
            ..Focus::default()
        };
        match (&call.key, action) {
            (CallKey::Begin { step }, _) => Focus {
                moment: Some(call.since),
                choices: vec![Choice {
                    action: Action::Skip(*step),
                    words: "skip this step".into(),
                }],
                ..self.focus_step(*step, "begin", Some(action.clone()), units)
            },
            (CallKey::Due { step, .. } | CallKey::Cue { step, .. }, Action::Finish(_)) => Focus {
                moment: Some(call.since),
                sentence: if self.script.steps[*step].until.is_some() {
                    self.script.steps[*step].instruction.clone()
                } else {
                    call.sentence.clone()
                },
                choices: self.step_choices(*step, now),
                ..self.focus_step(*step, "done", Some(action.clone()), units)
            },
            // How long there is still, not how long it has been called.
            (CallKey::HeadsUp { due, .. }, Action::Answer(_)) => Focus {
                moment: Some(*due),
                ..plain("got it".into())
            },
            (CallKey::SoundTest, _) => Focus {
                amounts: self.sound_tried.clone().into_iter().collect(),
                choices: vec![Choice {
                    action: Action::Heard(false),
                    words: "no".into(),
                }],
                ..plain("yes, heard".into())
            },
            (_, Action::Serve(_)) => plain("on the table".into()),
            _ => plain("got it".into()),
        }
    }

    /// The next turn of an oven's knob, with the other system's dial beside it if `units` asks for it: "180 C (350 F)".
    fn focus_oven(&self, oven: usize, action: Option<Action>, units: Units) -> Focus {
        let Some(turn) = self.next_turn(oven) else {
            return Focus::default();
        };
        let dial = self.dial(oven, &turn.to, turn.step);
        let beside = self.heat(oven, &turn.to, turn.step).and_then(|heat| {
            if dial != heat.text {
                return Some(format!("{dial}: {} in the recipe", heat.text));
            }
            let shown = dial::show(heat, units);
            (shown != heat.text).then_some(shown)
        });
        Focus {
            action,
            word: format!("set to {dial}"),
            subject: self.script.ovens[oven].clone(),
            sentence: self.turn_words(oven, turn),
            amounts: beside.into_iter().collect(),
            moment: Some(self.turn_at(turn)),
            ..Focus::default()
        }
    }

    /// A step in focus: its instruction, amounts, cookware, cue.
    fn focus_step(&self, step: usize, word: &str, action: Option<Action>, units: Units) -> Focus {
        let script = &self.script.steps[step];
        Focus {
            action,
            word: word.into(),
            subject: self.script.dishes[script.dish].title.clone(),
            sentence: script.instruction.clone(),
            amounts: self.amounts(step, units),
            needs: script.needs.clone(),
            cue: self.cue(step),
            cautions: script.cautions.clone(),
            ..Focus::default()
        }
    }

    /// The cue that ends a step, with the core temperature it has to reach.
    fn cue(&self, step: usize) -> Option<String> {
        let script = &self.script.steps[step];
        let core = script
            .core
            .map(|core| format!("the core has {} C", core.ceil().to_integer()));
        match (&script.until, core) {
            (Some(cue), Some(core)) => Some(format!("{cue}, {core}")),
            (Some(cue), None) => Some(cue.clone()),
            (None, core) => core,
        }
    }

    fn step_choices(&self, step: usize, now: Ms) -> Vec<Choice> {
        let more = self.proposal(step, now);
        let word = if now >= self.steps[step].ask {
            "not yet"
        } else {
            "longer"
        };
        vec![Choice {
            action: Action::Extend(step, more),
            words: format!("{word}: {} more", words::span(more)),
        }]
    }

    /// How much longer to give a step that isn't done at its cue.
    pub fn proposal(&self, step: usize, now: Ms) -> Ms {
        let script = &self.script.steps[step];
        let begun = self.steps[step].begun.unwrap_or(now);
        look::again((script.lo, script.hi), now - begun)
    }

    fn focus_nothing(&self) -> Focus {
        let Some((at, action)) = self.coming() else {
            let ends = (0..self.steps.len())
                .filter(|&i| self.steps[i].running())
                .min_by_key(|&i| self.steps[i].ask);
            return Focus {
                subject: "Nothing to do now".into(),
                sentence: ends.map_or_else(
                    || "Wait".into(),
                    |step| format!("Next: {}", words::next_look(&self.script, step)),
                ),
                moment: ends.map(|step| self.steps[step].ask),
                ..Focus::default()
            };
        };
        let sentence = match &action {
            Action::Begin(step) => {
                let title = words::dish(&self.script, *step);
                format!("{title}: {}", self.script.steps[*step].instruction)
            }
            Action::SetOven(oven, _) => self
                .next_turn(*oven)
                .map(|turn| self.turn_words(*oven, turn))
                .unwrap_or_default(),
            _ => String::new(),
        };
        Focus {
            subject: "Nothing to do now".into(),
            sentence: format!("Next: {sentence}"),
            moment: Some(at),
            choices: vec![Choice {
                action,
                words: "begin it now".into(),
            }],
            ..Focus::default()
        }
    }
}
