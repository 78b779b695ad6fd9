//! Kitchens.

use std::collections::HashMap;

use toml::de::DeTable;

use super::{Document, Reader};
use crate::measure::{Ratio, dial::Scale, temperature};
use crate::menu::diagnostic::{At, Diagnostic};
use crate::menu::keys::{KITCHEN, OVEN, WARE};
use crate::menu::model::{Kitchen, Oven, Ware};

impl Default for Kitchen {
    fn default() -> Self {
        Self {
            cooks: 1,
            burners: 4,
            ovens: vec![Oven::default()],
            wares: Vec::new(),
        }
    }
}

impl Default for Oven {
    fn default() -> Self {
        Self {
            name: "oven".into(),
            racks: 2,
            heats: Ratio::from_integer(10),
            cools: Ratio::from_integer(4),
            room: Ratio::from_integer(20),
            dial: None,
        }
    }
}

pub(in crate::menu) fn kitchen_file(reader: &mut Reader, document: &Document) -> Kitchen {
    kitchen_table(reader, &document.table, document.at())
}

pub(in crate::menu) fn kitchen_table<'t>(
    reader: &mut Reader,
    entries: &'t DeTable<'t>,
    at: At,
) -> Kitchen {
    let fields = reader.open(&KITCHEN, entries, at);
    let mut kitchen = Kitchen::default();
    if let Some(cooks) = fields.count(reader, "cooks") {
        kitchen.cooks = cooks;
    }
    if let Some(burners) = fields.count(reader, "burners") {
        kitchen.burners = burners;
    }
    if let Some(tables) = fields.tables(reader, "oven") {
        if tables.is_empty() {
            reader.push(
                Diagnostic::error(fields.spot("oven"), "a kitchen without an oven")
                    .help("leave the key out for one oven of two racks"),
            );
        }
        let mut seen = HashMap::new();
        kitchen.ovens = tables
            .into_iter()
            .map(|(entries, at)| oven(reader, entries, at, &mut seen))
            .collect();
    }
    if let Some(tables) = fields.tables(reader, "ware") {
        let mut seen = HashMap::new();
        kitchen.wares = tables
            .into_iter()
            .filter_map(|(entries, at)| ware(reader, entries, at, &mut seen))
            .collect();
    }
    kitchen
}

fn oven<'t>(
    reader: &mut Reader,
    entries: &'t DeTable<'t>,
    at: At,
    seen: &mut HashMap<String, At>,
) -> Oven {
    let fields = reader.open(&OVEN, entries, at);
    let mut oven = Oven::default();
    if let Some(name) = fields.name(reader, "name") {
        oven.name = name.value;
    }
    once(reader, "oven", &oven.name, fields.spot("name"), seen);
    if let Some(racks) = fields.count(reader, "racks") {
        oven.racks = racks;
    }
    if let Some(rate) = fields.parsed(reader, "heats", temperature::rate) {
        oven.heats = rate.value;
    }
    if let Some(rate) = fields.parsed(reader, "cools", temperature::rate) {
        oven.cools = rate.value;
    }
    if let Some(word) = fields.choice(reader, "dial") {
        oven.dial = Scale::named(word);
    }
    if let Some(room) = fields.celsius(reader, "room") {
        if room < Ratio::from_integer(-20) || room > Ratio::from_integer(60) {
            reader.push(
                Diagnostic::error(fields.spot("room"), "this is not the temperature of a room")
                    .help("write where the oven starts from, cold: from -20 C to 60 C"),
            );
        } else {
            oven.room = room;
        }
    }
    oven
}

fn ware<'t>(
    reader: &mut Reader,
    entries: &'t DeTable<'t>,
    at: At,
    seen: &mut HashMap<String, At>,
) -> Option<Ware> {
    let fields = reader.open(&WARE, entries, at);
    let count = fields.count(reader, "count").unwrap_or(1);
    let holds = fields.volume(reader, "holds");
    let name = fields.name(reader, "name")?;
    once(reader, "cookware", &name.value, name.at, seen);
    if name.value == "burner" {
        reader.push(
            Diagnostic::error(name.at, "burners are not cookware")
                .help("write burners = 4 at the top of the kitchen"),
        );
        return None;
    }
    Some(Ware {
        name: name.value,
        count,
        holds,
    })
}

fn once(reader: &mut Reader, what: &str, name: &str, at: At, seen: &mut HashMap<String, At>) {
    if let Some(first) = seen.insert(name.to_owned(), at) {
        reader.push(
            Diagnostic::error(at, format!("a second {what} of the name '{name}'"))
                .also(first, "the first")
                .help("give each its own name; for several alike, 'count' or 'racks'"),
        );
    }
}
