//! Which calls stand at a moment: a pure function of state and time.

use super::{
    Action, Call, CallKey, Ms, Priority, State,
    event::{Setting, Trouble},
    words,
};
use crate::plan::Part;

/// A call that stands this long unanswered becomes more urgent.
pub const ESCALATES: Ms = 3 * 60_000;

/// How long a jump of the clocks is told for.
const JUMP_TOLD: Ms = 10 * 60_000;

impl State {
    /// The unanswered calls at `now`: the most urgent first, of equals the oldest, but an oven's turn with something inside
    /// before all others: each minute of it ruins the dish.
    pub fn calls(&self, now: Ms) -> Vec<Call> {
        let mut calls = Vec::new();
        if self.closed {
            return calls;
        }
        for step in 0..self.steps.len() {
            calls.extend(self.step_call(step, now));
        }
        for oven in 0..self.ovens.len() {
            calls.extend(self.oven_call(oven, now));
        }
        calls.extend(self.serve_call(now));
        calls.extend(self.trouble_calls(now));
        calls.extend(self.safety_calls(now));
        calls.extend(self.sound_test());
        calls.retain(|call| !self.answered.contains_key(&call.key));
        for call in &mut calls {
            if now - call.since >= ESCALATES
                && call.action.is_some()
                && call.priority == Priority::Medium
            {
                call.priority = Priority::High;
            }
        }
        calls.sort_by(|a, b| {
            let rank = |call: &Call| (call.priority, self.turns_inside(&call.key));
            (rank(b), a.since, &a.key).cmp(&(rank(a), b.since, &b.key))
        });
        calls
    }

    fn step_call(&self, i: usize, now: Ms) -> Option<Call> {
        let state = &self.steps[i];
        if state.running() {
            self.running_call(i, now)
        } else if state.waiting() {
            self.begin_call(i, now)
        } else {
            None
        }
    }

    fn running_call(&self, i: usize, now: Ms) -> Option<Call> {
        let (step, state) = (&self.script.steps[i], &self.steps[i]);
        let call = |key, priority, since, sentence, action, silent| Call {
            key,
            priority,
            since,
            subject: self.script.dishes[step.dish].title.clone(),
            sentence,
            action,
            silent,
        };
        if now >= state.ask {
            let since = state.ask;
            let finish = Some(Action::Finish(i));
            return Some(match &step.until {
                Some(cue) => call(
                    CallKey::Cue {
                        step: i,
                        due: since,
                    },
                    Priority::Medium,
                    since,
                    words::look(step, cue),
                    finish,
                    false,
                ),
                // Hands that are in it know when it is over; without heat nothing is ruined.
                None => call(
                    CallKey::Due {
                        step: i,
                        due: since,
                    },
                    if step.heat() {
                        Priority::Medium
                    } else {
                        Priority::Low
                    },
                    since,
                    words::over(step),
                    finish,
                    step.hands && !step.heat(),
                ),
            });
        }
        let long = state.ask - state.begun.unwrap_or(now) > 2 * step.lead;
        let soon = step.lead > 0 && long && !step.hands && now >= state.ask - step.lead;
        soon.then(|| {
            let key = CallKey::HeadsUp {
                step: i,
                due: state.ask,
            };
            let sentence = words::soon(step, state.ask - now);
            let answer = Some(Action::Answer(key.clone()));
            call(
                key,
                Priority::Low,
                state.ask - step.lead,
                sentence,
                answer,
                false,
            )
        })
    }

    fn begin_call(&self, i: usize, now: Ms) -> Option<Call> {
        let since = self.planned_start(i)?;
        let ready = self.script.steps[i]
            .after
            .iter()
            .all(|&before| self.steps[before].over());
        (now >= since && ready).then(|| Call {
            key: CallKey::Begin { step: i },
            priority: Priority::Medium,
            since,
            subject: self.script.dishes[self.script.steps[i].dish].title.clone(),
            sentence: self.script.steps[i].instruction.clone(),
            action: Some(Action::Begin(i)),
            silent: false,
        })
    }

    fn oven_call(&self, oven: usize, now: Ms) -> Option<Call> {
        let turn = self.next_turn(oven)?;
        let since = self.turn_at(turn);
        let key = CallKey::Oven {
            oven,
            step: turn.step,
            to: words::setting(&turn.to),
        };
        // What is inside already is ruined by a wrong temperature; an empty oven only comes late.
        let priority = match (&turn.to, self.turns_inside(&key)) {
            (_, true) => Priority::High,
            (Setting::Off, _) => Priority::Low,
            _ => Priority::Medium,
        };
        (now >= since).then(|| Call {
            key,
            priority,
            since,
            subject: self.script.ovens[oven].clone(),
            sentence: self.turn_words(oven, turn),
            action: Some(Action::SetOven(oven, turn.to.clone())),
            silent: false,
        })
    }

    /// Whether a call is to turn an oven's knob for a step that is in it already.
    fn turns_inside(&self, key: &CallKey) -> bool {
        matches!(key, CallKey::Oven { step: Some(step), .. } if self.steps[*step].running())
    }

    /// The next course, once all of it is done and its time has come.
    fn serve_call(&self, now: Ms) -> Option<Call> {
        let course = self.next_course()?;
        let since = self.serve_at(course)?;
        (now >= since).then(|| Call {
            key: CallKey::Serve { course },
            priority: match self.script.part {
                Part::Service => Priority::High,
                Part::Ahead => Priority::Medium,
            },
            since,
            subject: self.script.courses[course].name.clone(),
            sentence: self.serve_words(course),
            action: Some(Action::Serve(course)),
            silent: false,
        })
    }

    /// Before the first step: was the test sound heard?
    fn sound_test(&self) -> Option<Call> {
        let asked = self.sound_tried.is_some() && self.heard.is_none() && !self.under_way();
        asked.then(|| Call {
            key: CallKey::SoundTest,
            priority: Priority::Low,
            since: 0,
            subject: "Sound".into(),
            sentence: "Did you hear the test sound?".into(),
            action: Some(Action::Heard(true)),
            silent: true,
        })
    }

    fn trouble_calls(&self, now: Ms) -> Vec<Call> {
        let mut calls: Vec<Call> = self
            .troubles
            .iter()
            .map(|(&about, (since, sentence))| {
                let key = CallKey::Trouble { about };
                let grave = matches!(about, Trouble::Log | Trouble::Clock);
                Call {
                    priority: if grave { Priority::High } else { Priority::Low },
                    since: *since,
                    subject: words::trouble(about).into(),
                    sentence: sentence.clone(),
                    action: grave.then(|| Action::Answer(key.clone())),
                    silent: !grave,
                    key,
                }
            })
            .collect();
        if let Some((at, unseen)) = self.jump.filter(|(at, _)| now - at < JUMP_TOLD) {
            let key = CallKey::Jump { at };
            calls.push(Call {
                priority: Priority::Medium,
                since: at,
                subject: "Clock".into(),
                sentence: words::unseen(unseen),
                action: Some(Action::Answer(key.clone())),
                silent: true,
                key,
            });
        }
        calls
    }

    /// The next moment after `now` at which a call begins, changes or grows more urgent.
    pub(super) fn next_call(&self, now: Ms) -> Option<Ms> {
        let mut next: Option<Ms> = None;
        let mut at = |moment: Ms| {
            if moment > now && next.is_none_or(|next| moment < next) {
                next = Some(moment);
            }
        };
        for (i, state) in self.steps.iter().enumerate() {
            if state.running() {
                at(state.ask - self.script.steps[i].lead);
                at(state.ask);
                at(state.ask + ESCALATES);
            } else if let Some(start) = state.waiting().then(|| self.planned_start(i)).flatten() {
                at(start);
                at(start + ESCALATES);
            }
        }
        for oven in 0..self.ovens.len() {
            if let Some(turn) = self.next_turn(oven) {
                at(self.turn_at(turn));
                at(self.turn_at(turn) + ESCALATES);
            }
        }
        if let Some(serve) = self.next_course().and_then(|course| self.serve_at(course)) {
            at(serve);
        }
        for moment in self.safety_moments() {
            at(moment);
        }
        next
    }
}
