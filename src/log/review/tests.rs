use super::*;
use crate::log::sample::{MINUTE, begun, done, evening, name, plan, records, set};

fn of(events: Vec<(Ms, Event)>) -> Review {
    review(&records(events)).unwrap()
}

fn minutes(ms: Ms) -> f64 {
    ms as f64 / MINUTE as f64
}

#[test]
fn an_evening_is_held_against_its_first_plan() {
    let review = of(evening());
    assert!(review.closed);
    assert_eq!((review.replans, review.away), (2, 0));
    // First by 3 minutes once, Main by 1 and back.
    assert_eq!(review.moved, 5 * MINUTE);
    let steps: Vec<_> = review
        .steps
        .iter()
        .map(|step| {
            let is = step.actual.unwrap();
            (
                step.step.step.as_str(),
                minutes(step.planned.from),
                minutes(step.planned.length()),
                minutes(is.from),
                minutes(is.length()),
            )
        })
        .collect();
    assert_eq!(
        steps,
        [
            ("chop", 100.0, 15.0, 101.0, 19.0),
            ("simmer", 115.0, 30.0, 120.0, 32.0),
            ("season", 60.0, 10.0, 62.0, 10.0),
            ("roast", 80.0, 70.0, 85.0, 79.0),
            ("carve", 180.0, 10.0, 185.0, 12.0),
        ]
    );
    assert!(review.steps.iter().all(|step| step.measured));
}

#[test]
fn a_late_course_is_accounted_for_without_remainder() {
    let review = of(evening());
    let main = &review.courses[1];
    assert_eq!((main.late, main.moved), (Some(10 * MINUTE), 2 * MINUTE));
    let causes: Vec<_> = main
        .causes
        .iter()
        .map(|cause| {
            let step = cause.step.as_ref().map(|step| step.step.clone());
            (step.unwrap_or_default(), cause.why, minutes(cause.cost))
        })
        .collect();
    let cause = |step: &str, why, cost| (step.to_owned(), why, cost);
    assert_eq!(
        causes,
        [
            cause("roast", Why::Longer, 9.0),
            cause("", Why::Served, 3.0),
            cause("roast", Why::Waited, 3.0),
            cause("carve", Why::Longer, 2.0),
            cause("season", Why::Began, 2.0),
            cause("carve", Why::Waited, -9.0),
        ]
    );
    for course in &review.courses {
        let sum: Ms = course.causes.iter().map(|cause| cause.cost).sum();
        assert_eq!(
            sum,
            course.served.unwrap() - course.planned,
            "{}",
            course.name
        );
    }
}

#[test]
fn a_hand_that_was_busy_elsewhere_is_named() {
    let mut events = evening();
    // The cook chops until the roast has waited long, and carves at once after that.
    events.truncate(5);
    events.extend([
        (164, done("roast/roast")),
        (170, begun("soup/chop")),
        (185, done("soup/chop")),
        (185, begun("roast/carve")),
        (195, done("roast/carve")),
        (195, Event::Served { course: 1 }),
    ]);
    let review = of(events);
    let causes = &review.courses[1].causes;
    assert_eq!(
        causes.iter().map(|cause| cause.cost).sum::<Ms>(),
        5 * MINUTE
    );
    let began = causes.iter().find(|cause| cause.why == Why::Began).unwrap();
    assert_eq!(began.step, Some(name("soup/chop")));
    assert_eq!(minutes(began.cost), 70.0);
}

#[test]
fn what_nobody_saw_measures_nothing() {
    let mut events = evening();
    let at = events
        .iter()
        .position(|(minute, _)| *minute == 153)
        .unwrap();
    events.insert(at, (152, Event::Resumed { away: 20 * MINUTE }));
    let review = of(events);
    let measured = |id: &str| {
        review
            .steps
            .iter()
            .find(|step| step.step.step == id)
            .unwrap()
            .measured
    };
    assert!(!measured("simmer"));
    assert!(!measured("roast"));
    assert!(measured("chop"));
    assert_eq!(review.away, 20 * MINUTE);

    // Serving ends what still runs; that is no measurement of it.
    let mut events = evening();
    events.retain(|(minute, _)| *minute != 152);
    let review = of(events);
    let simmer = review
        .steps
        .iter()
        .find(|step| step.step.step == "simmer")
        .unwrap();
    assert_eq!(simmer.actual.map(|is| is.to), Some(153 * MINUTE));
    assert!(!simmer.measured);
}

#[test]
fn an_oven_tells_its_rate_by_when_something_goes_in() {
    let rate = |in_at: Ms, seasoned: Ms| {
        let events = vec![
            (0, plan([100, 115, 60, 80, 180], [150, 190])),
            (1, begun("roast/season")),
            (60, set(200)),
            (seasoned, done("roast/season")),
            (in_at, begun("roast/roast")),
        ];
        let preheats = of(events).preheats;
        assert_eq!(preheats.len(), 1);
        assert_eq!(
            (preheats[0].rise, minutes(preheats[0].expected)),
            (180.0, 18.0)
        );
        preheats[0].rate
    };
    assert_eq!(rate(72, 60), Some(15.0), "sooner: it heats faster");
    assert_eq!(rate(79, 60), Some(10.0), "about then: it heats as stated");
    assert_eq!(
        rate(90, 60),
        Some(6.0),
        "later, and nothing else to wait for: slower"
    );
    assert_eq!(
        rate(90, 89),
        None,
        "later, but the meat was not ready either"
    );
}

#[test]
fn a_preheat_is_one_and_only_if_it_was_not_taken_back() {
    let mut events = evening();
    let at = events
        .iter()
        .position(|(minute, _)| *minute == 101)
        .unwrap();
    events.insert(at, (90, Event::Undone));
    events.insert(at + 1, (91, begun("roast/roast")));
    let preheats = of(events).preheats;
    assert_eq!(preheats.len(), 1);
    assert_eq!(minutes(preheats[0].took), 31.0);
}

#[test]
fn what_cannot_be_compared_says_why() {
    assert_eq!(review(&[]), Err(Unreviewable::NoPlan));
    assert_eq!(review(&records(Vec::new())), Err(Unreviewable::NoPlan));
    let twice = vec![
        (0, plan([100, 115, 60, 80, 180], [150, 190])),
        (1, begun("soup/chop")),
        (2, begun("soup/chop")),
    ];
    let refused = review(&records(twice)).unwrap_err();
    assert!(
        matches!(refused, Unreviewable::Impossible { seq: 3, .. }),
        "{refused}"
    );
}

#[test]
fn the_text_is_for_a_terminal() {
    let review = of(evening());
    for width in [20, 80, 200] {
        let text = review.text(width);
        assert!(!text.contains('\u{1b}'));
        let timeline = text
            .lines()
            .filter(|line| line.contains(" plan -") || line.contains("  was ="));
        assert!(timeline.clone().count() > 0 || width < 40);
        assert!(
            timeline
                .into_iter()
                .all(|line| line.chars().count() <= width.max(40))
        );
    }
    let text = review.text(80);
    insta::assert_snapshot!(text);
}

#[test]
fn lengths_read_well() {
    let words = [
        0,
        29_600,
        59_000,
        90_000,
        59 * MINUTE,
        60 * MINUTE,
        125 * MINUTE,
    ]
    .map(show::length);
    assert_eq!(
        words,
        [
            "0 s",
            "30 s",
            "59 s",
            "2 min",
            "59 min",
            "1 h 00 min",
            "2 h 05 min"
        ]
    );
}
