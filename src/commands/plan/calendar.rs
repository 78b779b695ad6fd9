//! The plan as a calendar: a step, a turn of a knob or a service an event, with an alarm at each call.

use jiff::{Timestamp, ZonedDateTime};

use crate::{
    exchange::ics::{Alarm, Calendar, Event},
    measure::Ratio,
    plan::{Part, problem::Tick, timetable::Timetable},
};

/// The calendar of a plan, made at `stamp`.
pub(super) fn calendar(plan: &Timetable, stamp: Timestamp) -> Calendar {
    let mut events: Vec<Event> = plan.in_order().into_iter().map(|i| step(plan, i)).collect();
    for (n, turn) in plan.turns.iter().enumerate() {
        events.push(moment(
            plan,
            &format!("oven-{n}"),
            turn.at,
            turn.at,
            plan.turned(turn),
            plan.why(turn),
        ));
    }
    if plan.built.frame.part == Part::Service {
        let served = plan
            .built
            .problem
            .courses
            .iter()
            .zip(&plan.solution.schedule.served);
        for (k, (course, &at)) in served.enumerate() {
            let summary = format!("Serve {}", plan.built.frame.courses[k]);
            events.push(moment(
                plan,
                &format!("course-{k}"),
                at,
                at + course.plating,
                summary,
                String::new(),
            ));
        }
    }
    Calendar {
        product: concat!("-//Mealtide//Mealtide ", env!("CARGO_PKG_VERSION"), "//EN").into(),
        stamp,
        events,
    }
}

fn step(plan: &Timetable, i: usize) -> Event {
    let written = plan.step(i);
    let summary = format!("{}: {}", plan.dish(i).title, written.instruction);
    let cue = written.until.iter().map(|cue| format!("Until {cue}"));
    let mut below: Vec<String> = plan.in_the_oven(i).into_iter().chain(cue).collect();
    below.extend(plan.amounts(i));
    let name = plan.built.frame.steps[i].to_string();
    let mut event = moment(
        plan,
        &name,
        plan.start(i),
        plan.end(i),
        summary,
        below.join("\n"),
    );
    let length = i64::from(plan.end(i) - plan.start(i)) * 30;
    let lead = i64::try_from(written.lead.to_integer()).unwrap_or(0);
    if written.lead > Ratio::from_integer(0) && lead < length {
        event.alarms.push(Alarm {
            before: lead - length,
            words: format!("{}: soon done", plan.dish(i).title),
        });
    }
    event
}

/// An event that rings when it begins.
fn moment(
    plan: &Timetable,
    name: &str,
    from: Tick,
    to: Tick,
    summary: String,
    description: String,
) -> Event {
    let frame = &plan.built.frame;
    let at = |tick| -> ZonedDateTime { frame.at(tick) };
    Event {
        uid: format!("{}-{name}@mealtide", frame.serve.timestamp().as_second()),
        start: at(from),
        end: at(to),
        alarms: vec![Alarm {
            before: 0,
            words: summary.clone(),
        }],
        summary,
        description,
    }
}
