//! Foods and tools with a rule of their own: kidney beans, a closed blender, a cool oven, hot oil, raw dishes.

use super::{
    finding::{Finding, Severity},
    spoken::shown,
    view::{StepView, View},
    vocabulary::RAW_FLESH,
};
use crate::{
    measure::{Ratio, duration},
    menu::Hands,
    safety::{
        Source, Tables,
        words::{says, tokens},
    },
};

pub(super) fn check(view: &View<'_>, findings: &mut Vec<Finding>) {
    for dish in &view.session.dishes {
        findings.extend(kidney_beans(view, dish.id.as_str()));
        findings.extend(raw_dish(view, dish.id.as_str()));
    }
    for step in &view.steps {
        findings.extend(closed_blender(view, step));
        findings.extend(cool_oven(step));
        findings.extend(hot_oil_alone(step));
        findings.extend(frozen_in_slow_cooker(step));
        findings.extend(cautions(step));
    }
}

/// Dry kidney beans: soaked, and boiled hard.
fn kidney_beans(view: &View<'_>, dish: &str) -> Option<Finding> {
    if !view.dish_classes.get(dish)?.contains("kidney bean") {
        return None;
    }
    let steps: Vec<_> = view
        .steps
        .iter()
        .filter(|step| step.dish.id == dish)
        .collect();
    let about = |step: &&&StepView<'_>| {
        step.has_any(&["kidney bean"]) || step.upstream.contains("kidney bean")
    };
    let soak_row = Tables::get().clock("kidney beans, soak")?;
    let boil_row = Tables::get().clock("kidney beans, boil")?;
    let at_least = |seconds: u32| Ratio::from_integer(i128::from(seconds));
    let ingredients = steps
        .first()
        .map(|step| step.dish.ingredients.as_slice())
        .unwrap_or_default();
    let said_soaked = ingredients.iter().any(|i| {
        i.note
            .as_deref()
            .is_some_and(|note| says(&tokens(note), &["soaked", "soaked overnight"]))
    });
    let soaked = said_soaked
        || steps
            .iter()
            .filter(about)
            .any(|s| s.says(&["soak*"]) && s.longest() >= at_least(soak_row.within));
    let boils = |s: &&&StepView<'_>| {
        s.says(&["boil", "boiling", "boil*", "pressure cook*"])
            && !s.says(&[
                "don't boil",
                "without boiling",
                "below the boil",
                "not boil",
            ])
    };
    let boiled = steps
        .iter()
        .filter(about)
        .filter(boils)
        .map(|s| s.step.takes.lo)
        .max()
        .unwrap_or_default();
    let slow = steps.iter().filter(about).any(|s| {
        s.says(&["slow cook*", "crock*", "low heat overnight"])
            || s.needs(&["slow cooker", "crock pot"])
    });
    let need = at_least(boil_row.within);
    if soaked && boiled >= need {
        return None;
    }
    // Ten minutes is what some texts ask for; half an hour is the stricter.
    let severity = if boiled >= at_least(600) && !(slow && boiled < at_least(600)) {
        Severity::Caution
    } else {
        Severity::Unsafe
    };
    let words = format!(
        "Dry kidney beans poison unless they are soaked for {} and then boiled hard in fresh water for {} (some texts say 10 min; the stricter is used); a slow cooker is not enough, and tinned beans are cooked already",
        duration::print(at_least(soak_row.within)),
        duration::print(need)
    );
    let finding = Finding::new(
        severity,
        "kidney beans",
        words,
        vec![boil_row.source.clone()],
    );
    let step = steps
        .iter()
        .rev()
        .find(|s| s.hot && s.upstream.contains("kidney bean"))?;
    Some(finding.of_step(step.dish, step.step))
}

/// Flesh or egg that is eaten raw.
fn raw_dish(view: &View<'_>, dish: &str) -> Option<Finding> {
    let classes = view.dish_classes.get(dish)?;
    let steps: Vec<_> = view
        .steps
        .iter()
        .filter(|step| step.dish.id == dish)
        .collect();
    let first = steps.first()?.dish;
    let title = tokens(&first.title);
    let named_raw = [
        "tartare",
        "carpaccio",
        "ceviche",
        "sashimi",
        "crudo",
        "sushi",
        "tiradito",
        "poke",
    ];
    let cooked = |class: &str| {
        steps
            .iter()
            .any(|s| s.hot && (s.upstream.contains(class) || s.own.contains(class)))
    };
    let flesh = RAW_FLESH
        .iter()
        .find(|class| classes.contains(**class) && !cooked(class));
    let said_raw = says(&title, &named_raw)
        || steps
            .iter()
            .any(|s| s.says(&named_raw) && !s.says(&["sauce tartare", "tartare sauce"]));
    if let Some(class) = flesh.filter(|_| !steps.is_empty()) {
        let poultry = matches!(*class, "poultry" | "game" | "ground meat");
        let severity = if poultry && (said_raw || !steps.iter().any(|s| s.step.ahead.is_some())) {
            Severity::Unsafe
        } else {
            Severity::Caution
        };
        let words = format!(
            "Raw {class} is served without being heated: not for children, pregnant, old or ill guests; ask for what is sold to be eaten raw"
        );
        return Some(Finding::new(severity, "raw", words, vec![Source::practice()]).of_dish(first));
    }
    if classes.contains("egg") && !cooked("egg") && !steps.is_empty() {
        let words =
            "Egg is eaten raw: take pasteurised egg for children, pregnant, old or ill guests";
        return Some(
            Finding::new(
                Severity::Caution,
                "raw egg",
                words,
                vec![Source::practice()],
            )
            .of_dish(first),
        );
    }
    None
}

/// Hot liquid in a blender whose lid is shut.
fn closed_blender(view: &View<'_>, step: &StepView<'_>) -> Option<Finding> {
    const BLENDER: &[&str] = &[
        "blender",
        "liquidiser",
        "liquidizer",
        "jug blender",
        "smoothie maker",
    ];
    const BY_HAND: &[&str] = &[
        "stick blender",
        "hand blender",
        "immersion blender",
        "hand held blender",
        "blender in the pot",
    ];
    const VENTED: &[&str] = &[
        "vent",
        "vented",
        "lid ajar",
        "lid off",
        "lid open",
        "cap out",
        "cap off",
        "cloth",
        "tea towel",
        "towel",
        "steam escape",
        "let the steam",
        "open lid",
        "without the lid",
        "plug out",
    ];
    const COOLED: &[&str] = &["cool*", "cold", "chill*", "lukewarm", "ice"];
    const SHUT: &[&str] = &[
        "lid tight*",
        "tight lid",
        "lid closed",
        "closed lid",
        "seal*",
        "clamp*",
        "lid locked",
        "lock the lid",
        "to the brim",
        "to the top",
        "fill it up",
        "all at once",
        "in one go",
        "lid on tight*",
        "lid shut",
        "close the lid",
    ];
    let uses = step.needs(BLENDER) || step.says(BLENDER);
    let by_hand = step.needs(BY_HAND) || step.says(BY_HAND);
    if !uses || by_hand {
        return None;
    }
    let hot_before = view.steps.iter().any(|other| {
        let comes_before = step
            .step
            .after
            .iter()
            .any(|r| r.dish == other.dish.id && r.step == other.step.id);
        let liquid = other.says(&[
            "boil*", "simmer*", "soup", "stock", "broth", "poach*", "braise", "stew", "milk",
            "cream", "sauce", "water", "wine", "liquid",
        ]);
        comes_before
            && other.hot
            && liquid
            && !other.says(COOLED)
            && !other.says(&["drain", "refresh*"])
    });
    let hot = step.step.hot
        || hot_before
        || step.says(&[
            "hot soup",
            "boiling",
            "while hot",
            "while it is hot",
            "still hot",
            "hot liquid",
            "piping hot",
        ]);
    if !hot || step.says(&["grind", "spice"]) || (step.says(COOLED) && !step.says(SHUT)) {
        return None;
    }
    let careful = step.says(VENTED) || (step.step.hot && step.step.batch.is_some());
    let severity = match (step.says(SHUT), careful) {
        (true, _) | (false, false) => Severity::Unsafe,
        (false, true) => Severity::Caution,
    };
    let words = "Hot liquid in a closed blender bursts its lid: fill it a third to two thirds (batch with hot = true), vent open, a cloth over it, start slow; or use a hand blender in the pot";
    Some(
        Finding::new(severity, "hot blender", words, vec![Source::practice()])
            .of_step(step.dish, step.step),
    )
}

/// Meat and poultry roasted in an oven cooler than advised.
fn cool_oven(step: &StepView<'_>) -> Option<Finding> {
    const WET: &[&str] = &[
        "braise",
        "stew",
        "casserole",
        "liquid",
        "stock",
        "wine",
        "covered",
        "lid on",
        "confit",
        "pot",
        "foil",
    ];
    const TENDER: &[&str] = &[
        "tender",
        "fall* apart",
        "falls apart",
        "falling apart",
        "shred*",
        "pull*",
        "fall* off the bone",
    ];
    let hottest = step.hottest_oven()?;
    let flesh = ["poultry", "game", "ground meat", "meat", "ham"];
    if !flesh.iter().any(|class| {
        step.own.contains(*class) || (step.own.is_empty() && step.upstream.contains(*class))
    }) {
        return None;
    }
    if step.says(WET)
        || step.says(&["keep warm", "rest", "dry", "keep hot", "reheat*"])
        || step.upstream.contains("cooked poultry")
    {
        return None;
    }
    let rows = &Tables::get().temperatures.oven;
    let advised = rows.iter().max_by_key(|row| row.limit.celsius())?;
    let lowest = rows.iter().min_by_key(|row| row.limit.celsius())?;
    if advised.limit.reached_by(hottest) {
        return None;
    }
    let blind = step.core().is_none() && !step.says(TENDER);
    let severity = if blind && !lowest.limit.reached_by(hottest) {
        Severity::Unsafe
    } else {
        Severity::Caution
    };
    let words = format!(
        "Roasting at {} is under {} for {}; {} allows {} for large roasts. So low, only the core and its time count: give a core, and see that it passes {} within 4 h",
        shown(hottest),
        advised.limit,
        advised.what,
        lowest.source.source,
        lowest.limit,
        "140 F (60 C)"
    );
    let sources = super::core::distinct([&advised.source, &lowest.source].into_iter());
    Some(Finding::new(severity, "oven", words, sources).of_step(step.dish, step.step))
}

/// Deep frying while the hands are elsewhere.
fn hot_oil_alone(step: &StepView<'_>) -> Option<Finding> {
    let frying = step.says(&[
        "deep fry*",
        "deep fried",
        "deep fat",
        "hot oil",
        "heat the oil",
    ]) || step.needs(&["deep fryer", "fryer"]);
    let oven = step.step.oven.is_some();
    if !frying || oven || step.step.hands != Hands::Off {
        return None;
    }
    let words =
        "Hot oil is never left alone: it catches fire; hands on, lid at hand, never water on it";
    Some(
        Finding::new(Severity::Unsafe, "hot oil", words, vec![Source::practice()])
            .of_step(step.dish, step.step),
    )
}

fn frozen_in_slow_cooker(step: &StepView<'_>) -> Option<Finding> {
    let slow = step.says(&["slow cook*", "crock pot"]) || step.needs(&["slow cooker", "crock pot"]);
    let flesh = RAW_FLESH.iter().any(|class| step.upstream.contains(*class));
    if !(slow && flesh && step.says(&["frozen", "from the freezer", "from frozen"])) {
        return None;
    }
    let words = "Frozen meat in a slow cooker stays lukewarm for hours: thaw it first";
    Some(
        Finding::new(
            Severity::Unsafe,
            "slow cooker",
            words,
            vec![Source::practice()],
        )
        .of_step(step.dish, step.step),
    )
}

/// The usual cautions, so that `check` shows them before the evening.
fn cautions(step: &StepView<'_>) -> Vec<Finding> {
    const GRAVE: &[&str] = &[
        "deep frying",
        "caramel",
        "mandoline",
        "flambe",
        "pressure",
        "charcoal",
    ];
    let all = crate::safety::cautions::cautions_of(step.step).into_iter();
    all.filter(|caution| GRAVE.contains(&caution.id.as_str()))
        .map(|caution| {
            Finding::new(
                Severity::Caution,
                "hazard",
                caution.words.trim_end_matches('.'),
                vec![Source::practice()],
            )
            .of_step(step.dish, step.step)
        })
        .collect()
}
