use super::*;

fn call(title: &str, sentence: &str) -> Announcement {
    Announcement {
        id: "1".into(),
        priority: Priority::High,
        sentence: sentence.into(),
        title: title.into(),
        count: 1,
        repeat: 0,
        late: 0,
    }
}

const fn plain(protocol: Protocol) -> TerminalKind {
    TerminalKind {
        protocol: Some(protocol),
        tmux: false,
    }
}

/// Forms: OSC 9 and 777 by terminals' and libraries' documentation; OSC 99 by the protocol's own page, its urgency from
/// memory.
#[test]
fn each_form_is_as_documented() {
    let call = call("Oven", "Turn down to 190 C");
    let of = |protocol| sequence(&call, &plain(protocol)).unwrap();
    assert_eq!(of(Protocol::Osc9), "\x1b]9;Oven: Turn down to 190 C\x1b\\");
    assert_eq!(
        of(Protocol::Osc777),
        "\x1b]777;notify;Oven;Turn down to 190 C\x1b\\"
    );
    assert_eq!(
        of(Protocol::Osc99),
        "\x1b]99;i=mealtide:d=0:u=2;Oven\x1b\\\x1b]99;i=mealtide:p=body;Turn down to 190 C\x1b\\"
    );
    assert_eq!(
        closing(&plain(Protocol::Osc99)).unwrap(),
        "\x1b]99;i=mealtide:p=close;\x1b\\"
    );
    assert_eq!(closing(&plain(Protocol::Osc9)), None);
}

#[test]
fn tmux_gets_it_wrapped_with_each_escape_doubled() {
    let kind = TerminalKind {
        protocol: Some(Protocol::Osc9),
        tmux: true,
    };
    let wrapped = sequence(&call("Oven", "Off"), &kind).unwrap();
    assert_eq!(wrapped, "\x1bPtmux;\x1b\x1b]9;Oven: Off\x1b\x1b\\\x1b\\");
}

/// No text of a session file ends a sequence early or begins another (security practice).
#[test]
fn no_text_gets_out_of_its_sequence() {
    let nasty = call("a\x1b\\b\x07;c\u{9c}", "x\x1b]0;owned\x07\r\n\u{9d}4;1;50");
    for protocol in [Protocol::Osc9, Protocol::Osc777, Protocol::Osc99] {
        let text = sequence(&nasty, &plain(protocol)).unwrap();
        let ends = text.matches(ST).count();
        assert_eq!(
            ends,
            if protocol == Protocol::Osc99 { 2 } else { 1 },
            "{text:?}"
        );
        assert_eq!(text.matches('\x1b').count(), 2 * ends, "{text:?}");
        assert!(
            !text.contains(['\x07', '\r', '\n', '\u{9c}', '\u{9d}']),
            "{text:?}"
        );
    }
    let fields = sequence(&nasty, &plain(Protocol::Osc777))
        .unwrap()
        .matches(';')
        .count();
    assert_eq!(fields, 3);
}

#[test]
fn the_environment_tells_the_terminal() {
    let kind = |vars: &[(&str, &str)]| {
        let mut surroundings = Surroundings::default();
        for (name, value) in vars {
            surroundings = surroundings.with(name, *value);
        }
        TerminalKind::of(&surroundings)
    };
    assert_eq!(kind(&[("TERM", "xterm-256color")]).protocol, None);
    assert_eq!(
        kind(&[("TERM", "xterm-kitty")]).protocol,
        Some(Protocol::Osc99)
    );
    assert_eq!(
        kind(&[("TERM", "foot-extra")]).protocol,
        Some(Protocol::Osc777)
    );
    let inside = kind(&[
        ("TERM", "tmux-256color"),
        ("TERM_PROGRAM", "tmux"),
        ("TMUX", "/run/tmux/default,1,0"),
        ("KITTY_WINDOW_ID", "1"),
    ]);
    assert_eq!(
        inside,
        TerminalKind {
            protocol: Some(Protocol::Osc99),
            tmux: true
        }
    );
    assert_eq!(
        kind(&[("TERM", "dumb"), ("KITTY_WINDOW_ID", "1")]).protocol,
        None
    );
}
