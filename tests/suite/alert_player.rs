//! The way by a program that plays a file.

use std::fs;

use mealtide::alert::{AlertConfig, Audition, Priority, Surroundings, Way};

use super::{call, script};

/// What is on its standard input, as the system calls it, and the first bytes of it.
const PLAYER: &str = "PATH=/usr/bin:/bin; readlink /proc/self/fd/0 > \"$0.name\"; head -c 12 > \"$0.head\"; cat > \"$0.rest\"";

/// The sound is a whole WAV file (RIFF: size of the rest, then the form's type), and nothing of it is left on the disk,
/// however the program or the player ends: it never has a name.
#[test]
fn what_is_played_has_no_name() {
    let folder = tempfile::tempdir().unwrap();
    script(folder.path(), "aplay", PLAYER);
    let config = AlertConfig {
        only: Some(Way::Player),
        surroundings: Surroundings::default().with("PATH", folder.path()),
        ..AlertConfig::default()
    };
    let heard = Audition::start(config).hear(call("1", Priority::High, "Stir"));
    assert_eq!(heard.ways, [Way::Player], "{heard:?}");
    let said = |what: &str| fs::read(folder.path().join(format!("aplay.{what}"))).unwrap();
    let name = String::from_utf8(said("name")).unwrap();
    assert!(name.trim_end().ends_with("(deleted)"), "{name}");
    let head = said("head");
    assert_eq!((&head[..4], &head[8..]), (&b"RIFF"[..], &b"WAVE"[..]));
    let rest = u32::from_le_bytes([head[4], head[5], head[6], head[7]]) as usize;
    assert_eq!(4 + said("rest").len(), rest);
}
