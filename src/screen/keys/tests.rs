use super::*;

#[test]
fn the_shipped_table_reads_without_a_fault_and_covers_what_a_cook_can_do() {
    let keys = Keys::read(SHIPPED).unwrap();
    for command in [
        "next",
        "begin",
        "done",
        "more",
        "fewer 1",
        "skip",
        "undo",
        "oven",
        "note",
        "core",
        "substitute",
        "glance",
        "lanes",
        "help",
        "mouse",
        "quit",
        "row 1",
        "row 9",
        "heard",
    ] {
        let command: Command = command.parse().unwrap();
        let event = keys.event(Place::Cook, &command).unwrap();
        assert_eq!(keys.command(Place::Cook, &event), Some(command));
    }
}

#[test]
fn a_key_means_one_thing_a_screen() {
    let keys = Keys::shipped();
    let space = "Space".parse::<Chord>().unwrap().event();
    assert_eq!(keys.command(Place::Cook, &space), Some(Command::Next));
    assert_eq!(keys.command(Place::Replay, &space), Some(Command::Pause));
    assert_eq!(keys.command(Place::List, &space), None);
}

#[test]
fn keys_are_remapped_and_conflicts_are_told() {
    let patch = |pairs: &[(&str, &str)]| {
        let table = pairs
            .iter()
            .map(|(c, k)| ((*c).to_owned(), vec![(*k).to_owned()]))
            .collect();
        Keys::shipped().patched(&table)
    };
    let keys = patch(&[("done", "Tab")]).unwrap();
    assert_eq!(
        keys.label(Place::Cook, &Command::Done).as_deref(),
        Some("Tab")
    );
    let faults = patch(&[("done", "u"), ("dnoe", "z"), ("skip", "Hyper")]).unwrap_err();
    let said: Vec<String> = faults.iter().map(ToString::to_string).collect();
    assert_eq!(said.len(), 3, "{said:?}");
    assert!(
        said.iter().any(|s| s.contains("both `undo` and `done`")),
        "{said:?}"
    );
    assert!(said.iter().any(|s| s.contains("did you mean `done`")));
    assert!(said.iter().any(|s| s.contains("`Hyper` is no key")));
}

#[test]
fn chords_survive_being_written_and_read() {
    for text in [
        "Space", "Enter", "a", "A", "?", "+", "-", "Ctrl-c", "Alt-x", "F12", "PageUp",
    ] {
        assert_eq!(text.parse::<Chord>().unwrap().to_string(), text);
    }
}
