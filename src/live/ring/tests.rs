//! Rates: UK HSE CHIS6 step 1, citing EEMUA 191 p. 37: at most 10 alarms in the first 10 minutes of an upset.
//! Intervals between bursts: IEC 60601-1-8, from memory: high 2.5 to 15 s, medium 2.5 to 30 s, low above 15 s.

use super::{Ring, Ringer};
use crate::live::{Action, Call, CallKey, Ms, Priority};

const SECOND: Ms = 1000;

fn call(step: usize, priority: Priority, since: Ms) -> Call {
    Call {
        key: CallKey::Due { step, due: since },
        priority,
        since,
        subject: "Soup".into(),
        sentence: "Take it off".into(),
        action: Some(Action::Finish(step)),
        silent: false,
    }
}

/// Everything that rings up to `until`, asked only when the ringer says so.
fn play(ringer: &mut Ringer, calls: impl Fn(Ms) -> Vec<Call>, until: Ms) -> Vec<(Ms, Ring)> {
    let mut rung = Vec::new();
    for now in (0..=until).step_by(SECOND as usize) {
        rung.extend(ringer.ring(&calls(now), None, now).map(|ring| (now, ring)));
    }
    rung
}

fn times(rung: &[(Ms, Ring)]) -> Vec<Ms> {
    rung.iter().map(|(at, _)| at / SECOND).collect()
}

#[test]
fn an_unanswered_call_repeats_by_its_priority() {
    let high = play(
        &mut Ringer::default(),
        |_| vec![call(0, Priority::High, 0)],
        35 * SECOND,
    );
    assert_eq!(times(&high), [0, 10, 20, 30]);
    assert_eq!(
        high.iter().map(|(_, ring)| ring.round).collect::<Vec<_>>(),
        [0, 1, 2, 3],
        "rising"
    );
    let medium = play(
        &mut Ringer::default(),
        |_| vec![call(0, Priority::Medium, 0)],
        65 * SECOND,
    );
    assert_eq!(times(&medium), [0, 30, 60]);
}

#[test]
fn an_answered_call_is_silent_at_once() {
    let stands = |now: Ms| {
        if now < 12 * SECOND {
            vec![call(0, Priority::High, 0)]
        } else {
            vec![]
        }
    };
    assert_eq!(
        times(&play(&mut Ringer::default(), stands, 100 * SECOND)),
        [0, 10]
    );
}

#[test]
fn calls_that_fall_together_are_one_sound() {
    let fall = |now: Ms| -> Vec<Call> {
        (0..4)
            .filter(|&i| now >= i * 2 * SECOND)
            .map(|i| call(i as usize, Priority::Medium, i * 2 * SECOND))
            .collect()
    };
    let rung = play(&mut Ringer::default(), fall, 20 * SECOND);
    assert_eq!(times(&rung), [0, 10]);
    assert_eq!(rung[1].1.calls.len(), 4);
}

#[test]
fn a_high_call_waits_for_nothing() {
    let fall = |now: Ms| {
        let mut calls = vec![call(0, Priority::Medium, 0)];
        if now >= 3 * SECOND {
            calls.insert(0, call(1, Priority::High, 3 * SECOND));
        }
        calls
    };
    let rung = play(&mut Ringer::default(), fall, 4 * SECOND);
    assert_eq!(times(&rung), [0, 3]);
    assert_eq!(rung[1].1.priority, Priority::High);
}

/// The most new calls that sound alone in any ten minutes; a repeat is no new alarm.
fn most_unmerged(rung: &[(Ms, Ring)], until: Ms) -> usize {
    let alone: Vec<Ms> = rung
        .iter()
        .filter(|(_, ring)| ring.calls.len() == 1 && ring.round == 0)
        .map(|(at, _)| *at)
        .collect();
    let within = |from: Ms| {
        let span = from * SECOND..(from + 600) * SECOND;
        alone.iter().filter(|at| span.contains(at)).count()
    };
    (0..=until / SECOND).map(within).max().unwrap_or(0)
}

/// A new call every `gap` seconds for half an hour, each answered after `answered`; at most ten sound alone.
fn flood_of(gap: Ms, answered: Ms) -> usize {
    let until = 1800 * SECOND;
    let mut ringer = Ringer::default();
    let mut rung = Vec::new();
    for now in (0..=until).step_by(SECOND as usize) {
        let calls: Vec<Call> = (0..=now / (gap * SECOND))
            .map(|step| (step, step * gap * SECOND))
            .filter(|(_, since)| now < since + answered * SECOND)
            .map(|(step, since)| call(step as usize, Priority::Medium, since))
            .collect();
        let touched = (0..=now / (gap * SECOND))
            .map(|step| (step * gap + answered) * SECOND)
            .filter(|&at| at <= now)
            .max();
        rung.extend(ringer.ring(&calls, touched, now).map(|ring| (now, ring)));
    }
    let most = most_unmerged(&rung, until);
    assert!(
        most <= 10,
        "every {gap} s, answered after {answered}: {:?}",
        times(&rung)
    );
    rung.len()
}

#[test]
fn a_flood_is_kept_below_the_published_rate() {
    for gap in [5, 8, 13, 20, 30, 45] {
        for answered in [1, 4, 9, 12, 25, 40] {
            let rung = flood_of(gap, answered);
            assert!(
                rung >= 7,
                "every {gap} s, answered after {answered}: only {rung} sounds"
            );
        }
    }
}

#[test]
fn what_is_read_on_the_screen_sounds_only_if_it_is_not_done() {
    let begin = Call {
        key: CallKey::Begin { step: 3 },
        ..call(3, Priority::Medium, 0)
    };
    let mut ringer = Ringer::default();
    let touched = Some(0);
    let rung: Vec<Ms> = (0..40)
        .filter(|s| {
            ringer
                .ring(std::slice::from_ref(&begin), touched, s * SECOND)
                .is_some()
        })
        .collect();
    assert_eq!(rung, [30]);
}
