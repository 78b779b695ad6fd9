//! Sessions, before their dishes are looked up.

use std::collections::HashMap;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::{Document, Fields, RawDish, Reader, Spot, dish_table, kitchen_table, moment, place};
use crate::measure::Ratio;
use crate::measure::quantity::{self, Amount};
use crate::menu::diagnostic::{At, Diagnostic};
use crate::menu::keys::{COURSE, SESSION};
use crate::menu::model::{Course, Kitchen, Moment};

/// A session as far as its own file says.
#[derive(Debug)]
pub(in crate::menu) struct RawSession {
    pub title: Option<String>,
    pub guests: Option<u32>,
    pub serve: Option<Moment>,
    pub start: Option<Moment>,
    pub ahead: Vec<Spot<String>>,
    pub kitchen: Option<KitchenOf>,
    pub avoid: Vec<String>,
    pub sure: Option<Ratio>,
    pub courses: Vec<RawCourse>,
    pub dishes: Vec<RawDish>,
    /// A dish could not be read for want of an id: what seems undefined may be it.
    pub nameless: bool,
}

/// Where the kitchen is.
#[derive(Debug)]
pub(in crate::menu) enum KitchenOf {
    /// In a file beside the session.
    File(Spot<String>),
    /// In the session.
    Here(Kitchen),
    /// In neither, for what is written is wrong.
    Unread,
}

/// A course, and where its dishes are named.
#[derive(Debug)]
pub(in crate::menu) struct RawCourse {
    pub course: Course,
    pub dishes: Vec<Spot<String>>,
}

pub(in crate::menu) fn session_file(reader: &mut Reader, document: &Document) -> RawSession {
    let fields = reader.open(&SESSION, &document.table, document.at());
    let title = fields.name(reader, "title").map(|title| title.value);
    let guests = fields.count(reader, "guests");
    let serve = moment_of(reader, &fields, "serve");
    let start = moment_of(reader, &fields, "start");
    if let (Some(Moment::At(serve)), Some(Moment::At(start))) = (serve, start)
        && start >= serve
    {
        reader.push(
            Diagnostic::error(fields.spot("start"), "'start' is not before 'serve'")
                .also(fields.spot("serve"), "the first course is promised here"),
        );
    }
    let mut seen = HashMap::new();
    let mut dishes = Vec::new();
    let mut nameless = false;
    for (entries, at) in fields.tables(reader, "dish").unwrap_or_default() {
        let Some(dish) = dish_table(reader, entries, at, None) else {
            nameless = true;
            continue;
        };
        if let Some(first) = seen.insert(dish.dish.id.clone(), dish.id_at) {
            reader.push(
                Diagnostic::error(
                    dish.id_at,
                    format!("a second dish '{}' in this file", dish.dish.id),
                )
                .also(first, "the first")
                .help("give each dish its own id"),
            );
            continue;
        }
        dishes.push(dish);
    }
    RawSession {
        title,
        guests,
        serve,
        start,
        ahead: fields.names(reader, "ahead").unwrap_or_default(),
        kitchen: kitchen(reader, &fields),
        avoid: fields
            .names(reader, "avoid")
            .unwrap_or_default()
            .into_iter()
            .map(|spot| spot.value)
            .collect(),
        sure: sure(reader, &fields),
        courses: courses(reader, &fields),
        dishes,
        nameless,
    }
}

fn moment_of(reader: &mut Reader, fields: &Fields, name: &str) -> Option<Moment> {
    if let Some(DeValue::Datetime(value)) = fields.value(name).map(Spanned::get_ref) {
        return match moment::from_toml(value) {
            Ok(moment) => Some(moment),
            Err(error) => {
                let (wrong, right) = error.split_once(": ").unwrap_or((&error, ""));
                reader.push(Diagnostic::error(fields.spot(name), wrong).help(right));
                None
            }
        };
    }
    fields
        .parsed(reader, name, moment::from_text)
        .map(|spot| spot.value)
}

fn kitchen(reader: &mut Reader, fields: &Fields) -> Option<KitchenOf> {
    let value = fields.value("kitchen")?;
    let at = place(fields.at.source, value.span());
    Some(match value.get_ref() {
        DeValue::Table(table) => KitchenOf::Here(kitchen_table(reader, table, at)),
        _ => fields
            .name(reader, "kitchen")
            .map_or(KitchenOf::Unread, KitchenOf::File),
    })
}

/// "90 %", "90%", 0.9.
fn sure(reader: &mut Reader, fields: &Fields) -> Option<Ratio> {
    let text = fields.number_text(reader, "sure")?;
    let (number, whole) = match text.value.strip_suffix('%') {
        Some(number) => (number.trim(), Ratio::from_integer(100)),
        None => (text.value.trim(), Ratio::from_integer(1)),
    };
    let share = match quantity::parse(number) {
        Ok(Amount::Measured(found)) if found.unit().is_none() && found.lo == found.hi => {
            Some(found.lo / whole)
        }
        _ => None,
    };
    let good =
        share.filter(|share| *share > Ratio::from_integer(0) && *share <= Ratio::from_integer(1));
    if good.is_none() {
        reader.push(
            Diagnostic::error(text.at, format!("'{}' is not a share", text.value))
                .help("write \"90 %\", more than 0 and at most 100"),
        );
    }
    good
}

fn courses(reader: &mut Reader, fields: &Fields) -> Vec<RawCourse> {
    let Some(tables) = fields.tables(reader, "course") else {
        return Vec::new();
    };
    if tables.is_empty() {
        reader.push(
            Diagnostic::error(fields.spot("course"), "a session without a course")
                .help("add [[course]] with its dishes"),
        );
    }
    let courses = tables.into_iter().enumerate();
    courses
        .map(|(index, (entries, at))| course(reader, entries, at, index))
        .collect()
}

fn course<'t>(reader: &mut Reader, entries: &'t DeTable<'t>, at: At, index: usize) -> RawCourse {
    let fields = reader.open(&COURSE, entries, at);
    let name = fields.name(reader, "name").map(|name| name.value);
    let mut gap = fields.seconds(reader, "gap").unwrap_or_default();
    if index == 0 && gap > Ratio::from_integer(0) {
        reader.push(
            Diagnostic::warning(
                fields.spot("gap"),
                "the first course has no course before it: its 'gap' is ignored",
            )
            .help("the first course is promised at 'serve'"),
        );
        gap = Ratio::from_integer(0);
    }
    let plating = fields
        .seconds(reader, "plating")
        .unwrap_or(Ratio::from_integer(120));
    let dishes = fields.names(reader, "dishes");
    if let Some(list) = &dishes
        && list.is_empty()
    {
        reader.push(
            Diagnostic::error(fields.spot("dishes"), "a course without dishes")
                .help("name at least one, or take the course out"),
        );
    }
    RawCourse {
        course: Course {
            name: name.unwrap_or_else(|| format!("Course {}", index + 1)),
            gap,
            plating,
            dishes: Vec::new(),
        },
        dishes: dishes.unwrap_or_default(),
    }
}
