//! The sentences of an instruction, and in them the clauses that are steps of their own.

use super::phrases::{self, About, Work};

/// Sentences, and in them the clauses that wait or cook by themselves apart from the work before them.
pub(super) fn pieces(text: &str) -> Vec<String> {
    let mut pieces = Vec::new();
    for sentence in sentences(unnumbered(text)) {
        match cut(&sentence) {
            Some(at) => {
                let (first, second) = sentence.split_at(at);
                let second = second.trim_start_matches([',', ';', ' ']);
                let second = second
                    .strip_prefix("and then ")
                    .or(second.strip_prefix("and "))
                    .or(second.strip_prefix("then "))
                    .unwrap_or(second);
                pieces.push(format!("{}.", first.trim().trim_end_matches([',', ';'])));
                pieces.push(capital(second));
            }
            None => match sentence.strip_suffix(';') {
                Some(clause) => pieces.push(format!("{}.", capital(clause))),
                None => pieces.push(capital(&sentence)),
            },
        }
    }
    pieces
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map(|c| c.to_uppercase().chain(chars).collect())
        .unwrap_or_default()
}

fn sentences(text: &str) -> Vec<String> {
    const SHORT: &[&str] = &[
        "approx", "min", "mins", "tbsp", "tsp", "oz", "lb", "ca", "no", "e.g", "i.e", "hr", "hrs",
        "pt", "qt",
    ];
    let mut found = Vec::new();
    let mut start = 0;
    for (at, _) in text.match_indices(['.', '!', ';']) {
        let next = text.get(at + 1..).unwrap_or_default();
        let before = text.get(start..at).unwrap_or_default();
        let last = before
            .rsplit([' ', '('])
            .next()
            .unwrap_or_default()
            .to_lowercase();
        let capital = next
            .trim_start()
            .chars()
            .next()
            .is_none_or(|c| !c.is_lowercase());
        if !next.starts_with([' ', '\u{a0}']) && !next.is_empty()
            || SHORT.contains(&last.as_str()) && !capital
        {
            continue;
        }
        found.push(text.get(start..=at).unwrap_or_default().trim().to_owned());
        start = at + 1;
    }
    found.push(text.get(start..).unwrap_or_default().trim().to_owned());
    found.retain(|s| s.chars().any(char::is_alphanumeric));
    found
}

/// A wait until something is cold.
const COOLS: &[&str] = &[
    "let cool",
    "let it cool",
    "leave to cool",
    "allow to cool",
    "cool completely",
    "cool to room temperature",
    "completely cool",
];

/// Where the oven is lit and other work follows in one sentence: "Heat the oven and line a tin".
fn after_lighting(lower: &str) -> Option<usize> {
    const VERBS: &[&str] = &[
        "line", "grease", "butter", "oil", "dust", "put", "place", "set", "mix", "toss", "season",
        "bring", "prepare",
    ];
    if !phrases::lights_oven(lower) {
        return None;
    }
    [" and ", ", then ", "; "]
        .iter()
        .flat_map(|link| {
            lower
                .match_indices(link)
                .map(|(at, _)| (at, at + link.len()))
        })
        .filter(|(at, after)| {
            let verb = lower.get(*after..).and_then(|t| t.split(' ').next());
            let oven_before = lower.get(..*at).is_some_and(|t| t.contains("oven"));
            oven_before && verb.is_some_and(|v| VERBS.contains(&v))
        })
        .map(|(at, _)| at)
        .min()
}

/// Where a clause begins that bakes, simmers or waits for a time that it says, with other work before it.
fn cut(sentence: &str) -> Option<usize> {
    let lower = sentence.to_ascii_lowercase();
    if let Some(at) = after_lighting(&lower) {
        return Some(at);
    }
    let links = [
        " and then ",
        ", then ",
        " then ",
        ", and ",
        " and ",
        "; ",
        ", ",
    ];
    let mut best = None;
    for link in links {
        for (at, _) in lower.match_indices(link) {
            let after = lower.get(at + link.len()..)?;
            let verb = after.split([' ', ',', '.']).next().unwrap_or_default();
            let starts = [
                "bake",
                "roast",
                "simmer",
                "chill",
                "refrigerate",
                "rest",
                "marinate",
                "prove",
                "soak",
                "freeze",
                "cool",
                "leave",
                "braise",
                "poach",
                "steam",
                "boil",
                "cook",
                "let",
                "allow",
            ];
            let normal = phrases::normal(after);
            let timed = phrases::times(&normal)
                .iter()
                .any(|t| t.about == About::Length);
            // "Leave to cool" is a wait of its own, though no time is said.
            let cools = phrases::says(&normal, COOLS);
            let before = phrases::normal(lower.get(..at)?);
            // "While the dal simmers, soak the rice": what stands before the comma is no work.
            let beside = before.starts_with("while ") && !before.contains(',');
            let same = phrases::work(&before) == phrases::work(&normal)
                && !phrases::times(&before).is_empty();
            if starts.contains(&verb)
                && (timed && !matches!(verb, "let" | "allow") || cools)
                && !beside
                && !same
                && before.split(' ').count() > 2
                && !only_the_heat(&before)
                && phrases::work(&normal) != Work::Hob
            {
                best = Some(best.map_or(at, |b: usize| b.min(at)));
            }
        }
    }
    best
}

/// "Lower the heat and simmer": turning the knob is no work of its own.
fn only_the_heat(before: &str) -> bool {
    let turns = ["lower", "reduce", "turn", "raise", "increase"];
    let verb = before.split(' ').next().unwrap_or_default();
    turns.contains(&verb)
        && before.split(' ').count() <= 6
        && phrases::says(before, &["heat", "flame"])
        && !before.contains([',', '.'])
}

/// Without "1. " or "Step 1:" before it.
fn unnumbered(text: &str) -> &str {
    let start = text.trim_start();
    let start = start.strip_prefix("Step ").unwrap_or(start);
    let rest = start.trim_start_matches(|c: char| c.is_ascii_digit());
    match rest.strip_prefix(['.', ')', ':']) {
        Some(after) if rest.len() < start.len() && after.starts_with(' ') => after.trim_start(),
        _ => text,
    }
}
