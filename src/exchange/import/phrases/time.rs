//! The durations that a text names, and what each is about.

use super::{ENDS, says, words};
use crate::measure::Ratio;
use crate::measure::duration::DurationRange;
use crate::measure::quantity::{self, Measure};
use crate::measure::unit::Unit;

/// What a duration in a text is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::exchange::import) enum About {
    /// How long the step takes.
    Length,
    /// "every 10 minutes".
    Every,
    /// "after 10 minutes", "for the last 10 minutes": a moment within it.
    Moment,
    /// "for up to 3 days": how long it keeps.
    Keeping,
    /// The other choice to the one before it: "or overnight".
    Other,
    /// "15 minutes per 500 g": for so many grams.
    Rate(Ratio),
}

/// A duration in a text.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::exchange::import) struct Time {
    pub range: DurationRange,
    pub about: About,
    /// As written.
    pub words: String,
    /// Where it stands, in bytes of the normal text.
    pub at: usize,
    /// It is said of "a few minutes" or "overnight": no number.
    pub vague: bool,
}

/// The durations of a normal text, in order.
pub(in crate::exchange::import) fn times(text: &str) -> Vec<Time> {
    let words = words(text);
    let mut found: Vec<Time> = Vec::new();
    let mut index = 0;
    while let Some((at, _)) = words.get(index).copied() {
        let other = is_alternative(text, at, found.last());
        if let Some((range, phrase)) = vague(text.get(at..).unwrap_or_default()) {
            found.push(Time {
                range,
                about: if other { About::Other } else { About::Length },
                words: phrase.to_owned(),
                at,
                vague: true,
            });
            index += phrase.split(' ').count();
            continue;
        }
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
                let about = match about {
                    About::Length if other => About::Other,
                    about => about,
                };
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
        index += taken;
    }
    found
}

/// Whether a time is the other choice to the one before it: "for 30 minutes, or chill overnight".
fn is_alternative(text: &str, at: usize, last: Option<&Time>) -> bool {
    let Some(last) = last.filter(|last| last.about == About::Length) else {
        return false;
    };
    text.get(last.at..at).is_some_and(|between| {
        let near = between.split_whitespace().rev().take(4);
        !between.contains(". ") && near.into_iter().any(|w| w == "or")
    })
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

/// A time without a number, and the words that say it.
fn vague(text: &str) -> Option<(DurationRange, &'static str)> {
    let (words, (lo, hi)) = [
        ("a quarter of an hour", (15, 15)),
        ("quarter of an hour", (15, 15)),
        ("three quarters of an hour", (45, 45)),
        ("three-quarters of an hour", (45, 45)),
        ("a minute or two", (1, 2)),
        ("a minute or so", (1, 2)),
        ("a couple of minutes", (2, 3)),
        ("a few minutes", (2, 4)),
        ("several minutes", (3, 6)),
        ("an hour or two", (60, 2 * 60)),
        ("an hour or so", (60, 75)),
        ("a couple of hours", (2 * 60, 3 * 60)),
        ("a few hours", (2 * 60, 4 * 60)),
        ("several hours", (3 * 60, 6 * 60)),
        ("overnight", (8 * 60, 12 * 60)),
    ]
    .into_iter()
    .find(|(words, _)| text.starts_with(words))?;
    let range = DurationRange {
        lo: Ratio::from_integer(lo * 60),
        hi: Ratio::from_integer(hi * 60),
    };
    Some((range, words))
}

/// The grams of "per 500g", "a pound", "for every kilo".
fn rate(after: &str) -> Option<Ratio> {
    let per = ["per ", "for every ", "for each "]
        .iter()
        .find_map(|words| after.strip_prefix(words))
        .or_else(|| {
            let bare = after.strip_prefix("a ")?;
            bare.starts_with(['p', 'k', 'l']).then_some(bare)
        })?;
    let weight = |text: &str| match quantity::read(text) {
        Ok(Some((q, _))) => match q.measure {
            Measure::Unit(unit) => quantity::convert(q.lo, unit, Unit::Gram),
            Measure::Pieces(_) => None,
        },
        _ => None,
    };
    let grams = weight(per).or_else(|| weight(&format!("1 {per}")))?;
    (grams > Ratio::from_integer(0)).then_some(grams)
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
    if let Some(grams) = rate(after) {
        return (range, About::Rate(grams));
    }
    let day = Ratio::from_integer(24 * 3600);
    // "It can be made 3 days ahead."
    let ahead = ["ahead", "in advance", "beforehand"]
        .iter()
        .any(|w| after.starts_with(w));
    // "Keep it covered for a day" is a step, "keeps for a day" is none.
    let kept = says(
        before,
        &["keeps", "will keep", "can be kept", "can be stored"],
    ) || (says(before, &["keep", "store"]) || says(after, &["keep", "store"]))
        && says(before, &["airtight", "tin", "container", "fridge"]);
    let about = if ahead {
        About::Keeping
    } else if ends(&["every", "each"]) {
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
