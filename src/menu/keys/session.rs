use super::{Absent, DISH, KITCHEN, Key, Kind, Table};

/// A session file.
pub static SESSION: Table = Table {
    name: "a session",
    doc: "One meal: courses of dishes, promised at an hour.",
    keys: &[
        Key {
            name: "title",
            kind: Kind::Text,
            absent: Absent::Nothing,
            doc: "What the meal is called; else the file's name.",
        },
        Key {
            name: "guests",
            kind: Kind::Count(1, 1000),
            absent: Absent::Error,
            doc: "How many servings.",
        },
        Key {
            name: "serve",
            kind: Kind::Moment,
            absent: Absent::Error,
            doc: "When the first course is on the table; a clock time alone is the next time the clock shows it. Local time.",
        },
        Key {
            name: "start",
            kind: Kind::Moment,
            absent: Absent::Nothing,
            doc: "Nobody cooks before this; a clock time alone is the last such time before 'serve'.",
        },
        Key {
            name: "ahead",
            kind: Kind::Ids,
            absent: Absent::Means("[]"),
            doc: "Dishes whose make-ahead part is done before the day.",
        },
        Key {
            name: "kitchen",
            kind: Kind::FileOr(&KITCHEN),
            absent: Absent::Nothing,
            doc: "A kitchen file beside this one, or the kitchen itself; else the user's own.",
        },
        Key {
            name: "avoid",
            kind: Kind::Texts,
            absent: Absent::Means("[]"),
            doc: "Allergens or foods that a guest must not eat.",
        },
        Key {
            name: "sure",
            kind: Kind::Share,
            absent: Absent::Nothing,
            doc: "How sure the cook wants to be of being on time.",
        },
        Key {
            name: "course",
            kind: Kind::Tables(&COURSE),
            absent: Absent::Error,
            doc: "What is put on the table together, in the order of serving.",
        },
        Key {
            name: "dish",
            kind: Kind::Tables(&DISH),
            absent: Absent::Means("[]"),
            doc: "Dishes of this file; others are looked up as dishes/ID.toml beside it and in the user's own dish folder.",
        },
    ],
};

/// A course of a session.
pub static COURSE: Table = Table {
    name: "a course",
    doc: "What is put on the table together.",
    keys: &[
        Key {
            name: "name",
            kind: Kind::Text,
            absent: Absent::Nothing,
            doc: "What the course is called; else 'Course' with its number.",
        },
        Key {
            name: "gap",
            kind: Kind::Duration,
            absent: Absent::Means("\"0 min\""),
            doc: "Promised this long after the course before it; none means together with it. Not for the first course.",
        },
        Key {
            name: "plating",
            kind: Kind::Duration,
            absent: Absent::Means("\"2 min\""),
            doc: "From the moment of service, one cook is busy this long.",
        },
        Key {
            name: "dishes",
            kind: Kind::Ids,
            absent: Absent::Error,
            doc: "Its dishes, by id; a dish is in one course only.",
        },
    ],
};
