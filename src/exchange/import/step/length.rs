//! How long a step takes.

use super::{How, Maker, Proposal, Step, propose};
use crate::exchange::import::ingredient::Split;
use crate::exchange::import::phrases::{self, About, Time, Work};
use crate::measure::quantity::{self, Measure};
use crate::measure::unit::{Dimension, Unit};
use crate::measure::{self, Ratio, duration};

/// A proposed length.
pub(super) struct Length {
    /// The least of it.
    pub seconds: Ratio,
    pub takes: Proposal,
    /// No words give it.
    pub timeless: bool,
}

/// How long a step takes: what its words add up to, else how long its liquid needs to boil, else a guess by the kind
/// of work. `litres`: what is in the pot, if known; `joint`: the grams of what "20 minutes per 500 g" is said of.
pub(super) fn length(
    work: Work,
    normal: &str,
    times: &[Time],
    short: bool,
    litres: Option<Ratio>,
    joint: Option<Ratio>,
) -> Length {
    let boils = phrases::comes_to_the_boil(normal);
    if let Some(told) = told_length(normal, times, boils, joint) {
        return told;
    }
    if boils && matches!(work, Work::Hob | Work::Hand) {
        return boiling(litres);
    }
    let cools = phrases::says(normal, &["cool", "cooled", "cold"]);
    let minutes = match work {
        Work::Oven if phrases::under_the_grill(normal) => 5,
        Work::Oven => 30,
        Work::Simmer => 15,
        Work::Wait if cools => 45,
        Work::Wait => 20,
        Work::Hand if short => 2,
        Work::Hob | Work::Hand => 5,
    };
    let seconds = Ratio::from_integer(minutes * 60);
    Length {
        seconds,
        takes: propose(
            duration::print(seconds),
            How::Guess,
            "the recipe gives no time for this step",
        ),
        timeless: true,
    }
}

/// What the words of a step add up to; nothing if they say no length.
fn told_length(normal: &str, times: &[Time], boils: bool, joint: Option<Ratio>) -> Option<Length> {
    let (mut lo, mut hi) = (Ratio::default(), Ratio::default());
    let (mut said, mut left): (Vec<String>, Vec<String>) = Default::default();
    let mut how = How::Likely;
    for (index, time) in times.iter().enumerate() {
        let words = format!("\"{}\"", time.words);
        let share = match time.about {
            About::Length => {
                said.push(words);
                Ratio::from_integer(1)
            }
            // "15 min per 500 g (about 55 min)": the recipe has worked it out.
            About::Rate(_) if worked_out(normal, time, times.get(index + 1)) => continue,
            About::Rate(each) => {
                let Some(grams) = joint else {
                    left.push(format!("{words} by weight"));
                    continue;
                };
                let kilos = measure::to_f64(grams) / 1000.0;
                said.push(format!("{words} by weight, {kilos} kg"));
                how = How::Guess;
                grams / each
            }
            About::Other => {
                left.push(words);
                continue;
            }
            About::Every | About::Moment | About::Keeping => continue,
        };
        lo += time.range.lo * share;
        hi += time.range.hi * share;
        if time.vague {
            how = How::Guess;
        }
    }
    if said.is_empty() {
        return None;
    }
    let mut why = said.join(", ");
    if said.len() > 1 {
        why.push_str(" together");
    }
    if !left.is_empty() {
        why.push_str(&format!(
            "; the other way, {}, is left out",
            left.join(", ")
        ));
    }
    if boils {
        why.push_str("; the time to come to the boil is not in it");
    }
    // A time by weight is no whole number of minutes.
    let minute = Ratio::from_integer(60);
    let whole = |seconds: Ratio| {
        if how == How::Guess && seconds > minute {
            (seconds / minute).ceil() * minute
        } else {
            seconds
        }
    };
    let (lo, hi) = (whole(lo), whole(hi));
    let range = duration::DurationRange { lo, hi };
    Some(Length {
        seconds: lo,
        takes: propose(range.to_string(), how, why),
        timeless: false,
    })
}

/// Whether a time by weight is followed, in brackets, by what it comes to.
fn worked_out(normal: &str, rate: &Time, next: Option<&Time>) -> bool {
    next.filter(|next| next.about == About::Length)
        .and_then(|next| normal.get(rate.at..next.at))
        .is_some_and(|between| between.contains('(') && !between.contains(". "))
}

/// From 15 C to 100 C at 1.0 to 1.8 kW into the pot: m c dT / P, with 4.177 kJ/(kg K) for water (Choi and Okos 1986).
/// What a hob gives is common practice, no source.
fn boiling(litres: Option<Ratio>) -> Length {
    let minute = Ratio::from_integer(60);
    let (lo, hi, why) = match litres {
        Some(litres) => {
            let heat = litres * Ratio::new(4177 * 85, 1000);
            let after = |kilowatts: Ratio| {
                let minutes = (heat / kilowatts / minute).ceil();
                minutes
                    .max(Ratio::from_integer(2))
                    .min(Ratio::from_integer(60))
            };
            (
                after(Ratio::new(18, 10)),
                after(Ratio::from_integer(1)),
                format!(
                    "{} L to the boil, from cold, at 1 to 1.8 kW into the pot",
                    *(litres * Ratio::from_integer(10)).numer() as f64 / 10.0
                ),
            )
        }
        None => (
            Ratio::from_integer(5),
            Ratio::from_integer(10),
            "to the boil; the recipe doesn't say how much is in the pot".to_owned(),
        ),
    };
    let range = duration::DurationRange {
        lo: lo * minute,
        hi: hi * minute,
    };
    Length {
        seconds: range.lo,
        takes: propose(range.to_string(), How::Guess, why),
        timeless: false,
    }
}

impl Maker<'_> {
    /// The grams of the ingredient that weighs the most: the joint, or the bird.
    pub(super) fn heaviest(&self) -> Option<Ratio> {
        let grams = |split: &Split| match quantity::parse(split.amount.as_deref()?).ok()? {
            quantity::Amount::Measured(quantity) => match quantity.measure {
                Measure::Unit(unit) if unit.dimension() == Dimension::Mass => {
                    quantity::convert(quantity.lo, unit, Unit::Gram)
                }
                _ => None,
            },
            quantity::Amount::Loose(_) => None,
        };
        self.ingredients.iter().filter_map(grams).max()
    }

    /// How much the ingredients of a step are, in litres to a tenth (a kilogram counted as a litre); `None` if there
    /// is hardly anything, or it goes in hot.
    pub(super) fn litres(&self, items: &[String]) -> Option<Ratio> {
        let mut millilitres = Ratio::from_integer(0);
        for ingredient in self.ingredients.iter().filter(|i| items.contains(&i.item)) {
            let lower = ingredient.written.to_lowercase();
            if lower.contains("boiling") || phrases::says(&lower, &["hot"]) {
                return None;
            }
            let amount = ingredient.amount.as_deref().map(quantity::parse);
            let Some(Ok(quantity::Amount::Measured(quantity))) = amount else {
                continue;
            };
            let (value, unit) = match &quantity.measure {
                Measure::Unit(unit) => (quantity.lo, *unit),
                Measure::Pieces(pieces) => match pieces.each {
                    Some((each, unit)) => (quantity.lo * each, unit),
                    None => continue,
                },
            };
            let small = match unit.dimension() {
                Dimension::Volume => Unit::Millilitre,
                Dimension::Mass => Unit::Gram,
                _ => continue,
            };
            millilitres += quantity::convert(value, unit, small).unwrap_or_default();
        }
        let hundreds = (millilitres / Ratio::from_integer(100)).round();
        let sane = hundreds >= Ratio::from_integer(1) && hundreds <= Ratio::from_integer(1000);
        sane.then(|| hundreds / Ratio::from_integer(10))
    }
}

/// What is left of a time of the recipe, shared among the steps that say none: `alone`, those that cook by
/// themselves (and only if there is one), else those of the hands.
pub(super) fn share(steps: &mut [Step], whole: Option<Ratio>, alone: bool) {
    let Some(whole) = whole else { return };
    let open = |s: &Step| {
        s.timeless && s.work != Work::Wait && matches!(s.work, Work::Oven | Work::Simmer) == alone
    };
    // What cooks on the hob with the cook beside it is of the cooking time, too.
    let counts = |s: &Step| {
        let cooks = matches!(s.work, Work::Oven | Work::Simmer | Work::Hob);
        !s.timeless && s.work != Work::Wait && cooks == alone
    };
    let known: Ratio = steps.iter().filter(|s| counts(s)).map(|s| s.seconds).sum();
    let count = steps.iter().filter(|s| open(s)).count();
    if count == 0 || (alone && count > 1) || whole <= known {
        return;
    }
    // A sentence more is more to do.
    let words = |s: &Step| s.instruction.split(' ').count().min(60) as i128;
    let total: i128 = steps.iter().filter(|s| open(s)).map(words).sum();
    let minute = Ratio::from_integer(60);
    let name = if alone { "cookTime" } else { "prepTime" };
    for step in steps.iter_mut().filter(|s| open(s)) {
        let mine = (whole - known) * Ratio::new(words(step), total.max(1)) / minute;
        let mine = mine.floor().max(Ratio::from_integer(1)) * minute;
        let how = if alone { How::Likely } else { How::Guess };
        step.takes = propose(
            duration::print(mine),
            how,
            format!(
                "its share of the recipe's {name}, {}",
                duration::print(whole)
            ),
        );
    }
}
