//! The cost as a bound: what each part may still be when the others are what they must.

use super::core::{Conflict, Core, Done, Lit};
use crate::plan::solver::model::Soft;

/// Buffers of a run.
#[derive(Clone, Debug, Default)]
pub struct Scratch {
    least: Vec<i64>,
    because: Vec<Lit>,
}

/// Raises and lowers moments so that no part of the cost alone exceeds `limit`.
/// `because` holds the limit (nothing when it holds always).
pub fn propagate(
    core: &mut Core,
    softs: &[Soft],
    constant: i64,
    limit: i64,
    because: Option<Lit>,
    scratch: &mut Scratch,
) -> Done {
    let Scratch {
        least,
        because: buf,
    } = scratch;
    least.clear();
    let mut slack = limit - constant;
    for s in softs {
        let short = core.lo(s.arc.from + 1) + i64::from(s.arc.gap) - core.hi(s.arc.to + 1);
        slack -= s.weight * short.max(0);
        least.push(short);
    }
    // By how much each falls short at least. Bounds may be tighter by now than what is named; it still holds.
    let reasons = |least: &[i64], core: &Core, except: usize, buf: &mut Vec<Lit>| {
        buf.clear();
        buf.extend(because);
        for (k, s) in softs.iter().enumerate() {
            if k != except && least[k] > 0 {
                buf.push(Lit::at_least(s.arc.from + 1, core.lo(s.arc.from + 1)));
                buf.push(Lit::at_most(s.arc.to + 1, core.hi(s.arc.to + 1)));
            }
        }
    };
    if slack < 0 {
        let mut lits = std::mem::take(&mut core.conflict);
        reasons(least, core, usize::MAX, &mut lits);
        core.conflict = lits;
        return Err(Conflict);
    }
    // What those have in common that add nothing to the cost yet.
    let mut common = None;
    for (k, s) in softs.iter().enumerate() {
        let most = least[k].max(0) + slack / s.weight;
        let (from, to, gap) = (s.arc.from + 1, s.arc.to + 1, i64::from(s.arc.gap));
        let (lo, hi) = (core.lo(from), core.hi(to));
        let raised = (lo + gap - most > core.lo(to))
            .then(|| (Lit::at_least(to, lo + gap - most), Lit::at_least(from, lo)));
        let lowered = (hi + most - gap < core.hi(from))
            .then(|| (Lit::at_most(from, hi + most - gap), Lit::at_most(to, hi)));
        for (lit, own) in [raised, lowered].into_iter().flatten() {
            if least[k] > 0 {
                reasons(least, core, k, buf);
                buf.push(own);
                core.imply(lit, buf)?;
                continue;
            }
            let shared = match common {
                Some(shared) => shared,
                None => {
                    reasons(least, core, usize::MAX, buf);
                    *common.insert(core.common(buf))
                }
            };
            core.imply_joined(lit, shared, &[own])?;
        }
    }
    Ok(())
}
