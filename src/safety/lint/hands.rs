//! What hands, boards and plates carry from raw flesh to food that is eaten as it is.

use super::{
    finding::{Finding, Severity},
    view::{StepView, View},
    vocabulary::RAW_FLESH,
};
use crate::safety::{
    Source,
    words::{says, tokens},
};

const BOARD: &[&str] = &["board", "chopping board", "cutting board"];
const WASHED: &[&str] = &[
    "wash*",
    "clean board",
    "fresh board",
    "another board",
    "second board",
    "scrub*",
    "own board",
    "other board",
    "separate board",
    "wipe* down with",
    "clean knife",
    "disinfect*",
];
const READY: [&str; 3] = ["raw vegetable", "herb", "fruit"];

pub(super) fn check(view: &View<'_>, findings: &mut Vec<Finding>) {
    for step in &view.steps {
        findings.extend(same_board(view, step));
        findings.extend(same_plate(step));
        findings.extend(marinade(step));
        findings.extend(washed_bird(step));
    }
}

fn raw(step: &StepView<'_>) -> bool {
    RAW_FLESH.iter().any(|class| step.own.contains(*class)) && !step.hot && !step.before_heat()
}

impl StepView<'_> {
    /// Its flesh was heated before.
    fn before_heat(&self) -> bool {
        self.cooked && !self.hot
    }

    fn boards(&self) -> Vec<Vec<String>> {
        let needed = self.step.needs.iter().map(|need| tokens(&need.name));
        let mut boards: Vec<_> = needed.filter(|name| says(name, BOARD)).collect();
        if boards.is_empty() && self.says(BOARD) {
            boards.push(tokens("chopping board"));
        }
        boards
    }
}

/// Raw flesh on a board, then food that is eaten raw on the same board.
fn same_board(view: &View<'_>, step: &StepView<'_>) -> Option<Finding> {
    if !READY.iter().any(|class| step.own.contains(*class))
        || raw(step)
        || step.hot
        || step.says(WASHED)
    {
        return None;
    }
    if cooked_later(view, step) {
        return None;
    }
    let mine = step.boards();
    let shares = |other: &&StepView<'_>| {
        raw(other) && other.boards().iter().any(|board| mine.contains(board))
    };
    let before = view
        .steps
        .iter()
        .filter(shares)
        .find(|other| is_after(view, step, other));
    let any = before.or_else(|| {
        view.steps
            .iter()
            .filter(shares)
            .find(|other| !is_after(view, other, step))
    })?;
    let washes = |s: &StepView<'_>| s.says(WASHED) && is_after(view, s, any);
    if any.says(WASHED) || view.steps.iter().any(washes) {
        return None;
    }
    let severity = if before.is_some() {
        Severity::Unsafe
    } else {
        Severity::Caution
    };
    let words = format!(
        "It is cut on the board that raw food was on ({}): cut this first, wash board, knife and hands in between, or use another board",
        any.dish.title
    );
    Some(
        Finding::new(severity, "board", words, vec![Source::practice()])
            .of_step(step.dish, step.step),
    )
}

/// Whether a later step of the dish heats what this one cuts. One that uses other things heats those; one that says
/// nothing of what it uses may heat all.
fn cooked_later(view: &View<'_>, step: &StepView<'_>) -> bool {
    const EATEN_RAW: &[&str] = &[
        "raw", "salsa", "salad", "slaw", "garnish", "tartare", "dressing",
    ];
    let shares = |later: &StepView<'_>| {
        let uses = &later.step.uses;
        uses.is_empty()
            || uses.iter().any(|item| step.step.uses.contains(item))
            || step.step.uses.is_empty()
            || step.step.uses.iter().any(|item| {
                let name = tokens(item);
                name.last().is_some_and(|last| later.says(&[last.as_str()]))
            })
    };
    view.steps.iter().any(|later| {
        later.dish.id == step.dish.id
            && later.hot
            && is_after(view, later, step)
            && shares(later)
            && (!step.says(EATEN_RAW) || later.says(&["salsa", "salad", "slaw"]))
    })
}

/// Whether `later` comes after `earlier`, in whatever dish.
fn is_after(view: &View<'_>, later: &StepView<'_>, earlier: &StepView<'_>) -> bool {
    let mut open = vec![later];
    let mut seen: Vec<(&str, &str)> = Vec::new();
    while let Some(step) = open.pop() {
        for r in &step.step.after {
            if r.dish == earlier.dish.id && r.step == earlier.step.id {
                return true;
            }
            let key = (r.dish.as_str(), r.step.as_str());
            if !seen.contains(&key) {
                seen.push(key);
                open.extend(
                    view.steps
                        .iter()
                        .filter(|s| s.dish.id == r.dish && s.step.id == r.step),
                );
            }
        }
    }
    false
}

/// Cooked food back on what raw food lay on.
fn same_plate(step: &StepView<'_>) -> Option<Finding> {
    const SAME: &[&str] = &[
        "same plate",
        "same board",
        "same knife",
        "same platter",
        "same tongs",
        "same cutting board",
        "same chopping board",
        "same dish the raw",
        "without washing",
        "unwashed",
        "plate the raw",
        "plate of the raw",
        "plate it came on",
        "raw plate",
        "raw juice",
    ];
    const FINE: &[&str] = &[
        "not the same",
        "never the same",
        "not on the same",
        "never on the same",
        "don't use the same",
        "not back on",
        "wash",
    ];
    let flesh = RAW_FLESH
        .iter()
        .any(|class| step.upstream.contains(*class) || step.own.contains(*class))
        || step.says(&["raw"]);
    if !flesh || !step.says(SAME) || step.says(FINE) {
        return None;
    }
    let words = "What raw meat, poultry or fish has touched carries it on: a clean plate, board, knife and hands for what is eaten";
    Some(
        Finding::new(Severity::Unsafe, "board", words, vec![Source::practice()])
            .of_step(step.dish, step.step),
    )
}

/// A marinade that raw flesh lay in, served unboiled.
fn marinade(step: &StepView<'_>) -> Option<Finding> {
    const SERVED: &[&str] = &[
        "drizzle", "serve", "dress", "spoon", "toss", "pour", "dip*", "sauce",
    ];
    let flesh = RAW_FLESH.iter().any(|class| step.upstream.contains(*class));
    let boiled = step.says(&[
        "boil*",
        "simmer*",
        "cook",
        "fresh marinade",
        "set aside before",
        "reserved before",
        "unused",
    ]) || step.hot;
    if !(flesh && step.cooked && !boiled && step.says(&["marinade"]) && step.says(SERVED)) {
        return None;
    }
    let words = "A marinade that raw flesh lay in is raw: boil it before it is served, or keep some apart from the beginning";
    Some(
        Finding::new(
            Severity::Unsafe,
            "marinade",
            words,
            vec![Source::practice()],
        )
        .of_step(step.dish, step.step),
    )
}

fn washed_bird(step: &StepView<'_>) -> Option<Finding> {
    let rinses = step.says(&[
        "rinse the chicken",
        "wash the chicken",
        "rinse the turkey",
        "wash the turkey",
        "rinse the duck",
        "wash the bird",
        "rinse the bird",
        "rinse the poultry",
        "wash the poultry",
        "rinse the goose",
        "wash the duck",
    ]);
    if !rinses {
        return None;
    }
    let words = "Don't rinse raw poultry: the splashes spread what heat kills";
    Some(
        Finding::new(Severity::Advice, "board", words, vec![Source::practice()])
            .of_step(step.dish, step.step),
    )
}
