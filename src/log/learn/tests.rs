use super::*;
use crate::log::{
    review::review,
    sample::{evening, name, records, session},
};

/// The posterior mean, by summing prior times likelihood over a fine grid: the definition, with no formula of ours.
fn by_definition(factors: &[f64], prior: f64, scatter: f64) -> f64 {
    let (mut sum, mut weight) = (0.0, 0.0);
    for place in -40_000..=40_000 {
        let x = f64::from(place) * 5e-5;
        let squares = factors
            .iter()
            .map(|factor| ((factor.ln() - x) / scatter).powi(2));
        let density = (-0.5 * (squares.sum::<f64>() + (x / prior).powi(2))).exp();
        sum += x * density;
        weight += density;
    }
    (sum / weight).exp()
}

#[test]
fn belief_is_the_mean_of_the_posterior() {
    for factors in [&[][..], &[1.2], &[0.8, 1.1], &[1.5, 1.4, 1.6, 1.3, 1.55]] {
        for prior in [0.10, 0.25] {
            let ours = shrunk(factors, prior, SCATTER);
            let theirs = by_definition(factors, prior, SCATTER);
            assert!((ours - theirs).abs() < 1e-6, "{factors:?}: {ours} {theirs}");
        }
    }
}

#[test]
fn belief_moves_from_the_recipe_to_the_kitchen() {
    let mut before = 1.0;
    for evenings in 1..40 {
        let now = shrunk(&vec![1.4; evenings], PRIOR_LEAST, SCATTER);
        assert!(now > before && now < 1.4, "{evenings}: {now}");
        before = now;
    }
    assert!(before > 1.35);
    // One step that nobody ended does not make a recipe twice as long.
    assert!(shrunk(&[40.0], PRIOR_LEAST, SCATTER) < 1.35);
    assert_eq!(shrunk(&[f64::NAN, 0.0, -1.0, f64::INFINITY], 0.1, 0.1), 1.0);
}

fn after(evenings: usize) -> History {
    let mut history = History::default();
    for number in 0..evenings {
        let mut review = review(&records(evening())).unwrap();
        let day = jiff::SignedDuration::from_hours(24 * number as i64);
        review.opened = review.opened.saturating_add(day);
        history.add(&review, &session());
    }
    history
}

fn usual(history: &History, step: &str) -> Option<f64> {
    let learned = history.lengths(&session());
    let found = learned.iter().find(|learned| learned.step == name(step));
    found.map(|learned| to_f64(learned.usual) / 60.0)
}

#[test]
fn lengths_are_learned_from_evenings() {
    assert_eq!(History::default().lengths(&session()), []);
    // 79 for 70, 19 for 15, 12 for 10: the first after some evenings only.
    assert_eq!(usual(&after(1), "roast/roast"), None);
    let roast = usual(&after(6), "roast/roast").unwrap();
    assert!(roast > 75.0 && roast < 79.0, "{roast}");
    let chop = usual(&after(1), "soup/chop").unwrap();
    assert!(chop > 15.5 && chop < 19.0, "{chop}");
    assert_eq!(usual(&after(9), "roast/season"), None, "10 for 10");
}

#[test]
fn an_evening_counts_once() {
    let mut history = after(1);
    let again = review(&records(evening())).unwrap();
    history.add(&again, &session());
    assert_eq!((history.len(), &history), (1, &after(1)));
}

#[test]
fn what_was_learned_is_planned_with_and_is_not_learned_twice() {
    let history = after(6);
    let lengths = history.lengths(&session());
    let mut adjusted = session();
    apply(&mut adjusted, &lengths, &[]);
    for learned in &lengths {
        let dish = adjusted
            .dishes
            .iter()
            .find(|dish| dish.id == learned.step.dish)
            .unwrap();
        let step = dish
            .steps
            .iter()
            .find(|step| step.id == learned.step.step)
            .unwrap();
        let middle = to_f64(step.takes.lo + step.takes.hi) / 2.0;
        assert!((middle - to_f64(learned.usual)).abs() <= 1.0);
        assert!(step.takes.lo <= step.takes.hi);
    }
    // An evening that went exactly as the adjusted plan says is no news.
    let chop = &adjusted.dishes[0].steps[0].takes;
    let middle = to_f64(chop.lo + chop.hi) / 2.0;
    let mut review = review(&records(evening())).unwrap();
    review.opened = review
        .opened
        .saturating_add(jiff::SignedDuration::from_hours(24 * 400));
    review.steps[0].middle = (middle * 1000.0) as i64;
    let actual = review.steps[0].actual.as_mut().unwrap();
    actual.to = actual.from + 19 * 60_000;
    let mut more = history.clone();
    more.add(&review, &adjusted);
    let (was, is) = (
        usual(&history, "soup/chop").unwrap(),
        usual(&more, "soup/chop").unwrap(),
    );
    assert!(is >= was && is < 19.0, "{was} {is}");
}

#[test]
fn words_name_both() {
    let learned = |usual, recipe| Learned {
        step: name("soup/chop"),
        usual: Ratio::from_integer(usual),
        recipe: Ratio::from_integer(recipe),
        evenings: 3,
    };
    assert_eq!(
        learned(34 * 60, 30 * 60).words(),
        "usually 34 min here, recipe says 30"
    );
    assert_eq!(learned(80, 45).words(), "usually 80 s here, recipe says 45");
    assert_eq!(
        learned(480, 450).words(),
        "usually 8.0 min here, recipe says 7.5"
    );
}

#[test]
fn ovens_are_learned() {
    let heat = |rate| Preheat {
        oven: "oven".to_owned(),
        rise: 180.0,
        expected: 0,
        took: 0,
        rate: Some(rate),
    };
    let mut history = History::default();
    for day in 0..4 {
        let mut review = review(&records(evening())).unwrap();
        review.opened = review
            .opened
            .saturating_add(jiff::SignedDuration::from_hours(24 * day));
        review.preheats = vec![heat(7.0)];
        history.add(&review, &session());
    }
    let learned = history.ovens(&session().kitchen);
    assert_eq!(learned.len(), 1);
    let rate = to_f64(learned[0].rate);
    assert!(rate > 7.0 && rate < 8.0, "{rate}");
    assert!(learned[0].words().ends_with("C/min here, kitchen says 10"));
    let mut adjusted = session();
    apply(&mut adjusted, &[], &learned);
    assert_eq!(adjusted.kitchen.ovens[0].heats, learned[0].rate);
}

#[test]
fn a_history_reads_back_and_refuses_what_it_is_not() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("data/mealtide/history.json");
    assert!(History::load(&path).unwrap().is_empty());
    let history = after(3);
    history.save(&path).unwrap();
    history.save(&path).unwrap();
    assert_eq!(History::load(&path).unwrap(), history);
    assert_eq!(
        std::fs::read_dir(path.parent().unwrap()).unwrap().count(),
        1
    );
    std::fs::write(&path, "{\"format\":9,\"history\":3}").unwrap();
    assert!(matches!(
        History::load(&path),
        Err(HistoryError::Newer(_, 9))
    ));
    std::fs::write(&path, "nothing").unwrap();
    let refused = History::load(&path).unwrap_err().to_string();
    assert!(
        refused.contains("it is not a history of this program"),
        "{refused}"
    );
    std::fs::write(&path, vec![b' '; 5 << 20]).unwrap();
    assert!(matches!(
        History::load(&path),
        Err(HistoryError::TooLarge(_))
    ));
}
