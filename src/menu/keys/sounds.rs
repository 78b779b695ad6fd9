use super::{Absent, Key, Kind, Table};

/// The user's sounds.toml: the notes of the three priorities.
pub static SOUNDS: Table = Table {
    name: "a file of sounds",
    doc: "What each priority sounds like.",
    keys: &[
        priority("low", "Something will have to be done."),
        priority("medium", "Something has to be done now."),
        priority("high", "At once."),
    ],
};

const fn priority(name: &'static str, doc: &'static str) -> Key {
    required(name, Kind::Table(&PULSES), doc)
}

const fn required(name: &'static str, kind: Kind, doc: &'static str) -> Key {
    Key {
        name,
        kind,
        absent: Absent::Error,
        doc,
    }
}

/// The pulses of one priority.
pub static PULSES: Table = Table {
    name: "a priority's pulses",
    doc: "The pulses of one priority.",
    keys: &[
        required("meaning", Kind::Text, "What the sound says."),
        required(
            "groups",
            Kind::List(&Kind::Count(1, 10), 1, 4),
            "Pulses in each group.",
        ),
        required(
            "times",
            Kind::Count(1, 4),
            "How often all groups are sounded.",
        ),
        required("length_ms", Kind::Count(20, 1000), "Length of a pulse, ms."),
        required(
            "pause_ms",
            Kind::Count(20, 2000),
            "Between two pulses of a group, ms.",
        ),
        required(
            "group_pause_ms",
            Kind::Count(20, 5000),
            "Between two groups, ms.",
        ),
        required(
            "times_pause_ms",
            Kind::Count(20, 5000),
            "Before the groups are sounded again, ms.",
        ),
        required("pitch_hz", Kind::Number(150, 2500), "Fundamental, Hz."),
        required(
            "overtones_db",
            Kind::List(&Kind::Number(-60, 0), 0, 12),
            "Levels of the 2nd and higher harmonics against the fundamental, dB.",
        ),
        required(
            "rise_ms",
            Kind::Count(0, 1000),
            "From silence to full level, ms.",
        ),
        required(
            "fall_ms",
            Kind::Count(0, 1000),
            "From full level to silence, ms.",
        ),
        required(
            "level_db",
            Kind::Number(-40, 0),
            "Level against the loudest, dB.",
        ),
    ],
};
