//! The notes of the three priorities, read from a file that a user can change.

use serde::Deserialize;

use crate::live::Priority;

/// The notes that the program comes with.
const BUILT_IN: &str = include_str!("../../assets/sounds.toml");

/// The longest that a sound may take, in ms: a call is repeated after 10 s.
const LONGEST_MS: u64 = 8_000;

/// What each priority sounds like.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Notes {
    /// Something will have to be done.
    pub low: Pattern,
    /// Something has to be done now.
    pub medium: Pattern,
    /// At once.
    pub high: Pattern,
}

/// The pulses of one priority. Units and ranges are in `assets/sounds.toml`.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
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

/// A file of notes can't be used.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct NotesError(String);

impl Notes {
    /// The notes of the program itself.
    ///
    /// # Errors
    /// None in a tested build.
    pub fn built_in() -> Result<Self, NotesError> {
        Self::read(BUILT_IN)
    }

    /// Reads notes.
    ///
    /// # Errors
    /// When the text isn't TOML of the right keys (with line and column), or values are out of range: all of them at
    /// once, one a line.
    pub fn read(text: &str) -> Result<Self, NotesError> {
        let notes: Self = toml::from_str(text)
            .map_err(|error| NotesError(error.to_string().trim_end().to_owned()))?;
        let faults: Vec<String> = [Priority::Low, Priority::Medium, Priority::High]
            .into_iter()
            .flat_map(|priority| notes.of(priority).faults(name(priority)))
            .collect();
        if faults.is_empty() {
            Ok(notes)
        } else {
            Err(NotesError(faults.join("\n")))
        }
    }

    /// Notes without a pulse: what is left when there are none that can be read.
    pub(super) fn silent() -> Self {
        let silent = Pattern {
            meaning: String::new(),
            groups: Vec::new(),
            times: 0,
            length_ms: 0,
            pause_ms: 0,
            group_pause_ms: 0,
            times_pause_ms: 0,
            pitch_hz: 0.0,
            overtones_db: Vec::new(),
            rise_ms: 0,
            fall_ms: 0,
            level_db: 0.0,
        };
        Self {
            low: silent.clone(),
            medium: silent.clone(),
            high: silent,
        }
    }

    /// The pattern of a priority.
    pub fn of(&self, priority: Priority) -> &Pattern {
        match priority {
            Priority::Low => &self.low,
            Priority::Medium => &self.medium,
            Priority::High => &self.high,
        }
    }
}

fn name(priority: Priority) -> &'static str {
    match priority {
        Priority::Low => "low",
        Priority::Medium => "medium",
        Priority::High => "high",
    }
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

    fn faults(&self, table: &str) -> Vec<String> {
        let mut faults = Vec::new();
        let mut within = |key: &str, value: f64, low: f64, high: f64| {
            if !(low..=high).contains(&value) {
                faults.push(format!(
                    "[{table}] {key} is {value}; it must lie in {low} to {high}"
                ));
            }
        };
        let pulses: u64 = self.groups.iter().map(|&pulses| u64::from(pulses)).sum();
        for &group in &self.groups {
            within("groups: a number of pulses", f64::from(group), 1.0, 10.0);
        }
        within(
            "groups: how many there are",
            self.groups.len() as f64,
            1.0,
            4.0,
        );
        within("times", f64::from(self.times), 1.0, 4.0);
        within("length_ms", f64::from(self.length_ms), 20.0, 1000.0);
        within("pause_ms", f64::from(self.pause_ms), 20.0, 2000.0);
        within(
            "group_pause_ms",
            f64::from(self.group_pause_ms),
            20.0,
            5000.0,
        );
        within(
            "times_pause_ms",
            f64::from(self.times_pause_ms),
            20.0,
            5000.0,
        );
        within("pitch_hz", f64::from(self.pitch_hz), 150.0, 2500.0);
        within(
            "overtones_db: how many there are",
            self.overtones_db.len() as f64,
            0.0,
            12.0,
        );
        for &level in &self.overtones_db {
            within("overtones_db: a level", f64::from(level), -60.0, 0.0);
        }
        within("level_db", f64::from(self.level_db), -40.0, 0.0);
        let edges = u64::from(self.rise_ms) + u64::from(self.fall_ms);
        within(
            "rise_ms + fall_ms",
            edges as f64,
            0.0,
            f64::from(self.length_ms),
        );
        // The sum above can't be formed sensibly from numbers that are out of range already.
        if faults.is_empty() && pulses > 0 && self.total_ms() > LONGEST_MS {
            let total = self.total_ms();
            faults.push(format!(
                "[{table}] takes {total} ms in all; it must end within {LONGEST_MS} ms"
            ));
        }
        faults
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fault_is_named_with_its_place() {
        let unknown =
            Notes::read(&BUILT_IN.replacen("[low]\n", "[low]\ntmies = 1\n", 1)).unwrap_err();
        assert!(unknown.to_string().contains("tmies"), "{unknown}");
        assert!(unknown.to_string().contains("line"), "{unknown}");
        let typed = Notes::read(&BUILT_IN.replacen("392.0", "\"G4\"", 1)).unwrap_err();
        assert!(typed.to_string().contains("pitch_hz"), "{typed}");
    }

    #[test]
    fn all_values_out_of_range_are_named_at_once() {
        let text = BUILT_IN.replacen("392.0", "9000.0", 1).replacen(
            "groups         = [3]",
            "groups = [0]",
            1,
        );
        let error = Notes::read(&text).unwrap_err().to_string();
        assert!(
            error.contains("[low] pitch_hz is 9000; it must lie in 150 to 2500"),
            "{error}"
        );
        assert!(
            error.contains("[medium] groups: a number of pulses is 0"),
            "{error}"
        );
        let endless = BUILT_IN.replacen("times          = 1", "times          = 4294967295", 1);
        assert!(Notes::read(&endless).is_err());
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
