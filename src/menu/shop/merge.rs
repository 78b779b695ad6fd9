//! Adding up what several dishes need of one thing.

use num_traits::CheckedAdd;

use super::Use;
use crate::measure::quantity::{Amount, Measure, Pieces, Quantity, convert};
use crate::measure::unit::{Dimension, System, Unit};
use crate::measure::units::{self, Units};
use crate::measure::{Ratio, food, print};

/// So much of an item in all.
#[derive(Clone, Debug, PartialEq)]
pub struct Total {
    /// The sum, exact; a range if any of the parts is one.
    pub quantity: Quantity,
    /// What is still to buy of it once the pantry is taken off, in the same measure: the most that is needed.
    pub buy: Ratio,
    /// Which uses it is the sum of, by index, each with its part in the total's own measure.
    pub parts: Vec<(usize, Ratio, Ratio)>,
}

/// What can be added up: the same kind of measure.
#[derive(PartialEq)]
enum Kind {
    Measured(Dimension),
    /// Weighed through the ingredient's own density: mass and volume together, in grams.
    Weighed,
    Pieces(Option<String>, Option<(Ratio, Unit)>),
    /// "heaped tbsp": adds up with its like only.
    Manner(String, Unit),
}

/// The totals of an item, in the order of first use.
pub(super) fn totals(uses: &[Use]) -> Vec<Total> {
    let weighed = weighs(uses);
    let mut sums: Vec<(Kind, Total)> = Vec::new();
    for (index, used) in uses.iter().enumerate() {
        let Some(Amount::Measured(quantity)) = &used.amount else {
            continue;
        };
        let kind = kind(quantity, &used.item, weighed);
        let fits = sums
            .iter_mut()
            .find(|(k, _)| *k == kind)
            .is_some_and(|(kind, total)| add(kind, total, index, used, quantity));
        if !fits {
            sums.push((kind, first(index, used, quantity, weighed)));
        }
    }
    sums.into_iter().map(|(_, total)| total).collect()
}

/// Whether mass and volume both occur and every one of them can be weighed.
fn weighs(uses: &[Use]) -> bool {
    let measured: Vec<_> = uses
        .iter()
        .filter_map(|u| Some((u, u.amount.as_ref()?.quantity()?)))
        .filter(|(_, q)| {
            matches!(q.dimension(), Some(Dimension::Mass | Dimension::Volume)) && q.manner.is_none()
        })
        .collect();
    let has = |d| measured.iter().any(|(_, q)| q.dimension() == Some(d));
    has(Dimension::Mass)
        && has(Dimension::Volume)
        && measured.iter().all(|(u, q)| weigh(u, q).is_some())
}

fn weigh(used: &Use, quantity: &Quantity) -> Option<(Ratio, Ratio)> {
    let note = used.note.as_deref().unwrap_or_default();
    Some((
        food::grams(quantity.lo, quantity, &used.item, note)?,
        food::grams(quantity.hi, quantity, &used.item, note)?,
    ))
}

fn kind(quantity: &Quantity, item: &str, weighed: bool) -> Kind {
    match (&quantity.measure, &quantity.manner) {
        (Measure::Unit(unit), Some(manner)) => Kind::Manner(manner.clone(), *unit),
        (Measure::Unit(unit), None) => match unit.dimension() {
            Dimension::Mass | Dimension::Volume if weighed => Kind::Weighed,
            dimension => Kind::Measured(dimension),
        },
        (Measure::Pieces(pieces), _) => Kind::Pieces(noun(pieces, item), pieces.each),
    }
}

/// The noun by which pieces add up: a medium one is a bare one, and so is a large egg.
fn noun(pieces: &Pieces, item: &str) -> Option<String> {
    let one = pieces.noun.as_ref().map(|(one, _)| one.to_lowercase())?;
    let usual = if food::find(item).is_some_and(|f| f.name.starts_with("egg")) {
        "large"
    } else {
        "medium"
    };
    // "2 cloves" of "garlic cloves" are garlic cloves.
    let repeated = food::key(item).rsplit(' ').next() == Some(one.as_str()) && item.contains(' ');
    (one != usual && !repeated).then_some(one)
}

fn first(index: usize, used: &Use, quantity: &Quantity, weighed: bool) -> Total {
    let mut sum = Quantity {
        remark: quantity
            .remark
            .clone()
            .filter(|_| quantity.twin().is_some()),
        prefix: about(quantity),
        ..quantity.clone()
    };
    if weighed
        && quantity.manner.is_none()
        && matches!(
            quantity.dimension(),
            Some(Dimension::Mass | Dimension::Volume)
        )
        && let Some((lo, hi)) = weigh(used, quantity)
    {
        sum = Quantity {
            lo,
            hi,
            measure: Measure::Unit(Unit::Gram),
            ..sum
        };
    }
    Total {
        buy: sum.hi,
        parts: vec![(index, sum.lo, sum.hi)],
        quantity: sum,
    }
}

fn about(quantity: &Quantity) -> Option<String> {
    quantity.prefix.as_ref().map(|_| "about".to_owned())
}

/// Adds a use to a total; `false` if the numbers grow beyond any kitchen: it then stands beside.
fn add(kind: &Kind, total: &mut Total, index: usize, used: &Use, quantity: &Quantity) -> bool {
    let Some((mut to, mut lo, mut hi)) = (match kind {
        Kind::Weighed => weigh(used, quantity).map(|(lo, hi)| (None, lo, hi)),
        _ => Some((quantity.unit(), quantity.lo, quantity.hi)),
    }) else {
        return false;
    };
    if let (Some(unit), Some(from)) = (total.quantity.unit(), to.take()) {
        let common = common(unit, from);
        if common != unit && !rebase(total, unit, common) {
            return false;
        }
        match (convert(lo, from, common), convert(hi, from, common)) {
            (Some(a), Some(b)) => (lo, hi) = (a, b),
            _ => return false,
        }
    }
    let (Some(a), Some(b)) = (
        total.quantity.lo.checked_add(&lo),
        total.quantity.hi.checked_add(&hi),
    ) else {
        return false;
    };
    (total.quantity.lo, total.quantity.hi, total.buy) = (a, b, b);
    total.quantity.prefix = total.quantity.prefix.take().or_else(|| about(quantity));
    total.quantity.remark = None;
    total.parts.push((index, lo, hi));
    true
}

/// The unit in which two add up: the larger of one system; metric if the systems differ.
fn common(a: Unit, b: Unit) -> Unit {
    match (a.system() == System::Metric, b.system() == System::Metric) {
        (true, false) => a,
        (false, true) => b,
        _ if a.size() >= b.size() => a,
        _ => b,
    }
}

/// Changes the unit of a total and of its parts.
fn rebase(total: &mut Total, from: Unit, to: Unit) -> bool {
    let change = |value| convert(value, from, to);
    let parts: Option<Vec<_>> = total
        .parts
        .iter()
        .map(|(i, lo, hi)| Some((*i, change(*lo)?, change(*hi)?)))
        .collect();
    let (Some(parts), Some(lo), Some(hi)) =
        (parts, change(total.quantity.lo), change(total.quantity.hi))
    else {
        return false;
    };
    total.parts = parts;
    total.quantity = Quantity {
        lo,
        hi,
        measure: Measure::Unit(to),
        ..total.quantity.clone()
    };
    total.buy = hi;
    true
}

impl Total {
    /// What to buy, in words: pieces are bought whole, "4 to 5 (3 3/4 to 5 needed)".
    pub fn show(&self, item: &str, note: &str, units: Units) -> String {
        let wanted = self.wanted();
        let whole = Quantity {
            lo: wanted.lo.ceil(),
            hi: wanted.hi.ceil(),
            ..wanted.clone()
        };
        if let Measure::Pieces(_) = wanted.measure
            && whole != wanted
        {
            let needed = print::quantity(&Quantity {
                prefix: None,
                measure: Measure::Pieces(Pieces::default()),
                ..wanted
            });
            let whole = units::show(&Amount::Measured(whole), item, note, units);
            return format!("{whole} ({needed} needed)");
        }
        units::show(&Amount::Measured(wanted), item, note, units)
    }

    /// What is needed, in words, not rounded up to what can be bought.
    pub(super) fn needed(&self) -> String {
        print::quantity(&self.wanted())
    }

    /// The quantity still to buy. Of a range that the pantry has some of, the least is no longer of use to the shopper.
    fn wanted(&self) -> Quantity {
        let mut wanted = self.quantity.clone();
        if self.buy != wanted.hi {
            (wanted.lo, wanted.hi, wanted.remark) = (self.buy, self.buy, None);
        }
        wanted
    }
}
