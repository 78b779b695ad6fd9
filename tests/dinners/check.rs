//! The rules of a correct plan, checked tick by tick and pair by pair, straight from their words.

use mealtide::measure::{Ratio, temperature::Accepts};
use mealtide::plan::problem::{Mode, Oven, Problem, Tick};
use mealtide::plan::schedule::Schedule;

/// Every rule that the schedule breaks, but for `keeps`, which is counted as a cost.
pub fn faults(p: &Problem, s: &Schedule) -> Vec<String> {
    let mut out = Vec::new();
    let now = match p.mode {
        Mode::Before => 0,
        Mode::Live { now, .. } => now,
    };
    let end = |i: usize| s.starts[i] + p.steps[i].length;
    for (i, step) in p.steps.iter().enumerate() {
        if let Some(begun) = step.begun {
            if s.starts[i] != begun.start || s.ovens[i] != begun.oven {
                out.push(format!("begun step {i} moved"));
            }
            continue;
        }
        if s.starts[i] < now {
            out.push(format!("step {i} starts at {}", s.starts[i]));
        }
        for &a in &step.after {
            if s.starts[i] < end(a) {
                out.push(format!("step {i} starts before {a} ends"));
            }
        }
        if step.oven.is_some() != s.ovens[i].is_some() {
            out.push(format!("step {i} has oven {:?}", s.ovens[i]));
        }
    }
    for (k, course) in p.courses.iter().enumerate() {
        if let Some(at) = course.served {
            if s.served[k] != at {
                out.push(format!("course {k} is not served again"));
            }
            continue;
        }
        let mut least = course.promised.max(now);
        if k > 0 {
            least = least.max(s.served[k - 1] + course.gap);
        }
        for &i in course.dishes.iter().flat_map(|&d| &p.dishes[d].steps) {
            least = least.max(end(i));
        }
        if s.served[k] < least {
            out.push(format!(
                "course {k} served at {} before {least}",
                s.served[k]
            ));
        }
    }
    pools(p, s, now, &mut out);
    ovens(p, s, &mut out);
    out
}

/// A stretch of use: from, to, how many, and whether it began in the past.
type Use = (Tick, Tick, u32, bool);

fn pools(p: &Problem, s: &Schedule, now: Tick, out: &mut Vec<String>) {
    let whole = |i: usize| (s.starts[i], s.starts[i] + p.steps[i].length);
    let mut cooks: Vec<Use> = Vec::new();
    let mut burners: Vec<Use> = Vec::new();
    for (i, step) in p.steps.iter().enumerate() {
        let ((from, to), begun) = (whole(i), step.begun.is_some());
        cooks.push((from, to, u32::from(step.hands), begun));
        burners.push((from, to, step.burners, begun));
    }
    for (k, course) in p.courses.iter().enumerate() {
        let at = s.served[k];
        cooks.push((
            at,
            at + course.plating,
            u32::from(p.cooks > 0),
            course.served.is_some(),
        ));
    }
    over("cooks", p.cooks, &cooks, now, out);
    over("burners", p.burners, &burners, now, out);
    for (w, &count) in p.wares.iter().enumerate() {
        let mut uses: Vec<Use> = Vec::new();
        for hold in p
            .dishes
            .iter()
            .flat_map(|d| &d.holds)
            .filter(|h| h.ware == w)
        {
            let from = hold.steps.iter().map(|&i| whole(i).0).min().unwrap_or(0);
            let to = hold.steps.iter().map(|&i| whole(i).1).max().unwrap_or(0);
            uses.push((
                from,
                to,
                hold.count,
                hold.steps.iter().any(|&i| p.steps[i].begun.is_some()),
            ));
        }
        over(&format!("ware {w}"), count, &uses, now, out);
    }
    for (o, oven) in p.ovens.iter().enumerate() {
        let mut uses: Vec<Use> = Vec::new();
        for (i, step) in p
            .steps
            .iter()
            .enumerate()
            .filter(|(i, _)| s.ovens[*i] == Some(o))
        {
            let racks = step.oven.as_ref().map_or(0, |u| u.racks);
            uses.push((whole(i).0, whole(i).1, racks, step.begun.is_some()));
        }
        over(&format!("racks of oven {o}"), oven.racks, &uses, now, out);
    }
}

/// Where something begins that is not in the past, no more may be taken than there is.
fn over(what: &str, capacity: u32, uses: &[Use], now: Tick, out: &mut Vec<String>) {
    for &(t, to, count, begun) in uses {
        if begun || count == 0 || t >= to {
            continue;
        }
        let taken: u32 = uses
            .iter()
            .filter(|u| u.0 <= t && t < u.1)
            .map(|u| u.2)
            .sum();
        if taken > capacity {
            out.push(format!("{taken} {what} of {capacity} at {t} (now {now})"));
        }
    }
}

fn bounds(oven: &Oven, accepts: &Accepts) -> (Ratio, Ratio) {
    match accepts {
        Accepts::Span { lo, hi } => (*lo, *hi),
        Accepts::Off => (oven.room, oven.room),
    }
}

/// Half minutes needed from one accepted span to another; `None` when they share a temperature.
fn needed(oven: &Oven, early: &Accepts, late: &Accepts) -> Option<Ratio> {
    let (a, b) = (bounds(oven, early), bounds(oven, late));
    let off = [early, late]
        .iter()
        .filter(|x| ***x == Accepts::Off)
        .count();
    if off == 2 || off == 0 && a.0.max(b.0) <= a.1.min(b.1) {
        return None;
    }
    let two = Ratio::from_integer(2);
    Some(if b.0 > a.1 {
        (b.0 - a.1) / oven.heats * two
    } else {
        ((a.0 - b.1) / oven.cools * two).max(Ratio::from_integer(0))
    })
}

fn ovens(p: &Problem, s: &Schedule, out: &mut Vec<String>) {
    let at = |t: Tick| Ratio::from_integer(i128::from(t));
    for (i, step) in p.steps.iter().enumerate() {
        let (Some(usage), Some(o)) = (&step.oven, s.ovens[i]) else {
            continue;
        };
        let oven = &p.ovens[o];
        if step.begun.is_none() {
            let (lo, hi) = bounds(oven, &usage.segments[0].accepts);
            let t = oven.temperature;
            let change = if t < lo {
                (lo - t) / oven.heats
            } else {
                (t - hi).max(at(0)) / oven.cools
            };
            if at(s.starts[i] - oven.from) < change * at(2) {
                out.push(format!("oven {o} is not ready for step {i}"));
            }
        }
        for (j, other) in p.steps.iter().enumerate() {
            let Some(theirs) = other
                .oven
                .as_ref()
                .filter(|_| s.ovens[j] == Some(o) && i != j)
            else {
                continue;
            };
            if step.begun.is_some() && other.begun.is_some() {
                continue;
            }
            for a in &usage.segments {
                for b in &theirs.segments {
                    // Each pair is seen from both sides: here b comes after a, or meets it.
                    let (a_from, b_from) = (s.starts[i] + a.from, s.starts[j] + b.from);
                    if (b_from, j) < (a_from, i) {
                        continue;
                    }
                    if let Some(gap) = needed(oven, &a.accepts, &b.accepts)
                        && at(b_from - s.starts[i] - a.to) < gap
                    {
                        out.push(format!("steps {i} and {j} in oven {o} are too close"));
                    }
                }
            }
        }
    }
}
