//! The entries: from a path, or from text that is built in, to a session.

use std::collections::HashMap;
use std::path::{Path, PathBuf};

use super::diagnostic::{At, Diagnostic, Diagnostics};
use super::files::{Files, Folder, read_bounded};
use super::lookup::Lookup;
use super::model::{Dish, Kitchen, Session};
use super::read::{self, RawDish, Reader};
use super::{StepRef, lint, resolve};

/// A session that can be planned, and what is doubtful about it.
#[derive(Clone, Debug)]
pub struct Loaded {
    /// As understood.
    pub session: Session,
    /// Warnings alone; and the sources, for more of them.
    pub warnings: Diagnostics,
    places: HashMap<Place, At>,
}

/// Something of a session that stands somewhere in a file.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Place {
    /// A dish, by its id.
    Dish(String),
    /// A step.
    Step(StepRef),
    /// An ingredient of a dish: of several with that name, the last.
    Ingredient {
        /// The dish's id.
        dish: String,
        /// The ingredient's name.
        item: String,
    },
}

impl Loaded {
    /// Adds a warning, shown at its place; where there is none, at the head of the session's file. `help` may be empty.
    pub fn warn(&mut self, place: Option<&Place>, message: impl Into<String>, help: &str) {
        let at = place.and_then(|place| self.places.get(place)).copied();
        let mut warning = Diagnostic::warning(at.unwrap_or_default(), message);
        if !help.is_empty() {
            warning = warning.help(help);
        }
        self.warnings.push(warning);
        self.warnings.sort();
    }
}

/// Reads a session file, with the dishes and the kitchen that it names.
///
/// # Errors
/// Everything that is wrong with any of the files.
pub fn load(path: &Path, lookup: &Lookup) -> Result<Loaded, Diagnostics> {
    let shown = path.display().to_string();
    let bytes = read_bounded(path)
        .map_err(|why| Diagnostics::whole_file(&shown, format!("can't be read: {why}")))?;
    let own = Folder(folder_of(path));
    load_bytes(&shown, &bytes, &own, lookup)
}

/// Reads a session that is at hand as bytes; `own` is the folder in which its dishes and kitchens are.
///
/// # Errors
/// Everything that is wrong with any of the files.
pub fn load_bytes(
    name: &str,
    bytes: &[u8],
    own: &dyn Files,
    lookup: &Lookup,
) -> Result<Loaded, Diagnostics> {
    let mut reader = Reader::default();
    let dishes = lookup.data.as_ref().map(|data| Folder(data.join("dishes")));
    let config = lookup.config.clone().map(Folder);
    let folders = resolve::Folders {
        own,
        dishes: dishes.as_ref().map(|folder| folder as &dyn Files),
        config: config.as_ref().map(|folder| folder as &dyn Files),
    };
    let Some((source, text)) = read::decode(&mut reader, name, bytes) else {
        return Err(finish(reader));
    };
    let document = reader.parse(source, &text);
    let raw = read::session_file(&mut reader, &document);
    let resolved = resolve::session(&mut reader, raw, &folders, &title_of(name));
    lint::session(&mut reader, &resolved);
    let found = finish(reader);
    if found.has_errors() {
        return Err(found);
    }
    let places = resolved.dishes.iter().flat_map(places_of).collect();
    Ok(Loaded {
        session: resolved.session,
        warnings: found,
        places,
    })
}

/// Reads a session that is built into the program or given as text; without any files beside it.
///
/// # Errors
/// Everything that is wrong with it.
pub fn load_text(name: &str, text: &str) -> Result<Loaded, Diagnostics> {
    load_bytes(
        name,
        text.as_bytes(),
        &super::files::BuiltIn(&[]),
        &Lookup::default(),
    )
}

/// A dish file by itself. References to other dishes are left out, for those are not at hand.
///
/// # Errors
/// Everything that is wrong with it.
pub fn load_dish(
    name: &str,
    bytes: &[u8],
    kitchen: Option<&Kitchen>,
) -> Result<(Dish, Diagnostics), Diagnostics> {
    let mut reader = Reader::default();
    let Some((source, text)) = read::decode(&mut reader, name, bytes) else {
        return Err(finish(reader));
    };
    let document = reader.parse(source, &text);
    let id = Path::new(name)
        .file_stem()
        .map_or("dish".into(), |stem| stem.to_string_lossy());
    let raw = read::dish_file(&mut reader, &document, &id);
    let raw = resolve::dish_alone(&mut reader, raw, kitchen);
    lint::dish(&mut reader, &raw);
    let found = finish(reader);
    if found.has_errors() {
        return Err(found);
    }
    Ok((raw.dish, found))
}

/// What a file is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileKind {
    /// A meal.
    Session,
    /// A dish.
    Dish,
    /// A kitchen.
    Kitchen,
    /// The user's config.
    Config,
    /// The notes of the calls.
    Sounds,
    /// What the cook has already.
    Pantry,
}

/// What a file is about, by the keys at its top; what can't be told is taken for a session.
pub fn kind_of(name: &str, bytes: &[u8]) -> FileKind {
    let text = String::from_utf8_lossy(bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes));
    let (table, _) = toml::de::DeTable::parse_recoverable(&text);
    let has = |key: &str| table.get_ref().contains_key(key);
    // The keys that no other kind has come first; a misspelt one or two don't change the kind.
    let count = |keys: &[&str]| keys.iter().filter(|key| has(key)).count();
    let kinds = [
        (
            FileKind::Session,
            count(&["course", "guests", "serve", "dish", "kitchen", "start"]),
        ),
        (
            FileKind::Dish,
            count(&["step", "ingredient", "serves", "makes"]),
        ),
        (
            FileKind::Kitchen,
            count(&["cooks", "burners", "oven", "ware"]),
        ),
        (
            FileKind::Config,
            count(&[
                "clock",
                "units",
                "theme",
                "alert",
                "keys",
                "mouse",
                "learn",
                "lead",
                "glance_after",
            ]),
        ),
        (FileKind::Sounds, count(&["low", "medium", "high"])),
        (FileKind::Pantry, count(&["have"])),
    ];
    let most = kinds.iter().map(|(_, count)| *count).max().unwrap_or(0);
    if most == 0
        && let Some(name) = Path::new(name).file_name().and_then(|name| name.to_str())
    {
        match name {
            "config.toml" => return FileKind::Config,
            "sounds.toml" => return FileKind::Sounds,
            "pantry.toml" => return FileKind::Pantry,
            _ => {}
        }
    }
    // Of equals the first.
    kinds
        .iter()
        .find(|(_, count)| *count == most)
        .map_or(FileKind::Session, |(kind, _)| *kind)
}

/// Runs every reader of what a user writes over some bytes: for fuzzing. Whatever they are, it returns.
pub fn read_anything(bytes: &[u8]) {
    let _ = kind_of("x.toml", bytes);
    let shown = |found: Diagnostics| {
        let _ = (found.render(true), found.brief());
    };
    match load_bytes(
        "x.toml",
        bytes,
        &super::files::BuiltIn(&[]),
        &Lookup::default(),
    ) {
        Ok(loaded) => shown(loaded.warnings),
        Err(found) => shown(found),
    }
    match load_dish("x.toml", bytes, Some(&Kitchen::default())) {
        Ok((_, found)) | Err(found) => shown(found),
    }
    match load_kitchen("x.toml", bytes) {
        Ok((_, found)) | Err(found) => shown(found),
    }
    if let Err(found) = super::config::Config::read("x.toml", bytes) {
        shown(found);
    }
}

/// A kitchen file.
///
/// # Errors
/// Everything that is wrong with it.
pub fn load_kitchen(name: &str, bytes: &[u8]) -> Result<(Kitchen, Diagnostics), Diagnostics> {
    let mut reader = Reader::default();
    let Some((source, text)) = read::decode(&mut reader, name, bytes) else {
        return Err(finish(reader));
    };
    let document = reader.parse(source, &text);
    let kitchen = read::kitchen_file(&mut reader, &document);
    let found = finish(reader);
    if found.has_errors() {
        return Err(found);
    }
    Ok((kitchen, found))
}

fn finish(reader: Reader) -> Diagnostics {
    reader.into_found()
}

fn places_of(raw: &RawDish) -> impl Iterator<Item = (Place, At)> {
    let id = || raw.dish.id.clone();
    let steps = raw.dish.steps.iter().zip(&raw.places);
    let steps = steps.map(move |(step, places)| {
        let step = StepRef {
            dish: id(),
            step: step.id.clone(),
        };
        (Place::Step(step), places.id)
    });
    let ingredients = raw.dish.ingredients.iter().zip(&raw.ingredients);
    let ingredients = ingredients.map(move |(ingredient, at)| {
        let (dish, item) = (id(), ingredient.item.clone());
        (Place::Ingredient { dish, item }, *at)
    });
    let dish = std::iter::once((Place::Dish(id()), raw.id_at));
    dish.chain(steps).chain(ingredients)
}

fn folder_of(path: &Path) -> PathBuf {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    }
}

fn title_of(name: &str) -> String {
    let stem = Path::new(name)
        .file_stem()
        .map_or("Session".into(), |stem| stem.to_string_lossy());
    read::spoken(&super::text::clean(&stem))
}
