//! What may run beside what: "meanwhile", and the sections of a recipe.
//!
//! Steps follow one another unless the text says otherwise. Where it is in doubt whether something made apart is
//! needed, it is waited for: a plan that is too careful loses time, one that is too bold breaks the dish.

use super::uses::singular_words;
use super::{After, How, Maker, Step};
use crate::exchange::import::phrases::{self, Work};
use crate::exchange::import::recipe::Instruction;
use crate::exchange::import::sentences::pieces;

/// A run of steps beside the others that nothing has come after yet.
struct Open {
    /// The last of its steps.
    end: String,
    /// The words by which later steps will call what it made.
    names: Vec<String>,
}

/// Work beside the run that it left.
struct Branch {
    /// The run that it left, and the last step of that.
    part: usize,
    end: String,
    /// Ends of earlier branches from the same run.
    others: Vec<String>,
    /// What the work was said to be.
    first: String,
}

/// Which run of steps is being written, and what is open beside it.
pub(super) struct Parts {
    /// The words of the recipe's title.
    title: Vec<String>,
    /// The number of the run.
    pub part: usize,
    last_part: usize,
    branch: Option<Branch>,
    open: Vec<Open>,
    section: Vec<String>,
    next: Option<After>,
}

impl Parts {
    pub(super) fn new(title: &str) -> Parts {
        Parts {
            title: names(title),
            part: 0,
            last_part: 0,
            branch: None,
            open: Vec::new(),
            section: Vec::new(),
            next: None,
        }
    }

    fn new_part(&mut self) {
        self.last_part += 1;
        self.part = self.last_part;
    }
}

/// Words with which work comes back to what it ran beside.
const RETURNS: &[&str] = &[
    "serve",
    "carve",
    "assemble",
    "divide",
    "plate",
    "return",
    "pour over",
    "spoon over",
    "top with",
    "scatter",
    "garnish",
    "to finish",
    "combine",
    "everything",
    "together",
    "stir into",
    "add to",
    "ladle",
    "arrange",
    "dish up",
];

/// Sections that put together what the ones before made, or are no part of their own.
const JOINING: &[&str] = &[
    "finish",
    "finishing",
    "serve",
    "serving",
    "assemble",
    "assembly",
    "assembling",
    "together",
    "method",
    "preparation",
    "prep",
    "instruction",
    "direction",
    "cooking",
    "cook",
    "step",
    "day",
    "plate",
    "plating",
    "garnish",
    "bake",
    "baking",
    "final",
];

impl Maker<'_> {
    /// What the step to be written comes after, unless it is simply the one before.
    pub(super) fn after(&mut self, normal: &str) -> Option<After> {
        let before = self.steps.last().map(|s| s.id.clone());
        let text = singular_words(normal);
        let called = |open: &Open| open.names.iter().any(|n| text.contains(&format!(" {n} ")));
        let (named, open) = std::mem::take(&mut self.parts.open)
            .into_iter()
            .partition::<Vec<_>, _>(called);
        self.parts.open = open;
        let planned = self.parts.next.take();
        if named.is_empty() {
            return planned;
        }
        let mut after = planned.unwrap_or(After {
            ids: before.into_iter().collect(),
            how: How::Likely,
            why: String::new(),
        });
        for open in named {
            if !after.ids.contains(&open.end) {
                after.ids.push(open.end);
            }
        }
        after.how = How::Likely;
        after.why = "it names what was made apart".to_owned();
        Some(after)
    }

    /// Whether a sentence in a branch needs what the branch ran beside. `same`: it stands in one instruction with the
    /// sentence before it.
    pub(super) fn returns(&self, normal: &str, same: bool) -> bool {
        let Some(branch) = &self.parts.branch else {
            return false;
        };
        let text = singular_words(normal);
        let mine = self.steps.iter().filter(|s| s.part == self.parts.part);
        let uses = |steps: &[&Step], item: &String| {
            let mut all = steps.iter().filter_map(|s| s.uses.as_ref());
            all.any(|(items, _)| items.contains(item))
        };
        let mine: Vec<&Step> = mine.collect();
        let theirs: Vec<&Step> = self
            .steps
            .iter()
            .filter(|s| s.part == branch.part)
            .collect();
        let items: Vec<&String> = self
            .named(normal)
            .into_iter()
            .filter_map(|index| self.ingredients.get(index))
            .map(|i| &i.item)
            .collect();
        let foreign = items
            .iter()
            .any(|item| uses(&theirs, item) && !uses(&mine, item));
        let title = self.parts.title.iter().any(|word| {
            text.contains(&format!(" {word} ")) && !branch.first.contains(&format!(" {word} "))
        });
        let own = same || !items.is_empty();
        phrases::says(normal, RETURNS) || foreign || title || !own
    }

    /// Begins work beside what runs: "Meanwhile, ...".
    pub(super) fn branch(&mut self, said: &str, normal: &str) {
        let Some(last) = self.steps.last() else {
            return;
        };
        let (last, last_part) = (last.id.clone(), last.part);
        // "While the cake cools" comes after the baking, unless the cooling is a step.
        let waits = [
            "cool", "cools", "cooling", "rests", "resting", "stands", "chills", "rises",
        ];
        let main = self
            .parts
            .branch
            .as_ref()
            .map_or(self.parts.part, |b| b.part);
        if self.parts.next.is_some() && self.parts.branch.is_none() {
            // A section begins with it: where it goes is settled.
            return;
        }
        let Some(running) = self.running(main) else {
            return;
        };
        let wait = self
            .steps
            .get(running)
            .is_some_and(|s| s.work == Work::Wait);
        if phrases::says(&phrases::normal(said), &waits) && !wait {
            self.join();
            return;
        }
        let ids = self.before(running);
        let (end, others) = match self.parts.branch.take() {
            Some(mut branch) => {
                branch.others.push(last);
                (branch.end, branch.others)
            }
            None if last_part == main => (last, Vec::new()),
            None => return,
        };
        self.parts.branch = Some(Branch {
            part: main,
            end,
            others,
            first: singular_words(normal),
        });
        self.parts.new_part();
        self.parts.next = Some(After {
            ids,
            how: How::Likely,
            why: format!("\"{said}\""),
        });
    }

    /// Ends a branch: what follows comes after it and after what it ran beside.
    pub(super) fn join(&mut self) {
        let Some(branch) = self.parts.branch.take() else {
            return;
        };
        let mut ids = vec![branch.end];
        ids.extend(branch.others);
        if let Some(last) = self.steps.last().filter(|s| s.part == self.parts.part) {
            ids.push(last.id.clone());
        }
        self.parts.part = branch.part;
        self.parts.next = Some(After {
            ids,
            how: How::Likely,
            why: "after both that ran side by side".to_owned(),
        });
    }

    /// The step of a run beside which other work goes: the last of its latest three that the cook does not stand
    /// beside, with those of the kind right before it (the roasting before the rest); else its last.
    fn running(&self, part: usize) -> Option<usize> {
        let mine: Vec<usize> = (0..self.steps.len())
            .rev()
            .filter(|index| self.steps.get(*index).is_some_and(|s| s.part == part))
            .take(3)
            .collect();
        let is_alone = |index: &usize| {
            self.steps
                .get(*index)
                .is_some_and(|s| matches!(s.work, Work::Oven | Work::Simmer | Work::Wait))
        };
        let alone = mine
            .iter()
            .copied()
            .skip_while(|index| !is_alone(index))
            .take_while(is_alone)
            .last();
        alone.or(mine.first().copied())
    }

    /// What the step at a place comes after.
    fn before(&self, index: usize) -> Vec<String> {
        match self.steps.get(index).and_then(|s| s.after.as_ref()) {
            Some(after) => after.ids.clone(),
            None => index
                .checked_sub(1)
                .and_then(|i| self.steps.get(i))
                .map(|s| vec![s.id.clone()])
                .unwrap_or_default(),
        }
    }

    /// Begins a section: beside the ones before it if it makes something of its own, else after them.
    pub(super) fn open_section(&mut self, name: Option<&str>, whole: &[&Instruction]) {
        self.join();
        self.parts.next = None;
        let section =
            std::mem::replace(&mut self.parts.section, name.map(names).unwrap_or_default());
        let Some(last) = self.steps.last().map(|s| s.id.clone()) else {
            return;
        };
        if !section.is_empty() {
            self.parts.open.push(Open {
                end: last.clone(),
                names: section.clone(),
            });
        }
        let alone = name.filter(|_| !section.is_empty() && self.stands_alone(whole));
        if let Some(name) = alone {
            self.parts.new_part();
            let ware = self.borrowed(whole);
            let why = match &ware {
                Some((_, ware)) => format!("{name}: a part of its own, but for the {ware}"),
                None => format!("{name}: a part of its own, which may run beside the others"),
            };
            self.parts.next = Some(After {
                ids: ware.into_iter().map(|(id, _)| id).collect(),
                how: How::Guess,
                why,
            });
            return;
        }
        let mut ids: Vec<String> = Vec::new();
        for open in std::mem::take(&mut self.parts.open) {
            if !ids.contains(&open.end) {
                ids.push(open.end);
            }
        }
        if ids.len() > 1 {
            self.parts.next = Some(After {
                ids,
                how: How::Guess,
                why: "after all the parts before it".to_owned(),
            });
        }
    }

    /// Whether a section makes something of its own: it isn't named for putting together, its first sentence takes
    /// up nothing that was made before, and it uses what no step before it has.
    fn stands_alone(&self, whole: &[&Instruction]) -> bool {
        let own = &self.parts.section;
        if own.is_empty() || own.iter().any(|w| JOINING.contains(&w.as_str())) {
            return false;
        }
        let all: Vec<String> = whole.iter().flat_map(|i| pieces(&i.text)).collect();
        let text = phrases::normal(&all.join(" "));
        let first = all
            .iter()
            .find(|p| !phrases::lights_oven(&phrases::normal(p)));
        let Some(first) = first else { return false };
        let first = phrases::beside(first).map_or(first.as_str(), |(_, action)| action);
        let words = singular_words(first);
        let takes_up = |open: &Open| open.names.iter().any(|n| words.contains(&format!(" {n} ")));
        let begins = [
            "add",
            "pour over",
            "return",
            "stir in",
            "spoon",
            "top",
            "spread",
            "drizzle",
        ];
        let joins = begins.iter().any(|w| words.trim_start().starts_with(w));
        let fresh = self
            .named(&text)
            .into_iter()
            .any(|index| self.used.get(index) == Some(&false));
        !joins && fresh && !self.parts.open.iter().any(takes_up)
    }

    /// The vessel of an earlier part that a section goes on with ("the roasting tin"), and the last step that had it.
    fn borrowed(&self, whole: &[&Instruction]) -> Option<(String, String)> {
        let text = phrases::normal(&whole.first()?.text);
        phrases::wares(&text).into_iter().find_map(|ware| {
            if !text.contains(&format!("the {ware}")) {
                return None;
            }
            let had = |s: &&Step| s.needs.iter().any(|n| n.value == ware);
            let step = self.steps.iter().rev().find(had)?;
            Some((step.id.clone(), ware))
        })
    }
}

/// The words of a heading that name something: "For the gremolata" is "gremolata".
fn names(heading: &str) -> Vec<String> {
    const NO_NAME: &[&str] = &[
        "for", "the", "a", "an", "and", "with", "of", "in", "to", "make", "making", "making",
        "prepare", "your", "my", "easy", "best", "quick", "part", "on", "or", "s",
    ];
    singular_words(heading)
        .split_whitespace()
        .filter(|w| w.len() > 2 && !NO_NAME.contains(w))
        .map(str::to_owned)
        .collect()
}
