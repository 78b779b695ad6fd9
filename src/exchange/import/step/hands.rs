//! What a step asks of the hands, and the temperature inside at which it ends.

use super::{How, Proposal, propose};
use crate::exchange::import::phrases::{self, About, Heat, Time, Work};
use crate::measure::{Ratio, duration};

/// The temperature inside, if the step names one.
pub(super) fn core(normal: &str, heats: &[Heat]) -> Option<Proposal> {
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
            "registers",
            "register",
            "reads",
            "reaches",
            "probe",
        ],
    ) {
        return None;
    }
    let hundred = Ratio::from_integer(100);
    let named: Vec<&Heat> = heats
        .iter()
        .filter(|h| h.celsius < hundred && (h.inside || !h.unsure) && !h.text.contains("to"))
        .collect();
    let last = *named.last()?;
    // "50 C for rare, 60 C for medium": which one is the cook's to say; the hottest is the most careful.
    let several = named.iter().filter(|h| h.inside).count() > 1;
    let heat = if several {
        named.iter().copied().max_by_key(|h| h.celsius)?
    } else {
        last
    };
    let (how, why) = if several {
        let all: Vec<&str> = named.iter().map(|h| h.text.as_str()).collect();
        let why = format!(
            "the hottest of those that the step names: {}",
            all.join(", ")
        );
        (How::Guess, why)
    } else if heat.unsure {
        (How::Guess, "the recipe names no scale".to_owned())
    } else {
        let why = "the temperature inside that the step names";
        (How::Likely, why.to_owned())
    };
    Some(propose(heat.text.clone(), how, why))
}

/// What the step asks of the cook's hands; `seconds`: the length proposed.
pub(super) fn hands(work: Work, normal: &str, times: &[Time], seconds: Ratio) -> Option<Proposal> {
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
        Work::Simmer if seconds <= Ratio::from_integer(10 * 60) => Some(propose(
            "off",
            How::Guess,
            "it cooks by itself, and not for long",
        )),
        Work::Simmer => Some(propose(
            "check every 10 min",
            How::Guess,
            "it cooks by itself; a look now and then",
        )),
        Work::Hob | Work::Hand => None,
    }
}
