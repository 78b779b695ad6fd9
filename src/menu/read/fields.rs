//! The fields of one table, read by its key table.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::{LONGEST_NAME, LONGEST_TEXT, Reader, Spot, nearest, place};
use crate::measure::quantity::{self, Amount};
use crate::measure::unit::{Dimension, Unit};
use crate::measure::{Ratio, duration, temperature};
use crate::menu::diagnostic::{At, Diagnostic};
use crate::menu::keys::{Absent, Kind, Table};

/// A table of the file, with the keys it may have.
#[derive(Clone, Copy)]
pub(in crate::menu) struct Fields<'t> {
    pub keys: &'static Table,
    entries: &'t DeTable<'t>,
    pub at: At,
}

type Value<'t> = Spanned<DeValue<'t>>;

impl Reader {
    /// Takes a table; keys that it doesn't know and required ones that are missing are reported.
    pub fn open<'t>(
        &mut self,
        keys: &'static Table,
        entries: &'t DeTable<'t>,
        at: At,
    ) -> Fields<'t> {
        for (key, _) in entries.iter() {
            let name = key.get_ref().as_ref();
            if keys.key(name).is_some() {
                continue;
            }
            let at = place(at.source, key.span());
            let mut diagnostic =
                Diagnostic::error(at, format!("unknown key '{name}' in {}", keys.name));
            let names = || keys.keys.iter().map(|key| key.name);
            diagnostic = match nearest(name, names()) {
                Some(near) => diagnostic.help(format!("did you mean '{near}'?")),
                None => diagnostic.help(format!(
                    "{} has the keys {}",
                    keys.name,
                    names().collect::<Vec<_>>().join(", ")
                )),
            };
            self.push(diagnostic);
        }
        let fields = Fields { keys, entries, at };
        for key in keys.keys.iter().filter(|key| key.absent == Absent::Error) {
            if fields.value(key.name).is_none() {
                let expected = key.kind.expected();
                let message = format!("{} lacks '{}'", keys.name, key.name);
                let help = match key.kind {
                    Kind::Tables(_) => format!("add [[{}]]", key.name),
                    _ => format!("add {} = ..., {expected}", key.name),
                };
                self.absence(Diagnostic::error(at, message).help(help));
            }
        }
        fields
    }

    fn wrong_type(&mut self, fields: &Fields, name: &str, value: &Value) {
        let expected = fields.keys.key(name).map(|key| key.kind.expected());
        let found = match value.get_ref() {
            DeValue::String(_) => "a text",
            DeValue::Integer(_) => "a whole number",
            DeValue::Float(_) => "a number",
            DeValue::Boolean(_) => "true or false",
            DeValue::Datetime(_) => "a date or time",
            DeValue::Array(_) => "a list",
            DeValue::Table(_) => "a table",
        };
        let at = place(fields.at.source, value.span());
        self.push(
            Diagnostic::error(at, format!("'{name}' can't be {found}"))
                .help(format!("write {}", expected.unwrap_or_default())),
        );
    }

    fn out_of_range(&mut self, fields: &Fields, name: &str, value: &Value, right: String) {
        let at = place(fields.at.source, value.span());
        self.push(Diagnostic::error(at, format!("'{name}' is out of range")).help(right));
    }
}

impl<'t> Fields<'t> {
    /// The value of a key, if it is there. Keys that the table doesn't have are a mistake of the program.
    pub fn value(&self, name: &str) -> Option<&'t Value<'t>> {
        debug_assert!(
            self.keys.key(name).is_some(),
            "no key {name} in {}",
            self.keys.name
        );
        self.entries.get(name)
    }

    /// Where the value of a key stands, or the table if it isn't there.
    pub fn spot(&self, name: &str) -> At {
        self.value(name)
            .map_or(self.at, |value| place(self.at.source, value.span()))
    }

    /// A text of any kind, as it stands.
    pub fn raw(&self, reader: &mut Reader, name: &str) -> Option<Spot<&'t str>> {
        let value = self.value(name)?;
        let at = place(self.at.source, value.span());
        match value.get_ref() {
            DeValue::String(text) => Some(Spot {
                value: text.as_ref(),
                at,
            }),
            _ => {
                reader.wrong_type(self, name, value);
                None
            }
        }
    }

    fn line(&self, reader: &mut Reader, name: &str, most: usize) -> Option<Spot<String>> {
        let raw = self.raw(reader, name)?;
        let value = reader.line(raw.value, raw.at, most)?;
        Some(Spot { value, at: raw.at })
    }

    /// A short text: a name.
    pub fn name(&self, reader: &mut Reader, name: &str) -> Option<Spot<String>> {
        self.line(reader, name, LONGEST_NAME)
    }

    /// A longer text.
    pub fn text(&self, reader: &mut Reader, name: &str) -> Option<Spot<String>> {
        self.line(reader, name, LONGEST_TEXT)
    }

    /// A name without '/'.
    pub fn id(&self, reader: &mut Reader, name: &str) -> Option<Spot<String>> {
        let id = self.name(reader, name)?;
        if id.value.contains('/') {
            reader.push(
                Diagnostic::error(id.at, format!("a '/' in the {name} '{}'", id.value))
                    .help("'/' stands between a dish and its step; write '-'"),
            );
            return None;
        }
        Some(id)
    }

    /// A list of names; faults of single ones are reported, the others given.
    pub fn names(&self, reader: &mut Reader, name: &str) -> Option<Vec<Spot<String>>> {
        let value = self.value(name)?;
        let DeValue::Array(list) = value.get_ref() else {
            reader.wrong_type(self, name, value);
            return None;
        };
        let mut names = Vec::new();
        for entry in list.iter() {
            let at = place(self.at.source, entry.span());
            match entry.get_ref() {
                DeValue::String(text) => {
                    if let Some(value) = reader.line(text, at, LONGEST_NAME) {
                        names.push(Spot { value, at });
                    }
                }
                _ => reader.wrong_type(self, name, entry),
            }
        }
        Some(names)
    }

    /// A whole number within the bounds of its key.
    pub fn count(&self, reader: &mut Reader, name: &str) -> Option<u32> {
        self.counted(reader, name, self.value(name)?)
    }

    /// A value of the key, or of its list, that is a whole number within bounds.
    pub fn counted(&self, reader: &mut Reader, name: &str, value: &Value) -> Option<u32> {
        let DeValue::Integer(integer) = value.get_ref() else {
            reader.wrong_type(self, name, value);
            return None;
        };
        let (least, most) = match self.each(name) {
            Some(Kind::Count(least, most)) => (least, most),
            _ => (0, u32::MAX),
        };
        let number = i128::from_str_radix(integer.as_str(), integer.radix()).ok();
        let counted = number
            .and_then(|n| u32::try_from(n).ok())
            .filter(|n| (least..=most).contains(n));
        if counted.is_none() {
            let right = format!("write a whole number from {least} to {most}");
            reader.out_of_range(self, name, value, right);
        }
        counted
    }

    /// A number within the bounds of its key.
    pub fn number(&self, reader: &mut Reader, name: &str) -> Option<f32> {
        self.within(reader, name, self.value(name)?)
    }

    /// A value of the key, or of its list, that is a number within bounds.
    pub fn within(&self, reader: &mut Reader, name: &str, value: &Value) -> Option<f32> {
        let number: Option<f32> = match value.get_ref() {
            DeValue::Integer(number) if number.radix() == 10 => number.as_str().parse().ok(),
            DeValue::Float(number) => number.as_str().parse().ok(),
            _ => {
                reader.wrong_type(self, name, value);
                return None;
            }
        };
        let Some(Kind::Number(least, most)) = self.each(name) else {
            return number;
        };
        let good = number.filter(|n| (least as f32..=most as f32).contains(n));
        if good.is_none() {
            let right = format!("write a number from {least} to {most}");
            reader.out_of_range(self, name, value, right);
        }
        good
    }

    /// What the values of a key are: what each is, of a list.
    fn each(&self, name: &str) -> Option<Kind> {
        match self.keys.key(name)?.kind {
            Kind::List(each, ..) => Some(*each),
            kind => Some(kind),
        }
    }

    /// A list of so many as its key says, each read by `read`. `None` after a fault of any was told.
    pub fn list<T>(
        &self,
        reader: &mut Reader,
        name: &str,
        read: impl Fn(&mut Reader, &str, &Value) -> Option<T>,
    ) -> Option<Vec<T>> {
        let value = self.value(name)?;
        let DeValue::Array(list) = value.get_ref() else {
            reader.wrong_type(self, name, value);
            return None;
        };
        if let Some(Kind::List(_, least, most)) = self.keys.key(name).map(|key| key.kind)
            && !(least as usize..=most as usize).contains(&list.len())
        {
            let at = place(self.at.source, value.span());
            reader.push(
                Diagnostic::error(at, format!("{} in '{name}'", list.len()))
                    .help(format!("write {least} to {most}")),
            );
            return None;
        }
        let all: Vec<Option<T>> = list.iter().map(|entry| read(reader, name, entry)).collect();
        all.into_iter().collect()
    }

    /// true or false.
    pub fn flag(&self, reader: &mut Reader, name: &str) -> Option<bool> {
        let value = self.value(name)?;
        match value.get_ref() {
            DeValue::Boolean(flag) => Some(*flag),
            _ => {
                reader.wrong_type(self, name, value);
                None
            }
        }
    }

    /// One of the words of its key.
    pub fn choice(&self, reader: &mut Reader, name: &str) -> Option<&'static str> {
        let raw = self.raw(reader, name)?;
        let kind = self.keys.key(name).map(|key| key.kind)?;
        let Kind::Choice(words) = kind else {
            return None;
        };
        let word = words.iter().find(|word| **word == raw.value).copied();
        if word.is_none() {
            let message = format!("'{}' is not for '{name}'", raw.value);
            reader.push(
                Diagnostic::error(raw.at, message).help(format!("write {}", kind.expected())),
            );
        }
        word
    }

    /// A number or a text with one, as text: `3`, `2.5`, `"1 1/2"`.
    pub fn number_text(&self, reader: &mut Reader, name: &str) -> Option<Spot<String>> {
        let value = self.value(name)?;
        let at = place(self.at.source, value.span());
        let text = match value.get_ref() {
            DeValue::Integer(number) if number.radix() == 10 => number.as_str().to_owned(),
            DeValue::Float(number) => number.as_str().to_owned(),
            DeValue::String(text) => reader.line(text, at, LONGEST_NAME)?,
            _ => {
                reader.wrong_type(self, name, value);
                return None;
            }
        };
        Some(Spot { value: text, at })
    }

    /// A number greater than zero, at most 10,000.
    pub fn positive(&self, reader: &mut Reader, name: &str) -> Option<Ratio> {
        let text = self.number_text(reader, name)?;
        let number = match quantity::parse(&text.value) {
            Ok(Amount::Measured(found)) if found.unit().is_none() && found.lo == found.hi => {
                Some(found.lo)
            }
            _ => None,
        };
        let most = Ratio::from_integer(10_000);
        let good = number.filter(|n| *n >= Ratio::new(1, 100) && *n <= most);
        if good.is_none() {
            reader.push(
                Diagnostic::error(
                    text.at,
                    format!("'{}' is not a number for '{name}'", text.value),
                )
                .help("write a number greater than zero, at most 10,000"),
            );
        }
        good
    }

    /// A volume in litres.
    pub fn volume(&self, reader: &mut Reader, name: &str) -> Option<Ratio> {
        let text = self.raw(reader, name)?;
        let line = reader.line(text.value, text.at, LONGEST_NAME)?;
        let litres = quantity::parse(&line).ok().and_then(|amount| {
            let found = amount.quantity()?;
            let unit = found
                .unit()
                .filter(|unit| unit.dimension() == Dimension::Volume)?;
            (found.lo == found.hi).then_some(())?;
            quantity::convert(found.lo, unit, Unit::Litre)
        });
        let range = Ratio::new(1, 1000)..=Ratio::from_integer(1000);
        let good = litres.filter(|litres| range.contains(litres));
        if good.is_none() {
            reader.push(
                Diagnostic::error(text.at, format!("'{line}' is not a volume"))
                    .help("write a volume such as \"2.4 L\", from 1 ml to 1000 L"),
            );
        }
        good
    }

    /// A value that one of the readers of `measure` reads from a text.
    pub fn parsed<T, E: ToString>(
        &self,
        reader: &mut Reader,
        name: &str,
        read: impl FnOnce(&str) -> Result<T, E>,
    ) -> Option<Spot<T>> {
        let text = self.raw(reader, name)?;
        reader.parsed(text, read)
    }

    /// A duration in seconds; the number 0 needs no unit.
    pub fn seconds(&self, reader: &mut Reader, name: &str) -> Option<Ratio> {
        if let Some(DeValue::Integer(number)) = self.value(name).map(Spanned::get_ref)
            && number.as_str() == "0"
        {
            return Some(Ratio::from_integer(0));
        }
        self.parsed(reader, name, duration::parse)
            .map(|spot| spot.value)
    }

    /// A temperature of food or of a room, in C.
    pub fn celsius(&self, reader: &mut Reader, name: &str) -> Option<Ratio> {
        self.parsed(reader, name, temperature::celsius)
            .map(|spot| spot.value)
    }

    /// A table.
    pub fn table(&self, reader: &mut Reader, name: &str) -> Option<(&'t DeTable<'t>, At)> {
        let value = self.value(name)?;
        match value.get_ref() {
            DeValue::Table(table) => Some((table, place(self.at.source, value.span()))),
            _ => {
                reader.wrong_type(self, name, value);
                None
            }
        }
    }

    /// Tables: `[[name]]`, or a list of inline tables.
    pub fn tables(&self, reader: &mut Reader, name: &str) -> Option<Vec<(&'t DeTable<'t>, At)>> {
        let value = self.value(name)?;
        let DeValue::Array(list) = value.get_ref() else {
            if matches!(value.get_ref(), DeValue::Table(_)) {
                let at = place(self.at.source, value.span());
                reader.push(
                    Diagnostic::error(at, format!("'{name}' is a list of tables"))
                        .help(format!("begin each with [[{name}]], two brackets")),
                );
            } else {
                reader.wrong_type(self, name, value);
            }
            return None;
        };
        let mut tables = Vec::new();
        for entry in list.iter() {
            match entry.get_ref() {
                DeValue::Table(table) => tables.push((table, place(self.at.source, entry.span()))),
                _ => reader.wrong_type(self, name, entry),
            }
        }
        Some(tables)
    }
}

impl Reader {
    /// A text read by one of the readers of `measure`, whose fault is told.
    pub fn parsed<T, E: ToString>(
        &mut self,
        text: Spot<&str>,
        read: impl FnOnce(&str) -> Result<T, E>,
    ) -> Option<Spot<T>> {
        let line = self.line(text.value, text.at, LONGEST_NAME)?;
        match read(&line) {
            Ok(value) => Some(Spot { value, at: text.at }),
            Err(error) => {
                let error = error.to_string();
                // "what is wrong: what would be right"
                let diagnostic = match error.split_once(": ") {
                    Some((wrong, right)) => Diagnostic::error(text.at, wrong).help(right),
                    None => Diagnostic::error(text.at, error),
                };
                self.push(diagnostic);
                None
            }
        }
    }
}
