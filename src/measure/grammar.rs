//! The grammar of amounts: from a text to an [`Amount`].

use super::number::{self, Read};
use super::quantity::{Amount, Measure, NotAnAmount, Pieces, Quantity, convert};
use super::unit::Unit;
use super::{Ratio, noun};

fn no<T>(why: &'static str) -> Result<T, NotAnAmount> {
    Err(NotAnAmount { why })
}

/// Phrases that are an amount without a number.
const LOOSE: &[&str] = &[
    "to taste",
    "taste",
    "as needed",
    "as required",
    "as you like",
    "to serve",
    "for",
    "to",
    "some",
    "a few",
    "a little",
    "a bit",
    "a lot",
    "plenty",
    "enough",
    "optional",
    "q.s.",
    "quantum satis",
    "several",
    "few",
    "little",
    "drizzle",
    "splash",
    "pinch",
    "handful",
    "knob",
    "dash",
];

const PREFIXES: &[&str] = &[
    "approximately",
    "approx.",
    "approx",
    "about",
    "around",
    "roughly",
    "circa",
    "ca.",
    "c.",
    "ca",
    "~",
    "≈",
    "up to",
    "at least",
    "at most",
    "a scant",
    "a generous",
    "a good",
    "scant",
    "generous",
    "just under",
    "just over",
];

const MANNERS: &[&str] = &[
    "heaped",
    "heaping",
    "level",
    "rounded",
    "scant",
    "generous",
    "good",
    "packed",
    "slightly heaped",
];

/// Reads an amount.
///
/// # Errors
///
/// If the text is empty, holds no number and no phrase like "to taste", or holds a number that is none: a
/// fraction divided by zero, a range that runs backwards, a number beyond a thousand million.
pub fn parse(text: &str) -> Result<Amount, NotAnAmount> {
    let text = tidy(text);
    if text.is_empty() {
        return no("it is empty");
    }
    if text.starts_with(['-', '\u{2212}']) {
        return no("an amount is not negative");
    }
    let Some((mut quantity, rest)) = read(&text)? else {
        let lower = text.to_lowercase();
        let loose = LOOSE.iter().any(|phrase| {
            lower
                .strip_prefix(phrase)
                .is_some_and(|rest| !rest.starts_with(|c: char| c.is_alphanumeric()))
        });
        return if loose {
            Ok(Amount::Loose(text))
        } else {
            no("it has no number, and is not 'to taste'")
        };
    };
    let rest = rest.trim();
    if let Measure::Pieces(Pieces {
        noun: noun @ None,
        each: None,
    }) = &mut quantity.measure
    {
        if rest.starts_with(|c: char| c.is_ascii_digit()) {
            return no("two numbers stand side by side");
        }
        let (words, remark) = rest.split_at(rest.find([',', ';', '(']).unwrap_or(rest.len()));
        let words = words.trim();
        if words.starts_with(['/', '-', '+', '*', '=', '\u{2044}']) {
            return no("the number does not end well");
        }
        *noun = (!words.is_empty()).then(|| noun::forms(words));
        quantity.remark = remark_of(remark);
        if let Some(each) = quantity.remark.as_deref().and_then(parenthesised)
            && let Measure::Pieces(pieces) = &mut quantity.measure
            && pieces.noun.is_some()
        {
            pieces.each = Some(each);
            quantity.remark = None;
        }
    } else if quantity.remark.is_none() {
        quantity.remark = remark_of(rest);
    }
    Ok(Amount::Measured(quantity))
}

fn remark_of(rest: &str) -> Option<String> {
    let rest = rest.trim_start_matches([',', ';', ' ']).trim();
    (!rest.is_empty()).then(|| rest.to_owned())
}

/// White space of every kind to single spaces; narrow spaces between digits (thousands) away.
fn tidy(text: &str) -> String {
    let text = text.replace(['\u{202f}', '\u{2009}'], "");
    text.split(|c: char| c.is_whitespace() || c.is_control())
        .filter(|w| !w.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

/// Reads the quantity at the start of a tidied text, and gives the text after it; `None`: there is no number.
///
/// A noun is only read here if it is one that is commonly counted ("cloves"): what follows a bare number may as
/// well be the ingredient itself.
pub(crate) fn read(text: &str) -> Result<Option<(Quantity, &str)>, NotAnAmount> {
    let (prefix, start) = prefix(text);
    let Some((lo, comma, rest)) = number(start)? else {
        return Ok(None);
    };
    if let Some((pieces, rest)) = packed(lo, rest)? {
        let quantity = Quantity {
            prefix,
            lo,
            hi: lo,
            manner: None,
            measure: Measure::Pieces(pieces),
            remark: None,
        };
        return Ok(Some((quantity, rest)));
    }
    if let Some((quantity, rest)) = multiplied(&prefix, lo, rest)? {
        return Ok(Some((quantity, rest)));
    }
    let first = measure(rest);
    let at_first_unit = matches!(first.measure, Measure::Unit(_));
    let range_from = if at_first_unit { first.rest } else { rest };
    if let Some(after) = range_sign(range_from)
        && let Some((hi, hi_comma, hi_rest)) = number(after)?
    {
        return range(
            prefix,
            (lo, comma, first),
            (hi, hi_comma, hi_rest),
            at_first_unit,
        );
    }
    let lo = settle(lo, comma, &first.measure);
    let mut quantity = Quantity {
        prefix,
        lo,
        hi: lo,
        manner: first.manner,
        measure: first.measure,
        remark: None,
    };
    let rest = sum(&mut quantity, first.rest)?;
    Ok(Some((quantity, rest)))
}

fn number(text: &str) -> Result<Option<(Ratio, bool, &str)>, NotAnAmount> {
    match number::read(text) {
        Read::Number { value, comma, rest } => Ok(Some((value, comma, rest))),
        Read::None => Ok(None),
        Read::Bad(why) => no(why),
    }
}

fn prefix(text: &str) -> (Option<String>, &str) {
    let lower = text.to_lowercase();
    let found = PREFIXES.iter().find(|p| {
        lower.strip_prefix(**p).is_some_and(|rest| {
            !p.ends_with(|c: char| c.is_alphabetic())
                || rest.starts_with(|c: char| !c.is_alphanumeric())
        })
    });
    match found.and_then(|p| Some((p, text.get(p.len()..)?))) {
        Some((p, rest)) if !rest.is_empty() => {
            let said = match *p {
                "up to" | "at least" | "at most" | "just under" | "just over" => p,
                p if p.contains("scant") => "scant",
                p if p.contains("generous") || p.contains("good") => "generous",
                _ => "about",
            };
            (Some(said.to_owned()), rest.trim_start())
        }
        _ => (None, text),
    }
}

/// A measure at the start of the text.
struct Found<'a> {
    manner: Option<String>,
    measure: Measure,
    rest: &'a str,
}

fn measure(text: &str) -> Found<'_> {
    let start = text.trim_start();
    let start = start.strip_prefix('-').unwrap_or(start);
    let (manner, after) = match word_at(start) {
        Some((word, rest)) if MANNERS.contains(&word.to_lowercase().as_str()) => {
            (Some(word.to_lowercase()), rest.trim_start())
        }
        _ => (None, start),
    };
    if let Some((unit, rest)) = unit(after) {
        let rest = rest.strip_prefix(" of ").unwrap_or(rest);
        return Found {
            manner,
            measure: Measure::Unit(unit),
            rest,
        };
    }
    if let Some((pieces, rest)) = counted(after) {
        return Found {
            manner,
            measure: Measure::Pieces(pieces),
            rest,
        };
    }
    Found {
        manner: None,
        measure: Measure::Pieces(Pieces::default()),
        rest: text,
    }
}

/// The word at the start of the text: up to a blank or a sign that ends it.
fn word_at(text: &str) -> Option<(&str, &str)> {
    let end = text
        .find(|c: char| {
            c.is_whitespace()
                || matches!(
                    c,
                    ',' | ';' | '(' | ')' | '/' | '+' | '-' | '\u{2013}' | '&'
                )
        })
        .unwrap_or(text.len());
    (end > 0).then(|| text.split_at(end))
}

/// A unit of one to three words, the longest that fits.
fn unit(text: &str) -> Option<(Unit, &str)> {
    if let Some(rest) = text.strip_prefix(['"', '\u{2033}']) {
        return Some((Unit::Inch, rest));
    }
    let mut best = None;
    let mut end = 0;
    for _ in 0..3 {
        let Some((word, _)) = word_at(text.get(end..)?.trim_start()) else {
            break;
        };
        end += text.get(end..)?.len() - text.get(end..)?.trim_start().len() + word.len();
        let words = text.get(..end)?;
        if let Some(unit) = Unit::named(words).or_else(|| Unit::named(words.trim_end_matches('.')))
        {
            best = Some((unit, text.get(end..)?));
        }
    }
    best
}

/// A noun that is commonly counted, with a size before it or not.
fn counted(text: &str) -> Option<(Pieces, &str)> {
    let (word, rest) = word_at(text)?;
    let (word, rest) = if noun::is_size(word)
        && let Some((second, after)) = word_at(rest.trim_start())
        && noun::is_counted(second)
    {
        (text.get(..text.len() - after.len())?, after)
    } else {
        (word, rest)
    };
    let last = word.rsplit(' ').next().unwrap_or(word);
    if !noun::is_counted(last) {
        return None;
    }
    let mut pieces = Pieces {
        noun: Some(noun::forms(word)),
        each: None,
    };
    let mut after = rest;
    if let Some(inner) = rest.trim_start().strip_prefix('(')
        && let Some((inner, behind)) = inner.split_once(')')
        && let Some(each) = each(inner)
    {
        pieces.each = Some(each);
        after = behind;
    }
    let after = after.strip_prefix(" of ").unwrap_or(after);
    Some((pieces, after))
}

/// "400 g" or "400 g each" in brackets.
fn parenthesised(text: &str) -> Option<(Ratio, Unit)> {
    each(text.strip_prefix('(')?.strip_suffix(')')?)
}

fn each(text: &str) -> Option<(Ratio, Unit)> {
    let text = prefix(text.trim()).1;
    let Read::Number { value, comma, rest } = number::read(text) else {
        return None;
    };
    let (unit, rest) = unit(rest.trim_start().trim_start_matches('-'))?;
    let rest = rest.trim().trim_start_matches('/');
    let known = rest.is_empty() || rest == "each" || number::read(rest) != Read::None;
    (known && value > Ratio::from_integer(0))
        .then(|| (settle(value, comma, &Measure::Unit(unit)), unit))
}

/// "(400 g) tins", "15-ounce can", "400 g tins" after a whole number.
fn packed(count: Ratio, rest: &str) -> Result<Option<(Pieces, &str)>, NotAnAmount> {
    let after = rest.trim_start();
    if after.len() == rest.len() && !after.starts_with('(') || !count.is_integer() {
        return Ok(None);
    }
    let times = after
        .strip_prefix(['x', '\u{d7}'])
        .map_or(after, str::trim_start);
    let (inner, behind) = match times
        .strip_prefix('(')
        .and_then(|inner| inner.split_once(')'))
    {
        Some((inner, behind)) => (inner, behind),
        None => {
            let Read::Number {
                rest: after_number, ..
            } = number::read(times)
            else {
                return Ok(None);
            };
            if !times.starts_with(|c: char| c.is_ascii_digit()) {
                return Ok(None);
            }
            let Some((_, behind)) = unit(after_number.trim_start().trim_start_matches('-')) else {
                return Ok(None);
            };
            (&times[..times.len() - behind.len()], behind)
        }
    };
    let Some(each) = each(inner) else {
        return Ok(None);
    };
    let Some((mut pieces, rest)) = counted(behind.trim_start().trim_start_matches('-')) else {
        return Ok(None);
    };
    pieces.each = Some(each);
    Ok(Some((pieces, rest)))
}

/// "2 x 400 g": so much in all.
fn multiplied<'a>(
    prefix: &Option<String>,
    times: Ratio,
    rest: &'a str,
) -> Result<Option<(Quantity, &'a str)>, NotAnAmount> {
    let Some(after) = rest.trim_start().strip_prefix(['x', '\u{d7}', '*']) else {
        return Ok(None);
    };
    let Some((value, comma, rest)) = number(after)? else {
        return Ok(None);
    };
    let found = measure(rest);
    if !matches!(found.measure, Measure::Unit(_)) {
        return Ok(None);
    }
    let value = settle(value, comma, &found.measure) * times;
    let quantity = Quantity {
        prefix: prefix.clone(),
        lo: value,
        hi: value,
        manner: found.manner,
        measure: found.measure,
        remark: None,
    };
    Ok(Some((quantity, found.rest)))
}

/// What follows the sign of a range.
fn range_sign(text: &str) -> Option<&str> {
    let text = text.trim_start();
    if let Some(rest) = text.strip_prefix(['-', '\u{2013}', '\u{2014}', '\u{2012}', '\u{2212}']) {
        return Some(rest);
    }
    ["to ", "or "]
        .iter()
        .find_map(|word| text.strip_prefix(word))
}

fn range<'a>(
    prefix: Option<String>,
    (lo, lo_comma, first): (Ratio, bool, Found<'a>),
    (hi, hi_comma, hi_rest): (Ratio, bool, &'a str),
    at_first_unit: bool,
) -> Result<Option<(Quantity, &'a str)>, NotAnAmount> {
    let second = measure(hi_rest);
    let (lo_measure, hi_measure) = match (at_first_unit, &second.measure) {
        (true, Measure::Unit(_)) => (first.measure, second.measure),
        // "200 g to 2 onions" is no range: what follows the first unit is the ingredient's.
        (true, Measure::Pieces(_)) => {
            let value = settle(lo, lo_comma, &first.measure);
            let quantity = Quantity {
                prefix,
                lo: value,
                hi: value,
                manner: first.manner,
                measure: first.measure,
                remark: None,
            };
            return Ok(Some((quantity, first.rest)));
        }
        (false, _) => (second.measure.clone(), second.measure),
    };
    let (lo, mut hi) = (
        settle(lo, lo_comma, &lo_measure),
        settle(hi, hi_comma, &hi_measure),
    );
    if let (Measure::Unit(a), Measure::Unit(b)) = (&lo_measure, &hi_measure) {
        match convert(hi, *b, *a) {
            Some(value) => hi = value,
            None => return no("the two ends of the range do not measure the same"),
        }
    }
    if hi < lo {
        return no("the range runs backwards");
    }
    let manner = second.manner.or(first.manner);
    Ok(Some((
        Quantity {
            prefix,
            lo,
            hi,
            manner,
            measure: lo_measure,
            remark: None,
        },
        second.rest,
    )))
}

/// Three digits after a comma are thousands before grams, millilitres and pieces.
fn settle(value: Ratio, comma: bool, measure: &Measure) -> Ratio {
    let small = matches!(
        measure,
        Measure::Pieces(_) | Measure::Unit(Unit::Gram | Unit::Milligram | Unit::Millilitre)
    );
    if comma && small {
        value * Ratio::from_integer(1000)
    } else {
        value
    }
}

/// "1 lb 4 oz", "1 cup plus 2 tbsp": adds what measures the same; gives the text after it.
fn sum<'a>(quantity: &mut Quantity, mut rest: &'a str) -> Result<&'a str, NotAnAmount> {
    while let Measure::Unit(unit) = quantity.measure {
        let after = rest.trim_start();
        let after = ["+", "plus ", "and ", "& "]
            .iter()
            .find_map(|w| after.strip_prefix(w))
            .unwrap_or(after);
        let Read::Number {
            value,
            comma,
            rest: behind,
        } = number::read(after)
        else {
            break;
        };
        let found = measure(behind);
        let Measure::Unit(other) = found.measure else {
            break;
        };
        if other.size() >= unit.size() {
            break;
        }
        let Some(more) = convert(settle(value, comma, &found.measure), other, unit) else {
            break;
        };
        quantity.lo += more;
        quantity.hi += more;
        rest = found.rest;
        if quantity.hi > Ratio::from_integer(1_000_000_000_000) {
            return no("the number is too large");
        }
    }
    Ok(rest)
}
