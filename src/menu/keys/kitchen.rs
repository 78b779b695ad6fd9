use super::{Absent, Key, Kind, Table};
use crate::measure::dial::Scale;

/// A kitchen file, or the table `[kitchen]` of a session.
pub static KITCHEN: Table = Table {
    name: "a kitchen",
    doc: "Where it is cooked: hands, burners, ovens, cookware.",
    keys: &[
        Key {
            name: "cooks",
            kind: Kind::Count(1, 50),
            absent: Absent::Means("1"),
            doc: "How many people cook.",
        },
        Key {
            name: "burners",
            kind: Kind::Count(0, 50),
            absent: Absent::Means("4"),
            doc: "Burners of the hob.",
        },
        Key {
            name: "oven",
            kind: Kind::Tables(&OVEN),
            absent: Absent::Means("[{ name = \"oven\", racks = 2 }]"),
            doc: "The ovens.",
        },
        Key {
            name: "ware",
            kind: Kind::Tables(&WARE),
            absent: Absent::Means("[]"),
            doc: "Cookware; a name that is not here exists once.",
        },
    ],
};

/// An oven of a kitchen.
pub static OVEN: Table = Table {
    name: "an oven",
    doc: "An oven of the kitchen.",
    keys: &[
        Key {
            name: "name",
            kind: Kind::Text,
            absent: Absent::Means("\"oven\""),
            doc: "What the cook calls it.",
        },
        Key {
            name: "racks",
            kind: Kind::Count(1, 50),
            absent: Absent::Means("2"),
            doc: "How many racks can be used at once.",
        },
        Key {
            name: "heats",
            kind: Kind::Rate,
            absent: Absent::Means("\"10 C/min\""),
            doc: "How fast it heats.",
        },
        Key {
            name: "cools",
            kind: Kind::Rate,
            absent: Absent::Means("\"4 C/min\""),
            doc: "How fast it cools.",
        },
        Key {
            name: "room",
            kind: Kind::Temperature,
            absent: Absent::Means("\"20 C\""),
            doc: "Where it starts from, cold.",
        },
        Key {
            name: "dial",
            kind: Kind::Choice(&Scale::WORDS),
            absent: Absent::Means("as the author wrote it"),
            doc: "How its dial is marked: what it is set to is told so, too.",
        },
    ],
};

/// A kind of cookware of a kitchen.
pub static WARE: Table = Table {
    name: "cookware",
    doc: "A kind of cookware.",
    keys: &[
        Key {
            name: "name",
            kind: Kind::Text,
            absent: Absent::Error,
            doc: "As the steps call it.",
        },
        Key {
            name: "count",
            kind: Kind::Count(1, 1000),
            absent: Absent::Means("1"),
            doc: "How many there are.",
        },
        Key {
            name: "holds",
            kind: Kind::Volume,
            absent: Absent::Nothing,
            doc: "What one of them holds, to the brim.",
        },
    ],
};
