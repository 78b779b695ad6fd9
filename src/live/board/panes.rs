//! Countdowns, ovens, what comes next, courses, notices.

use super::{Countdown, CourseLine, Notice, OvenNext, OvenPane, Upcoming, Weight};
use crate::{
    live::{Action, Ms, State, event::Trouble, words},
    plan::Part,
};

/// How long a course's move is shown.
const MOVE_SHOWN: Ms = 5 * 60_000;

impl State {
    pub(super) fn countdowns(&self) -> Vec<Countdown> {
        let mut running: Vec<Countdown> = (0..self.steps.len())
            .filter(|&i| self.steps[i].running())
            .map(|i| {
                let (step, state) = (&self.script.steps[i], &self.steps[i]);
                Countdown {
                    step: i,
                    dish: self.script.dishes[step.dish].title.clone(),
                    sentence: step.instruction.clone(),
                    place: self.place(i),
                    begun: state.begun.unwrap_or_default(),
                    due: state.ask,
                    cue: step.until.clone(),
                    hands: step.hands,
                    core: self.core_words(i),
                }
            })
            .collect();
        running.sort_by_key(|countdown| (countdown.due, countdown.step));
        running
    }

    /// Where a step is: its oven, burner or first piece of cookware.
    fn place(&self, i: usize) -> String {
        let step = &self.script.steps[i];
        match (self.steps[i].oven, step.burners) {
            (Some(oven), _) => self.script.ovens[oven].clone(),
            (None, 1) => "burner".into(),
            (None, 2..) => format!("{} burners", step.burners),
            (None, 0) => step.needs.first().cloned().unwrap_or_default(),
        }
    }

    pub(super) fn oven_panes(&self, now: Ms) -> Vec<OvenPane> {
        let pane = |oven: usize| {
            let state = &self.ovens[oven];
            let inside: Vec<usize> = (0..self.steps.len())
                .filter(|&i| self.steps[i].running() && self.steps[i].oven == Some(oven))
                .collect();
            OvenPane {
                name: self.script.ovens[oven].clone(),
                set: state.set.clone(),
                since: state.since,
                past: state.past.clone(),
                set_words: self.dial(oven, &state.set, None),
                about: state.about(now).round() as i32,
                ready: Some(state.ready())
                    .filter(|&ready| ready > now && state.set.celsius().is_some()),
                next: self.next_turn(oven).map(|turn| {
                    let at = self.turn_at(turn);
                    OvenNext {
                        at,
                        to: self.dial(oven, &turn.to, turn.step),
                        why: turn.why.clone(),
                        due: at <= now,
                    }
                }),
                racks: (
                    inside.iter().map(|&i| self.script.steps[i].racks).sum(),
                    self.script.racks[oven],
                ),
                inside: inside
                    .into_iter()
                    .map(|i| (words::dish(&self.script, i).to_owned(), self.steps[i].ask))
                    .collect(),
            }
        };
        (0..self.ovens.len()).map(pane).collect()
    }

    pub(super) fn upcoming(&self, now: Ms) -> Vec<Upcoming> {
        let mut next: Vec<Upcoming> = (0..self.steps.len())
            .filter(|&i| self.steps[i].waiting())
            .filter_map(|i| {
                let step = &self.script.steps[i];
                Some(Upcoming {
                    at: self.planned_start(i)?,
                    subject: self.script.dishes[step.dish].title.clone(),
                    sentence: step.instruction.clone(),
                    action: Action::Begin(i),
                    hands: step.hands,
                    length: step.length,
                    waits_for: self.hindrance(i, now),
                })
            })
            .collect();
        for (oven, name) in self.script.ovens.iter().enumerate() {
            let mut from = &self.ovens[oven].set;
            for turn in self.pending_turns(oven) {
                next.push(Upcoming {
                    at: self.turn_at(turn),
                    subject: name.clone(),
                    sentence: self.turn_words_from(oven, from, turn),
                    action: Action::SetOven(oven, turn.to.clone()),
                    hands: false,
                    length: 0,
                    waits_for: None,
                });
                from = &turn.to;
            }
        }
        let serve = |course: usize| {
            let expected = self.script.ms(self.plan.as_ref()?.served[course]);
            Some(Upcoming {
                at: expected,
                subject: self.script.courses[course].name.clone(),
                sentence: self.serve_words(course),
                action: Action::Serve(course),
                hands: true,
                length: 0,
                waits_for: None,
            })
        };
        next.extend(
            (0..self.courses.len())
                .filter(|&c| self.courses[c].served.is_none())
                .filter_map(serve),
        );
        next.sort_by_key(|upcoming| upcoming.at);
        next
    }

    pub(super) fn course_lines(&self, now: Ms) -> Vec<CourseLine> {
        let line = |(course, state): (usize, &crate::live::kitchen::CourseState)| {
            let script = &self.script.courses[course];
            let planned = self
                .plan
                .as_ref()
                .map(|plan| self.script.ms(plan.served[course]));
            let expected = state.served.or(planned).unwrap_or(script.promised);
            CourseLine {
                name: script.name.clone(),
                // Nobody waits for what is made ahead.
                promised: match self.script.part {
                    Part::Service => script.promised,
                    Part::Ahead => expected,
                },
                expected,
                served: state.served.is_some(),
                moved: state
                    .moved
                    .filter(|(_, at)| now - at < MOVE_SHOWN)
                    .map_or(0, |(by, _)| by),
                dishes: script
                    .dishes
                    .iter()
                    .map(|&dish| {
                        let dish = &self.script.dishes[dish];
                        let done = dish
                            .steps
                            .iter()
                            .filter(|&&step| self.steps[step].over())
                            .count();
                        (dish.title.clone(), done, dish.steps.len())
                    })
                    .collect(),
            }
        };
        self.courses.iter().enumerate().map(line).collect()
    }

    pub(super) fn notices(&self, now: Ms) -> Vec<Notice> {
        let mut notices: Vec<Notice> = self
            .troubles
            .iter()
            .map(|(&about, (_, sentence))| Notice {
                weight: Weight::Wrong,
                words: format!("{}: {sentence}", words::trouble(about)),
            })
            .collect();
        if self.heard == Some(false) && !self.troubles.contains_key(&Trouble::Sound) {
            let words =
                "The test sound was not heard: 'mealtide doctor' says what to do".to_owned();
            notices.push(Notice {
                weight: Weight::Caution,
                words,
            });
        }
        notices.extend(self.safety_notices(now));
        notices
    }
}
