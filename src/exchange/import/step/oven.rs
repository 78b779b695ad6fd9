//! What the oven is set to in a step.

use super::{How, Maker, Proposal, propose};
use crate::exchange::import::phrases::{self, Heat, Time};
use crate::measure::Ratio;

/// What an oven's grill counts as, for the plan: the hottest that it gets. Common practice, no source.
const GRILL: &str = "220 to 260 C";
const IN_THE_OVEN: &str = "the grill is taken for the oven's own, and the oven for as hot as it gets; take this line out if your grill is apart";

impl Maker<'_> {
    /// The setting, and one later with the time after which it is turned to, in seconds.
    pub(super) fn oven(
        &mut self,
        normal: &str,
        times: &[Time],
        heats: &[Heat],
        has_core: bool,
    ) -> (Proposal, Option<(Ratio, String)>) {
        if phrases::under_the_grill(normal) {
            // The next dish is not baked at what the grill was at.
            return (propose(GRILL, How::Guess, IN_THE_OVEN), None);
        }
        let limit = Ratio::from_integer(100);
        let here: Vec<&Heat> = heats
            .iter()
            .filter(|h| !h.inside && (h.celsius >= limit || !has_core))
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
}
