//! The cost as a bound: what each part may still be when the others are what they must.

use super::core::{Conflict, Core, Done, Lit};
use crate::plan::solver::model::Soft;

/// Raises and lowers moments so that no part of the cost alone exceeds `limit`.
/// `because` holds the limit (nothing when it holds always).
pub fn propagate(
    core: &mut Core,
    softs: &[Soft],
    constant: i64,
    limit: i64,
    because: Option<Lit>,
) -> Done {
    let least = |core: &Core, s: &Soft| {
        core.lo(s.arc.from + 1) + i64::from(s.arc.gap) - core.hi(s.arc.to + 1)
    };
    let spent: i64 = constant
        + softs
            .iter()
            .map(|s| s.weight * least(core, s).max(0))
            .sum::<i64>();
    let slack = limit - spent;
    let reasons = |core: &Core, except: usize, buf: &mut Vec<Lit>| {
        buf.extend(because);
        for (k, s) in softs.iter().enumerate() {
            if k != except && least(core, s) > 0 {
                buf.push(Lit::at_least(s.arc.from + 1, core.lo(s.arc.from + 1)));
                buf.push(Lit::at_most(s.arc.to + 1, core.hi(s.arc.to + 1)));
            }
        }
    };
    if slack < 0 {
        let mut lits = std::mem::take(&mut core.conflict);
        lits.clear();
        reasons(core, usize::MAX, &mut lits);
        core.conflict = lits;
        return Err(Conflict);
    }
    let mut buf = Vec::new();
    for (k, s) in softs.iter().enumerate() {
        let most = least(core, s).max(0) + slack / s.weight;
        let (from, to, gap) = (s.arc.from + 1, s.arc.to + 1, i64::from(s.arc.gap));
        let raised = core.lo(from) + gap - most;
        if raised > core.lo(to) {
            buf.clear();
            reasons(core, k, &mut buf);
            buf.push(Lit::at_least(from, core.lo(from)));
            core.imply(Lit::at_least(to, raised), &buf)?;
        }
        let lowered = core.hi(to) + most - gap;
        if lowered < core.hi(from) {
            buf.clear();
            reasons(core, k, &mut buf);
            buf.push(Lit::at_most(to, core.hi(to)));
            core.imply(Lit::at_most(from, lowered), &buf)?;
        }
    }
    Ok(())
}
