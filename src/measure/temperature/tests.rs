use super::*;

fn span(text: &str) -> Result<(Ratio, Ratio), String> {
    match OvenTemperature::parse(text, Some(Ratio::zero())) {
        Ok(OvenTemperature {
            accepts: Accepts::Span { lo, hi },
            ..
        }) => Ok((lo, hi)),
        Ok(_) => Err("off".into()),
        Err(error) => Err(error.to_string()),
    }
}

fn whole(value: i128) -> Ratio {
    Ratio::from_integer(value)
}

#[test]
fn one_temperature() {
    for (text, expected) in [
        ("220 C", 220),
        ("220C", 220),
        ("220 °C", 220),
        ("220 degrees C", 220),
        ("gas 7", 220),
        ("gas mark 7", 220),
        ("Gas 1", 140),
        ("fan 200 C", 220),
        ("200 C fan", 220),
        ("200 C (fan)", 220),
        ("428 F", 220),
        ("350 C", 350),
        ("fan 330 C", 350),
    ] {
        assert_eq!(span(text), Ok((whole(expected), whole(expected))), "{text}");
    }
    assert_eq!(span("off"), Err("off".into()));
    assert_eq!(span("Off"), Err("off".into()));
}

#[test]
fn spans_and_within() {
    for (text, lo, hi) in [
        ("180 to 200 C", 180, 200),
        ("180-200 C", 180, 200),
        ("180 C to 200 C", 180, 200),
        ("180–200 °C", 180, 200),
        ("fan 160 to 180 C", 180, 200),
        ("gas 4 to 6", 180, 200),
        ("gas 4 to gas 6", 180, 200),
        ("356 to 392 F", 180, 200),
    ] {
        assert_eq!(span(text), Ok((whole(lo), whole(hi))), "{text}");
    }
    let accepts = |text, within: Option<i128>| {
        OvenTemperature::parse(text, within.map(whole))
            .unwrap()
            .accepts
    };
    let of = |lo, hi| Accepts::Span {
        lo: whole(lo),
        hi: whole(hi),
    };
    assert_eq!(accepts("220 C", None), of(210, 230));
    assert_eq!(accepts("220 C", Some(0)), of(220, 220));
    assert_eq!(accepts("220 C", Some(25)), of(195, 245));
    assert_eq!(accepts("180 to 200 C", Some(25)), of(180, 200));
}

#[test]
fn meeting() {
    let accepts = |text| OvenTemperature::parse(text, None).unwrap().accepts;
    assert!(accepts("200 C").meets(&accepts("220 C")));
    assert!(!accepts("199 C").meets(&accepts("220 C")));
    assert!(accepts("off").meets(&accepts("off")));
    assert!(!accepts("off").meets(&accepts("20 C")));
}

#[test]
fn faults_say_what_would_be_right() {
    for (text, part) in [
        ("", "'220 C'"),
        ("hot", "'220 C'"),
        ("220", "C or F"),
        ("220 K", "C or F"),
        ("351 C", "at most 350 C"),
        ("fan 331 C", "at most 350 C"),
        ("663 F", "at most 350 C"),
        ("340 to 360 C", "at most 350 C"),
        ("gas 10", "'gas 1' to 'gas 9'"),
        ("gas 0", "'gas 1' to 'gas 9'"),
        ("gas", "'gas 1' to 'gas 9'"),
        ("200 to 180 C", "backwards"),
        ("-5 C", "colder"),
        ("99999999999999999999999 C", "not a temperature"),
    ] {
        let error = OvenTemperature::parse(text, None).unwrap_err().to_string();
        assert!(error.contains(part), "{text}: {error}");
    }
}

/// Row N12: by definition of the Fahrenheit scale.
#[test]
fn celsius_to_fahrenheit() {
    for (from, to) in [
        (whole(-40), whole(-40)),
        (whole(0), whole(32)),
        (whole(37), Ratio::new(986, 10)),
        (whole(100), whole(212)),
        (whole(180), whole(356)),
        (whole(220), whole(428)),
    ] {
        assert_eq!(crate::measure::dial::fahrenheit(from), to);
        assert_eq!(from_fahrenheit(to), from);
    }
}

/// Row N13: by definition, to 0.001 C.
#[test]
fn fahrenheit_to_celsius() {
    for (from, thousandths) in [
        (350, 176_667),
        (375, 190_556),
        (400, 204_444),
        (425, 218_333),
        (450, 232_222),
    ] {
        let exact = celsius(&format!("{from} F")).unwrap();
        assert_eq!((exact * whole(1000)).round(), whole(thousandths));
    }
}

/// Row N14: a difference has no offset; 10 F is 5 5/9 K, exactly.
#[test]
fn differences() {
    assert_eq!(difference("10 F"), Ok(Ratio::new(50, 9)));
    assert_eq!(difference("10 C"), Ok(whole(10)));
    assert_eq!(difference("0"), Ok(whole(0)));
    assert!(difference("10").is_err());
    assert!(difference("-10 C").is_err());
    assert_eq!(rate("10 C/min"), Ok(whole(10)));
    assert_eq!(rate("18 F per minute"), Ok(whole(10)));
    assert_eq!(rate("120 C/h"), Ok(whole(2)));
    for text in ["10 C", "0 C/min", "fast", "10 C/day", ""] {
        assert!(rate(text).is_err(), "{text}");
    }
}

/// Rows N19 (conversion pages, within 10 C; no primary standard) and N20 (common practice, 20 K).
#[test]
fn gas_and_fan() {
    let row = [140, 150, 165, 180, 190, 200, 220, 230, 240];
    for (mark, expected) in (1..).zip(row) {
        assert_eq!(
            span(&format!("gas {mark}")),
            Ok((whole(expected), whole(expected)))
        );
    }
    assert_eq!(span("fan 180 C"), Ok((whole(200), whole(200))));
}

#[test]
fn of_food() {
    assert_eq!(celsius("74 C"), Ok(whole(74)));
    assert_eq!(celsius("165 F"), Ok(Ratio::new(665, 9)));
    assert_eq!(celsius("-18 C"), Ok(whole(-18)));
    assert!(celsius("gas 4").is_err());
    assert!(celsius("400 C").is_err());
    assert!(celsius("74").is_err());
}

proptest::proptest! {
    #[test]
    fn any_text_is_read_or_refused(text in ".{0,40}", other in "[0-9CFgas fnto°./½-]{0,16}") {
        for text in [text, other] {
            let _ = OvenTemperature::parse(&text, None);
            let _ = celsius(&text);
            let _ = difference(&text);
            let _ = rate(&text);
        }
    }
}
