//! The user's sounds.toml: the notes of the three priorities. The file that is shipped is where the defaults are written.

use super::diagnostic::{Diagnostic, Diagnostics};
use super::keys::{PULSES, SOUNDS};
use super::read::{self, Fields, Reader};

/// The notes that the program comes with.
pub const BUILT_IN: &str = include_str!("../../assets/sounds.toml");

/// The longest that a sound may take, in ms: a call is repeated after 10 s.
const LONGEST_MS: u64 = 8_000;

/// What each priority sounds like.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Notes {
    /// Something will have to be done.
    pub low: Pattern,
    /// Something has to be done now.
    pub medium: Pattern,
    /// At once.
    pub high: Pattern,
}

/// The pulses of one priority. Units and ranges are in `assets/sounds.toml`. By default there are none.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Pattern {
    /// What it says.
    pub meaning: String,
    /// Pulses in each group.
    pub groups: Vec<u32>,
    /// How often all groups are sounded.
    pub times: u32,
    /// Length of a pulse, ms.
    pub length_ms: u32,
    /// Between two pulses, ms.
    pub pause_ms: u32,
    /// Between two groups, ms.
    pub group_pause_ms: u32,
    /// Before the groups come again, ms.
    pub times_pause_ms: u32,
    /// Fundamental, Hz.
    pub pitch_hz: f32,
    /// Levels of the 2nd and higher harmonics against the fundamental, dB.
    pub overtones_db: Vec<f32>,
    /// From silence to full level, ms.
    pub rise_ms: u32,
    /// From full level to silence, ms.
    pub fall_ms: u32,
    /// Level against the loudest, dB.
    pub level_db: f32,
}

impl Notes {
    /// The notes of the program itself.
    ///
    /// # Errors
    /// None in a tested build.
    pub fn built_in() -> Result<Self, Diagnostics> {
        Self::read("sounds.toml", BUILT_IN.as_bytes())
    }

    /// Reads notes; `name` is what their faults call the file.
    ///
    /// # Errors
    /// Everything that is wrong with them, each with its line and column.
    pub fn read(name: &str, bytes: &[u8]) -> Result<Self, Diagnostics> {
        let mut reader = Reader::default();
        let mut notes = None;
        if let Some((source, text)) = read::decode(&mut reader, name, bytes) {
            let document = reader.parse(source, &text);
            let fields = reader.open(&SOUNDS, &document.table, document.at());
            let [low, medium, high] =
                ["low", "medium", "high"].map(|name| pattern(&mut reader, &fields, name));
            notes = low.zip(medium).zip(high);
        }
        let found = reader.into_found();
        match notes {
            Some(((low, medium), high)) if !found.has_errors() => Ok(Self { low, medium, high }),
            _ => Err(found),
        }
    }
}

/// The pulses of the priority of that name. `None` after a fault was told.
fn pattern(reader: &mut Reader, file: &Fields, name: &str) -> Option<Pattern> {
    let (entries, at) = file.table(reader, name)?;
    let fields = reader.open(&PULSES, entries, at);
    let pulses = fields.list(reader, "groups", |reader, key, value| {
        fields.counted(reader, key, value)
    });
    let overtones = fields.list(reader, "overtones_db", |reader, key, value| {
        fields.within(reader, key, value)
    });
    let meaning = fields.text(reader, "meaning");
    let mut count = |key| fields.count(reader, key);
    let (times, length_ms, pause_ms) = (count("times"), count("length_ms"), count("pause_ms"));
    let (group_pause_ms, times_pause_ms) = (count("group_pause_ms"), count("times_pause_ms"));
    let (rise_ms, fall_ms) = (count("rise_ms"), count("fall_ms"));
    let pitch_hz = fields.number(reader, "pitch_hz");
    let level_db = fields.number(reader, "level_db");
    let pattern = Pattern {
        meaning: meaning?.value,
        groups: pulses?,
        times: times?,
        length_ms: length_ms?,
        pause_ms: pause_ms?,
        group_pause_ms: group_pause_ms?,
        times_pause_ms: times_pause_ms?,
        pitch_hz: pitch_hz?,
        overtones_db: overtones?,
        rise_ms: rise_ms?,
        fall_ms: fall_ms?,
        level_db: level_db?,
    };
    let edges = pattern.rise_ms + pattern.fall_ms;
    if edges > pattern.length_ms {
        let message = format!("to rise and to fall takes {edges} ms");
        reader.push(
            Diagnostic::error(fields.spot("rise_ms"), message).help(format!(
                "a pulse of [{name}] is {} ms long; both must fit into it",
                pattern.length_ms
            )),
        );
    }
    let total = pattern.total_ms();
    if total > LONGEST_MS {
        let message = format!("the sound of [{name}] takes {total} ms in all");
        reader.push(Diagnostic::error(at, message).help(format!(
            "it must end within {LONGEST_MS} ms, for it is repeated after 10 s"
        )));
    }
    Some(pattern)
}

impl Pattern {
    /// When each pulse begins, in ms from the beginning of the sound.
    pub fn onsets_ms(&self) -> Vec<u64> {
        let mut onsets = Vec::new();
        let mut at = 0;
        for time in 0..self.times {
            for (group, &pulses) in self.groups.iter().enumerate() {
                if group > 0 {
                    at += u64::from(self.group_pause_ms);
                } else if time > 0 {
                    at += u64::from(self.times_pause_ms);
                }
                for pulse in 0..pulses {
                    if pulse > 0 {
                        at += u64::from(self.pause_ms);
                    }
                    onsets.push(at);
                    at += u64::from(self.length_ms);
                }
            }
        }
        onsets
    }

    /// From the beginning of the first pulse to the end of the last, in ms.
    pub fn total_ms(&self) -> u64 {
        let last = self.onsets_ms().last().copied().unwrap_or(0);
        last + u64::from(self.length_ms)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn faults(text: &str) -> Vec<(usize, String)> {
        let found = Notes::read("sounds.toml", text.as_bytes()).unwrap_err();
        let fault = |d: &Diagnostic| (found.position(d.at).1, d.message.clone());
        found.list.iter().map(fault).collect()
    }

    fn line_of(text: &str, part: &str) -> usize {
        let at = text.find(part).expect("it is there");
        text[..at].matches('\n').count() + 1
    }

    /// Faults of every kind, over the whole file: of syntax, of a key, of a type, of a range, of a list.
    #[test]
    fn every_fault_is_told_with_its_line() {
        let text = BUILT_IN
            .replacen("[low]\n", "[low]\ntmies = 1\n", 1)
            .replacen("= 392.0", "= \"G4\"", 1)
            .replacen("= 523.25", "= 9000.0", 1)
            .replacen("= [3]", "= [0, 2.5]", 1)
            .replacen("= 150", "= 150 ms", 1)
            .replacen("level_db       = 0", "level = 0", 1);
        let found = faults(&text);
        for (part, message) in [
            ("tmies", "unknown key 'tmies'"),
            ("\"G4\"", "'pitch_hz' can't be a text"),
            ("9000.0", "'pitch_hz' is out of range"),
            ("[0, 2.5]", "'groups' is out of range"),
            ("[0, 2.5]", "'groups' can't be a number"),
            ("150 ms", "this is not TOML"),
            ("level = 0", "unknown key 'level'"),
        ] {
            let line = line_of(&text, part);
            assert!(
                found
                    .iter()
                    .any(|(at, said)| *at == line && said.starts_with(message)),
                "{message} in {line}: {found:?}"
            );
        }
        assert_eq!(found.len(), 7, "{found:?}");
    }

    #[test]
    fn a_missing_priority_and_too_many_groups_are_faults() {
        let (before, _) = BUILT_IN.split_once("[high]").unwrap();
        assert_eq!(
            faults(before),
            [(1, "a file of sounds lacks 'high'".into())]
        );
        let many = BUILT_IN.replacen("= [3, 2]", "= [1, 1, 1, 1, 1]", 1);
        assert_eq!(faults(&many).len(), 1);
        assert!(
            faults(&many)[0].1.contains("5 in 'groups'"),
            "{:?}",
            faults(&many)
        );
    }

    #[test]
    fn a_pulse_that_never_sounds_and_a_sound_without_end_are_faults() {
        let edges = BUILT_IN.replacen("rise_ms        = 15", "rise_ms = 999", 1);
        assert!(
            faults(&edges)[0].1.contains("takes 1029 ms"),
            "{:?}",
            faults(&edges)
        );
        let endless = BUILT_IN.replacen("length_ms      = 150", "length_ms = 1000", 1);
        assert!(
            faults(&endless)[0].1.contains("takes 12100 ms"),
            "{:?}",
            faults(&endless)
        );
    }

    #[test]
    fn onsets_follow_the_groups() {
        let high = Notes::built_in().unwrap().high;
        let onsets = high.onsets_ms();
        assert_eq!(
            onsets,
            [0, 250, 500, 1000, 1250, 2200, 2450, 2700, 3200, 3450]
        );
        assert_eq!(high.total_ms(), 3600);
    }
}
