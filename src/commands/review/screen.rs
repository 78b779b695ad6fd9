//! A review on the screen.

use crate::{
    commands::{Outcome, complain, view},
    live::{
        Ms, Priority,
        board::{Bar, Lane, Progress},
    },
    log::review::{Review, Span, StepReview, show},
    menu::{Hands, Session},
    screen::{keys::Place, review_view},
};

/// Shows an evening beside its plan until it is left, with its calls; `learned`: what the next plan uses of it, one a
/// line.
pub fn show(
    review: &Review,
    session: &Session,
    calls: Vec<(Ms, Priority)>,
    learned: &[String],
) -> Outcome {
    let shown = evening(review, session, calls, learned);
    let looked = view::config().and_then(|config| {
        let mut look = view::View::open(&config, Place::List)?;
        look.ask(
            &mut review_view::Look::new(&shown),
            |buffer, look, ui| review_view::paint(buffer, &shown, ui, look),
            |look, event, area, ui| review_view::on_event(event, look, &shown, area, ui),
        )
        .map_err(|error| complain(&format!("the terminal: {error}")))
    });
    looked.map_or_else(|outcome| outcome, |_| Outcome::Well)
}

fn evening(
    review: &Review,
    session: &Session,
    calls: Vec<(Ms, Priority)>,
    learned: &[String],
) -> review_view::Review {
    let mut dishes: Vec<(String, Lane, Lane)> = Vec::new();
    for (i, step) in review.steps.iter().enumerate() {
        if dishes.last().is_none_or(|(name, ..)| *name != step.dish) {
            let lane = || Lane {
                name: step.dish.clone(),
                bars: Vec::new(),
            };
            dishes.push((step.dish.clone(), lane(), lane()));
        }
        let Some((_, planned, actual)) = dishes.last_mut() else {
            continue;
        };
        let hands = hands(session, step);
        planned.bars.push(bar(i, step, step.planned, hands));
        actual
            .bars
            .extend(step.actual.map(|span| bar(i, step, span, hands)));
    }
    for (_, planned, actual) in &mut dishes {
        planned.bars.sort_by_key(|bar| bar.from);
        actual.bars.sort_by_key(|bar| bar.from);
    }
    let courses = review.courses.iter();
    review_view::Review {
        title: review.title.clone(),
        opened: review.opened.clone(),
        dishes,
        calls,
        courses: courses
            .map(|course| (course.name.clone(), course.promised, course.served))
            .collect(),
        lines: lines(review, learned),
    }
}

fn bar(i: usize, step: &StepReview, span: Span, hands: bool) -> Bar {
    Bar {
        step: i,
        from: span.from,
        to: span.to,
        label: step.step.step.clone(),
        hands,
        oven: None,
        burners: 0,
        progress: Progress::Done,
    }
}

fn hands(session: &Session, reviewed: &StepReview) -> bool {
    let mut dishes = session.dishes.iter();
    let dish = dishes.find(|dish| dish.id == reviewed.step.dish);
    let mut steps = dish.into_iter().flat_map(|dish| &dish.steps);
    steps
        .find(|step| step.id == reviewed.step.step)
        .is_some_and(|step| step.hands == Hands::On)
}

/// What made courses late, what was left out, and what was learned.
fn lines(review: &Review, learned: &[String]) -> Vec<String> {
    /// Less than this is told as on time, in ms.
    const SMALL: Ms = 60_000;
    let causes = review.courses.iter().flat_map(|course| {
        let late = course.late.is_some_and(|late| late >= SMALL);
        let told = course
            .causes
            .iter()
            .filter(move |cause| late && cause.cost >= SMALL);
        told.map(|cause| format!("{}: {}", course.name, show::words(cause)))
    });
    let undone = review.steps.iter().filter(|step| step.actual.is_none());
    let undone = undone.map(|step| {
        let how = if step.skipped { "left out" } else { "not done" };
        format!("{}: {}, {how}", step.dish, step.step.step)
    });
    let again = match review.replans {
        0 => "The plan held from beginning to end".to_owned(),
        1 => "The plan was made again once".to_owned(),
        times => format!("The plan was made again {times} times"),
    };
    let learned = learned.iter().map(|line| format!("Learned: {line}"));
    causes.chain(undone).chain([again]).chain(learned).collect()
}
