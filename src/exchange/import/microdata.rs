//! Microdata of a page, in the shape of JSON-LD.
//!
//! Source: HTML Living Standard, section "Microdata": `itemscope`, `itemtype`, `itemprop`, and the value of a
//! property by its element.

use scraper::{ElementRef, Html, Selector};
use serde_json::{Map, Value};

/// Items nested deeper are left out.
const DEEPEST: usize = 16;

/// The items of a page that are no property of another item.
pub(super) fn items(page: &Html) -> Vec<Value> {
    let Ok(scopes) = Selector::parse("[itemscope]") else {
        return Vec::new();
    };
    page.select(&scopes)
        .filter(|scope| scope.value().attr("itemprop").is_none())
        .map(|scope| Value::Object(item(scope, 0)))
        .collect()
}

fn item(scope: ElementRef<'_>, depth: usize) -> Map<String, Value> {
    let mut object = Map::new();
    if let Some(kind) = scope.value().attr("itemtype") {
        let types = kind
            .split_whitespace()
            .map(|name| Value::String(name.to_owned()));
        object.insert("@type".to_owned(), Value::Array(types.collect()));
    }
    for element in scope.descendants().skip(1).filter_map(ElementRef::wrap) {
        let Some(names) = element.value().attr("itemprop") else {
            continue;
        };
        if !belongs(element, scope) {
            continue;
        }
        let value = value(element, depth);
        for name in names.split_whitespace() {
            let name = name.rsplit('/').next().unwrap_or(name);
            let values = object
                .entry(name.to_owned())
                .or_insert_with(|| Value::Array(Vec::new()));
            if let Value::Array(values) = values {
                values.push(value.clone());
            }
        }
    }
    object
}

/// Whether the nearest item around a property is this one.
fn belongs(element: ElementRef<'_>, scope: ElementRef<'_>) -> bool {
    element
        .ancestors()
        .filter_map(ElementRef::wrap)
        .find(|ancestor| ancestor.value().attr("itemscope").is_some())
        .is_some_and(|nearest| nearest.id() == scope.id())
}

fn value(element: ElementRef<'_>, depth: usize) -> Value {
    if element.value().attr("itemscope").is_some() {
        return if depth < DEEPEST {
            Value::Object(item(element, depth + 1))
        } else {
            Value::Null
        };
    }
    let attribute = match element.value().name() {
        "meta" => Some("content"),
        "audio" | "embed" | "iframe" | "img" | "source" | "track" | "video" => Some("src"),
        "a" | "area" | "link" => Some("href"),
        "object" => Some("data"),
        "data" | "meter" => Some("value"),
        "time" => Some("datetime"),
        _ => None,
    };
    // Pages put `content` on other elements too, and names into links: what is there to read counts.
    let given = attribute
        .and_then(|name| element.value().attr(name))
        .or_else(|| element.value().attr("content"));
    let text = match given {
        Some(text) if element.value().name() != "a" => text.to_owned(),
        // Line breaks in markup are mere blanks.
        _ => element.inner_html().replace(['\n', '\r'], " "),
    };
    Value::String(text)
}
