//! Reading JSON-LD values: names with or without prefix, one or a list, texts with tags and entities in them.

use std::collections::HashMap;

use scraper::Html;
use serde_json::{Map, Value};

/// Every object that has an `@id`, to follow references within a page.
pub(super) type Ids<'a> = HashMap<&'a str, &'a Map<String, Value>>;

/// The value of a property, by its name with or without the vocabulary before it.
pub(super) fn get<'a>(object: &'a Map<String, Value>, name: &str) -> Option<&'a Value> {
    object.get(name).or_else(|| {
        ["schema:", "https://schema.org/", "http://schema.org/"]
            .iter()
            .find_map(|prefix| object.get(&format!("{prefix}{name}")))
    })
}

/// The values of a property: a list's elements, an ItemList's elements, or the one value.
pub(super) fn list(value: Option<&Value>) -> Vec<&Value> {
    match value {
        None | Some(Value::Null) => Vec::new(),
        Some(Value::Array(values)) => values.iter().collect(),
        Some(Value::Object(object)) if is_a(object, "ItemList") || object.contains_key("@list") => {
            list(
                object
                    .get("@list")
                    .or_else(|| get(object, "itemListElement")),
            )
        }
        Some(value) => vec![value],
    }
}

/// Whether the object is of that type: "Recipe", `https://schema.org/Recipe`, or a list with it.
pub(super) fn is_a(object: &Map<String, Value>, wanted: &str) -> bool {
    types(object).any(|name| name == wanted)
}

/// The types of an object, without the vocabulary before them.
pub(super) fn types(object: &Map<String, Value>) -> impl Iterator<Item = &str> {
    let value = object.get("@type").or_else(|| object.get("type"));
    list(value)
        .into_iter()
        .filter_map(Value::as_str)
        .map(|name| name.rsplit(['/', '#', ':']).next().unwrap_or(name))
}

/// The object that a reference (`{"@id": "#x"}`) stands for, or the object itself.
pub(super) fn follow<'a>(object: &'a Map<String, Value>, ids: &Ids<'a>) -> &'a Map<String, Value> {
    match object.get("@id").and_then(Value::as_str) {
        Some(id) if object.len() == 1 => ids.get(id).copied().unwrap_or(object),
        _ => object,
    }
}

/// The words of a value: a string, a number, an `@value`, or the first of a list; tags and entities undone.
pub(super) fn words(value: &Value) -> Option<String> {
    let text = match value {
        Value::String(text) => clean(text),
        Value::Number(number) => number.to_string(),
        Value::Array(values) => return values.iter().find_map(words),
        Value::Object(object) => {
            let inner = ["@value", "text", "name", "value"]
                .iter()
                .find_map(|name| get(object, name));
            return inner.filter(|v| !v.is_object()).and_then(words);
        }
        Value::Bool(_) | Value::Null => return None,
    };
    (!text.is_empty()).then_some(text)
}

/// One line of plain text: tags and character references undone, white space single, control characters out.
pub(super) fn clean(text: &str) -> String {
    lines(text).join(" ")
}

/// The lines of a text: what stands in paragraphs, list items or after line breaks.
pub(super) fn lines(text: &str) -> Vec<String> {
    let mut text = text.to_owned();
    // Some pages escape twice ("&amp;frac12;").
    for _ in 0..2 {
        if !text.contains(['<', '&']) {
            break;
        }
        text = unmarked(&text);
    }
    text.split(['\n', '\r'])
        .map(|line| {
            let words = line
                .split(|c: char| c.is_whitespace() || is_hidden(c))
                .filter(|w| !w.is_empty());
            words.collect::<Vec<_>>().join(" ")
        })
        .filter(|line| !line.is_empty())
        .collect()
}

/// The text of a piece of markup: what its tags set apart is on lines of its own, and then its own line breaks are
/// mere blanks.
fn unmarked(text: &str) -> String {
    const BREAKS: &[&str] = &[
        "<br", "</p>", "</li>", "</div>", "</h1>", "</h2>", "</h3>", "</h4>", "</h5>", "</h6>",
    ];
    let lower = text.to_ascii_lowercase();
    let mut text = text.to_owned();
    if BREAKS.iter().any(|tag| lower.contains(tag)) {
        text = text.replace(['\n', '\r'], " ");
        for tag in BREAKS {
            text = text
                .replace(tag, &format!("\n{tag}"))
                .replace(&tag.to_ascii_uppercase(), &format!("\n{tag}"));
        }
    }
    Html::parse_fragment(&text).root_element().text().collect()
}

/// Whether a terminal would obey a character instead of showing it: controls, line separators, and the marks that
/// override the direction of text.
pub(super) fn is_hidden(c: char) -> bool {
    c.is_control() || matches!(c, '\u{2028}'..='\u{202E}' | '\u{2066}'..='\u{2069}')
}
