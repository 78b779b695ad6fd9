//! The system's own voice: found at the start, run without a shell, ended when it is no longer wanted.

use std::{
    io::{Read, Seek},
    sync::{Arc, OnceLock},
    time::Duration,
};

use super::{Surroundings, child, stop::Stop, tame};

/// No sentence takes longer: what a speech service needs to start, and a slow voice for each character.
fn longest(text: &str) -> Duration {
    let letters = u32::try_from(text.chars().count()).unwrap_or(u32::MAX);
    Duration::from_secs(10) + Duration::from_millis(150).saturating_mul(letters)
}

/// How long a speech service may take to say which voices it has: it may have to be started for it.
const LISTS: Duration = Duration::from_secs(5);

/// Stands for the text in an argument list.
const TEXT: &str = "{}";

/// Reads the text from its standard input: nothing of it becomes part of a command.
#[cfg(windows)]
const WINDOWS_VOICE: &str = "[Console]::InputEncoding = [Text.Encoding]::UTF8; Add-Type -AssemblyName System.Speech; \
    (New-Object System.Speech.Synthesis.SpeechSynthesizer).Speak([Console]::In.ReadToEnd())";

/// A voice of this system: what speaks, what makes a speech service fall silent, and what lists its voices below a heading.
struct Voice {
    speaks: &'static [&'static str],
    hushes: &'static [&'static str],
    lists: &'static [&'static str],
}

/// A voice that is no service.
const fn alone(speaks: &'static [&'static str]) -> Voice {
    Voice {
        speaks,
        hushes: &[],
        lists: &[],
    }
}

/// Voices of this system, the best first.
#[cfg(windows)]
const VOICES: &[Voice] = &[alone(&[
    "powershell",
    "-NoProfile",
    "-NonInteractive",
    "-Command",
    WINDOWS_VOICE,
])];
#[cfg(target_os = "macos")]
const VOICES: &[Voice] = &[alone(&["say"])];
#[cfg(not(any(windows, target_os = "macos")))]
const VOICES: &[Voice] = &[
    Voice {
        speaks: &[
            "spd-say",
            "--wait",
            "--application-name",
            "mealtide",
            "--",
            TEXT,
        ],
        hushes: &["spd-say", "--cancel"],
        lists: &["spd-say", "--list-output-modules"],
    },
    alone(&["espeak-ng", "--stdin"]),
    alone(&["espeak", "--stdin"]),
];

/// A program that speaks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Speaker {
    /// The program and its arguments; "{}" stands for the text, which else comes on standard input.
    pub command: Vec<String>,
    /// What makes it fall silent when to end it isn't enough.
    pub hush: Vec<String>,
    /// What lists its voices, one a line below a heading; empty: it needs none but itself.
    pub lists: Vec<String>,
    /// It has a voice: found out once, for to be asked takes a service longer than to begin to speak.
    voiced: Arc<OnceLock<()>>,
}

/// The voices that are installed, the best first; a command of the user's own is the only one.
pub fn found(own: Option<&[String]>, surroundings: &Surroundings) -> Vec<Speaker> {
    if let Some(command) = own {
        return vec![Speaker {
            command: command.to_vec(),
            hush: Vec::new(),
            lists: Vec::new(),
            voiced: Arc::default(),
        }];
    }
    let owned = |words: &[&str]| words.iter().map(|&word| word.to_owned()).collect();
    VOICES
        .iter()
        .filter(|voice| {
            voice
                .speaks
                .first()
                .is_some_and(|name| surroundings.program(name).is_some())
        })
        .map(|voice| Speaker {
            command: owned(voice.speaks),
            hush: owned(voice.hushes),
            lists: owned(voice.lists),
            voiced: Arc::default(),
        })
        .collect()
}

impl Speaker {
    /// The name of its program.
    pub fn name(&self) -> &str {
        self.command.first().map_or("", String::as_str)
    }

    /// Speaks a text to its end, or until it is stopped.
    fn speak(&self, text: &str, surroundings: &Surroundings, stop: &Stop) -> Result<(), String> {
        let (name, arguments) = self.command.split_first().ok_or("no command")?;
        let program = surroundings
            .program(name)
            .ok_or_else(|| format!("{name} is not installed"))?;
        if self.voiced.get().is_none() {
            if self.is_mute(surroundings, stop) {
                return Err(format!("{name} has no voice; install one for it"));
            }
            if !stop.stopped() {
                self.voiced.get_or_init(|| ());
            }
        }
        let mut command = surroundings.command(&program);
        command.args(
            arguments
                .iter()
                .map(|argument| if argument == TEXT { text } else { argument }),
        );
        let input = (!arguments.iter().any(|argument| argument == TEXT)).then_some(text.as_bytes());
        let spoken = child::run(command, input, stop, longest(text), &|| ());
        if stop.stopped() {
            self.hush(surroundings);
        }
        spoken
    }

    /// A speech service without a voice tells that to the cook, in place of the call and for half a minute, and calls it
    /// well done. One that can't say what it has is believed.
    fn is_mute(&self, surroundings: &Surroundings, stop: &Stop) -> bool {
        let Some((name, arguments)) = self.lists.split_first() else {
            return false;
        };
        let listed = || -> Option<String> {
            let mut list = tempfile::tempfile().ok()?;
            let mut command = surroundings.command(&surroundings.program(name)?);
            command.args(arguments).stdout(list.try_clone().ok()?);
            child::run(command, None, stop, LISTS, &|| ()).ok()?;
            list.rewind().ok()?;
            let mut text = String::new();
            list.read_to_string(&mut text).ok()?;
            Some(text)
        };
        let lines =
            listed().map(|text| text.lines().filter(|line| !line.trim().is_empty()).count());
        lines == Some(1)
    }

    /// A speech service goes on by itself when the program that asked it is gone.
    fn hush(&self, surroundings: &Surroundings) {
        let Some((name, arguments)) = self.hush.split_first() else {
            return;
        };
        if let Some(program) = surroundings.program(name) {
            let mut command = surroundings.command(&program);
            command.args(arguments);
            // It was asked to; there is nobody to tell that it doesn't.
            let _ = child::run(
                command,
                None,
                &Stop::default(),
                Duration::from_secs(1),
                &|| (),
            );
        }
    }
}

/// Speaks with the first voice that can.
pub(super) fn speak(
    speakers: &[Speaker],
    text: &str,
    surroundings: &Surroundings,
    stop: &Stop,
) -> Result<(), String> {
    let text = tame(text);
    if speakers.is_empty() {
        return Err("no voice is installed".into());
    }
    let mut failures = Vec::new();
    for speaker in speakers {
        match speaker.speak(&text, surroundings, stop) {
            Ok(()) => return Ok(()),
            Err(why) => failures.push(why),
        }
    }
    Err(failures.join("; "))
}
