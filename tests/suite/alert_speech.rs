//! The voice: to a file, as one argument, and silent when it was answered.

use std::{fs, path::Path};

use mealtide::alert::{AlertConfig, Alerts, Audition, Priority, Surroundings, Way, tame};

#[cfg(target_os = "linux")]
use super::script;
use super::{call, installed, until};

fn voice(command: &[&str]) -> AlertConfig {
    AlertConfig {
        only: Some(Way::Speech),
        speech_command: Some(command.iter().map(|&word| word.to_owned()).collect()),
        surroundings: Surroundings::of_the_process(),
        ..AlertConfig::default()
    }
}

/// The samples of a WAV file of 16 bits, after its 44-byte header.
fn samples(path: &Path) -> Vec<i16> {
    let bytes = fs::read(path).unwrap_or_default();
    bytes
        .get(44..)
        .unwrap_or_default()
        .chunks_exact(2)
        .map(|pair| i16::from_le_bytes([pair[0], pair[1]]))
        .collect()
}

#[test]
fn a_sentence_is_spoken_into_a_file() {
    if !installed(&["espeak-ng"]) {
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let length = |sentence: &str| {
        let file = folder.path().join("voice.wav");
        let command = ["espeak-ng", "-w", file.to_str().unwrap(), "--stdin"];
        let heard = Audition::start(voice(&command)).hear(call("1", Priority::Medium, sentence));
        assert_eq!(heard.ways, [Way::Speech], "{heard:?}");
        let spoken = samples(&file);
        spoken
            .iter()
            .filter(|sample| sample.unsigned_abs() > 500)
            .count()
    };
    let (short, long) = (
        length("Stir"),
        length("Turn the oven down to one hundred and ninety degrees"),
    );
    assert!(
        short > 1000 && long > 2 * short,
        "{short} and {long} loud samples"
    );
}

#[test]
fn a_text_is_one_argument_and_no_command() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("said");
    let nasty = "--help $(touch gone); `rm` 'x' \"y\" \x1b]0;t\x07 | & Crème";
    let script = format!("printf '%s|%s' \"$#\" \"$1\" > '{}'", file.display());
    let heard = Audition::start(voice(&["sh", "-c", &script, "sh", "{}"])).hear(call(
        "1",
        Priority::Low,
        nasty,
    ));
    assert_eq!(heard.ways, [Way::Speech], "{heard:?}");
    assert_eq!(
        fs::read_to_string(&file).unwrap(),
        format!("1|{}", tame(nasty))
    );
    let script = format!("cat > '{}'", file.display());
    Audition::start(voice(&["sh", "-c", &script])).hear(call("1", Priority::Low, nasty));
    assert_eq!(fs::read_to_string(&file).unwrap(), tame(nasty));
}

#[test]
fn an_answer_ends_the_voice_and_what_it_started() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("pids");
    let script = format!(
        "sleep 600 & echo $$ $! > '{0}.new'; mv '{0}.new' '{0}'; wait",
        file.display()
    );
    for answered in [true, false] {
        let _ = fs::remove_file(&file);
        let alerts = Alerts::start(voice(&["sh", "-c", &script]));
        alerts.announce(call("1", Priority::High, "Turn the oven down"));
        until("the voice", || file.exists());
        let pids = fs::read_to_string(&file).unwrap();
        if answered {
            alerts.answered("1");
        } else {
            drop(alerts);
        }
        for pid in pids.split_whitespace() {
            until("its end", || ended(pid));
        }
    }
}

/// Gone, or dead and not yet waited for.
fn ended(pid: &str) -> bool {
    let stat = fs::read_to_string(format!("/proc/{pid}/stat")).unwrap_or_default();
    stat.rsplit(')')
        .next()
        .is_none_or(|rest| rest.trim().is_empty() || rest.trim().starts_with('Z'))
}

#[test]
fn a_voice_that_fails_is_said() {
    let heard =
        Audition::start(voice(&["/nonexistent/voice"])).hear(call("1", Priority::Low, "Stir"));
    assert!(
        heard.ways.is_empty() && heard.failed[0].1.contains("not installed"),
        "{heard:?}"
    );
    let heard = Audition::start(voice(&["false"])).hear(call("1", Priority::Low, "Stir"));
    assert!(
        heard.ways.is_empty() && heard.failed[0].1.contains("false failed"),
        "{heard:?}"
    );
}

/// speech-dispatcher 0.11.4 without a synthesiser, tried by hand: the list of its modules is a heading alone, and what it
/// is asked to say becomes half a minute of advice, with status 0.
#[cfg(target_os = "linux")]
#[test]
fn a_speech_service_without_a_voice_is_passed_over() {
    for (modules, expected) in [("", "espeak"), ("espeak-ng", "service")] {
        let folder = tempfile::tempdir().unwrap();
        let said = folder.path().join("said");
        let said = said.display();
        let list = format!("printf 'OUTPUT MODULES\\n{modules}\\n'; exit 0");
        let service = format!(
            "[ \"$1\" = --list-output-modules ] && {{ {list}; }}\nprintf service > '{said}'"
        );
        script(folder.path(), "spd-say", &service);
        script(
            folder.path(),
            "espeak-ng",
            &format!("printf espeak > '{said}'"),
        );
        let config = AlertConfig {
            only: Some(Way::Speech),
            surroundings: Surroundings::default().with("PATH", folder.path()),
            ..AlertConfig::default()
        };
        let heard = Audition::start(config).hear(call("1", Priority::Low, "Stir"));
        assert_eq!(heard.ways, [Way::Speech], "{heard:?}");
        assert_eq!(fs::read_to_string(said.to_string()).unwrap(), expected);
    }
}

/// The answer is the same for the whole evening, and to ask takes longer than to begin to speak.
#[cfg(target_os = "linux")]
#[test]
fn a_speech_service_is_asked_once_for_its_voices() {
    let folder = tempfile::tempdir().unwrap();
    let asked = folder.path().join("asked");
    let service = format!(
        "[ \"$1\" = --list-output-modules ] && {{ echo asked >> '{}'; printf 'OUTPUT MODULES\\nespeak-ng\\n'; }}; exit 0",
        asked.display()
    );
    script(folder.path(), "spd-say", &service);
    let config = AlertConfig {
        only: Some(Way::Speech),
        surroundings: Surroundings::default().with("PATH", folder.path()),
        ..AlertConfig::default()
    };
    let mut audition = Audition::start(config);
    for id in ["1", "2", "3"] {
        let heard = audition.hear(call(id, Priority::Low, "Stir"));
        assert_eq!(heard.ways, [Way::Speech], "{heard:?}");
    }
    assert_eq!(fs::read_to_string(asked).unwrap(), "asked\n");
}
