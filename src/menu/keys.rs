//! The keys of every table of a file: the single source for reading, suggestions and the JSON Schema.

mod config;
mod dish;
mod kitchen;
mod pantry;
mod session;
mod sounds;

pub use config::{ALERT, CONFIG};
pub use dish::{DISH, INGREDIENT, OVEN_NEED, STEP, THEN};
pub use kitchen::{KITCHEN, OVEN, WARE};
pub use pantry::PANTRY;
pub use session::{COURSE, SESSION};
pub use sounds::{PULSES, SOUNDS};

/// A TOML table: what it is and what it may hold.
#[derive(Debug)]
pub struct Table {
    /// With its article: "a session".
    pub name: &'static str,
    /// What it is for, in one sentence.
    pub doc: &'static str,
    /// In the order in which a cook writes them.
    pub keys: &'static [Key],
}

/// A key of a table.
#[derive(Debug)]
pub struct Key {
    /// As written in the file.
    pub name: &'static str,
    /// What its value may be.
    pub kind: Kind,
    /// What its absence means.
    pub absent: Absent,
    /// What it means, in one sentence.
    pub doc: &'static str,
}

/// What the absence of a key means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Absent {
    /// An error.
    Error,
    /// It doesn't apply.
    Nothing,
    /// This value, as TOML.
    Means(&'static str),
}

/// What a value may be.
#[derive(Clone, Copy, Debug)]
pub enum Kind {
    /// One line of text.
    Text,
    /// A name for reference, without '/'.
    Id,
    /// A list of such names.
    Ids,
    /// A list of texts.
    Texts,
    /// A list of steps: "step" or "dish/step".
    Steps,
    /// A whole number from the first to the second.
    Count(u32, u32),
    /// A number from the first to the second.
    Number(i32, i32),
    /// A list: what each of them is, and how many there may be, from the first to the second.
    List(&'static Kind, u32, u32),
    /// A number greater than zero.
    Positive,
    /// Text or a number: an amount of an ingredient.
    Amount,
    /// A volume: "2.4 L".
    Volume,
    /// true or false.
    Flag,
    /// A duration: "15 min".
    Duration,
    /// A duration or a range: "70 to 90 min".
    DurationRange,
    /// An oven setting: "220 C", "gas 7", "180 to 200 C", "off".
    OvenSetting,
    /// A temperature: "74 C".
    Temperature,
    /// A difference of temperatures: "10 C".
    Difference,
    /// A rate: "10 C/min".
    Rate,
    /// A clock time or a date with one.
    Moment,
    /// A share: "90 %".
    Share,
    /// "on", "off" or "check every 20 min".
    Hands,
    /// One of some words.
    Choice(&'static [&'static str]),
    /// A relative path, or the table itself.
    FileOr(&'static Table),
    /// A table.
    Table(&'static Table),
    /// Tables, each begun by `[[name]]`.
    Tables(&'static Table),
    /// Hours of the day: "22:00 to 07:00".
    Hours,
    /// A table whose keys the reader doesn't know: each value is a text or a list of texts.
    Names,
}

impl Table {
    /// The key of that name.
    pub fn key(&self, name: &str) -> Option<&'static Key> {
        self.keys.iter().find(|key| key.name == name)
    }
}

impl Kind {
    /// What would be right, for a message: "a duration such as '15 min'".
    pub fn expected(&self) -> String {
        match self {
            Kind::Text => "text in quotes".into(),
            Kind::Id => "a name in quotes".into(),
            Kind::Ids => "a list of names, [\"soup\", \"roast\"]".into(),
            Kind::Texts => "a list of texts, [\"one\", \"two\"]".into(),
            Kind::Steps => "a list of steps, [\"season\", \"gravy/reduce\"]".into(),
            Kind::Count(least, most) => format!("a whole number from {least} to {most}"),
            Kind::Number(least, most) => format!("a number from {least} to {most}"),
            Kind::List(each, least, most) => {
                format!("a list of {least} to {most}, each {}", each.expected())
            }
            Kind::Positive => "a number greater than zero".into(),
            Kind::Amount => "an amount, \"200 g\", \"1 1/2 tsp\" or \"to taste\"".into(),
            Kind::Volume => "a volume, \"2.4 L\"".into(),
            Kind::Flag => "true or false".into(),
            Kind::Duration => "a duration, \"15 min\"".into(),
            Kind::DurationRange => "a duration, \"15 min\" or \"70 to 90 min\"".into(),
            Kind::OvenSetting => {
                "an oven setting, \"220 C\", \"425 F\", \"gas 7\", \"fan 200 C\", \"180 to 200 C\" or \"off\"".into()
            }
            Kind::Temperature => "a temperature, \"74 C\" or \"165 F\"".into(),
            Kind::Difference => "a difference of temperatures, \"10 C\"".into(),
            Kind::Rate => "a rate, \"10 C/min\"".into(),
            Kind::Moment => "a clock time, \"19:30\", or a date with one, \"2026-12-21 19:30\"".into(),
            Kind::Share => "a share, \"90 %\"".into(),
            Kind::Hands => "\"on\", \"off\" or \"check every 20 min\"".into(),
            Kind::Choice(words) => {
                let quoted: Vec<_> = words.iter().map(|word| format!("\"{word}\"")).collect();
                match quoted.split_last() {
                    Some((last, rest)) if !rest.is_empty() => {
                        format!("{} or {last}", rest.join(", "))
                    }
                    _ => quoted.concat(),
                }
            }
            Kind::FileOr(table) => format!("a path in quotes or {} as a table", table.name),
            Kind::Table(table) => format!("{} as a table", table.name),
            Kind::Tables(table) => format!("tables, {} each", table.name),
            Kind::Hours => "hours of the day, \"22:00 to 07:00\"".into(),
            Kind::Names => "a table of texts".into(),
        }
    }
}
