//! Steps that can be planned, proposed from the instructions of a recipe.

mod aside;
mod beside;
mod close;
mod groups;
mod hands;
mod length;
mod oven;
mod said;
mod uses;
mod vessels;

use super::ingredient::Split;
use super::phrases::{self, Heat, Work};
use super::recipe::{Instruction, Recipe};
use super::sentences::pieces;
use crate::measure::Ratio;
use beside::Parts;

/// How sure a proposal is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum How {
    /// The recipe says it.
    Sure,
    /// Read from the words of the step.
    Likely,
    /// Nothing says so; a value had to stand there.
    Guess,
}

/// A proposed value with how sure it is, and why.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Proposal {
    pub value: String,
    pub how: How,
    pub why: String,
}

fn propose(value: impl Into<String>, how: How, why: impl Into<String>) -> Proposal {
    Proposal {
        value: value.into(),
        how,
        why: why.into(),
    }
}

/// What a step comes after, where that is not the step before it alone.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct After {
    pub ids: Vec<String>,
    pub how: How,
    pub why: String,
}

/// A proposed step.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Step {
    pub id: String,
    /// A heading of the recipe that begins here.
    pub section: Option<String>,
    pub instruction: String,
    pub work: Work,
    pub takes: Proposal,
    pub hands: Option<Proposal>,
    pub after: Option<After>,
    pub needs: Vec<Proposal>,
    /// The setting, and one later with the time after which it is turned to, in seconds.
    pub oven: Option<(Proposal, Option<(Ratio, String)>)>,
    pub until: Option<Proposal>,
    pub core: Option<Proposal>,
    pub keeps: Option<Proposal>,
    pub ahead: Option<Proposal>,
    pub uses: Option<(Vec<String>, How)>,
    /// The run of steps that it belongs to: one follows the other in it.
    part: usize,
    /// No words give the length: it may be shared out of the recipe's own times.
    timeless: bool,
    seconds: Ratio,
}

/// The steps of a recipe, and what its instructions say that no step could carry.
pub(super) fn propose_all(recipe: &Recipe, ingredients: &[Split]) -> (Vec<Step>, Vec<String>) {
    let mut maker = Maker {
        ingredients,
        used: vec![false; ingredients.len()],
        heat: None,
        steps: Vec::new(),
        unused: Vec::new(),
        parts: Parts::new(&recipe.title),
    };
    let mut section = None;
    let instructions: Vec<Instruction> = recipe.steps.iter().map(labelled).collect();
    for (index, instruction) in instructions.iter().enumerate() {
        if instruction.tip {
            maker.unused.push(format!("tip: {}", instruction.text));
            continue;
        }
        let new = (instruction.section != section)
            .then(|| instruction.section.clone())
            .flatten();
        if instruction.section != section {
            let rest = instructions.get(index..).unwrap_or_default();
            let whole: Vec<&Instruction> = rest
                .iter()
                .take_while(|i| i.section == instruction.section)
                .filter(|i| !i.tip)
                .collect();
            maker.open_section(instruction.section.as_deref(), &whole);
        }
        section.clone_from(&instruction.section);
        maker.instruction(instruction, new);
    }
    maker.finish(recipe);
    (maker.steps, maker.unused)
}

/// An instruction whose section stands before it in the text: "Rice: soak ...". "Note: ..." is a tip.
fn labelled(instruction: &Instruction) -> Instruction {
    let mut instruction = instruction.clone();
    let Some((label, rest)) = instruction.text.split_once(": ") else {
        return instruction;
    };
    let lower = label.to_lowercase();
    let words = label.split(' ').count();
    let plain = label
        .chars()
        .all(|c| c.is_alphabetic() || " -'&".contains(c));
    if !plain || words > 4 || !rest.starts_with(char::is_uppercase) {
        return instruction;
    }
    let tips = [
        "note",
        "tip",
        "cook's note",
        "cook's tip",
        "top tip",
        "notes",
        "tips",
    ];
    if tips.contains(&lower.as_str()) {
        instruction.tip = true;
    } else if instruction.section.is_none() && lower != "step" && lower != "method" {
        let (label, rest) = (label.to_owned(), rest.to_owned());
        instruction.section = Some(label);
        instruction.text = rest;
    }
    instruction
}

/// "Cover.", "Wrap in film."
fn covers(sentence: &str) -> bool {
    let lower = sentence.to_lowercase();
    let verb = ["cover", "wrap", "seal"]
        .iter()
        .any(|verb| lower.starts_with(verb));
    verb && lower.split(' ').count() <= 4
}

struct Maker<'a> {
    ingredients: &'a [Split],
    used: Vec<bool>,
    /// What the oven was last said to be at.
    heat: Option<Heat>,
    steps: Vec<Step>,
    unused: Vec<String>,
    parts: Parts,
}

impl Maker<'_> {
    fn instruction(&mut self, instruction: &Instruction, mut section: Option<String>) {
        let mut together: Vec<String> = Vec::new();
        for (index, piece) in pieces(&instruction.text).into_iter().enumerate() {
            let (said, action) = match phrases::beside(&piece) {
                Some((said, action)) => (Some(said.to_owned()), action.to_owned()),
                None => (None, piece.clone()),
            };
            let normal = phrases::normal(&action);
            if aside::looks_back(&normal) {
                self.flush(&mut together, &mut section);
            }
            if self.aside(&piece, &normal, together.is_empty()) {
                continue;
            }
            if together.is_empty()
                && (self.closes(&piece, &normal) || self.is_said(&piece, &normal))
            {
                continue;
            }
            if said.is_some() || self.returns(&normal, index > 0) {
                self.flush(&mut together, &mut section);
                match said {
                    Some(said) => self.branch(&said, &normal),
                    None => self.join(),
                }
            }
            let work = phrases::work(&normal);
            let alone = matches!(work, Work::Oven | Work::Simmer | Work::Wait)
                && (!phrases::times(&normal).is_empty() || matches!(work, Work::Oven | Work::Wait));
            // "Cover; leave for an hour": covering is no step of its own.
            let only_covered = matches!(together.as_slice(), [one] if covers(one));
            if alone && !only_covered {
                self.flush(&mut together, &mut section);
            }
            together.push(piece);
            if alone {
                self.flush(&mut together, &mut section);
            }
        }
        self.flush(&mut together, &mut section);
    }

    /// "Remove from heat and set aside": the end of the step before, not one of its own. Adds it there.
    fn closes(&mut self, piece: &str, normal: &str) -> bool {
        const ENDS: &[&str] = &[
            "set aside",
            "remove from heat",
            "remove from the heat",
            "take off the heat",
            "take it off the heat",
            "turn off the heat",
        ];
        let short = normal.split_whitespace().count() <= 8 && phrases::times(normal).is_empty();
        let ends = short && ENDS.iter().any(|words| normal.starts_with(words));
        let part = self.parts.part;
        match self.steps.last_mut().filter(|s| ends && s.part == part) {
            Some(last) => {
                last.instruction = format!("{} {piece}", last.instruction);
                true
            }
            None => false,
        }
    }

    /// Makes one step of the sentences that belong together.
    fn flush(&mut self, together: &mut Vec<String>, section: &mut Option<String>) {
        if !together.is_empty() {
            let text = std::mem::take(together).join(" ");
            self.step(&text, section.take());
        }
    }

    fn step(&mut self, text: &str, section: Option<String>) {
        let action = phrases::beside(text).map_or(text, |(_, action)| action);
        let normal = phrases::normal(action);
        let work = phrases::work(&normal);
        let times = phrases::times(&normal);
        let heats = phrases::heats(&normal);
        let short = action.split(' ').count() < 8;
        let uses = self.uses(&normal);
        let litres = self.litres(uses.as_ref().map_or(&[], |(items, _)| items));
        let joint = self.heaviest();
        let length = length::length(work, &normal, &times, short, litres, joint);
        let core = hands::core(&normal, &heats);
        if work != Work::Oven
            && phrases::says(&normal, &["oven"])
            && let Some(heat) = heats.last()
        {
            self.heat = Some(heat.clone());
        }
        let oven = (work == Work::Oven).then(|| self.oven(&normal, &times, &heats, core.is_some()));
        let id = self.id(text);
        let step = Step {
            section,
            instruction: text.to_owned(),
            work,
            takes: length.takes,
            // What is under a grill is watched.
            hands: hands::hands(work, &normal, &times, length.seconds)
                .filter(|_| !phrases::under_the_grill(&normal)),
            after: self.after(&normal),
            needs: self.needs(work, &normal),
            oven,
            until: phrases::cue(text)
                .filter(|cue| core.is_none() || !phrases::is_reading(cue))
                .map(|cue| propose(cue, How::Sure, "")),
            core,
            keeps: None,
            ahead: (work == Work::Wait)
                .then(|| aside::chilled_for(&normal, &times))
                .flatten(),
            uses,
            part: self.parts.part,
            timeless: length.timeless,
            seconds: length.seconds,
            id,
        };
        self.steps.push(step);
    }

    /// The first words that say something, with dashes; unique in the dish.
    fn id(&self, text: &str) -> String {
        const SKIP: &[&str] = &[
            "the", "a", "an", "in", "into", "to", "of", "and", "with", "for", "on", "it", "then",
            "your", "all", "until", "at", "over", "large", "small", "medium", "minute", "minutes",
            "mins", "min", "hour", "hours", "one", "two", "three", "about", "another", "further",
        ];
        let text = phrases::beside(text).map_or(text, |(_, action)| action);
        let words: Vec<String> = text
            .split(|c: char| !c.is_alphanumeric())
            .map(str::to_lowercase)
            .filter(|w| {
                !w.is_empty()
                    && !SKIP.contains(&w.as_str())
                    && !w.starts_with(|c: char| c.is_ascii_digit())
            })
            .take(2)
            .collect();
        let base: String = if words.is_empty() {
            "step".to_owned()
        } else {
            words.join("-").chars().take(40).collect()
        };
        let taken = |id: &str| self.steps.iter().any(|s| s.id == id);
        if !taken(&base) {
            return base;
        }
        (2..)
            .map(|n| format!("{base}-{n}"))
            .find(|id| !taken(id))
            .unwrap_or(base)
    }
}
