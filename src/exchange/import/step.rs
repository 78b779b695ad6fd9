//! Steps that can be planned, proposed from the instructions of a recipe.

use super::ingredient::Split;
use super::phrases::{self, About, Heat, Time, Work};
use super::recipe::{Instruction, Recipe};
use super::sentences::pieces;
use crate::measure::{Ratio, duration, noun};

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
    pub needs: Vec<Proposal>,
    /// The setting, and one later with the time after which it is turned to, in seconds.
    pub oven: Option<(Proposal, Option<(Ratio, String)>)>,
    pub until: Option<Proposal>,
    pub core: Option<Proposal>,
    pub keeps: Option<Proposal>,
    pub ahead: Option<Proposal>,
    pub uses: Option<(Vec<String>, How)>,
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
    };
    let mut section = None;
    for instruction in &recipe.steps {
        if instruction.tip {
            maker.unused.push(format!("tip: {}", instruction.text));
            continue;
        }
        let new = (instruction.section != section)
            .then(|| instruction.section.clone())
            .flatten();
        section.clone_from(&instruction.section);
        maker.instruction(instruction, new);
    }
    maker.finish(recipe);
    (maker.steps, maker.unused)
}

/// A dish that does not wait.
const AT_ONCE: &[&str] = &[
    "serve immediately",
    "serve at once",
    "serve straight away",
    "serve hot",
    "serve warm",
    "eat immediately",
    "serve right away",
];

struct Maker<'a> {
    ingredients: &'a [Split],
    used: Vec<bool>,
    /// What the oven was last said to be at.
    heat: Option<Heat>,
    steps: Vec<Step>,
    unused: Vec<String>,
}

impl Maker<'_> {
    fn instruction(&mut self, instruction: &Instruction, mut section: Option<String>) {
        let mut together: Vec<String> = Vec::new();
        for piece in pieces(&instruction.text) {
            let normal = phrases::normal(&piece);
            if self.aside(&piece, &normal) {
                continue;
            }
            let alone = matches!(
                phrases::work(&normal),
                Work::Oven | Work::Simmer | Work::Wait
            ) && (!phrases::times(&normal).is_empty()
                || phrases::work(&normal) == Work::Oven);
            if alone && !together.is_empty() {
                let text = std::mem::take(&mut together).join(" ");
                self.step(&text, section.take());
            }
            together.push(piece);
            if alone {
                let text = std::mem::take(&mut together).join(" ");
                self.step(&text, section.take());
            }
        }
        if !together.is_empty() {
            self.step(&together.join(" "), section.take());
        }
    }

    /// Sentences that make no step: the oven's preheating, serving and wishes. What they say is kept.
    fn aside(&mut self, piece: &str, normal: &str) -> bool {
        let oven = phrases::says(
            normal,
            &[
                "preheat",
                "heat the oven",
                "heat oven",
                "set the oven",
                "turn the oven",
                "heat your oven",
            ],
        );
        if oven && !phrases::says(normal, &["reduce", "lower", "increase"]) {
            if let Some(heat) = phrases::heats(normal).into_iter().next() {
                self.heat = Some(heat);
            }
            self.unused
                .push(format!("\"{piece}\" (the plan lights the oven in time)"));
            return true;
        }
        let bare = normal.trim_matches(|c: char| !c.is_alphanumeric());
        let serving =
            bare == "serve" || bare == "enjoy" || bare.starts_with("enjoy ") && bare.len() < 30;
        let at_once = [
            "serve immediately",
            "serve at once",
            "serve straight away",
            "serve hot",
            "serve warm",
            "eat immediately",
        ];
        if bare.len() < 40 && at_once.iter().any(|w| bare.starts_with(w)) {
            if let Some(last) = self.steps.last_mut() {
                last.keeps = Some(propose("5 min", How::Likely, piece));
            }
            self.unused
                .push(format!("\"{piece}\" (the course is served when it is due)"));
            return true;
        }
        if serving {
            self.unused
                .push(format!("\"{piece}\" (the course is served when it is due)"));
        }
        let times = phrases::times(normal);
        let keeping = times.iter().find(|t| t.about == About::Keeping);
        // "Chill for at least 3 hours, or up to 2 days" is a step.
        if let Some(time) = keeping
            && !times.iter().any(|t| t.about == About::Length)
            && phrases::work(normal) != Work::Oven
            && let Some(last) = self.steps.last_mut()
        {
            if phrases::says(
                normal,
                &[
                    "fridge",
                    "refrigerator",
                    "refrigerated",
                    "chilled",
                    "refrigerate",
                ],
            ) {
                last.ahead = Some(propose(duration::print(time.range.lo), How::Likely, piece));
            }
            self.unused.push(format!("\"{piece}\""));
            return true;
        }
        serving
    }

    fn step(&mut self, text: &str, section: Option<String>) {
        let normal = phrases::normal(text);
        let work = phrases::work(&normal);
        let times = phrases::times(&normal);
        let heats = phrases::heats(&normal);
        let short = text.split(' ').count() < 8;
        let (seconds, takes, timeless) = length(work, &times, short);
        let core = core(&normal, &heats);
        if work != Work::Oven
            && phrases::says(&normal, &["oven"])
            && let Some(heat) = heats.last()
        {
            self.heat = Some(heat.clone());
        }
        let oven = (work == Work::Oven).then(|| self.oven(&normal, &times, &heats, core.is_some()));
        let step = Step {
            id: self.id(text),
            section,
            instruction: text.to_owned(),
            work,
            takes,
            hands: hands(work, &normal, &times),
            needs: self.needs(work, &normal),
            oven,
            until: phrases::cue(text).map(|cue| propose(cue, How::Sure, "")),
            core,
            keeps: None,
            ahead: None,
            uses: self.uses(&normal),
            timeless,
            seconds,
        };
        self.steps.push(step);
    }

    /// The vessels that the step names, else those of the step before it when it cooks; and a burner on the hob.
    fn needs(&self, work: Work, normal: &str) -> Vec<Proposal> {
        const PLAIN: &[&str] = &["pan", "pot", "tin", "tray", "large pan", "large pot"];
        let named = phrases::wares(normal);
        let is_plain = |name: &String| PLAIN.contains(&name.as_str());
        let vessel = |n: &&Proposal| n.value != "burner" && n.value != "bowl";
        let before: Vec<&Proposal> = self
            .steps
            .iter()
            .rev()
            .take(2)
            .map(|s| s.needs.iter().filter(vessel).collect::<Vec<_>>())
            .find(|needs| !needs.is_empty())
            .unwrap_or_default();
        // "the pan" is the one that is named beside it, or was before it.
        let known = named.iter().any(|n| !is_plain(n) && n != "bowl") || !before.is_empty();
        let mut needs: Vec<Proposal> = named
            .iter()
            .filter(|n| !(known && is_plain(n)))
            .map(|ware| propose(ware.clone(), How::Likely, ""))
            .collect();
        let cooks = matches!(work, Work::Oven | Work::Simmer | Work::Hob);
        if needs.is_empty() && (cooks || !named.is_empty()) {
            for need in before {
                let why = format!("the {} of the step before", need.value);
                needs.push(propose(need.value.clone(), How::Guess, why));
            }
        }
        let elsewhere = ["microwave", "kettle", "grill", "broil", "barbecue"];
        if matches!(work, Work::Simmer | Work::Hob) && !phrases::says(normal, &elsewhere) {
            needs.push(propose("burner", How::Likely, ""));
        }
        needs
    }

    fn oven(
        &mut self,
        normal: &str,
        times: &[Time],
        heats: &[Heat],
        has_core: bool,
    ) -> (Proposal, Option<(Ratio, String)>) {
        let limit = Ratio::from_integer(100);
        let here: Vec<&Heat> = heats
            .iter()
            .filter(|h| h.celsius >= limit || !has_core)
            .collect();
        let later = match (here.as_slice(), times) {
            // "Roast at 220 C for 20 min, then at 180 C for 1 h."
            ([first, second, ..], [time, ..]) if time.at < second.at => {
                Some(((*first).clone(), time.range.lo, (*second).clone()))
            }
            // "Roast for 20 min, then lower to 180 C and roast for 1 h": it began as the oven was.
            ([second], [time, _, ..])
                if time.at < second.at
                    && phrases::says(
                        normal,
                        &[
                            "reduce",
                            "lower",
                            "turn down",
                            "turn the oven down",
                            "increase",
                        ],
                    ) =>
            {
                self.heat
                    .clone()
                    .map(|first| (first, time.range.lo, (*second).clone()))
            }
            _ => None,
        };
        if let Some((first, after, second)) = later {
            let why = if here.len() > 1 {
                "from the step"
            } else {
                "what the oven was heated to"
            };
            self.heat = Some(second.clone());
            return (
                propose(first.text, How::Likely, why),
                Some((after, second.text)),
            );
        }
        let (heat, why) = match here.first() {
            Some(heat) => (Some((*heat).clone()), "from the step"),
            None => (self.heat.clone(), "what the oven was heated to"),
        };
        match heat {
            Some(heat) => {
                self.heat = Some(heat.clone());
                let how = if heat.unsure { How::Guess } else { How::Likely };
                let why = if heat.unsure {
                    "the recipe names no scale"
                } else {
                    why
                };
                (propose(heat.text, how, why), None)
            }
            None => (
                propose("180 C", How::Guess, "the recipe gives no temperature"),
                None,
            ),
        }
    }

    /// The first words that say something, with dashes; unique in the dish.
    fn id(&self, text: &str) -> String {
        const SKIP: &[&str] = &[
            "the", "a", "an", "in", "into", "to", "of", "and", "with", "for", "on", "it", "then",
            "your", "all", "until", "at", "over", "large", "small", "medium", "minute", "minutes",
            "mins", "min", "hour", "hours", "one", "two", "three", "about", "another", "further",
        ];
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

    /// The ingredients that a step names: by their whole name, else by its last word.
    fn uses(&mut self, normal: &str) -> Option<(Vec<String>, How)> {
        let text = singular_words(normal);
        if phrases::says(
            normal,
            &[
                "all ingredients",
                "all the ingredients",
                "the ingredients",
                "remaining ingredients",
                "rest of the ingredients",
            ],
        ) {
            let left: Vec<String> = self
                .ingredients
                .iter()
                .zip(&self.used)
                .filter(|(_, used)| !**used)
                .map(|(i, _)| i.item.clone())
                .collect();
            self.used.fill(true);
            return (!left.is_empty()).then(|| (unique(left), How::Guess));
        }
        let has = |name: &str| text.contains(&format!(" {name} "));
        let whole: Vec<bool> = self
            .ingredients
            .iter()
            .map(|i| has(singular_words(&i.item).trim()))
            .collect();
        let heads: Vec<String> = self.ingredients.iter().map(|i| head(&i.item)).collect();
        let mut found = Vec::new();
        for (index, ingredient) in self.ingredients.iter().enumerate() {
            let rival = heads
                .iter()
                .zip(&whole)
                .any(|(h, w)| *w && *h == heads[index]);
            if whole[index] || (!rival && !heads[index].is_empty() && has(&heads[index])) {
                self.used[index] = true;
                found.push(ingredient.item.clone());
            }
        }
        (!found.is_empty()).then(|| (unique(found), How::Likely))
    }

    /// Shares the recipe's own times out to the steps that say none, and closes the dish.
    fn finish(&mut self, recipe: &Recipe) {
        share(&mut self.steps, recipe.cook, true);
        share(&mut self.steps, recipe.prep, false);
        if let Some(last) = self.steps.last_mut()
            && last.keeps.is_none()
            && AT_ONCE
                .iter()
                .any(|w| last.instruction.to_lowercase().contains(w))
        {
            last.keeps = Some(propose("5 min", How::Likely, "it is served at once"));
        }
        if let Some(last) = self.steps.last_mut()
            && last.keeps.is_none()
            && matches!(last.work, Work::Oven | Work::Simmer | Work::Hob)
        {
            last.keeps = Some(propose(
                "15 min",
                How::Guess,
                "a hot dish does not wait for ever; the recipe does not say",
            ));
        }
        for (index, used) in self.used.iter().enumerate() {
            if let Some(ingredient) = self.ingredients.get(index).filter(|_| !used) {
                self.unused
                    .push(format!("no step names {}", ingredient.item));
            }
        }
    }
}

fn unique(names: Vec<String>) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for name in names {
        if !out.contains(&name) {
            out.push(name);
        }
    }
    out
}

/// " word word ": lower case and singular, for whole-word search.
fn singular_words(text: &str) -> String {
    let words = text.to_lowercase();
    let words: Vec<String> = words
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .map(noun::singular)
        .collect();
    format!(" {} ", words.join(" "))
}

/// The word by which a step will call the ingredient: "flour" of "plain flour".
fn head(item: &str) -> String {
    const NO_HEAD: &[&str] = &[
        "leaf", "powder", "seed", "sauce", "paste", "piece", "mix", "fillet", "breast", "thigh",
        "clove", "stick", "root", "floret", "wedge",
    ];
    let words = singular_words(item.split(',').next().unwrap_or(item));
    let mut words = words.split_whitespace().rev();
    match (words.next(), words.next()) {
        (Some(last), Some(before)) if NO_HEAD.contains(&last) => before.to_owned(),
        (Some(last), _) => last.to_owned(),
        _ => String::new(),
    }
}

/// How long a step takes: what its words add up to, else a guess by the kind of work.
fn length(work: Work, times: &[Time], short: bool) -> (Ratio, Proposal, bool) {
    let told: Vec<&Time> = times.iter().filter(|t| t.about == About::Length).collect();
    if let Some(first) = told.first() {
        let (mut lo, mut hi) = (first.range.lo, first.range.hi);
        for time in told.iter().skip(1) {
            lo += time.range.lo;
            hi += time.range.hi;
        }
        let said: Vec<String> = told.iter().map(|t| format!("\"{}\"", t.words)).collect();
        let how = if told.iter().any(|t| t.vague) {
            How::Guess
        } else {
            How::Likely
        };
        let why = if told.len() > 1 {
            format!("{} together", said.join(", "))
        } else {
            said.join("")
        };
        let range = duration::DurationRange { lo, hi };
        return (lo, propose(range.to_string(), how, why), false);
    }
    let minutes = match work {
        Work::Oven => 30,
        Work::Simmer => 15,
        Work::Wait => 20,
        Work::Hand if short => 2,
        Work::Hob | Work::Hand => 5,
    };
    let seconds = Ratio::from_integer(minutes * 60);
    (
        seconds,
        propose(
            duration::print(seconds),
            How::Guess,
            "the recipe gives no time for this step",
        ),
        true,
    )
}

/// What is left of a time of the recipe, shared among the steps that say none: `alone`, those that cook by
/// themselves (and only if there is one), else those of the hands.
fn share(steps: &mut [Step], whole: Option<Ratio>, alone: bool) {
    let Some(whole) = whole else { return };
    let mine =
        |s: &Step| matches!(s.work, Work::Oven | Work::Simmer) == alone && s.work != Work::Wait;
    let known: Ratio = steps
        .iter()
        .filter(|s| mine(s) && !s.timeless)
        .map(|s| s.seconds)
        .sum();
    let open = steps.iter().filter(|s| mine(s) && s.timeless).count();
    if open == 0 || (alone && open > 1) || whole <= known {
        return;
    }
    let minute = Ratio::from_integer(60);
    let each = ((whole - known) / Ratio::from_integer(open as i128) / minute)
        .floor()
        .max(Ratio::from_integer(1))
        * minute;
    let name = if alone { "cookTime" } else { "prepTime" };
    for step in steps.iter_mut().filter(|s| mine(s) && s.timeless) {
        let how = if alone { How::Likely } else { How::Guess };
        step.takes = propose(
            duration::print(each),
            how,
            format!(
                "its share of the recipe's {name}, {}",
                duration::print(whole)
            ),
        );
    }
}

fn core(normal: &str, heats: &[Heat]) -> Option<Proposal> {
    if !phrases::says(
        normal,
        &[
            "internal temperature",
            "internal temp",
            "core temperature",
            "thermometer",
            "core",
            "inside",
            "internal",
            "in the middle",
            "in the centre",
            "in the center",
            "thickest part",
        ],
    ) {
        return None;
    }
    let hundred = Ratio::from_integer(100);
    let heat = heats
        .iter()
        .rev()
        .find(|h| h.celsius < hundred && !h.unsure && !h.text.contains("to"))?;
    Some(propose(
        heat.text.clone(),
        How::Likely,
        "the temperature inside that the step names",
    ))
}

fn hands(work: Work, normal: &str, times: &[Time]) -> Option<Proposal> {
    if let Some(every) = times.iter().find(|t| t.about == About::Every) {
        let value = format!("check every {}", duration::print(every.range.lo));
        return Some(propose(
            value,
            How::Likely,
            format!("\"every {}\"", every.words),
        ));
    }
    if phrases::says(
        normal,
        &[
            "stirring constantly",
            "stirring continuously",
            "whisking constantly",
            "stirring all the time",
        ],
    ) {
        return None;
    }
    let often = phrases::says(
        normal,
        &[
            "stirring occasionally",
            "stir occasionally",
            "turning occasionally",
            "basting",
            "stirring often",
            "stirring regularly",
            "from time to time",
            "turning once",
        ],
    );
    match work {
        Work::Simmer | Work::Oven | Work::Hob if often => Some(propose(
            "check every 5 min",
            How::Likely,
            "it is stirred, turned or basted now and then",
        )),
        Work::Oven => Some(propose("off", How::Likely, "the oven works alone")),
        Work::Wait => Some(propose("off", How::Likely, "it waits")),
        Work::Simmer => Some(propose(
            "check every 10 min",
            How::Guess,
            "it cooks by itself; a look now and then",
        )),
        Work::Hob | Work::Hand => None,
    }
}
