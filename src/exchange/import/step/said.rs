//! Sentences that are said of the step before: its last minutes, what it will look like, how long it will take.

use super::{How, Maker, propose};
use crate::exchange::import::phrases::{self, About, Work};
use crate::measure::Ratio;

/// Words with which a sentence begins that tells nobody to do anything.
const TELLS: &[&str] = &[
    "this ",
    "it ",
    "it's ",
    "they ",
    "these ",
    "those ",
    "there ",
    "you will ",
    "you'll ",
    "you should ",
    "you may ",
    "you might ",
    "you can ",
    "don't worry",
    "do not worry",
    "don't panic",
    "serves ",
    "makes ",
    "keeps ",
];

/// What makes a sentence that begins with its subject a statement.
const STATES: &[&str] = &[
    "will", "should", "is", "are", "may", "might", "can", "won't", "must", "has", "have",
];

/// "This keeps well", "The dough should be soft": a statement, not a thing to do.
fn is_statement(normal: &str) -> bool {
    if TELLS.iter().any(|words| normal.starts_with(words)) {
        return true;
    }
    let subject = ["the ", "your ", "any ", "some ", "all "];
    // "The next day, drain the beans": what follows the comma is done.
    let clause = normal.split([',', ';', ':']).next().unwrap_or(normal);
    let mut words = clause.split_whitespace().take(7);
    subject.iter().any(|words| normal.starts_with(words)) && words.any(|w| STATES.contains(&w))
}

/// Of the dish as a whole: how many it feeds, how it keeps.
fn is_of_the_dish(normal: &str) -> bool {
    let starts = ["serves ", "makes ", "keeps "];
    let whole = [
        "this recipe",
        "this dish",
        "this keeps",
        "this freezes",
        "this makes",
        "this serves",
    ];
    starts
        .iter()
        .chain(&whole)
        .any(|words| normal.starts_with(words))
}

impl Maker<'_> {
    /// Whether the sentence belongs to the step before, or to none. It is added there, or listed.
    pub(super) fn is_said(&mut self, piece: &str, normal: &str) -> bool {
        self.is_of_its_last_minutes(piece, normal) || self.states(piece, normal)
    }

    /// "Take off the foil for the last 15 minutes", "at 220 C for the final 10 minutes": within the time before it.
    fn is_of_its_last_minutes(&mut self, piece: &str, normal: &str) -> bool {
        let times = phrases::times(normal);
        let [time] = times.as_slice() else {
            return false;
        };
        let before = normal.get(..time.at).unwrap_or_default().trim_end();
        if time.about != About::Moment || !(before.ends_with("last") || before.ends_with("final")) {
            return false;
        }
        let part = self.parts.part;
        let cooks = |work| matches!(work, Work::Oven | Work::Simmer | Work::Hob);
        let Some(last) = self
            .steps
            .last_mut()
            .filter(|step| step.part == part && cooks(step.work) && step.seconds > time.range.lo)
        else {
            return false;
        };
        last.instruction = format!("{} {piece}", last.instruction);
        let heat = phrases::heats(normal).into_iter().find(|heat| !heat.inside);
        if let (Some((_, later @ None)), Some(heat)) = (&mut last.oven, heat) {
            *later = Some((last.seconds - time.range.lo, heat.text.clone()));
            self.heat = Some(heat);
        }
        true
    }

    fn states(&mut self, piece: &str, normal: &str) -> bool {
        if !is_statement(normal) {
            return false;
        }
        let part = self.parts.part;
        let last = self.steps.last_mut().filter(|step| step.part == part);
        let Some(last) = last.filter(|_| !is_of_the_dish(normal)) else {
            self.unused
                .push(format!("\"{piece}\" (it tells nobody to do anything)"));
            return true;
        };
        last.instruction = format!("{} {piece}", last.instruction);
        let told = phrases::times(normal)
            .into_iter()
            .find(|time| time.about == About::Length && time.range.lo > Ratio::from_integer(0));
        // "It will take about 40 minutes."
        if let Some(time) = told.filter(|_| last.timeless) {
            last.takes = propose(time.range.to_string(), How::Likely, format!("\"{piece}\""));
            last.seconds = time.range.lo;
            last.timeless = false;
        }
        if last.until.is_none() {
            last.until = phrases::cue(piece).map(|cue| propose(cue, How::Likely, ""));
        }
        true
    }
}
