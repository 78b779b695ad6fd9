//! Sentences that make no step: the oven's lighting, serving, wishes, how long a dish keeps.

use super::{How, Maker, Proposal, hands, propose};
use crate::exchange::import::phrases::{self, About, Time, Work};
use crate::measure::duration;

/// A dish that does not wait.
pub(super) const AT_ONCE: &[&str] = &[
    "serve immediately",
    "serve at once",
    "serve straight away",
    "serve hot",
    "serve warm",
    "eat immediately",
    "serve right away",
];

const COLD: &[&str] = &[
    "fridge",
    "refrigerator",
    "refrigerated",
    "chilled",
    "refrigerate",
];

fn is_at_once(normal: &str) -> bool {
    let bare = normal.trim_matches(|c: char| !c.is_alphanumeric());
    bare.len() < 40 && AT_ONCE.iter().any(|w| bare.starts_with(w))
}

/// How long the dish keeps, where the sentence says that and is no work.
fn kept_for(normal: &str) -> Option<Time> {
    let times = phrases::times(normal);
    // "Chill for at least 3 hours, or up to 2 days" is a step.
    let works =
        times.iter().any(|t| t.about == About::Length) || phrases::work(normal) == Work::Oven;
    times
        .into_iter()
        .find(|t| t.about == About::Keeping && !works)
}

/// Whether the sentence is said of what was made before it.
pub(super) fn looks_back(normal: &str) -> bool {
    is_at_once(normal) || kept_for(normal).is_some()
}

/// How long a result keeps cold, if the words of a step that waits say so: "chill for 2 hours or up to 2 days".
pub(super) fn chilled_for(normal: &str, times: &[Time]) -> Option<Proposal> {
    let time = times.iter().find(|t| t.about == About::Keeping)?;
    let why = format!("\"{}\"", time.words);
    (phrases::says(normal, COLD) || phrases::says(normal, &["chill"]))
        .then(|| propose(duration::print(time.range.lo), How::Likely, why))
}

impl Maker<'_> {
    /// Whether the sentence is none of the work. What it says is kept. `settled`: no sentence before it is still
    /// without its step.
    pub(super) fn aside(&mut self, piece: &str, normal: &str, settled: bool) -> bool {
        self.sets_the_oven(piece, normal)
            || self.is_preface(piece, normal)
            || settled && self.reads_the_core(piece, normal)
            || self.is_served(piece, normal)
            || self.keeps(piece, normal)
    }

    fn sets_the_oven(&mut self, piece: &str, normal: &str) -> bool {
        let turns = phrases::says(
            normal,
            &[
                "reduce",
                "lower",
                "increase",
                "raise",
                "turn up",
                "turn down",
                "turn the oven",
            ],
        );
        let lights = phrases::lights_oven(normal) && !turns;
        let heat = phrases::heats(normal).into_iter().next();
        // "Increase the oven to 230 C." and no more: the plan turns the knob, the next step has the heat.
        let turned = turns
            && heat.is_some()
            && phrases::says(normal, &["oven"])
            && phrases::times(normal).is_empty()
            && normal.split_whitespace().count() <= 14
            && phrases::work(normal) != Work::Oven
            && !normal.contains(" and ");
        if phrases::lights_the_grill(normal) && phrases::times(normal).is_empty() {
            self.unused.push(format!(
                "\"{piece}\" (the plan heats the grill with the oven)"
            ));
            return true;
        }
        if !lights && !turned {
            return false;
        }
        if heat.is_some() {
            self.heat = heat;
        }
        let why = if lights {
            "the plan lights the oven in time"
        } else {
            "the plan turns the oven in time"
        };
        self.unused.push(format!("\"{piece}\" ({why})"));
        true
    }

    /// "Gather all ingredients", "work out the cooking time": what the list and the plan say already.
    fn is_preface(&mut self, piece: &str, normal: &str) -> bool {
        let gathers = ["gather", "assemble", "get out", "measure out"];
        let gathers = gathers.iter().any(|verb| normal.starts_with(verb))
            && phrases::says(normal, &["ingredients"])
            && normal.split_whitespace().count() <= 8;
        let reckons = phrases::says(normal, &["calculate", "work out"])
            && phrases::says(normal, &["time", "times"]);
        if gathers {
            self.unused
                .push(format!("\"{piece}\" (the list of ingredients says it)"));
        } else if reckons {
            self.unused.push(format!(
                "\"{piece}\" (the time is yours to work out: takes = ... of what it is said of)"
            ));
        }
        gathers || reckons
    }

    /// "A thermometer in the centre should read 50 C": said of the step before.
    fn reads_the_core(&mut self, piece: &str, normal: &str) -> bool {
        const SUBJECTS: &[&str] = &[
            "a thermometer",
            "the thermometer",
            "an instant",
            "a meat thermometer",
            "a probe",
            "the internal",
            "internal",
            "the core",
            "the temperature",
            "test: ",
            "the juices should",
            "the centre should",
            "the center should",
        ];
        if !SUBJECTS.iter().any(|s| normal.starts_with(s)) {
            return false;
        }
        let core = hands::core(normal, &phrases::heats(normal));
        let last = self.steps.last_mut().filter(|s| {
            s.core.is_none() && matches!(s.work, Work::Oven | Work::Simmer | Work::Hob)
        });
        match (core, last) {
            (Some(core), Some(last)) => {
                last.core = Some(propose(core.value, How::Likely, format!("\"{piece}\"")));
                true
            }
            _ => false,
        }
    }

    fn is_served(&mut self, piece: &str, normal: &str) -> bool {
        let bare = normal.trim_matches(|c: char| !c.is_alphanumeric());
        let plainly = [
            "serve",
            "serve cold",
            "serve chilled",
            "serve warm or cold",
            "serve at room temperature",
        ];
        let serving = plainly.contains(&bare)
            || bare == "enjoy"
            || bare.starts_with("enjoy ") && bare.len() < 30;
        let at_once = is_at_once(normal);
        if at_once && let Some(last) = self.steps.last_mut() {
            last.keeps = Some(propose("5 min", How::Likely, piece));
        }
        if serving || at_once {
            self.unused
                .push(format!("\"{piece}\" (the course is served when it is due)"));
        }
        serving || at_once
    }

    fn keeps(&mut self, piece: &str, normal: &str) -> bool {
        let Some(time) = kept_for(normal) else {
            return false;
        };
        let Some(last) = self.steps.last_mut() else {
            return false;
        };
        if phrases::says(normal, COLD) || phrases::says(normal, &["ahead", "in advance"]) {
            last.ahead = Some(propose(duration::print(time.range.lo), How::Likely, piece));
        }
        self.unused.push(format!("\"{piece}\""));
        true
    }
}
