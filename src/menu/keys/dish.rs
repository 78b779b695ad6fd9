use super::{Absent, Key, Kind, Table};

/// A dish file, or a `[[dish]]` of a session.
pub static DISH: Table = Table {
    name: "a dish",
    doc: "One dish: what goes in, and what is done.",
    keys: &[
        Key {
            name: "id",
            kind: Kind::Id,
            absent: Absent::Nothing,
            doc: "The name by which courses and other dishes call it; required within a session, else the file's name.",
        },
        Key {
            name: "title",
            kind: Kind::Text,
            absent: Absent::Nothing,
            doc: "What it is called at the table; else its id.",
        },
        Key {
            name: "serves",
            kind: Kind::Positive,
            absent: Absent::Nothing,
            doc: "Servings that it is written for; none means for as many as come.",
        },
        Key {
            name: "makes",
            kind: Kind::Volume,
            absent: Absent::Nothing,
            doc: "The volume that it makes, for vessels and batches; grows with the servings.",
        },
        Key {
            name: "ingredient",
            kind: Kind::Tables(&INGREDIENT),
            absent: Absent::Means("[]"),
            doc: "What goes in.",
        },
        Key {
            name: "step",
            kind: Kind::Tables(&STEP),
            absent: Absent::Error,
            doc: "What is done, in order.",
        },
    ],
};

/// An ingredient of a dish.
pub static INGREDIENT: Table = Table {
    name: "an ingredient",
    doc: "Something that goes into a dish.",
    keys: &[
        Key {
            name: "item",
            kind: Kind::Text,
            absent: Absent::Error,
            doc: "What it is.",
        },
        Key {
            name: "amount",
            kind: Kind::Amount,
            absent: Absent::Nothing,
            doc: "How much, for the servings that the dish is written for: a number, fraction or range with or without a unit, or 'to taste'.",
        },
        Key {
            name: "note",
            kind: Kind::Text,
            absent: Absent::Nothing,
            doc: "How it comes: whole, finely chopped, at room temperature.",
        },
        Key {
            name: "or",
            kind: Kind::Texts,
            absent: Absent::Means("[]"),
            doc: "Substitutes, each with its amount.",
        },
    ],
};

/// A step of a dish.
pub static STEP: Table = Table {
    name: "a step",
    doc: "One thing to do.",
    keys: &[
        Key {
            name: "id",
            kind: Kind::Id,
            absent: Absent::Error,
            doc: "The name by which other steps call it; once in the dish.",
        },
        Key {
            name: "do",
            kind: Kind::Text,
            absent: Absent::Error,
            doc: "What to do, verb first.",
        },
        Key {
            name: "takes",
            kind: Kind::DurationRange,
            absent: Absent::Error,
            doc: "How long it takes, at the servings that the dish is written for.",
        },
        Key {
            name: "hands",
            kind: Kind::Hands,
            absent: Absent::Means("\"on\""),
            doc: "Whether it keeps a cook busy: on, off, or a look every so often (busy if more often than every 3 minutes).",
        },
        Key {
            name: "after",
            kind: Kind::Steps,
            absent: Absent::Nothing,
            doc: "The steps it comes after; else the step before it in the file. [] frees it.",
        },
        Key {
            name: "needs",
            kind: Kind::Texts,
            absent: Absent::Means("[]"),
            doc: "Cookware and 'burner'; a name said twice means two of it.",
        },
        Key {
            name: "oven",
            kind: Kind::Table(&OVEN_NEED),
            absent: Absent::Nothing,
            doc: "How hot the oven must be.",
        },
        Key {
            name: "until",
            kind: Kind::Text,
            absent: Absent::Nothing,
            doc: "The cue by which the cook, not the clock, ends the step.",
        },
        Key {
            name: "core",
            kind: Kind::Temperature,
            absent: Absent::Nothing,
            doc: "Core temperature to reach.",
        },
        Key {
            name: "keeps",
            kind: Kind::Duration,
            absent: Absent::Nothing,
            doc: "Its result waits at most this long for what follows it, or for service.",
        },
        Key {
            name: "ahead",
            kind: Kind::Duration,
            absent: Absent::Nothing,
            doc: "Its result keeps this long chilled: the dish may be made ahead up to here.",
        },
        Key {
            name: "uses",
            kind: Kind::Texts,
            absent: Absent::Means("[]"),
            doc: "Ingredients of the dish that go in here.",
        },
        Key {
            name: "scales",
            kind: Kind::Flag,
            absent: Absent::Means("false"),
            doc: "The duration grows in proportion to the servings.",
        },
        Key {
            name: "batch",
            kind: Kind::Text,
            absent: Absent::Nothing,
            doc: "Repeats the step as often as what the dish makes needs to pass this vessel.",
        },
        Key {
            name: "hot",
            kind: Kind::Flag,
            absent: Absent::Means("false"),
            doc: "With batch: hot liquid, the vessel is filled to two thirds only.",
        },
        Key {
            name: "lead",
            kind: Kind::Duration,
            absent: Absent::Means("\"1 min\""),
            doc: "Warn this long before it ends; 0 for no warning.",
        },
    ],
};

/// What a step asks of an oven.
pub static OVEN_NEED: Table = Table {
    name: "an oven setting",
    doc: "How hot the oven must be for a step, and what is turned while it runs.",
    keys: &[
        Key {
            name: "at",
            kind: Kind::OvenSetting,
            absent: Absent::Error,
            doc: "From the start of the step.",
        },
        Key {
            name: "then",
            kind: Kind::Tables(&THEN),
            absent: Absent::Means("[]"),
            doc: "What it is turned to while the step runs.",
        },
        Key {
            name: "racks",
            kind: Kind::Count(1, 50),
            absent: Absent::Means("1"),
            doc: "How many racks it takes.",
        },
        Key {
            name: "within",
            kind: Kind::Difference,
            absent: Absent::Means("\"10 C\""),
            doc: "How far off one temperature may be, either side; a span stands as it is. 0 C for what is delicate.",
        },
    ],
};

/// A later setting of the oven within a step.
pub static THEN: Table = Table {
    name: "a later oven setting",
    doc: "What the oven is turned to while a step runs.",
    keys: &[
        Key {
            name: "after",
            kind: Kind::Duration,
            absent: Absent::Error,
            doc: "Counted from the start of the step; each later than the one before.",
        },
        Key {
            name: "at",
            kind: Kind::OvenSetting,
            absent: Absent::Error,
            doc: "What it is turned to.",
        },
    ],
};
