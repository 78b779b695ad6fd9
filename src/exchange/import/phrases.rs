//! What the words of a step say about time, heat, hands, vessels and cues.
//!
//! The lists of words are common practice, no source.

use crate::measure::Ratio;
use crate::measure::duration::DurationRange;
use crate::measure::temperature::{OvenTemperature, celsius};

/// A text prepared for reading: signs of degree and hyphens before units of time made blanks, ASCII lower case.
pub(super) fn normal(text: &str) -> String {
    let text = text
        .replace(['°', 'º', '˚'], " deg ")
        .replace(['\u{a0}', '\u{202f}'], " ");
    let text = text.to_ascii_lowercase();
    ["minute", "hour", "second", "min", "hr"]
        .iter()
        .fold(text, |text, unit| {
            text.replace(&format!("-{unit}"), &format!(" {unit}"))
        })
        .replace("degrees", " deg ")
}

/// What a duration in a text is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum About {
    /// How long the step takes.
    Length,
    /// "every 10 minutes".
    Every,
    /// "after 10 minutes", "for the last 10 minutes": a moment within it.
    Moment,
    /// "for up to 3 days": how long it keeps.
    Keeping,
}

/// A duration in a text.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Time {
    pub range: DurationRange,
    pub about: About,
    /// As written.
    pub words: String,
    /// Where it stands, in bytes of the normal text.
    pub at: usize,
    /// It is said of "a few minutes" or "overnight": no number.
    pub vague: bool,
}

fn words(text: &str) -> Vec<(usize, &str)> {
    let mut found = Vec::new();
    let mut start = None;
    for (at, c) in text.char_indices() {
        match (
            c.is_whitespace() || matches!(c, '(' | ')' | '/' | ','),
            start,
        ) {
            (true, Some(from)) => {
                found.push((from, text.get(from..at).unwrap_or_default()));
                start = None;
            }
            (false, None) => start = Some(at),
            _ => {}
        }
    }
    if let Some(from) = start {
        found.push((from, text.get(from..).unwrap_or_default()));
    }
    found
}

const ENDS: [char; 6] = ['.', ',', ';', ':', ')', '!'];

/// The durations of a normal text, in order.
pub(super) fn times(text: &str) -> Vec<Time> {
    let words = words(text);
    let mut found: Vec<Time> = Vec::new();
    let mut index = 0;
    while let Some((at, word)) = words.get(index).copied() {
        let mut taken = 1;
        for length in (1..=7).rev() {
            let Some((last_at, last)) = words.get(index + length - 1).copied() else {
                continue;
            };
            let Some(candidate) = text.get(at..last_at + last.len()) else {
                continue;
            };
            let between = index > 0 && words.get(index - 1).is_some_and(|(_, w)| *w == "between");
            if let Some(range) = duration(candidate.trim_end_matches(ENDS), between) {
                let after = text.get(last_at + last.len()..).unwrap_or_default();
                let before = text.get(..at).unwrap_or_default();
                let (range, about) = meaning(range, before, after);
                let words = candidate.trim_end_matches(ENDS).to_owned();
                found.push(Time {
                    range,
                    about,
                    words,
                    at,
                    vague: false,
                });
                taken = length;
                break;
            }
        }
        if taken == 1
            && let Some(range) = vague(text.get(at..).unwrap_or_default())
            && found.last().is_none_or(|t| t.at < at)
            && !text
                .get(..at)
                .unwrap_or_default()
                .trim_end()
                .ends_with(" or")
        {
            found.push(Time {
                range,
                about: About::Length,
                words: word.trim_end_matches(ENDS).to_owned(),
                at,
                vague: true,
            });
        }
        index += taken;
    }
    found
}

fn duration(text: &str, between: bool) -> Option<DurationRange> {
    let starts = text.starts_with(|c: char| c.is_ascii_digit() || !c.is_ascii())
        || [
            "a ", "an ", "half", "one", "two", "three", "four", "five", "six", "seven", "eight",
            "nine", "ten", "twelve",
        ]
        .iter()
        .any(|w| text.starts_with(w));
    if !starts || text.ends_with([' ', '-']) {
        return None;
    }
    // "5 m" and "2 s" are no durations in a sentence.
    let last = text
        .rsplit([' ', '-'])
        .next()
        .unwrap_or_default()
        .trim_start_matches(|c: char| c.is_ascii_digit());
    if ![
        "min", "mins", "minute", "minutes", "hour", "hours", "hr", "hrs", "h", "sec", "secs",
        "second", "seconds", "day", "days",
    ]
    .contains(&last)
    {
        return None;
    }
    let mut text = text.replace(" or ", " to ");
    if between {
        text = text.replace(" and ", " to ");
    }
    let range: DurationRange = text.parse().ok()?;
    (range.lo > Ratio::from_integer(0)).then_some(range)
}

fn vague(text: &str) -> Option<DurationRange> {
    let (lo, hi) = [
        ("a few minutes", (2, 4)),
        ("a few hours", (2 * 60, 4 * 60)),
        ("overnight", (8 * 60, 12 * 60)),
    ]
    .iter()
    .find(|(words, _)| text.starts_with(words))?
    .1;
    Some(DurationRange {
        lo: Ratio::from_integer(lo * 60),
        hi: Ratio::from_integer(hi * 60),
    })
}

fn meaning(range: DurationRange, before: &str, after: &str) -> (DurationRange, About) {
    let before = before.trim_end();
    let after = after.trim_start_matches(|c: char| c.is_whitespace() || c == ',');
    let ends = |words: &[&str]| words.iter().any(|w| before.ends_with(w));
    let sides = [
        "per side",
        "each side",
        "a side",
        "on each side",
        "on both sides",
        "either side",
    ];
    if sides.iter().any(|w| after.starts_with(w)) {
        let two = Ratio::from_integer(2);
        return (
            DurationRange {
                lo: range.lo * two,
                hi: range.hi * two,
            },
            About::Length,
        );
    }
    let day = Ratio::from_integer(24 * 3600);
    // "Keep it covered for a day" is a step, "keeps for a day" is none.
    let kept = says(
        before,
        &["keeps", "will keep", "can be kept", "can be stored"],
    );
    let about = if ends(&["every", "each"]) {
        About::Every
    } else if ends(&[
        "up to",
        "within",
        "keeps for",
        "keep for",
        "store for",
        "stored for",
    ]) && (range.hi >= day || ends(&["keeps for", "keep for"]))
        || kept && ends(&["for"]) && range.hi >= day
    {
        About::Keeping
    } else if ends(&[
        "after",
        "last",
        "final",
        "first",
        "within",
        "halfway through the",
    ]) || after.starts_with("before the end")
        || ends(&[" or"])
    {
        About::Moment
    } else {
        About::Length
    };
    (range, about)
}

/// A temperature in a text, in the words of the dish file.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Heat {
    /// "180 C", "gas 4", "fan 160 C".
    pub text: String,
    /// In C, of a conventional oven.
    pub celsius: Ratio,
    /// Where it stands, in bytes of the normal text.
    pub at: usize,
    /// The text names no scale.
    pub unsure: bool,
    fan: bool,
    word: usize,
}

/// The temperatures of a normal text, in order; of several that stand together ("180 C/350 F/gas 4") the first that
/// is not a fan oven's.
pub(super) fn heats(text: &str) -> Vec<Heat> {
    let words = words(text);
    let mut found: Vec<Heat> = Vec::new();
    for (index, (at, word)) in words.iter().enumerate() {
        let Some(heat) = heat(&words, index, word.trim_end_matches(ENDS), *at) else {
            continue;
        };
        match found.last_mut() {
            Some(last)
                if index - last.word <= 4
                    && text
                        .get(last.at..*at)
                        .is_some_and(|t| !t.contains(". ") && !t.contains("then")) =>
            {
                if last.fan && !heat.fan || last.unsure && !heat.unsure {
                    *last = Heat {
                        at: last.at,
                        ..heat
                    };
                } else {
                    last.word = index;
                }
            }
            _ => found.push(heat),
        }
    }
    found
}

fn heat(words: &[(usize, &str)], index: usize, word: &str, at: usize) -> Option<Heat> {
    let next = |n: usize| {
        words
            .get(index + n)
            .map(|(_, w)| w.trim_end_matches(ENDS))
            .unwrap_or_default()
    };
    let previous = index
        .checked_sub(1)
        .and_then(|i| words.get(i))
        .map(|(_, w)| *w)
        .unwrap_or_default();
    if word == "gas" {
        let mark = if next(1) == "mark" { next(2) } else { next(1) };
        let text = format!(
            "gas {}",
            mark.parse::<u8>().ok().filter(|m| (1..=9).contains(m))?
        );
        let celsius = middle(&text)?;
        return Some(Heat {
            text,
            celsius,
            at,
            unsure: false,
            fan: false,
            word: index,
        });
    }
    let end = word
        .find(|c: char| !c.is_ascii_digit() && c != '-' && c != '–')
        .unwrap_or(word.len());
    let (digits, suffix) = word.split_at(end);
    if !digits.starts_with(|c: char| c.is_ascii_digit()) || digits.len() > 9 {
        return None;
    }
    let degree = next(1) == "deg";
    let letter = match (suffix, degree) {
        ("", true) => next(2),
        ("", false) => next(1),
        (suffix, _) => suffix,
    };
    let scale = match letter {
        "c" | "celsius" | "centigrade" => Some("C"),
        "f" | "fahrenheit" => Some("F"),
        _ if degree && suffix.is_empty() => None,
        _ => return None,
    };
    let number = digits.replace(['-', '–'], " to ");
    let value: i128 = digits.split(['-', '–']).next_back()?.parse().ok()?;
    // Without a scale: no oven is set to 260 C and more at home, nor to less than 260 F for baking.
    let scale_text = scale.unwrap_or(if value >= 260 { "F" } else { "C" });
    let after = if scale.is_some() && suffix.is_empty() {
        next(if degree { 3 } else { 2 })
    } else {
        next(1)
    };
    let fan = previous == "fan" || after == "fan" || after == "convection";
    let text = format!("{}{number} {scale_text}", if fan { "fan " } else { "" });
    let celsius = middle(&text).or_else(|| celsius(&text).ok())?;
    // Neither an oven nor food that is cooked is that cold: a torn number.
    if celsius < Ratio::from_integer(0) {
        return None;
    }
    Some(Heat {
        text,
        celsius,
        at,
        unsure: scale.is_none(),
        fan,
        word: index,
    })
}

fn middle(text: &str) -> Option<Ratio> {
    crate::measure::dial::setting(&OvenTemperature::parse(text, None).ok()?)
}

/// Whether a normal text has any of the words, whole.
pub(super) fn says(text: &str, words: &[&str]) -> bool {
    words.iter().any(|word| place(text, word).is_some())
}

/// Where a word or phrase stands whole in a normal text.
pub(super) fn place(text: &str, phrase: &str) -> Option<usize> {
    text.match_indices(phrase).map(|(at, _)| at).find(|at| {
        let before = text.get(..*at).and_then(|t| t.chars().next_back());
        let after = text.get(at + phrase.len()..).and_then(|t| t.chars().next());
        !before.is_some_and(char::is_alphanumeric) && !after.is_some_and(char::is_alphanumeric)
    })
}

/// The cue of a step: what follows "until", up to the end of the clause.
pub(super) fn cue(text: &str) -> Option<String> {
    let lower = text.to_ascii_lowercase();
    let at = ["until ", "till "]
        .iter()
        .filter_map(|w| place(&lower, w.trim_end()).map(|at| at + w.len()))
        .min()?;
    let rest = text.get(at..)?;
    let low = rest.to_ascii_lowercase();
    let end = [
        ". ",
        "; ",
        ", then",
        " then ",
        ", about",
        " (",
        ", for ",
        ", approx",
        ", stirring",
        ", turning",
    ]
    .iter()
    .filter_map(|w| low.find(w))
    .min()
    .unwrap_or(rest.len());
    let cue = rest
        .get(..end)?
        .trim()
        .trim_end_matches(ENDS)
        .trim_start_matches("the point where ");
    let empty = [
        "needed",
        "ready",
        "ready to serve",
        "ready to use",
        "required",
        "serving",
        "later",
    ];
    (!cue.is_empty() && cue.len() <= 120 && !empty.contains(&cue.to_ascii_lowercase().as_str()))
        .then(|| cue.to_owned())
}

/// What a step does, by its verb.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Work {
    /// In the oven.
    Oven,
    /// On the hob, left alone for minutes at a time.
    Simmer,
    /// On the hob, with the cook beside it.
    Hob,
    /// Waiting: cold, warm, or on the worktop.
    Wait,
    /// At the worktop.
    Hand,
}

const OVEN: &[&str] = &[
    "bake",
    "baking",
    "roast",
    "roasting",
    "in the oven",
    "return to the oven",
    "to the oven",
];
const SIMMER: &[&str] = &[
    "simmer",
    "simmering",
    "boil",
    "poach",
    "steam",
    "braise",
    "parboil",
    "blanch",
    "slow cook",
    "bubble gently",
];
const HOB: &[&str] = &[
    "fry",
    "saute",
    "sauté",
    "sweat",
    "brown",
    "sear",
    "melt",
    "heat",
    "toast",
    "soften",
    "stir-fry",
    "reduce",
    "warm",
    "griddle",
    "caramelise",
    "caramelize",
    "wilt",
    "scramble",
    "deep-fry",
    "on the hob",
    "on the stove",
    "medium heat",
    "low heat",
    "high heat",
    "bring to the boil",
    "bring to a boil",
    "cook",
];
const WAIT: &[&str] = &[
    "chill",
    "refrigerate",
    "rest",
    "marinate",
    "marinade",
    "prove",
    "proof",
    "rise",
    "soak",
    "freeze",
    "cool",
    "let stand",
    "leave to stand",
    "stand",
    "infuse",
    "steep",
    "set aside",
    "drain",
    "leave",
    "let sit",
    "defrost",
    "thaw",
];

/// Phrases that name the oven's work without doing it.
const NO_OVEN: &[&str] = &[
    "baking tray",
    "baking pan",
    "baking sheet",
    "baking dish",
    "baking powder",
    "baking soda",
    "roasting tin",
    "roasting pan",
    "roasting tray",
    "dutch oven",
    "ready to bake",
    "ready to roast",
    "baking paper",
    "baking parchment",
];

/// What kind of work a normal text describes.
pub(super) fn work(text: &str) -> Work {
    let bare = NO_OVEN
        .iter()
        .fold(text.to_owned(), |text, phrase| text.replace(phrase, ""));
    if says(&bare, OVEN) && !says(&bare, &["out of the oven", "from the oven"]) {
        return Work::Oven;
    }
    let off = ["turn off the heat", "off the heat", "from the heat"];
    let text = &off
        .iter()
        .fold(text.to_owned(), |text, phrase| text.replace(phrase, ""));
    let first = |words: &[&str]| words.iter().filter_map(|w| place(text, w)).min();
    let boil = says(text, &["bring to the boil", "bring to a boil"]) && !says(text, &["simmer"]);
    match (first(SIMMER).filter(|_| !boil), first(WAIT), first(HOB)) {
        (Some(_), _, _) => Work::Simmer,
        (None, Some(wait), hob) if hob.is_none_or(|hob| wait < hob) => Work::Wait,
        (None, Some(_), _) if says(text, &["chill", "refrigerate"]) => Work::Wait,
        (None, _, Some(_)) => Work::Hob,
        _ => Work::Hand,
    }
}

/// Vessels and appliances, with the names that the dish file has for them.
const WARES: &[&str] = &[
    "saucepan",
    "frying pan",
    "skillet",
    "sauté pan",
    "saute pan",
    "stockpot",
    "stock pot",
    "pot",
    "casserole",
    "dutch oven",
    "wok",
    "roasting tin",
    "roasting pan",
    "roasting tray",
    "baking tray",
    "baking sheet",
    "baking dish",
    "sheet pan",
    "loaf pan",
    "loaf tin",
    "cake tin",
    "cake pan",
    "tart tin",
    "pie dish",
    "muffin tin",
    "muffin pan",
    "ramekins",
    "gratin dish",
    "griddle pan",
    "grill pan",
    "bowl",
    "blender",
    "food processor",
    "stand mixer",
    "mixer",
    "colander",
    "sieve",
    "pan",
    "tin",
    "tray",
];
const SIZES: &[&str] = &[
    "large",
    "small",
    "medium",
    "big",
    "deep",
    "wide",
    "heavy",
    "non-stick",
    "ovenproof",
    "heatproof",
    "second",
];

/// The vessels that a normal text names, each once.
pub(super) fn wares(text: &str) -> Vec<String> {
    let mut taken: Vec<(usize, usize, String)> = Vec::new();
    for ware in WARES {
        for form in [(*ware).to_owned(), format!("{ware}s")] {
            let Some(at) = place(text, &form) else {
                continue;
            };
            if taken
                .iter()
                .any(|(from, to, _)| at < *to && at + form.len() > *from)
            {
                continue;
            }
            let before = text.get(..at).unwrap_or_default().trim_end();
            let size = before.rsplit(' ').next().filter(|w| SIZES.contains(w));
            let name = size
                .map(|s| format!("{s} {ware}"))
                .unwrap_or_else(|| (*ware).to_owned());
            taken.push((at, at + form.len(), name));
        }
    }
    taken.sort();
    let mut names: Vec<String> = Vec::new();
    for (_, _, name) in taken {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}
