//! Core temperatures: under the table for their food, or not asked for at all.

use super::{
    finding::{Finding, Severity},
    spoken::shown,
    view::{StepView, View},
    vocabulary::{RAW_FLESH, SOUS_VIDE},
};
use crate::{
    measure::Ratio,
    safety::{Read, Source, Tables, tables::TemperatureRow},
};

const STUFFED: &[&str] = &["stuff", "stuffed", "stuffing"];
const REHEAT: &[&str] = &[
    "reheat*",
    "warm through",
    "warmed through",
    "heat through",
    "heated through",
    "warm up",
    "leftover",
    "bring back to",
];
const UNDERDONE: &[&str] = &[
    "rare",
    "medium rare",
    "pink inside",
    "pink in the middle",
    "still pink",
    "pink at the bone",
    "blushing",
    "slightly pink",
    "just pink",
    "a little pink",
    "pink in the centre",
    "pink in the center",
    "rosy",
    "bloody",
    "undercooked",
    "raw in the middle",
    "pink and juicy",
    "underdone",
    "pink juice",
];
const NOT_UNDERDONE: &[&str] = &[
    "rare breed",
    "no longer pink",
    "not pink",
    "no pink",
    "never pink",
    "peppercorn",
    "rare herb",
    "not rare",
];
const DONE_FLESH: &[&str] = &[
    "run clear",
    "runs clear",
    "juice clear",
    "clear juice",
    "juice are clear",
    "falling apart",
    "fall apart",
    "falls apart",
    "fall* off the bone",
    "come off the bone",
    "tender",
    "cooked through",
    "no longer pink",
    "no pink",
    "not pink",
    "piping hot",
    "shred*",
    "pull* apart",
    "leg pulls",
    "done through",
    "well done",
    "firm",
    "white all the way",
    "white through",
];
const DONE_FISH: &[&str] = &[
    "flake*",
    "opaque",
    "open",
    "opened",
    "curl*",
    "part* into",
    "firm",
    "cooked through",
    "fall* apart",
    "tender",
];
const LONG_MOIST: &[&str] = &[
    "braise",
    "stew",
    "simmer",
    "boil",
    "casserole",
    "confit",
    "pressure cook*",
    "poach",
    "slow cook*",
];
/// A simmer this long cooks through whatever fits a casserole; common practice.
const LONG_MOIST_SECONDS: i128 = 45 * 60;

pub(super) fn check(view: &View<'_>, findings: &mut Vec<Finding>) {
    for step in &view.steps {
        findings.extend(under_the_table(step));
        findings.extend(underdone(step));
    }
    for dish in &view.session.dishes {
        findings.extend(no_core(view, dish.id.as_str()));
    }
}

/// The rows that count for a step, strictest first, and what they are for.
fn limits(step: &StepView<'_>) -> Vec<&'static TemperatureRow> {
    let tables = Tables::get();
    if step.says(REHEAT)
        && (step.cooked || step.step.uses.is_empty())
        && !step.has_any(&["raw vegetable"])
    {
        return read(tables.core_of("leftovers"));
    }
    let classes = if step.own.iter().any(|class| row_name(class).is_some()) {
        &step.own
    } else {
        &step.upstream
    };
    let mut names: Vec<&str> = classes.iter().filter_map(|class| row_name(class)).collect();
    let flesh = names.iter().any(|name| *name != "egg");
    // The egg that glazes a pie doesn't make it an egg dish.
    names.retain(|name| !(flesh && *name == "egg"));
    let mut rows: Vec<_> = names
        .into_iter()
        .flat_map(|name| tables.core_of(name))
        .collect();
    if flesh && step.says(&["microwave"]) {
        rows.extend(tables.core_of("microwave"));
    }
    rows.sort_by_key(|row| std::cmp::Reverse(row.limit.celsius()));
    read(rows)
}

fn read(rows: Vec<&'static TemperatureRow>) -> Vec<&'static TemperatureRow> {
    rows.into_iter()
        .filter(|row| row.source.read != Read::Memory)
        .collect()
}

/// The table's name for a class of food.
fn row_name(class: &str) -> Option<&'static str> {
    Some(match class {
        "poultry" => "poultry",
        "game" => "game",
        "ground meat" => "ground meat",
        "meat" | "offal" => "meat",
        "ham" => "ham",
        "fish" | "crustacean" | "mollusc" => "fish",
        "egg" => "egg",
        "cooked poultry" | "cooked meat" => "leftovers",
        "cooked ham" => "cooked ham",
        _ => return None,
    })
}

fn under_the_table(step: &StepView<'_>) -> Option<Finding> {
    let core = step.core()?;
    let rows = limits(step);
    let strictest = rows.first()?;
    if strictest.limit.reached_by(core) {
        return step.says(STUFFED).then(|| stuffed(step, core)).flatten();
    }
    let mut words = format!(
        "The core of {} is under {} for {}",
        shown(core),
        strictest.limit,
        strictest.what
    );
    if strictest.rest > 0 {
        words += &format!(
            ", then {} minutes' rest before the first cut",
            strictest.rest / 60
        );
    }
    if let Some(other) = rows
        .iter()
        .find(|row| row.limit.celsius() != strictest.limit.celsius())
    {
        words += &format!(
            "; {} says {}{}, the stricter is used",
            other.source.source,
            other.limit,
            hold(other.hold)
        );
    }
    let mut severity = Severity::Unsafe;
    if let Some(held) = held_long_enough(step, core) {
        severity = Severity::Caution;
        words += &format!(
            "; held at {}{} it counts as cooked, in the middle and without a break",
            held.limit,
            hold(held.hold)
        );
    }
    let sources = distinct(rows.iter().map(|row| &row.source));
    Some(Finding::new(severity, "core", words, sources).of_step(step.dish, step.step))
}

fn hold(seconds: u32) -> String {
    match seconds {
        0 => String::new(),
        1..120 => format!(" for {seconds} s"),
        _ => format!(" for {} min", seconds.div_ceil(60)),
    }
}

/// Whole meat in a bath at a temperature that the roast table allows, for its holding time and an hour to warm up.
fn held_long_enough(step: &StepView<'_>, core: Ratio) -> Option<&'static TemperatureRow> {
    let meat_only = step.upstream.contains("meat")
        && !RAW_FLESH
            .iter()
            .any(|c| *c != "meat" && step.upstream.contains(*c));
    if !meat_only || !step.says(SOUS_VIDE) {
        return None;
    }
    let rows = Tables::get()
        .temperatures
        .roast_hold
        .iter()
        .filter(|row| row.limit.reached_by(core));
    let row = rows.max_by_key(|row| row.limit.celsius())?;
    let needed = Ratio::from_integer(i128::from(row.hold) + 3600);
    (step.step.takes.lo >= needed).then_some(row)
}

/// Stuffed flesh that reaches its own limit, not the stuffing's.
fn stuffed(step: &StepView<'_>, core: Ratio) -> Option<Finding> {
    let row = read(Tables::get().core_of("poultry"))
        .into_iter()
        .find(|row| row.what.contains("stuffed"))?;
    let flesh = RAW_FLESH
        .iter()
        .any(|class| step.own.contains(*class) || step.upstream.contains(*class));
    (flesh && !row.limit.reached_by(core)).then(|| {
        let words = format!(
            "A stuffing that holds meat, fish, poultry or egg is cooked to {}, measured in its middle: {} is under it",
            row.limit,
            shown(core)
        );
        Finding::new(Severity::Caution, "core", words, vec![row.source.clone()]).of_step(step.dish, step.step)
    })
}

/// Cues that ask for less than done.
fn underdone(step: &StepView<'_>) -> Option<Finding> {
    if step.core().is_some() || !step.says(UNDERDONE) || step.says(NOT_UNDERDONE) {
        return None;
    }
    let through = ["poultry", "game", "ground meat", "offal"];
    let class = |classes: &[&str]| {
        if classes.iter().any(|c| step.own.contains(*c)) {
            true
        } else {
            step.own.is_empty() && classes.iter().any(|c| step.upstream.contains(*c))
        }
    };
    let (severity, name) = if class(&through) {
        let name = through
            .iter()
            .find(|c| step.own.contains(**c) || step.upstream.contains(**c))?;
        (Severity::Unsafe, row_name(name)?)
    } else if class(&["meat", "ham"]) {
        (Severity::Caution, "meat")
    } else {
        return None;
    };
    let row = read(Tables::get().core_of(name)).into_iter().next()?;
    let rest = if row.rest > 0 {
        format!(", then {} minutes' rest", row.rest / 60)
    } else {
        String::new()
    };
    let words = format!(
        "The cue stops short of {} for {}{rest}: measure the core",
        row.limit, row.what
    );
    Some(
        Finding::new(severity, "doneness", words, vec![row.source.clone()])
            .of_step(step.dish, step.step),
    )
}

/// Flesh that is cooked by no core temperature and no cue that shows it done: one advice a dish.
fn no_core(view: &View<'_>, dish: &str) -> Option<Finding> {
    let steps: Vec<_> = view
        .steps
        .iter()
        .filter(|step| step.dish.id == dish)
        .collect();
    let classes = view.dish_classes.get(dish)?;
    let flesh = RAW_FLESH.iter().find(|class| classes.contains(**class))?;
    let cues = if matches!(*flesh, "fish" | "crustacean" | "mollusc") {
        DONE_FISH
    } else {
        DONE_FLESH
    };
    let settled = steps.iter().any(|step| {
        let long_moist = step.hot
            && step.says(LONG_MOIST)
            && step.step.takes.lo >= Ratio::from_integer(LONG_MOIST_SECONDS);
        step.core().is_some()
            || long_moist
            || (step.hot && step.says(cues))
            || (step.says(UNDERDONE) && !step.says(NOT_UNDERDONE))
    });
    if settled {
        return None;
    }
    let step = steps
        .iter()
        .rfind(|step| step.hot && (step.own.contains(*flesh) || step.upstream.contains(*flesh)))?;
    let row = read(Tables::get().core_of(row_name(flesh)?))
        .into_iter()
        .next()?;
    let words = format!(
        "Nothing tells when it is cooked: give the step a core of {} for {}",
        row.limit, row.what
    );
    Some(
        Finding::new(Severity::Advice, "core", words, vec![row.source.clone()])
            .of_step(step.dish, step.step),
    )
}

pub(super) fn distinct<'s>(sources: impl Iterator<Item = &'s Source>) -> Vec<Source> {
    let mut all: Vec<Source> = Vec::new();
    for source in sources {
        if !all.contains(source) {
            all.push(source.clone());
        }
    }
    all
}
