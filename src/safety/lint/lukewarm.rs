//! Food that waits lukewarm: two hours at most, one where it is hot; kept hot, hot enough.

use super::{
    finding::{Finding, Severity},
    spoken::{shown, temperatures_in},
    view::{Left, StepView, View},
    vocabulary::RAW_FLESH,
};
use crate::{
    measure::{Ratio, duration},
    safety::{Source, Tables, tables::ClockRow},
};

pub(super) fn check(view: &View<'_>, findings: &mut Vec<Finding>) {
    for step in &view.steps {
        findings.extend(waits(step));
        findings.extend(held_hot(step));
        findings.extend(bath_too_cool(step));
        findings.extend(thaws(step));
    }
}

fn seconds(row: &ClockRow) -> Ratio {
    Ratio::from_integer(i128::from(row.within))
}

/// A result that is kept, or a step that stands, between cold and hot for too long.
fn waits(step: &StepView<'_>) -> Option<Finding> {
    let clock = Tables::get().clock("danger zone")?;
    if !step.is_perishable() {
        return None;
    }
    let keeps = step.step.keeps.unwrap_or_default();
    let left = step.left();
    let raw_flesh = RAW_FLESH.iter().any(|class| step.upstream.contains(*class));
    let (severity, long, what) = match left {
        Left::Cold | Left::HeldHot => return None,
        // It stands as long as it takes, and waits after that.
        Left::Lukewarm if !step.hot => {
            (Severity::Unsafe, step.longest() + keeps, "stands lukewarm")
        }
        Left::Lukewarm => (Severity::Unsafe, keeps, "waits lukewarm"),
        Left::OffHeat => (Severity::Unsafe, keeps, "waits off the heat"),
        // Cut, mixed or seasoned food: probably in the refrigerator, but it doesn't say so.
        Left::Unsaid if step.cooked => (
            cooked_severity(step),
            standing(step) + keeps,
            "waits after cooking",
        ),
        Left::Unsaid
            if raw_flesh || step.upstream.contains("egg") || step.upstream.contains("dairy") =>
        {
            (Severity::Caution, standing(step) + keeps, "waits")
        }
        Left::Unsaid => return None,
    };
    if long <= seconds(clock) {
        return rice_waits(step, long, left);
    }
    let severity = if step.is_dry_bake() {
        Severity::Caution
    } else {
        severity
    };
    let words = format!(
        "It {what} up to {}: food that spoils is {} {} at most (1 h above 90 F or 32.2 C); say 'keep hot' (over 63 C) or 'chill'",
        duration::print(long),
        clock.what,
        duration::print(seconds(clock)),
    );
    let hot_day = Tables::get()
        .clock("danger zone, hot day")
        .map(|row| row.source.clone());
    let mut sources = vec![clock.source.clone()];
    sources.extend(hot_day.filter(|source| !sources.contains(source)));
    Some(Finding::new(severity, "lukewarm", words, sources).of_step(step.dish, step.step))
}

/// A cold salad of pulses or pasta may be meant for the refrigerator; flesh, rice, milk and egg are not left to guess.
fn cooked_severity(step: &StepView<'_>) -> Severity {
    let grave = [
        "rice",
        "dairy",
        "egg",
        "cooked poultry",
        "cooked ham",
        "cooked meat",
        "cooked shellfish",
    ];
    let flesh = RAW_FLESH
        .iter()
        .chain(&grave)
        .any(|class| step.upstream.contains(*class));
    if flesh || step.upstream.is_empty() {
        Severity::Unsafe
    } else {
        Severity::Caution
    }
}

/// Seconds that a step lets its food stand without heat or cold.
fn standing(step: &StepView<'_>) -> Ratio {
    let stands = step.says(&[
        "leave",
        "stand",
        "rest",
        "sit",
        "overnight",
        "wait",
        "set aside",
        "marinate",
        "marinade",
        "brine",
        "infuse",
    ]);
    if stands && !step.hot {
        step.longest()
    } else {
        Ratio::default()
    }
}

/// Cooked rice that waits more than an hour.
fn rice_waits(step: &StepView<'_>, long: Ratio, left: Left) -> Option<Finding> {
    let clock = Tables::get().clock("rice, cooling")?;
    let cooked_rice = step.cooked && step.own.contains("rice");
    if !cooked_rice
        || long <= seconds(clock)
        || !matches!(left, Left::OffHeat | Left::Lukewarm | Left::Unsaid)
    {
        return None;
    }
    let words = format!(
        "Cooked rice waits up to {}: eat it hot, or have it cold within {}",
        duration::print(long),
        duration::print(seconds(clock))
    );
    Some(
        Finding::new(Severity::Caution, "rice", words, vec![clock.source.clone()])
            .of_step(step.dish, step.step),
    )
}

/// A hot hold that says how hot, and isn't hot enough.
fn held_hot(step: &StepView<'_>) -> Option<Finding> {
    if step.left() != Left::HeldHot || !step.is_perishable() {
        return None;
    }
    let spoken = temperatures_in(&step.step.instruction).into_iter().max();
    let held = spoken.or_else(|| step.hottest_oven())?;
    let row = Tables::get().strictest_hot_hold()?;
    if row.limit.reached_by(held) {
        return None;
    }
    let long = if step.longest() > step.step.keeps.unwrap_or_default() {
        step.longest()
    } else {
        step.step.keeps.unwrap_or_default()
    };
    let clock = Tables::get().clock("danger zone")?;
    let severity = if long > seconds(clock) {
        Severity::Unsafe
    } else {
        Severity::Caution
    };
    let others: Vec<String> = Tables::get()
        .temperatures
        .hot_hold
        .iter()
        .filter(|other| other.limit != row.limit)
        .map(|other| format!("{} {}", other.source.source, other.limit))
        .collect();
    let words = format!(
        "Kept at {}, under {} ({}; {}): the stricter is used",
        shown(held),
        row.limit,
        row.source.source,
        others.join(", ")
    );
    let sources = Tables::get()
        .temperatures
        .hot_hold
        .iter()
        .map(|r| &r.source);
    let mut sources: Vec<Source> = super::core::distinct(sources);
    sources.sort_by_key(|source| *source != row.source);
    Some(Finding::new(severity, "hot hold", words, sources).of_step(step.dish, step.step))
}

/// A bath that is too cool to kill anything, for longer than food may be out of control.
fn bath_too_cool(step: &StepView<'_>) -> Option<Finding> {
    if !step.says(&[
        "sous vide",
        "immersion circulator",
        "water bath",
        "slow cook*",
    ]) || !step.is_perishable()
    {
        return None;
    }
    let bath = temperatures_in(&step.step.instruction)
        .into_iter()
        .max()
        .or(step.step.core)?;
    let lowest = Tables::get()
        .temperatures
        .roast_hold
        .iter()
        .min_by_key(|row| row.limit.celsius())?;
    let clock = Tables::get().clock("time only")?;
    if lowest.limit.reached_by(bath) || step.longest() <= seconds(clock) {
        return None;
    }
    let words = format!(
        "A bath at {} is under {}, the lowest that cooks: {} there is longer than the {} that food may be out of temperature control",
        shown(bath),
        lowest.limit,
        duration::print(step.longest()),
        duration::print(seconds(clock))
    );
    let sources = vec![clock.source.clone(), lowest.source.clone()];
    Some(Finding::new(Severity::Unsafe, "bath", words, sources).of_step(step.dish, step.step))
}

/// Thawing: in the refrigerator, in cold water, or in the microwave oven.
fn thaws(step: &StepView<'_>) -> Option<Finding> {
    if !step.says(&["thaw*", "defrost*"])
        || !RAW_FLESH.iter().any(|class| step.upstream.contains(*class))
    {
        return None;
    }
    let warm = step.says(&[
        "hot water",
        "warm water",
        "boiling water",
        "on the radiator",
        "in the sun",
        "low oven",
    ]);
    let out =
        step.left() == Left::Lukewarm || step.says(&["in the sink"]) && !step.says(&["cold water"]);
    let right = step.says(&[
        "fridge",
        "refrigerat*",
        "cold water",
        "microwave",
        "ice water",
    ]);
    let fridge = Tables::get()
        .times
        .thaw
        .iter()
        .find(|row| row.id == "refrigerator")?;
    let water = Tables::get()
        .times
        .thaw
        .iter()
        .find(|row| row.id == "cold water")?;
    if right && !warm && !out {
        return None;
    }
    let severity = if warm || out {
        Severity::Unsafe
    } else {
        Severity::Caution
    };
    let words = format!(
        "Thaw in the refrigerator ({}) or in cold water ({}), not in the warm: its outside spoils before its middle is soft",
        fridge.what, water.what
    );
    let sources = super::core::distinct([&fridge.source, &water.source].into_iter());
    Some(Finding::new(severity, "thawing", words, sources).of_step(step.dish, step.step))
}
