//! The vessels and the burner that a step takes.

use super::{How, Maker, Proposal, propose};
use crate::exchange::import::phrases::{self, Work};

const PLAIN: &[&str] = &["pan", "pot", "tin", "tray", "large pan", "large pot"];

impl Maker<'_> {
    /// The vessels that the step names, else those of the step before it when it cooks; and a burner on the hob.
    pub(super) fn needs(&self, work: Work, normal: &str) -> Vec<Proposal> {
        let named = phrases::wares(normal);
        let is_plain = |name: &String| PLAIN.contains(&name.as_str());
        let before: Vec<&Proposal> = self
            .steps
            .iter()
            .rev()
            .filter(|s| s.part == self.parts.part)
            .take(2)
            .map(|s| {
                s.needs
                    .iter()
                    .filter(|n| goes(&n.value, work))
                    .collect::<Vec<_>>()
            })
            .find(|needs| !needs.is_empty())
            .unwrap_or_default();
        // "the pan" is the one that is named beside it, or was before it.
        let known =
            named.iter().any(|n| !is_plain(n) && !n.ends_with("bowl")) || !before.is_empty();
        let meant = |n: &str| !known || !normal.contains(&format!("the {n}"));
        let mut needs: Vec<Proposal> = named
            .iter()
            .filter(|n| !is_plain(n) || meant(n))
            .map(|ware| match self.earlier(ware, normal) {
                Some(name) => {
                    let why = format!("the {name} of an earlier step");
                    propose(name, How::Guess, why)
                }
                None => propose(ware.clone(), How::Likely, ""),
            })
            .collect();
        let cooks = matches!(work, Work::Oven | Work::Simmer | Work::Hob);
        if needs.is_empty() && (cooks || !named.is_empty()) {
            for need in before {
                let why = format!("the {} of the step before", need.value);
                needs.push(propose(need.value.clone(), How::Guess, why));
            }
        }
        let elsewhere = [
            "microwave",
            "kettle",
            "grill",
            "broil",
            "barbecue",
            "air fryer",
            "air-fryer",
            "air fry",
            "air-fry",
        ];
        if matches!(work, Work::Simmer | Work::Hob) && !phrases::says(normal, &elsewhere) {
            needs.push(propose("burner", How::Likely, ""));
        }
        needs
    }
}

impl Maker<'_> {
    /// "The tin" that an earlier step called "roasting tin", in whatever part of the dish: the last that it can be.
    fn earlier(&self, ware: &str, normal: &str) -> Option<String> {
        if !PLAIN.contains(&ware) || !normal.contains(&format!("the {ware}")) {
            return None;
        }
        let full = format!(" {ware}");
        self.steps
            .iter()
            .rev()
            .flat_map(|step| &step.needs)
            .find(|need| need.value.ends_with(&full))
            .map(|need| need.value.clone())
    }
}

/// Whether a vessel of the step before can be the one of such a step: no bowl goes onto the hob or into the oven.
fn goes(ware: &str, work: Work) -> bool {
    const NOT_HOT: &[&str] = &[
        "bowl",
        "blender",
        "processor",
        "mixer",
        "colander",
        "sieve",
        "air fryer",
    ];
    const HOB_ONLY: &[&str] = &["saucepan", "wok", "burner"];
    const OVEN_ONLY: &[&str] = &[
        "baking tray",
        "baking sheet",
        "sheet pan",
        "tin",
        "ramekins",
    ];
    let is = |names: &[&str]| names.iter().any(|n| ware.ends_with(n));
    ware != "burner"
        && !is(NOT_HOT)
        && match work {
            Work::Oven => !is(HOB_ONLY),
            Work::Simmer | Work::Hob => !is(OVEN_ONLY) || ware.ends_with("roasting tin"),
            Work::Wait | Work::Hand => true,
        }
}
