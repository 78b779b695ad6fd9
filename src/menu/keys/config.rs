use super::{Absent, Key, Kind, Table};

/// The user's config.toml. What a key's absence means is written in the sample that is shipped, not here.
pub static CONFIG: Table = Table {
    name: "the config",
    doc: "How the user likes it.",
    keys: &[
        Key {
            name: "clock",
            kind: Kind::Choice(&["24 h", "12 h"]),
            absent: Absent::Nothing,
            doc: "How clock times are shown.",
        },
        Key {
            name: "units",
            kind: Kind::Choice(&["author", "metric", "us", "both"]),
            absent: Absent::Nothing,
            doc: "Units of amounts: the author's, with another system beside them.",
        },
        Key {
            name: "theme",
            kind: Kind::Text,
            absent: Absent::Nothing,
            doc: "auto, dark, light, or the path of a theme file.",
        },
        Key {
            name: "lead",
            kind: Kind::Duration,
            absent: Absent::Nothing,
            doc: "Warn this long before a step ends, unless the step says otherwise; 0 for no warning.",
        },
        Key {
            name: "glance_after",
            kind: Kind::Duration,
            absent: Absent::Nothing,
            doc: "The glance view comes by itself after so long without a key; 0 for never.",
        },
        Key {
            name: "mouse",
            kind: Kind::Flag,
            absent: Absent::Nothing,
            doc: "Whether the mouse is the program's; else the terminal's, to select text.",
        },
        Key {
            name: "learn",
            kind: Kind::Flag,
            absent: Absent::Nothing,
            doc: "Plan with the lengths that steps took before.",
        },
        Key {
            name: "alert",
            kind: Kind::Table(&ALERT),
            absent: Absent::Nothing,
            doc: "What calls the cook.",
        },
        Key {
            name: "keys",
            kind: Kind::Names,
            absent: Absent::Nothing,
            doc: "Keys by command.",
        },
    ],
};

/// The table `[alert]` of the config.
pub static ALERT: Table = Table {
    name: "the alert table",
    doc: "What calls the cook.",
    keys: &[
        Key {
            name: "sound",
            kind: Kind::Flag,
            absent: Absent::Nothing,
            doc: "Make sounds.",
        },
        Key {
            name: "loudness",
            kind: Kind::Count(0, 100),
            absent: Absent::Nothing,
            doc: "How loud, in percent.",
        },
        Key {
            name: "night",
            kind: Kind::Hours,
            absent: Absent::Nothing,
            doc: "Hours in which it is quieter and nothing is spoken: 22:00 to 07:00; empty for never.",
        },
        Key {
            name: "night_loudness",
            kind: Kind::Count(0, 100),
            absent: Absent::Nothing,
            doc: "How loud at night, in percent.",
        },
        Key {
            name: "notification",
            kind: Kind::Flag,
            absent: Absent::Nothing,
            doc: "Show desktop notifications.",
        },
        Key {
            name: "speech",
            kind: Kind::Flag,
            absent: Absent::Nothing,
            doc: "Speak calls.",
        },
        Key {
            name: "speech_command",
            kind: Kind::Texts,
            absent: Absent::Nothing,
            doc: "The program that speaks, with its arguments, run without a shell; {} becomes the text. Empty for the system's.",
        },
    ],
};
