//! The plan as a run sheet in Markdown, for one printed page.

use super::{
    frame::Part,
    problem::Tick,
    text::{faults, heading, taken},
    timetable::Timetable,
};

/// The run sheet: a table by the clock with a box to tick, then what is at fault.
pub fn markdown(plan: &Timetable) -> String {
    let mut lines = heading(plan).into_iter();
    let mut out = String::new();
    out.push_str(&format!(
        "# {}\n\n",
        escape(&lines.next().unwrap_or_default())
    ));
    for line in lines {
        out.push_str(&format!("{}  \n", escape(&line)));
    }
    out.push_str("\n| Time | | What | With |\n|---:|---|---|---|\n");
    let mut rows = rows(plan);
    rows.sort_by_key(|r| (r.at, r.rank));
    for row in rows {
        let cells = [plan.clock(row.at), "[ ]".into(), row.what, row.with];
        out.push_str(&format!("| {} |\n", cells.join(" | ")));
    }
    let faults = faults(plan);
    if !faults.is_empty() {
        out.push('\n');
        for line in faults {
            out.push_str(&format!("- {}\n", escape(&line)));
        }
    }
    out
}

struct Row {
    at: Tick,
    rank: u8,
    what: String,
    with: String,
}

fn rows(plan: &Timetable) -> Vec<Row> {
    let mut rows = Vec::new();
    for i in plan.in_order() {
        let until = format!("to {}", plan.clock(plan.end(i)));
        let mut with = vec![until];
        with.extend(taken(plan, i));
        rows.push(Row {
            at: plan.start(i),
            rank: 2,
            what: escape(&format!(
                "{}: {}",
                plan.dish(i).title,
                plan.step(i).instruction
            )),
            with: escape(&with.join("; ")),
        });
    }
    for turn in plan.turns {
        rows.push(Row {
            at: turn.at,
            rank: 1,
            what: format!("**{}**", escape(&plan.turned(turn))),
            with: escape(&plan.why(turn)),
        });
    }
    if plan.built.frame.part == Part::Service {
        for (k, &at) in plan.solution.schedule.served.iter().enumerate() {
            rows.push(Row {
                at,
                rank: 0,
                what: format!("**Serve {}**", escape(&plan.built.frame.courses[k])),
                with: String::new(),
            });
        }
    }
    rows
}

/// Characters that mean something in a Markdown table, taken literally.
fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\\' | '|' | '*' | '_' | '`' | '[' | ']' | '<' | '>' | '#' => out.extend(['\\', c]),
            '\n' | '\r' | '\t' => out.push(' '),
            c => out.push(c),
        }
    }
    out
}
