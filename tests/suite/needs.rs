//! What a kitchen needs to hear, worked out from the session anew: when a countdown ends, a cue is to be looked at, a knob
//! turned, a step begun, a course served, a limit of food safety kept. Rings are held to it, both ways.

use std::collections::{BTreeMap, BTreeSet};

use mealtide::{
    engine::{core::replay, rehearse::Rehearsed},
    live::{CallKey, Event, Ms, Priority, State},
    plan::Part,
    safety::clocks::{self, Kind},
};

/// Sounds that don't hurry wait this long for each other, in ms.
const MERGES: Ms = 10_000;
/// The same after seven in ten minutes; and what will have to be done only later.
const IN_FLOOD: [Ms; 2] = [60_000, 300_000];
/// A cook at the keys reads on the screen what to begin; in ms.
const READS: Ms = 30_000;
const TEN_MINUTES: Ms = 600_000;
const HOUR: Ms = 3_600_000;

/// Something that has to be heard, for as long as it is the same.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Need {
    /// A step's time is over: (step, when).
    Ends(usize, Ms),
    /// It will be soon.
    Soon(usize, Ms),
    Begin(usize),
    /// A knob: (oven, the step it is for).
    Turn(usize, Option<usize>),
    Serve(usize),
    Safety(usize, String),
}

fn of(key: &CallKey) -> Option<Need> {
    Some(match key {
        CallKey::Due { step, due } | CallKey::Cue { step, due } => Need::Ends(*step, *due),
        CallKey::HeadsUp { step, due } => Need::Soon(*step, *due),
        CallKey::Begin { step } => Need::Begin(*step),
        CallKey::Oven { oven, step, .. } => Need::Turn(*oven, *step),
        CallKey::Serve { course } => Need::Serve(*course),
        CallKey::Safety { dish, limit } => Need::Safety(*dish, limit.clone()),
        _ => return None,
    })
}

/// A plan made in mid-meal begins with the next half minute: by that it means at once.
struct AtOnce {
    first: Ms,
    made: Ms,
    /// Steps that nothing was in the way of.
    free: BTreeSet<usize>,
}

impl AtOnce {
    fn of(state: &State) -> Option<Self> {
        let begun = state.steps.iter().any(|step| step.begun.is_some())
            || state.ovens.iter().any(|oven| oven.since > 0);
        let (made, zero) = (state.planned_at, state.script.zero);
        let plan = state.plan.as_ref()?;
        let free = |&i: &usize| {
            let there = plan.ovens[i].is_none_or(|oven| {
                let mut turns = plan.turns.iter().filter(|turn| turn.oven == oven);
                let turn = turns.find(|turn| turn.to != state.ovens[oven].set);
                let later = turn.is_none_or(|turn| state.script.ms(turn.at) > made);
                later && state.ovens[oven].ready() <= made
            });
            there && state.hindrance(i, made).is_none()
        };
        begun.then(|| Self {
            first: zero + (made - zero + 29_999).div_euclid(30_000) * 30_000,
            made,
            free: (0..state.steps.len()).filter(free).collect(),
        })
    }

    fn from(this: Option<&Self>, planned: Ms) -> Ms {
        match this {
            Some(this) if this.first == planned => this.made,
            _ => planned,
        }
    }
}

/// Each need of a state, with when it begins to be one; what is answered is none.
fn needs(state: &State, at_once: Option<&AtOnce>) -> Vec<(Need, Ms)> {
    let mut found = Vec::new();
    let Some(plan) = state.plan.as_ref().filter(|_| !state.closed) else {
        return found;
    };
    for (i, (step, script)) in state.steps.iter().zip(&state.script.steps).enumerate() {
        let Some(begun) = step.begun else {
            let ready = script
                .after
                .iter()
                .all(|&before| state.steps[before].ended.is_some());
            if step.ended.is_none() && ready {
                let free = at_once.filter(|made| made.free.contains(&i));
                let planned = state.script.ms(plan.starts[i]);
                found.push((Need::Begin(i), AtOnce::from(free, planned)));
            }
            continue;
        };
        if step.ended.is_some() {
            continue;
        }
        // Hands that are in it know when it is over; without heat nothing is ruined.
        let heat = script.oven || script.burners > 0;
        if script.until.is_some() || !script.hands || heat {
            found.push((Need::Ends(i, step.ask), step.ask));
        }
        if script.lead > 0 && !script.hands && step.ask - begun > 2 * script.lead {
            found.push((Need::Soon(i, step.ask), step.ask - script.lead));
        }
    }
    for (oven, now) in state.ovens.iter().enumerate() {
        let mut turns = plan.turns.iter().filter(|turn| turn.oven == oven);
        if let Some(turn) = turns.find(|turn| turn.to != now.set) {
            let mut inside = state.steps.iter().filter(|step| step.oven == Some(oven));
            let used = inside.any(|step| step.begun.is_some() && step.ended.is_none());
            let empty = at_once.filter(|_| !used);
            let at = AtOnce::from(empty, state.script.ms(turn.at));
            found.push((Need::Turn(oven, turn.step), at));
        }
    }
    let courses = state.courses.iter().zip(&state.script.courses).enumerate();
    if let Some((i, (_, script))) = { courses }.find(|(_, (course, _))| course.served.is_none()) {
        let steps = script
            .dishes
            .iter()
            .flat_map(|&dish| &state.script.dishes[dish].steps);
        let ends: Option<Vec<Ms>> = steps.map(|&step| state.steps[step].ended).collect();
        if let Some(ends) = ends {
            let planned = AtOnce::from(at_once, state.script.ms(plan.served[i]));
            let from = planned.max(script.promised);
            found.push((Need::Serve(i), ends.into_iter().fold(from, Ms::max)));
        }
    }
    for dish in 0..state.script.dishes.len() {
        found.extend(limits(state, dish));
    }
    let answered: BTreeSet<Need> = state.answered.keys().filter_map(of).collect();
    found.retain(|(need, _)| !answered.contains(need));
    found
}

/// A dish that spoils is out of the heat, while none of it is on it: an hour or two on the table, less to be cold.
fn limits(state: &State, dish: usize) -> Vec<(Need, Ms)> {
    let script = &state.script.dishes[dish];
    if script.use_by.is_none() {
        return Vec::new();
    }
    let hot = script.steps.iter().filter(|&&step| {
        let step_script = &state.script.steps[step];
        (step_script.oven || step_script.burners > 0) && !state.steps[step].skipped
    });
    let hot: Vec<_> = hot.map(|&step| &state.steps[step]).collect();
    if hot
        .iter()
        .any(|step| step.begun.is_some() && step.ended.is_none())
    {
        return Vec::new();
    }
    let Some(off) = hot.iter().filter_map(|step| step.ended).max() else {
        return Vec::new();
    };
    let kind = Kind {
        rice: script.rice,
        hot_day: state.script.hot_day,
    };
    let chilled = script.chilled.iter().any(|&step| {
        let step = &state.steps[step];
        !step.skipped && step.begun.is_some_and(|begun| begun >= off)
    });
    let over = script
        .steps
        .iter()
        .all(|&step| state.steps[step].ended.is_some());
    let mut courses = state.courses.iter().zip(&state.script.courses);
    let served =
        courses.any(|(course, script)| course.served.is_some() && script.dishes.contains(&dish));
    let deadlines = if state.script.part == Part::Ahead || (chilled && !(over && served)) {
        clocks::cooling(off, kind)
    } else {
        clocks::out_of_heat(off, kind).into_iter().collect()
    };
    let need =
        |limit: clocks::Deadline| (Need::Safety(dish, limit.limit.to_owned()), limit.warn_ms);
    deadlines.into_iter().map(need).collect()
}

/// What was needed between two records, with since when.
struct Stretch {
    from: Ms,
    to: Ms,
    needs: BTreeMap<Need, Ms>,
}

/// Until when a need is one by itself: what is over needs no word that it will be.
fn until(need: &Need) -> Ms {
    match need {
        Need::Soon(_, due) => *due,
        _ => Ms::MAX,
    }
}

impl Stretch {
    fn at(&self, now: Ms) -> BTreeSet<&Need> {
        let begun = self
            .needs
            .iter()
            .filter(|&(need, &since)| since <= now && now < until(need));
        begun.map(|(need, _)| need).collect()
    }
}

/// From when to when something was needed.
struct Span {
    need: Need,
    from: Ms,
    to: Ms,
}

/// The dinner between its records, and every touch of a key.
fn parts(dinner: &Rehearsed) -> (Vec<Stretch>, Vec<Ms>) {
    let mut state = replay(&dinner.records[..1]).unwrap();
    let mut at_once = None;
    let (mut parts, mut touches) = (Vec::new(), Vec::new());
    let next = dinner.records.iter().skip(1).map(|record| Some(record.at));
    for (record, next) in dinner.records.iter().zip(next.chain([None])) {
        if record.at > 0 || !parts.is_empty() {
            state.after(&record.event, record.at).unwrap();
        }
        if matches!(record.event, Event::Planned(_)) {
            at_once = AtOnce::of(&state);
        }
        touches.extend(state.touched);
        parts.push(Stretch {
            from: record.at,
            to: next.unwrap_or(record.at),
            needs: needs(&state, at_once.as_ref()).into_iter().collect(),
        });
    }
    touches.dedup();
    (parts, touches)
}

/// Every need that lasts.
fn spans(parts: &[Stretch]) -> Vec<Span> {
    let mut open: BTreeMap<Need, Ms> = BTreeMap::new();
    let mut spans = Vec::new();
    for part in parts.iter().filter(|part| part.from < part.to) {
        let standing = part
            .needs
            .iter()
            .map(|(need, &since)| (need, since.max(part.from)));
        let standing: BTreeMap<&Need, Ms> = standing.filter(|&(_, from)| from < part.to).collect();
        let over: Vec<Need> = open
            .keys()
            .filter(|need| standing.get(need) != Some(&part.from))
            .cloned()
            .collect();
        for need in over {
            let from = open.remove(&need).unwrap();
            spans.push(Span {
                need,
                from,
                to: part.from,
            });
        }
        for (need, from) in standing {
            open.entry(need.clone()).or_insert(from);
        }
    }
    let end = parts.last().map_or(0, |part| part.to);
    spans.extend(open.into_iter().map(|(need, from)| Span {
        need,
        from,
        to: end,
    }));
    for span in &mut spans {
        span.to = span.to.min(until(&span.need));
    }
    spans.retain(|span| span.from < span.to);
    spans
}

/// How often was sounded.
#[derive(Clone, Copy, Debug, Default)]
pub struct Rate {
    /// Sounds with something new in them, before the last hour of the dinner.
    pub before: usize,
    /// How long that was, in ms.
    pub long: Ms,
    /// The most of them in any ten minutes.
    pub most: usize,
    /// The most in any ten minutes that neither hurry nor were merged.
    pub unmerged: usize,
    /// Needs that were heard.
    pub heard: usize,
    /// Needs that were done before they had to be heard.
    pub done: usize,
}

/// Holds a dinner's rings to its needs.
pub fn check(dinner: &Rehearsed, seed: u64) -> Rate {
    let (parts, touches) = parts(dinner);
    let spans = spans(&parts);
    let mut rate = Rate::default();
    only_what_is_needed(dinner, &parts, seed);
    let fresh = fresh(dinner, &spans);
    for span in &spans {
        let flood = fresh
            .iter()
            .filter(|&&at| at <= span.from && span.from - at <= TEN_MINUTES);
        let later = matches!(span.need, Need::Soon(..) | Need::Turn(_, None));
        let mut by = span.from
            + match flood.count() {
                ..7 => MERGES,
                _ => IN_FLOOD[usize::from(later)],
            };
        if matches!(span.need, Need::Begin(_)) {
            for &touched in &touches {
                if touched > span.from - MERGES && touched <= by {
                    by = by.max(touched + READS);
                }
            }
        }
        let rings = dinner.rings.iter().filter(|(at, ring)| {
            (span.from..=span.to).contains(at)
                && ring
                    .calls
                    .iter()
                    .any(|call| of(&call.key).as_ref() == Some(&span.need))
        });
        let mut last: Option<(Ms, Priority)> = None;
        for (at, ring) in rings {
            match last {
                None => assert!(
                    *at <= by,
                    "seed {seed}: {:?} from {} is heard only at {at}",
                    span.need,
                    span.from
                ),
                Some((before, priority)) => assert!(
                    at - before <= again(priority),
                    "seed {seed}: {:?} rings at {before}, then only at {at}",
                    span.need
                ),
            }
            let call = ring
                .calls
                .iter()
                .find(|call| of(&call.key).as_ref() == Some(&span.need));
            let priority = call.unwrap().priority;
            if last.is_none() && priority == Priority::High {
                assert_eq!(
                    *at, span.from,
                    "seed {seed}: what can't wait waits: {:?}",
                    span.need
                );
            }
            last = Some((*at, priority));
        }
        match last {
            Some((at, priority)) => {
                assert!(
                    span.to - at <= again(priority),
                    "seed {seed}: {:?} falls silent at {at} unanswered",
                    span.need
                );
                rate.heard += 1;
            }
            None => {
                assert!(
                    span.to <= by,
                    "seed {seed}: {:?} is never heard from {} to {}",
                    span.need,
                    span.from,
                    span.to
                );
                rate.done += 1;
            }
        }
    }
    let promised = dinner
        .state
        .script
        .courses
        .iter()
        .map(|course| course.promised);
    let quiet = promised.max().unwrap_or(0) - HOUR;
    let begun = fresh.first().copied().unwrap_or(0).min(quiet);
    rate.long = (quiet - begun).max(0);
    rate.before = fresh.iter().filter(|&&at| at < quiet).count();
    rate.most = most(&fresh);
    let before = fresh.iter().map(|&at| Some(at));
    let alone = fresh.iter().zip([None].into_iter().chain(before));
    let alone = alone.filter(|&(&at, before)| {
        let ring = dinner.rings.iter().find(|(rung, _)| *rung == at);
        let hurries = ring.is_some_and(|(_, ring)| ring.priority == Priority::High);
        !hurries && before.is_none_or(|before| at - before < IN_FLOOD[0])
    });
    rate.unmerged = most(&alone.map(|(&at, _)| at).collect::<Vec<_>>());
    rate
}

/// The most of some moments in any ten minutes.
fn most(moments: &[Ms]) -> usize {
    let within = |from: Ms| {
        let these = moments
            .iter()
            .filter(|&&at| at >= from && at - from < TEN_MINUTES);
        these.count()
    };
    moments.iter().map(|&from| within(from)).max().unwrap_or(0)
}

/// How long after a sound the same is heard again, in ms: IEC 60601-1-8 Table 3, from memory, has 2.5 to 15 s for high,
/// 2.5 to 30 s for medium, and more than 15 s for low.
fn again(priority: Priority) -> Ms {
    match priority {
        Priority::High => 10_000,
        Priority::Medium => 30_000,
        Priority::Low => 120_000,
    }
}

/// Each ring tells of everything that is needed at its moment and of nothing else, the most urgent first. Of what
/// happens in the same ms, some came before it.
fn only_what_is_needed(dinner: &Rehearsed, parts: &[Stretch], seed: u64) {
    for (at, ring) in &dinner.rings {
        let told: Vec<Need> = ring.calls.iter().filter_map(|call| of(&call.key)).collect();
        assert_eq!(
            told.len(),
            ring.calls.len(),
            "seed {seed}: at {at} something else rings"
        );
        let set: BTreeSet<&Need> = told.iter().collect();
        let of_the_moment = parts
            .iter()
            .filter(|part| (part.from..=part.to).contains(at));
        let needed: Vec<BTreeSet<&Need>> = of_the_moment.map(|part| part.at(*at)).collect();
        assert!(
            needed.contains(&set),
            "seed {seed}: at {at} {set:?} is told, and needed is {needed:?}"
        );
        let urgent = ring.calls.iter().map(|call| call.priority);
        assert!(
            urgent.is_sorted_by(|a, b| a >= b),
            "seed {seed}: the most urgent comes first at {at}"
        );
    }
}

/// The moments of the rings with something new in them.
fn fresh(dinner: &Rehearsed, spans: &[Span]) -> Vec<Ms> {
    let mut known: BTreeSet<(Need, Ms)> = BTreeSet::new();
    let mut fresh = Vec::new();
    for (at, ring) in &dinner.rings {
        let told = ring.calls.iter().filter_map(|call| of(&call.key));
        let new = told.filter(|need| {
            let here = spans
                .iter()
                .find(|span| span.need == *need && (span.from..=span.to).contains(at));
            known.insert((need.clone(), here.map_or(*at, |span| span.from)))
        });
        if new.count() > 0 {
            fresh.push(*at);
        }
    }
    fresh
}
