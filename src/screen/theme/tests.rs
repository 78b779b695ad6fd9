use super::contrast::{distance, matrix, rgb};
use super::*;

/// Letters and the ground that they are read on.
fn readings(theme: &Theme) -> Vec<(Meaning, [u8; 3], [u8; 3])> {
    let base = match theme.name() {
        "sixteen-light" => ([0, 0, 0], [255, 255, 255]),
        _ => ([229, 229, 229], [0, 0, 0]),
    };
    let ground = |m: Meaning| theme.ink(m).bg.and_then(rgb).unwrap_or(base.1);
    let mut all = Vec::new();
    for meaning in Meaning::ALL {
        let ink = theme.ink(meaning);
        if matches!(meaning, Meaning::Rule) {
            continue;
        }
        let text = theme.ink(Meaning::Text).fg.and_then(rgb).unwrap_or(base.0);
        let (fg, bgs) = match meaning {
            Meaning::Ground | Meaning::Raised | Meaning::Chosen => (text, vec![ground(meaning)]),
            _ => {
                let fg = ink.fg.and_then(rgb).unwrap_or(text);
                match ink.bg.and_then(rgb) {
                    Some(bg) => (fg, vec![bg]),
                    None => (
                        fg,
                        [Meaning::Ground, Meaning::Raised, Meaning::Chosen]
                            .map(ground)
                            .to_vec(),
                    ),
                }
            }
        };
        all.extend(bgs.into_iter().map(|bg| (meaning, fg, bg)));
    }
    all
}

fn every_theme() -> Vec<Theme> {
    let shipped = themes().map(|name| Theme::named(name).unwrap());
    let quantised = ["dark", "light"].map(|name| Theme::named(name).unwrap().in_256());
    shipped.into_iter().chain(quantised).collect()
}

/// WCAG 2.2, 1.4.3: text at least 4.5:1 on its ground.
#[test]
fn every_text_of_every_theme_can_be_read() {
    let mut faint = Vec::new();
    for theme in every_theme().iter().filter(|t| t.name() != "none") {
        for (meaning, fg, bg) in readings(theme) {
            let ratio = contrast(fg, bg);
            if ratio < 4.5 {
                faint.push(format!(
                    "{} {meaning:?} {fg:?} on {bg:?}: {ratio:.2}",
                    theme.name()
                ));
            }
        }
    }
    assert!(faint.is_empty(), "{}", faint.join("\n"));
}

/// WCAG 2.2, 1.4.3 and its definition of relative luminance give 21 for black on white, 1 for equals.
#[test]
fn contrast_agrees_with_its_definition_at_the_ends() {
    assert!((contrast([0, 0, 0], [255, 255, 255]) - 21.0).abs() < 1e-9);
    assert!((contrast([9, 99, 199], [9, 99, 199]) - 1.0).abs() < 1e-9);
}

/// What must be told apart at a glance stays apart for the common colour-blindnesses.
#[test]
fn pairs_stay_apart_for_the_colour_blind() {
    use Meaning::*;
    let pairs = [
        (Good, Late),
        (Run, Late),
        (Run, Oven),
        (Hands, Rest),
        (Now, Run),
        (CallLow, CallMedium),
        (CallMedium, CallHigh),
        (CallLow, CallHigh),
    ];
    let mut close = Vec::new();
    for theme in every_theme().iter().filter(|t| t.name() != "none") {
        let tone = |m: Meaning| {
            let ink = theme.ink(m);
            ink.bg.or(ink.fg).and_then(rgb)
        };
        for (a, b) in pairs {
            let (Some(x), Some(y)) = (tone(a), tone(b)) else {
                continue;
            };
            for kind in [Blindness::Protan, Blindness::Deutan, Blindness::Tritan] {
                let d = distance(simulate(kind, x), simulate(kind, y));
                if d < 15.0 {
                    close.push(format!("{} {a:?}/{b:?} {kind:?}: {d:.1}", theme.name()));
                }
            }
        }
    }
    assert!(close.is_empty(), "{}", close.join("\n"));
}

/// The rows of a simulation matrix keep white white.
#[test]
fn simulation_keeps_grey() {
    for kind in [Blindness::Protan, Blindness::Deutan, Blindness::Tritan] {
        for row in matrix(kind) {
            assert!((row.iter().sum::<f64>() - 1.0).abs() < 1e-4);
        }
    }
}

#[test]
fn without_colour_nothing_is_coloured_and_calls_still_differ() {
    let theme = Theme::named("none").unwrap();
    for meaning in Meaning::ALL {
        let ink = theme.ink(meaning);
        assert_eq!((ink.fg, ink.bg), (None, None), "{meaning:?}");
    }
    assert!(
        theme
            .ink(Meaning::CallHigh)
            .shape
            .contains(Modifier::REVERSED)
    );
    assert_ne!(theme.ink(Meaning::CallLow), theme.ink(Meaning::CallHigh));
}

#[test]
fn a_theme_file_patches_and_all_faults_are_told() {
    let dark = Theme::named("dark").unwrap();
    let patched = dark.clone().patched("[dark]\nnow = '#ffffff'\n").unwrap();
    assert_eq!(
        patched.ink(Meaning::Now).fg,
        Some(Color::Rgb(255, 255, 255))
    );
    assert_eq!(patched.ink(Meaning::Run), dark.ink(Meaning::Run));
    let faults = dark
        .patched("[drak]\n[dark]\nnwo = 'red'\nlate = 'reddish'\n")
        .unwrap_err();
    let said: Vec<String> = faults.iter().map(ToString::to_string).collect();
    assert_eq!(said.len(), 3, "{said:?}");
    assert!(said.iter().any(|s| s.contains("`[dark]`")));
    assert!(said.iter().any(|s| s.contains("`now`")));
    assert!(said.iter().any(|s| s.contains("reddish")));
}

#[test]
fn the_environment_decides_how_many_colours() {
    let of = |pairs: &'static [(&str, &str)]| {
        Depth::of(|key| {
            pairs
                .iter()
                .find(|(k, _)| *k == key)
                .map(|(_, v)| (*v).to_owned())
        })
    };
    assert_eq!(of(&[("TERM", "xterm")]), Depth::Sixteen);
    assert_eq!(of(&[("TERM", "xterm-256color")]), Depth::Many);
    assert_eq!(
        of(&[("TERM", "xterm-256color"), ("COLORTERM", "truecolor")]),
        Depth::True
    );
    assert_eq!(
        of(&[("COLORTERM", "truecolor"), ("NO_COLOR", "1")]),
        Depth::None
    );
    assert_eq!(
        of(&[("COLORTERM", "truecolor"), ("NO_COLOR", "")]),
        Depth::True
    );
}
