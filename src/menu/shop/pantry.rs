//! What the cook has already: a TOML file that the cook keeps.
//!
//! ```toml
//! [have]
//! butter = "250 g"
//! "olive oil" = "500 ml"
//! salt = "plenty"          # never on a list
//! ```

use num_traits::CheckedSub;
use toml::de::DeValue;

use super::{Item, names};
use crate::measure::quantity::{self, Amount, Measure, Quantity, convert};
use crate::measure::unit::Unit;
use crate::measure::{Ratio, food, print};
use crate::menu::diagnostic::{Diagnostic, Diagnostics};
use crate::menu::keys::PANTRY;
use crate::menu::read::{self, LONGEST_NAME, Reader};

/// The pantry: names with amounts.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Pantry {
    stock: Vec<Stock>,
}

#[derive(Clone, Debug, PartialEq)]
struct Stock {
    key: String,
    name: String,
    /// `None`: plenty.
    left: Option<Quantity>,
}

impl Pantry {
    /// Reads a pantry file; `name` is what its faults call it.
    ///
    /// # Errors
    ///
    /// Every fault of the file, with its line and column: text that is no TOML, a key that is not `have`, an amount that
    /// is none.
    pub fn read(name: &str, bytes: &[u8]) -> Result<Pantry, Diagnostics> {
        let mut reader = Reader::default();
        let mut stock = Vec::new();
        if let Some((source, text)) = read::decode(&mut reader, name, bytes) {
            let document = reader.parse(source, &text);
            let fields = reader.open(&PANTRY, &document.table, document.at());
            if let Some((have, _)) = fields.table(&mut reader, "have") {
                for (item, value) in have.iter() {
                    let at = read::place(source, item.span());
                    let Some(name) = reader.line(item.get_ref(), at, LONGEST_NAME) else {
                        continue;
                    };
                    match left(value.get_ref()) {
                        Ok(left) => stock.push(Stock {
                            key: names::merged(&name),
                            name,
                            left,
                        }),
                        Err(why) => reader.push(
                            Diagnostic::error(
                                read::place(source, value.span()),
                                format!("how much {name:?} is there? {why}"),
                            )
                            .help("write an amount, \"250 g\" or 3, or \"plenty\""),
                        ),
                    }
                }
            }
        }
        let found = reader.into_found();
        if found.has_errors() {
            Err(found)
        } else {
            Ok(Pantry { stock })
        }
    }

    /// Takes what is needed of an item off the stock; `true` if nothing is left to buy.
    pub(super) fn take(&mut self, key: &str, item: &mut Item) -> bool {
        let mut said = Vec::new();
        let mut plenty = false;
        for stock in self.stock.iter_mut().filter(|s| s.key == key) {
            match &mut stock.left {
                None => {
                    plenty = true;
                    said.push("plenty".to_owned());
                }
                Some(left) => {
                    let had = print::quantity(left);
                    let taken = item
                        .totals
                        .iter_mut()
                        .any(|total| take_off(left, total, &stock.name));
                    said.push(if taken || item.totals.is_empty() {
                        had
                    } else {
                        format!("{had}: look whether it is enough")
                    });
                }
            }
        }
        item.pantry = (!said.is_empty()).then(|| said.join(", "));
        // A dish that says no number ("to taste") is served from whatever is there.
        let covered = item.totals.iter().all(|t| t.buy <= Ratio::from_integer(0));
        plenty || (item.pantry.is_some() && covered)
    }
}

fn left(value: &DeValue) -> Result<Option<Quantity>, String> {
    let text = match value {
        DeValue::String(text) => text.to_string(),
        DeValue::Integer(number) if number.radix() == 10 => number.as_str().to_owned(),
        DeValue::Float(number) => number.as_str().to_owned(),
        DeValue::Boolean(true) => return Ok(None),
        _ => return Err("it is neither a text nor a number".to_owned()),
    };
    if ["plenty", "always", "enough"].contains(&text.trim().to_lowercase().as_str()) {
        return Ok(None);
    }
    match quantity::parse(&text) {
        // Of a range the least is sure to be there.
        Ok(Amount::Measured(q)) => Ok(Some(Quantity { hi: q.lo, ..q })),
        Ok(Amount::Loose(_)) => Err("it has no number".to_owned()),
        Err(error) => Err(error.to_string()),
    }
}

/// Takes as much as there is off a total, in whatever measure the two can be compared.
fn take_off(left: &mut Quantity, total: &mut super::Total, name: &str) -> bool {
    let zero = Ratio::from_integer(0);
    let Some((have, back)) = in_measure_of(left, &total.quantity, name) else {
        return false;
    };
    let used = have.min(total.buy).max(zero);
    let Some(rest) = total.buy.checked_sub(&used) else {
        return false;
    };
    total.buy = rest;
    // What is left is kept in the pantry's own measure.
    left.lo = (left.lo - used * back).max(zero);
    left.hi = left.lo;
    true
}

/// What is left in the measure of the total, and how much of the pantry's own measure one of that is.
fn in_measure_of(left: &Quantity, total: &Quantity, name: &str) -> Option<(Ratio, Ratio)> {
    let one = Ratio::from_integer(1);
    match (&left.measure, &total.measure) {
        (Measure::Unit(from), Measure::Unit(to)) => {
            if let Some(have) = convert(left.lo, *from, *to) {
                return Some((have, convert(one, *to, *from)?));
            }
            let ours = food::grams(one, left, name, "")?;
            let theirs = food::grams(one, total, name, "")?;
            Some((left.lo * ours / theirs, theirs / ours))
        }
        (Measure::Pieces(a), Measure::Pieces(b)) if a.each == b.each => {
            let same = a.noun.as_ref().map(|n| &n.0) == b.noun.as_ref().map(|n| &n.0);
            same.then_some((left.lo, one))
        }
        (
            Measure::Pieces(_),
            Measure::Unit(Unit::Gram | Unit::Kilogram | Unit::Ounce | Unit::Pound),
        )
        | (Measure::Unit(_), Measure::Pieces(_)) => {
            let ours = food::grams(one, left, name, "")?;
            let theirs = food::grams(one, total, name, "")?;
            Some((left.lo * ours / theirs, theirs / ours))
        }
        _ => None,
    }
}
