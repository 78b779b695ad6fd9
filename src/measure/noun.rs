//! The nouns that a recipe counts, in singular and plural.

/// Nouns that are commonly counted, singular.
const COUNTED: &[&str] = &[
    "bag",
    "ball",
    "bar",
    "block",
    "bottle",
    "box",
    "bulb",
    "bunch",
    "can",
    "carton",
    "clove",
    "container",
    "cube",
    "dash",
    "dollop",
    "drizzle",
    "drop",
    "ear",
    "envelope",
    "fillet",
    "filet",
    "floret",
    "glug",
    "grating",
    "grind",
    "handful",
    "head",
    "heart",
    "jar",
    "knob",
    "ladle",
    "mug",
    "glass",
    "leaf",
    "loaf",
    "log",
    "nub",
    "pack",
    "package",
    "packet",
    "piece",
    "pinch",
    "pod",
    "pot",
    "pouch",
    "punnet",
    "rack",
    "rasher",
    "rib",
    "round",
    "sachet",
    "scoop",
    "sheet",
    "shot",
    "slab",
    "slice",
    "smidgen",
    "spear",
    "splash",
    "spray",
    "sprig",
    "square",
    "stalk",
    "stem",
    "stick",
    "strip",
    "tin",
    "tub",
    "tube",
    "twist",
    "wedge",
];

/// Sizes that stand before a noun.
const SIZES: &[&str] = &[
    "small",
    "medium",
    "large",
    "big",
    "thick",
    "thin",
    "fat",
    "tiny",
    "long",
    "short",
    "extra-large",
    "jumbo",
];

const IRREGULAR: &[(&str, &str)] = &[
    ("leaf", "leaves"),
    ("loaf", "loaves"),
    ("half", "halves"),
    ("knife", "knives"),
    ("tomato", "tomatoes"),
    ("potato", "potatoes"),
    ("mango", "mangoes"),
    ("fish", "fish"),
    ("dozen", "dozen"),
    ("anchovy", "anchovies"),
    ("cookie", "cookies"),
    ("pie", "pies"),
    ("fillet", "fillets"),
    ("bouquet garni", "bouquets garnis"),
];

/// Words that end in s and are one.
const SINGULAR_IN_S: &[&str] = &[
    "asparagus",
    "couscous",
    "hummus",
    "citrus",
    "molasses",
    "swiss",
    "watercress",
    "cress",
    "bass",
    "octopus",
    "schnapps",
    "grass",
    "bouillabaisse",
    "lemongrass",
];

/// Whether the word, singular or plural, is one that is commonly counted.
pub(crate) fn is_counted(word: &str) -> bool {
    let word = word.trim_end_matches('.').to_lowercase();
    COUNTED.contains(&singular(&word).as_str())
}

/// Whether the word is a size.
pub(crate) fn is_size(word: &str) -> bool {
    SIZES.contains(&word.to_lowercase().as_str())
}

/// The singular of an English noun (of its last word).
pub fn singular(noun: &str) -> String {
    let (before, last) = split_last(noun);
    if let Some((one, _)) = IRREGULAR.iter().find(|(_, many)| *many == last) {
        return format!("{before}{one}");
    }
    let keep = last.len() <= 2
        || !last.ends_with('s')
        || last.ends_with("ss")
        || SINGULAR_IN_S.contains(&last);
    if keep {
        return noun.to_owned();
    }
    let one = if let Some(stem) = last.strip_suffix("ies").filter(|stem| stem.len() > 1) {
        format!("{stem}y")
    } else if ["ches", "shes", "sses", "xes"]
        .iter()
        .any(|end| last.ends_with(end))
    {
        last[..last.len() - 2].to_owned()
    } else {
        last[..last.len() - 1].to_owned()
    };
    format!("{before}{one}")
}

/// The plural of an English noun (of its last word).
pub fn plural(noun: &str) -> String {
    let (before, last) = split_last(noun);
    if let Some((_, many)) = IRREGULAR.iter().find(|(one, _)| *one == last) {
        return format!("{before}{many}");
    }
    let many = if is_size(last) || last.is_empty() || last.ends_with(|c: char| !c.is_alphabetic()) {
        last.to_owned()
    } else if ["ch", "sh", "s", "x"].iter().any(|end| last.ends_with(end)) {
        format!("{last}es")
    } else if let Some(stem) = last
        .strip_suffix('y')
        .filter(|s| !s.ends_with(['a', 'e', 'i', 'o', 'u']))
    {
        format!("{stem}ies")
    } else {
        format!("{last}s")
    };
    format!("{before}{many}")
}

/// Singular and plural of a noun that is either.
pub(crate) fn forms(noun: &str) -> (String, String) {
    let one = singular(noun);
    if one == noun {
        (one, plural(noun))
    } else {
        (one, noun.to_owned())
    }
}

fn split_last(noun: &str) -> (&str, &str) {
    match noun.rfind(' ') {
        Some(at) => noun.split_at(at + 1),
        None => ("", noun),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nouns_go_both_ways() {
        for (one, many) in [
            ("clove", "cloves"),
            ("bunch", "bunches"),
            ("leaf", "leaves"),
            ("tin", "tins"),
            ("large clove", "large cloves"),
            ("berry", "berries"),
            ("slice", "slices"),
            ("box", "boxes"),
            ("large", "large"),
        ] {
            assert_eq!(plural(one), many);
            assert_eq!(singular(many), one);
            assert_eq!(singular(one), one);
        }
    }
}
