//! The sheet as text.

use super::Sheet;

/// The sheet as text; `clock` says a moment as the cook reads it ("17:40").
pub fn text(sheet: &Sheet, clock: &dyn Fn(i64) -> String) -> String {
    let mut out = String::new();
    let when = |at: Option<i64>, lead: i64| match at {
        Some(at) => clock(at),
        None => format!("{} before", before(lead)),
    };
    if !sheet.get_out.is_empty() {
        out.push_str("Get out, in good time\n");
        for g in &sheet.get_out {
            out.push_str(&format!(
                "  {}  {}, {} ({})\n",
                when(g.at, g.lead),
                g.what,
                g.why,
                g.dish
            ));
        }
        out.push_str("  Food that belongs in the fridge stays out for two hours at most, one above 32 C (USDA).\n\n");
    }
    if !sheet.cookware.is_empty() {
        out.push_str("Cookware, by first use\n");
        for ware in &sheet.cookware {
            let count = if ware.count > 1 {
                format!("{} x ", ware.count)
            } else {
                String::new()
            };
            let first = ware
                .first
                .map(|at| format!("{}  ", clock(at)))
                .unwrap_or_default();
            let size = ware
                .size
                .as_ref()
                .map(|size| format!(", for the guests better one of {size}"))
                .unwrap_or_default();
            out.push_str(&format!(
                "  {first}{count}{}{size} ({})\n",
                ware.name,
                ware.dishes.join(", ")
            ));
        }
        out.push('\n');
    }
    for mise in &sheet.mise {
        out.push_str(&format!("{}\n", mise.dish));
        for line in &mise.lines {
            let note = line
                .note
                .as_deref()
                .map(|n| format!(", {n}"))
                .unwrap_or_default();
            let hint = line
                .hint
                .as_deref()
                .map(|h| format!(": {h}"))
                .unwrap_or_default();
            out.push_str(&format!("  {}{note}{hint}\n", line.text()));
        }
        out.push('\n');
    }
    if !sheet.board.is_empty() {
        out.push_str("At the board, in this order\n");
        for (index, board) in sheet.board.iter().enumerate() {
            if index > 0 {
                out.push_str("  -- wash board, knife and hands with hot soapy water --\n");
            }
            out.push_str(&format!(
                "  {}: {}\n",
                board.group.name(),
                board.items.join("; ")
            ));
        }
    }
    out
}

fn before(lead: i64) -> String {
    if lead % 3600 == 0 {
        format!("{} h", lead / 3600)
    } else {
        format!("{} min", lead / 60)
    }
}
