//! Lines that hold more than one ingredient.

use super::Split;

/// "1 tsp each cumin and paprika": what there is so much of, each.
pub(super) fn each(rest: &str) -> Option<(Vec<&str>, Option<&str>)> {
    let listed = rest.strip_prefix("each")?;
    let listed = listed
        .strip_prefix([' ', ':', ','])?
        .trim_start_matches([':', ' ']);
    let listed = listed.strip_prefix("of ").unwrap_or(listed);
    // "75g each apricots and pistachios, roughly chopped": how they are prepared is a note on each.
    let (listed, note) = match listed.rsplit_once(", ") {
        Some((before, last)) if is_prepared(last) => (before, Some(last)),
        _ => (listed, None),
    };
    let parts = parts(listed);
    (parts.len() > 1).then_some((parts, note))
}

/// Whether words say what is done to a thing: "roughly chopped".
fn is_prepared(text: &str) -> bool {
    text.split(' ')
        .any(|w| w.ends_with("ed") || w.ends_with("ly") || ["cut", "torn", "for"].contains(&w))
}

/// "To serve: lime wedges, Thai basil, beansprouts": things without an amount, in a row. Not "coriander, chopped".
pub(super) fn listed<'a>(label: Option<&str>, text: &'a str) -> Option<Vec<&'a str>> {
    label?;
    let parts = parts(text);
    let plain = |part: &&str| {
        let words = part.split(' ').count();
        words <= 3
            && !is_prepared(part)
            && !part.contains(|c: char| c.is_numeric() || "()".contains(c))
    };
    (parts.len() > 1 && parts.iter().all(plain)).then_some(parts)
}

fn parts(text: &str) -> Vec<&str> {
    text.split(", ")
        .flat_map(|part| part.split(" and "))
        .flat_map(|part| part.split(" & "))
        .map(|part| part.trim().trim_start_matches("and ").trim_end_matches('.'))
        .filter(|part| !part.is_empty())
        .collect()
}

/// "Salt and pepper": two ingredients on one line.
pub(super) fn salt_and_pepper(split: Split) -> Vec<Split> {
    let lower = split.item.to_lowercase();
    let Some((first, second)) = lower
        .split_once(" and ")
        .or_else(|| lower.split_once(" & "))
    else {
        return vec![split];
    };
    let salt = first.ends_with("salt") && first.split(' ').count() <= 2;
    if !salt || !second.ends_with("pepper") || second.contains(',') {
        return vec![split];
    }
    let one = |item: &str| Split {
        item: item.to_owned(),
        ..split.clone()
    };
    let pepper = second
        .strip_prefix("freshly ground ")
        .or(second.strip_prefix("ground "))
        .unwrap_or(second);
    vec![one(first), one(pepper)]
}
