//! Foods and tools with a rule of their own: kidney beans, a closed blender, a cool oven, hot oil, raw dishes.

use super::{
    finding::{Finding, Severity},
    spoken::shown,
    view::{StepView, View},
    vocabulary::RAW_FLESH,
};
use crate::{
    measure::{Ratio, dial::celsius_mark, duration},
    menu::Hands,
    safety::{
        Limit, Source, Tables,
        words::{says, tokens},
    },
};

pub(super) fn check(view: &View<'_>, findings: &mut Vec<Finding>) {
    for dish in &view.session.dishes {
        findings.extend(kidney_beans(view, dish.id.as_str()));
        findings.extend(raw_dish(view, dish.id.as_str()));
    }
    for step in &view.steps {
        findings.extend(super::blender::closed(view, step));
        findings.extend(cool_oven(step));
        findings.extend(hot_oil_alone(step));
        findings.extend(frozen_in_slow_cooker(step));
        findings.extend(cautions(step));
        findings.extend(reckless(step));
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
        s.says(&["boil*", "pressure cook*"])
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
    let says_dry = |i: &crate::menu::Ingredient| {
        let line = tokens(&format!("{} {}", i.item, i.note.as_deref().unwrap_or("")));
        says(&line, &["kidney bean", "red bean", "borlotti bean"])
            && says(&line, &["dry", "dried", "soaked", "raw"])
    };
    let dry = soaked || slow || ingredients.iter().any(says_dry);
    // Ten minutes is what some texts ask for; half an hour is the stricter. Beans that are not called dry may be tinned.
    let severity = if boiled >= at_least(600) || !dry {
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
        "nigiri",
        "maki",
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
    let listed_raw = |i: &crate::menu::Ingredient| {
        says(&tokens(&i.item), &["raw"])
            || i.note
                .as_deref()
                .is_some_and(|note| says(&tokens(note), &["raw", "sushi grade"]))
    };
    let said_raw = says(&title, &named_raw)
        || first.ingredients.iter().any(listed_raw)
        || steps
            .iter()
            .any(|s| s.says(&named_raw) && !s.says(&["sauce tartare", "tartare sauce"]));
    // Where something is heated, the flesh most likely is, whatever the steps call it.
    let nothing_hot = !steps.iter().any(|step| step.hot);
    if let Some(class) = flesh.filter(|_| !steps.is_empty() && (said_raw || nothing_hot)) {
        let poultry = matches!(*class, "poultry" | "game" | "ground meat");
        let severity = if poultry {
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
        "soft",
        "melting*",
        "spoon",
        "fall* apart",
        "falling apart",
        "shred*",
        "pull*",
        "fall* off the bone",
    ];
    let hottest = step.hottest_oven()?;
    let flesh = ["poultry", "game", "ground meat", "meat", "ham"];
    if !flesh.iter().any(|class| {
        step.own.contains(*class)
            || (step.says(&["roast", "bake", "cook", "slow roast"])
                && step.upstream.contains(*class))
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
    // A dial says 160 C for 325 F, and 120 C for 250 F.
    let reached = |limit: Limit| {
        let mark = Ratio::from_integer(celsius_mark(limit.celsius()));
        limit.reached_by(hottest) || hottest >= mark
    };
    if reached(advised.limit) {
        return None;
    }
    let blind = step.core().is_none() && !step.says(TENDER);
    let severity = if blind && !reached(lowest.limit) {
        Severity::Unsafe
    } else {
        Severity::Caution
    };
    let words = format!(
        "Roasting at {} is under {} for {}; {} allows {} for large roasts. So low, only the core counts",
        shown(hottest),
        advised.limit,
        advised.what,
        lowest.source.source,
        lowest.limit,
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

/// A step that tells to do what the usual caution warns of.
fn reckless(step: &StepView<'_>) -> Option<Finding> {
    let caution = crate::safety::cautions::against(step.step)?;
    let words = format!("Not like this: {}", caution.words.trim_end_matches('.'));
    Some(
        Finding::new(Severity::Unsafe, "hazard", words, vec![Source::practice()])
            .of_step(step.dish, step.step),
    )
}
