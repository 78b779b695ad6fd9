//! The usual caution for a step: short sentences for someone with wet hands.

use serde::Serialize;

use super::{
    Tables,
    tables::CautionRow,
    words::{Phrase, tokens},
};
use crate::menu::{Session, Step};

/// A short caution.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Caution {
    /// Stable name: "deep frying".
    pub id: String,
    /// One short sentence.
    pub words: String,
}

impl CautionRow {
    fn caution(&self) -> Caution {
        Caution {
            id: self.id.clone(),
            words: self.short.clone(),
        }
    }
}

/// The cautions of a step, by positions in the session; none for a step that isn't there.
#[must_use]
pub fn cautions_for_step(session: &Session, dish: usize, step: usize) -> Vec<Caution> {
    let step = session
        .dishes
        .get(dish)
        .and_then(|dish| dish.steps.get(step));
    step.map(cautions_of).unwrap_or_default()
}

/// What a step says: its instruction, cue, ingredients and cookware.
pub(super) fn words_of(step: &Step) -> Vec<String> {
    let mut all = tokens(&step.instruction);
    for part in step.until.iter().chain(&step.uses).chain(&step.batch) {
        all.extend(tokens(part));
    }
    for need in &step.needs {
        all.extend(tokens(&need.name));
    }
    all
}

pub(super) fn cautions_of(step: &Step) -> Vec<Caution> {
    let said = words_of(step);
    let is_in = |phrases: &[Phrase]| phrases.iter().any(|phrase| phrase.is_in(&said));
    let hot_blender = step.hot
        && step
            .batch
            .as_deref()
            .is_some_and(|vessel| tokens(vessel).iter().any(|w| w == "blender"));
    let rows = Tables::get().cautions.iter();
    rows.filter(|row| {
        (is_in(&row.words) && !is_in(&row.unless)) || (hot_blender && row.id == "hot blender")
    })
    .map(CautionRow::caution)
    .collect()
}

/// The caution that a step goes against in so many words.
pub(super) fn against(step: &Step) -> Option<Caution> {
    let said = words_of(step);
    let is_in = |phrases: &[Phrase]| phrases.iter().any(|phrase| phrase.is_in(&said));
    let row = Tables::get()
        .cautions
        .iter()
        .find(|row| is_in(&row.words) && is_in(&row.never))?;
    Some(row.caution())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        measure::{Ratio, duration::DurationRange},
        menu::Hands,
    };

    fn step(instruction: &str) -> Step {
        let minute = Ratio::from_integer(60);
        Step {
            id: "s".into(),
            instruction: instruction.into(),
            takes: DurationRange {
                lo: minute,
                hi: minute,
            },
            hands: Hands::On,
            after: Vec::new(),
            needs: Vec::new(),
            oven: None,
            until: None,
            core: None,
            keeps: None,
            ahead: None,
            uses: Vec::new(),
            scales: false,
            batch: None,
            hot: false,
            lead: minute,
        }
    }

    fn ids(instruction: &str) -> Vec<String> {
        cautions_of(&step(instruction))
            .into_iter()
            .map(|caution| caution.id)
            .collect()
    }

    #[test]
    fn scalding_and_sharp_steps_have_a_caution() {
        assert_eq!(ids("Deep-fry the sage leaves"), ["deep frying"]);
        assert_eq!(ids("Heat the oil to 180 C"), ["deep frying"]);
        assert_eq!(ids("Make a dry caramel"), ["caramel"]);
        assert_eq!(ids("Slice the fennel on the mandoline"), ["mandoline"]);
        assert_eq!(ids("Flambé with the rum"), ["flambe"]);
        assert_eq!(ids("Pressure-cook the chickpeas"), ["pressure"]);
    }

    #[test]
    fn ordinary_steps_have_none() {
        for ordinary in [
            "Peel the potatoes",
            "Serve with caramelised onions",
            "Stir until smooth",
            "Rest, covered",
        ] {
            assert!(ids(ordinary).is_empty(), "{ordinary}");
        }
    }

    #[test]
    fn a_hot_batch_in_the_blender_is_told_how_full() {
        let step = Step {
            batch: Some("blender".into()),
            hot: true,
            ..step("Blend until smooth")
        };
        let ids: Vec<_> = cautions_of(&step)
            .into_iter()
            .map(|caution| caution.id)
            .collect();
        assert_eq!(ids, ["blender", "hot blender"]);
    }

    #[test]
    fn no_caution_is_too_long_for_a_screen() {
        for row in &Tables::get().cautions {
            assert!(row.short.len() <= 120, "{}", row.short);
        }
    }
}
