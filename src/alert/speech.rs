//! The system's own voice: found at the start, run without a shell, ended when it is no longer wanted.

use std::time::Duration;

use super::{Surroundings, child, stop::Stop, tame};

/// No sentence takes longer.
const LONGEST: Duration = Duration::from_secs(30);

/// Stands for the text in an argument list.
const TEXT: &str = "{}";

/// Reads the text from its standard input: nothing of it becomes part of a command.
#[cfg(windows)]
const WINDOWS_VOICE: &str = "[Console]::InputEncoding = [Text.Encoding]::UTF8; Add-Type -AssemblyName System.Speech; \
    (New-Object System.Speech.Synthesis.SpeechSynthesizer).Speak([Console]::In.ReadToEnd())";

/// Voices of this system: what speaks, and what makes a speech service fall silent, the best first.
#[cfg(windows)]
const VOICES: &[(&[&str], &[&str])] = &[(
    &[
        "powershell",
        "-NoProfile",
        "-NonInteractive",
        "-Command",
        WINDOWS_VOICE,
    ],
    &[],
)];
#[cfg(target_os = "macos")]
const VOICES: &[(&[&str], &[&str])] = &[(&["say"], &[])];
#[cfg(not(any(windows, target_os = "macos")))]
const VOICES: &[(&[&str], &[&str])] = &[
    (
        &[
            "spd-say",
            "--wait",
            "--application-name",
            "mealtide",
            "--",
            TEXT,
        ],
        &["spd-say", "--cancel"],
    ),
    (&["espeak-ng", "--stdin"], &[]),
    (&["espeak", "--stdin"], &[]),
];

/// A program that speaks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Speaker {
    /// The program and its arguments; "{}" stands for the text, which else comes on standard input.
    pub command: Vec<String>,
    /// What makes it fall silent when to end it isn't enough.
    pub hush: Vec<String>,
}

/// The voices that are installed, the best first; a command of the user's own is the only one.
pub fn found(own: Option<&[String]>, surroundings: &Surroundings) -> Vec<Speaker> {
    if let Some(command) = own {
        return vec![Speaker {
            command: command.to_vec(),
            hush: Vec::new(),
        }];
    }
    let owned = |words: &[&str]| words.iter().map(|&word| word.to_owned()).collect();
    VOICES
        .iter()
        .filter(|(command, _)| {
            command
                .first()
                .is_some_and(|name| surroundings.program(name).is_some())
        })
        .map(|(command, hush)| Speaker {
            command: owned(command),
            hush: owned(hush),
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
        let mut command = surroundings.command(&program);
        command.args(
            arguments
                .iter()
                .map(|argument| if argument == TEXT { text } else { argument }),
        );
        let input = (!arguments.iter().any(|argument| argument == TEXT)).then_some(text.as_bytes());
        let spoken = child::run(command, input, stop, LONGEST, &|| ());
        if stop.stopped() {
            self.hush(surroundings);
        }
        spoken
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
