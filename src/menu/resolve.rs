//! From what the files say to a session: dishes looked up, names resolved, and what can never be refused.

mod order;
mod supply;

use std::collections::HashMap;

use jiff::civil::Time;

use super::diagnostic::{At, Diagnostic};
use super::files::Files;
use super::model::{Dish, Kitchen, Moment, Session};
use super::read::{self, KitchenOf, RawDish, RawSession, Reader, Spot};

/// The folders that a session may draw on.
pub(super) struct Folders<'a> {
    /// The session's own.
    pub own: &'a dyn Files,
    /// The user's dishes.
    pub dishes: Option<&'a dyn Files>,
    /// The user's settings, for the kitchen.
    pub config: Option<&'a dyn Files>,
}

/// A session, with the dishes as they were read.
pub(super) struct Resolved {
    pub session: Session,
    pub dishes: Vec<RawDish>,
}

/// Resolves a session. What it gives is whole only if the reader has found no error.
pub(super) fn session(
    reader: &mut Reader,
    mut raw: RawSession,
    folders: &Folders,
    title: &str,
) -> Resolved {
    let kitchen = kitchen(reader, raw.kitchen.take(), folders);
    let mut dishes: Vec<RawDish> = Vec::new();
    let mut named: HashMap<String, At> = HashMap::new();
    let mut own: HashMap<String, RawDish> = std::mem::take(&mut raw.dishes)
        .into_iter()
        .map(|dish| (dish.dish.id.clone(), dish))
        .collect();
    let known: Option<Vec<String>> = (!raw.nameless).then(|| own.keys().cloned().collect());
    for course in &mut raw.courses {
        for name in &course.dishes {
            if let Some(first) = named.get(&name.value) {
                reader.push(
                    Diagnostic::error(name.at, format!("the dish '{}' a second time", name.value))
                        .also(*first, "the first")
                        .help("a dish is in one course, once"),
                );
                continue;
            }
            named.insert(name.value.clone(), name.at);
            let found = match own.remove(&name.value) {
                Some(dish) => Some(dish),
                None => look_up(reader, name, known.as_deref(), folders),
            };
            if let Some(dish) = found {
                course.course.dishes.push(name.value.clone());
                dishes.push(dish);
            }
        }
    }
    // Dishes of the file that no course serves are held to the same rules.
    let mut spare: Vec<RawDish> = own.into_values().collect();
    spare.sort_by_key(|dish| dish.at);
    for dish in &spare {
        reader.push(
            Diagnostic::warning(
                dish.id_at,
                format!("the dish '{}' is in no course", dish.dish.id),
            )
            .help("name it in the 'dishes' of a course"),
        );
    }
    let ahead = ahead(reader, &raw.ahead, &dishes, &named);
    order::resolve(reader, &mut dishes);
    order::resolve(reader, &mut spare);
    for dish in dishes.iter().chain(&spare) {
        supply::uses(reader, dish);
        supply::enough(reader, dish, &kitchen, raw.guests);
    }
    let session = Session {
        title: raw.title.unwrap_or_else(|| title.to_owned()),
        guests: raw.guests.unwrap_or(1),
        serve: raw.serve.unwrap_or(Moment::Clock(Time::midnight())),
        start: raw.start,
        ahead,
        kitchen,
        avoid: raw.avoid,
        sure: raw.sure,
        courses: raw
            .courses
            .into_iter()
            .map(|course| course.course)
            .collect(),
        dishes: dishes.iter().map(|dish| dish.dish.clone()).collect(),
    };
    Resolved { session, dishes }
}

/// A dish by itself: what another dish might be to it is left open.
pub(super) fn dish_alone(
    reader: &mut Reader,
    mut raw: RawDish,
    kitchen: Option<&Kitchen>,
) -> RawDish {
    order::resolve_alone(reader, std::slice::from_mut(&mut raw));
    supply::uses(reader, &raw);
    if let Some(kitchen) = kitchen {
        let guests = raw
            .dish
            .serves
            .and_then(|s| u32::try_from(s.ceil().to_integer()).ok());
        supply::enough(reader, &raw, kitchen, guests);
    }
    raw
}

fn kitchen(reader: &mut Reader, of: Option<KitchenOf>, folders: &Folders) -> Kitchen {
    match of {
        Some(KitchenOf::Here(kitchen)) => kitchen,
        Some(KitchenOf::Unread) => Kitchen::default(),
        Some(KitchenOf::File(path)) => match folders.own.read(&path.value) {
            Ok(Some(bytes)) => kitchen_bytes(reader, &folders.own.shown(&path.value), &bytes),
            Ok(None) => {
                reader.push(
                    Diagnostic::error(
                        path.at,
                        format!("there is no kitchen file '{}'", path.value),
                    )
                    .help(format!("looked for {}", folders.own.shown(&path.value))),
                );
                Kitchen::default()
            }
            Err(why) => {
                let message = format!("the kitchen file '{}' can't be read", path.value);
                reader.push(Diagnostic::error(path.at, message).help(why));
                Kitchen::default()
            }
        },
        None => match folders
            .config
            .map(|config| (config, config.read("kitchen.toml")))
        {
            Some((config, Ok(Some(bytes)))) => {
                kitchen_bytes(reader, &config.shown("kitchen.toml"), &bytes)
            }
            _ => Kitchen::default(),
        },
    }
}

fn kitchen_bytes(reader: &mut Reader, name: &str, bytes: &[u8]) -> Kitchen {
    match read::decode(reader, name, bytes) {
        Some((source, text)) => {
            let document = reader.parse(source, &text);
            read::kitchen_file(reader, &document)
        }
        None => Kitchen::default(),
    }
}

/// A dish file beside the session, or in the user's own folder.
fn look_up(
    reader: &mut Reader,
    name: &Spot<String>,
    known: Option<&[String]>,
    folders: &Folders,
) -> Option<RawDish> {
    let id = &name.value;
    if id.contains('/') {
        reader.push(
            Diagnostic::error(name.at, format!("a '/' in the dish id '{id}'"))
                .help("dishes are named by id alone; the file is dishes/ID.toml"),
        );
        return None;
    }
    let beside = format!("dishes/{id}.toml");
    let in_own = format!("{id}.toml");
    let places = [(Some(folders.own), &beside), (folders.dishes, &in_own)];
    for (files, path) in places {
        let Some(files) = files else { continue };
        match files.read(path) {
            Ok(Some(bytes)) => {
                let (source, text) = read::decode(reader, &files.shown(path), &bytes)?;
                let document = reader.parse(source, &text);
                return Some(read::dish_file(reader, &document, id));
            }
            Ok(None) => {}
            Err(why) => {
                let message = format!("the dish file of '{id}' can't be read");
                reader.push(Diagnostic::error(name.at, message).help(why));
                return None;
            }
        }
    }
    if reader.found.is_full() {
        reader.found.left_out += 1;
        return None;
    }
    let known = known?;
    let mut diagnostic = Diagnostic::error(name.at, format!("the dish '{id}' is not defined"));
    diagnostic = match read::nearest(id, known.iter().map(String::as_str)) {
        Some(near) => diagnostic.help(format!("did you mean '{near}'?")),
        None => diagnostic.help(format!(
            "add [[dish]] with id = \"{id}\", or the file {}",
            folders.own.shown(&beside)
        )),
    };
    reader.absence(diagnostic);
    None
}

fn ahead(
    reader: &mut Reader,
    names: &[Spot<String>],
    dishes: &[RawDish],
    named: &HashMap<String, At>,
) -> Vec<String> {
    let mut ahead: Vec<String> = Vec::new();
    for name in names {
        let Some(raw) = dishes.iter().find(|raw| raw.dish.id == name.value) else {
            // One that a course names but that isn't there is told where the course names it.
            if !named.contains_key(&name.value) {
                let ids = dishes.iter().map(|raw| raw.dish.id.as_str());
                let message = format!("the dish '{}' is in no course", name.value);
                reader.undefined(name.at, message, &name.value, ids);
            }
            continue;
        };
        if !makes_ahead(&raw.dish) && !raw.incomplete {
            reader.push(
                Diagnostic::error(
                    name.at,
                    format!("no step of '{}' can be made ahead", name.value),
                )
                .help("add ahead = \"2 days\" to the step whose result keeps"),
            );
        }
        if ahead.contains(&name.value) {
            reader.push(Diagnostic::warning(
                name.at,
                format!("'{}' is named twice", name.value),
            ));
        } else {
            ahead.push(name.value.clone());
        }
    }
    ahead
}

fn makes_ahead(dish: &Dish) -> bool {
    dish.steps.iter().any(|step| step.ahead.is_some())
}
