use super::{Absent, Key, Kind, Table};

/// The user's pantry file.
pub static PANTRY: Table = Table {
    name: "a pantry",
    doc: "What the cook has already.",
    keys: &[Key {
        name: "have",
        kind: Kind::Names,
        absent: Absent::Nothing,
        doc: "Amounts by ingredient: \"250 g\", 3, or \"plenty\".",
    }],
};
