//! The objects of a text: JSON-LD blocks and microdata of a page, or the JSON itself.

use scraper::{Html, Selector};
use serde_json::Value;

use super::{lenient, microdata};

/// What a text holds.
#[derive(Debug, Default)]
pub(super) struct Found {
    /// Its values, JSON-LD first.
    pub values: Vec<Piece>,
    /// Blocks that could not be read.
    pub unread: Vec<String>,
}

/// One value of a text.
#[derive(Debug)]
pub(super) struct Piece {
    pub value: Value,
    /// What is to be said about how it was read.
    pub note: Option<String>,
}

/// The values of a page or of bare JSON.
pub(super) fn objects(text: &str) -> Found {
    let mut found = Found::default();
    let start = text.trim_start_matches('\u{feff}').trim_start();
    if start.starts_with(['{', '[']) {
        add(&mut found, start, 1);
        if !found.values.is_empty() {
            return found;
        }
    }
    let page = Html::parse_document(text);
    if let Ok(scripts) = Selector::parse("script") {
        let blocks = page.select(&scripts).filter(|script| {
            let kind = script
                .value()
                .attr("type")
                .unwrap_or_default()
                .to_ascii_lowercase();
            kind.split(';').next().unwrap_or_default().trim() == "application/ld+json"
        });
        for (index, script) in blocks.enumerate() {
            add(&mut found, &script.text().collect::<String>(), index + 1);
        }
    }
    let items = microdata::items(&page).into_iter();
    found
        .values
        .extend(items.map(|value| Piece { value, note: None }));
    found
}

fn add(found: &mut Found, text: &str, block: usize) {
    match lenient::parse(text) {
        Some((value, mended)) => {
            let note = mended
                .then(|| format!("the JSON of block {block} was not valid and has been mended"));
            found.values.push(Piece { value, note });
        }
        None if text.trim().is_empty() => {}
        None => found
            .unread
            .push(format!("the JSON of block {block} could not be read")),
    }
}
