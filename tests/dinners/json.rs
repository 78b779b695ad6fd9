//! Problems as JSON, for the reference model.

use mealtide::measure::{Ratio, temperature::Accepts};
use mealtide::plan::problem::Problem;
use serde_json::{Value, json};

fn ratio(r: Ratio) -> Value {
    json!([*r.numer() as i64, *r.denom() as i64])
}

fn accepts(a: &Accepts) -> Value {
    match a {
        Accepts::Span { lo, hi } => json!([ratio(*lo), ratio(*hi)]),
        Accepts::Off => json!("Off"),
    }
}

/// One line of JSON.
pub fn line(p: &Problem) -> String {
    let lengths: i32 = p.steps.iter().map(|s| s.length + 25).sum();
    let promised = p
        .courses
        .iter()
        .map(|c| c.promised + c.plating)
        .max()
        .unwrap_or(0);
    let steps: Vec<Value> = p
        .steps
        .iter()
        .map(|s| {
            let segments = |u: &mealtide::plan::problem::OvenUse| {
                u.segments
                    .iter()
                    .map(|g| json!([g.from, g.to, accepts(&g.accepts)]))
                    .collect::<Vec<_>>()
            };
            let oven = s
                .oven
                .as_ref()
                .map(|u| json!({"racks": u.racks, "segments": segments(u)}));
            json!({"dish": s.dish, "length": s.length, "hands": s.hands, "burners": s.burners,
                "after": s.after, "keeps": s.keeps, "oven": oven})
        })
        .collect();
    let ovens: Vec<Value> = p
        .ovens
        .iter()
        .map(|o| {
            json!({"racks": o.racks, "heats": ratio(o.heats), "cools": ratio(o.cools), "room": ratio(o.room),
                "from": o.from, "temperature": ratio(o.temperature)})
        })
        .collect();
    let courses: Vec<Value> = p
        .courses
        .iter()
        .map(|c| json!({"promised": c.promised, "gap": c.gap, "plating": c.plating, "dishes": c.dishes}))
        .collect();
    let dishes: Vec<Value> = p
        .dishes
        .iter()
        .map(|d| {
            let holds: Vec<Value> = d
                .holds
                .iter()
                .map(|h| json!({"ware": h.ware, "count": h.count, "steps": h.steps}))
                .collect();
            json!({"course": d.course, "steps": d.steps, "holds": holds})
        })
        .collect();
    json!({"cooks": p.cooks, "burners": p.burners, "wares": p.wares, "ovens": ovens, "courses": courses,
        "dishes": dishes, "steps": steps, "horizon": lengths + promised})
    .to_string()
}
