use proptest::prelude::*;

use super::*;
use crate::measure::print;

/// Number, most, and unit or noun of a text, printed: "1.5|2|clove".
fn read_as(text: &str) -> String {
    match parse(text) {
        Ok(Amount::Loose(words)) => format!("loose {words}"),
        Ok(Amount::Measured(q)) => {
            let unit = match &q.measure {
                Measure::Unit(unit) => format!("{unit:?}"),
                Measure::Pieces(p) => {
                    let noun = p.noun.as_ref().map_or("", |(one, _)| one.as_str());
                    match p.each {
                        Some((value, unit)) => format!("{noun} of {value} {unit:?}"),
                        None => noun.to_owned(),
                    }
                }
            };
            let remark = q.remark.map(|r| format!(" # {r}")).unwrap_or_default();
            let said = [q.prefix, q.manner]
                .into_iter()
                .flatten()
                .map(|s| format!(" {s}"))
                .collect::<String>();
            format!("{}|{}|{unit}{said}{remark}", q.lo, q.hi)
        }
        Err(error) => format!("error: {error}"),
    }
}

#[test]
fn amounts_are_read_as_a_cook_means_them() {
    for (text, want) in [
        ("2 kg", "2|2|Kilogram"),
        ("2kg", "2|2|Kilogram"),
        ("1 1/2 tsp", "3/2|3/2|Teaspoon"),
        ("1-1/2 tsp", "3/2|3/2|Teaspoon"),
        ("1½ cups", "3/2|3/2|Cup"),
        ("1 ½ cups", "3/2|3/2|Cup"),
        ("½ + 1", "3/2|3/2|"),
        ("1⁄2 cup", "1/2|1/2|Cup"),
        ("1∕2 cup", "1/2|1/2|Cup"),
        ("2-3 cloves", "2|3|clove"),
        ("2–3 cloves", "2|3|clove"),
        ("2 to 3 tbsp", "2|3|Tablespoon"),
        ("3 or 4", "3|4|"),
        ("1/2-3/4 cup", "1/2|3/4|Cup"),
        ("1 tsp to 1 tbsp", "1|3|Teaspoon"),
        ("to taste", "loose to taste"),
        ("a few sprigs", "loose a few sprigs"),
        ("1,5 l", "3/2|3/2|Litre"),
        ("1,500 g", "1500|1500|Gram"),
        ("1,500 kg", "3/2|3/2|Kilogram"),
        ("0,250 l", "1/4|1/4|Litre"),
        ("1,250,000 g", "1250000|1250000|Gram"),
        ("1.500 kg", "3/2|3/2|Kilogram"),
        (".5 l", "1/2|1/2|Litre"),
        ("3", "3|3|"),
        ("2 large", "2|2|large"),
        ("1 bunch", "1|1|bunch"),
        ("1 tin", "1|1|tin"),
        ("2 x 400 g tins", "2|2|tin of 400 Gram"),
        ("2 (400 g) tins", "2|2|tin of 400 Gram"),
        ("2 tins (400 g each)", "2|2|tin of 400 Gram"),
        ("1 15-ounce can", "1|1|can of 15 Ounce"),
        ("2 x 400 g", "800|800|Gram"),
        ("1 lb 4 oz", "5/4|5/4|Pound"),
        ("1 cup plus 2 tbsp", "9/8|9/8|Cup"),
        ("400 g (14 oz)", "400|400|Gram # (14 oz)"),
        ("200 g, drained", "200|200|Gram # drained"),
        ("2 heaped tbsp", "2|2|Tablespoon heaped"),
        ("about 200 g", "200|200|Gram about"),
        ("up to 2 tbsp", "2|2|Tablespoon up to"),
        ("a pinch", "1|1|pinch"),
        ("half a lemon", "1/2|1/2|lemon"),
        ("one and a half cups", "3/2|3/2|Cup"),
        ("a dozen", "12|12|"),
        ("1 T", "1|1|Tablespoon"),
        ("1 t", "1|1|Teaspoon"),
        ("2 fl. oz.", "2|2|FluidOunce"),
        ("1 imperial pint", "1|1|ImperialPint"),
        ("2 Tbsp.", "2|2|Tablespoon"),
        ("1 inch", "1|1|Inch"),
        ("1\" piece", "1|1|Inch # piece"),
    ] {
        assert_eq!(read_as(text), want, "{text:?}");
    }
}

#[test]
fn what_is_no_amount_says_why() {
    for (text, why) in [
        ("", "empty"),
        ("   ", "empty"),
        ("-2 g", "negative"),
        ("1/0 cup", "divided by zero"),
        ("1/ cup", "missing after the fraction bar"),
        ("3-2 cloves", "backwards"),
        ("1 l to 200 g", "do not measure the same"),
        (
            "99999999999999999999999999999999999999999999 g",
            "too large",
        ),
        ("1.12345678 g", "decimal places"),
        ("kilogram", "no number"),
        ("1 500 g", "side by side"),
    ] {
        let error = parse(text).unwrap_err().to_string();
        assert!(error.contains(why), "{text:?}: {error}");
    }
}

/// Every vulgar fraction of the Unicode Character Database (U+00BC to U+00BE, U+2150 to U+215E, U+2189), against
/// the numeric value that Python's unicodedata gives.
#[test]
fn vulgar_fractions_have_their_unicode_values() {
    let table = "¼=1/4 ½=1/2 ¾=3/4 ⅐=1/7 ⅑=1/9 ⅒=1/10 ⅓=1/3 ⅔=2/3 ⅕=1/5 ⅖=2/5 ⅗=3/5 ⅘=4/5 ⅙=1/6 ⅚=5/6 ⅛=1/8 ⅜=3/8 ⅝=5/8 ⅞=7/8 ↉=0";
    for row in table.split(' ') {
        let (sign, value) = row.split_once('=').unwrap();
        let quantity = parse(sign).unwrap().quantity().cloned().unwrap();
        assert_eq!(quantity.lo.to_string(), value, "{sign}");
    }
}

/// 1/3 cup three times is one cup: arithmetic, exact.
#[test]
fn thirds_are_exact() {
    let third = parse("1/3 cup").unwrap();
    assert_eq!(
        third.times(Ratio::from_integer(3)),
        Some(parse("1 cup").unwrap())
    );
}

#[test]
fn kitchen_amounts() {
    let scaled = |text: &str, numer: i128, denom: i128| {
        print::amount(
            &parse(text)
                .unwrap()
                .times(Ratio::new(numer, denom))
                .unwrap(),
        )
    };
    for (text, by, want) in [
        ("1/3 cup", (1, 1), "1/3 cup"),
        ("1 1/2 tsp", (1, 1), "1 1/2 tsp"),
        ("1 1/2 tsp", (2, 1), "1 tbsp"),
        ("1 tsp", (4, 1), "1 tbsp + 1 tsp"),
        ("2 tbsp", (5, 2), "5 tbsp"),
        ("1 cup", (5, 12), "1/3 cup + 1 1/2 tbsp"),
        ("1 cup", (1, 8), "1/8 cup"),
        ("3 cups", (5, 6), "2 1/2 cups"),
        ("1/4 tsp", (1, 4), "less than 1/8 tsp"),
        ("1.2 kg", (5, 6), "1 kg"),
        ("800 g", (3, 2), "1.2 kg"),
        ("100 g", (4, 3), "133 g"),
        ("500 g", (5, 3), "835 g"),
        ("7 g", (2, 3), "4.7 g"),
        ("1 kg", (1, 3), "335 g"),
        ("1.5 l", (1, 1), "1.5 L"),
        ("2 dl", (3, 2), "3 dl"),
        ("3", (5, 6), "2 1/2"),
        ("1 clove", (5, 2), "2 1/2 cloves"),
        ("2 cloves", (1, 2), "1 clove"),
        ("2-3 cloves", (2, 1), "4 to 6 cloves"),
        ("2 x 400 g tins", (3, 2), "3 x 400 g tins"),
        ("1 lb", (5, 4), "1 1/4 lb"),
        ("1 lb", (7, 6), "1 lb 2 1/2 oz"),
        ("400 g (14 oz)", (1, 1), "400 g (14 oz)"),
        ("400 g (14 oz)", (2, 1), "800 g (28 oz)"),
        ("8 oz/225 grams", (5, 4), "10 oz / 280 g"),
        ("1/2 cup (120 ml)", (2, 1), "1 cup (240 ml)"),
        // As much each, or in all: nobody knows.
        ("2 (200 g)", (2, 1), "4"),
        ("200 g (2 large)", (2, 1), "400 g"),
        ("9 fl oz", (1, 16), "9/16 fl oz"),
        ("to taste", (3, 1), "to taste"),
        ("2 heaped tbsp", (2, 1), "4 heaped tbsp"),
    ] {
        assert_eq!(scaled(text, by.0, by.1), want, "{text} x {by:?}");
    }
}

/// US, imperial and avoirdupois sizes: NIST Handbook 44 appendix C (gallon of 231 cubic inches, cup of 8 fluid
/// ounces), UK Weights and Measures Act 1985 (gallon of 4.54609 litres); 1e-9 relative.
#[test]
fn unit_sizes_are_the_published_ones() {
    for (unit, size) in [
        (Unit::Gallon, 3785.411784),
        (Unit::Quart, 946.352946),
        (Unit::Pint, 473.176473),
        (Unit::Cup, 236.5882365),
        (Unit::FluidOunce, 29.5735295625),
        (Unit::Tablespoon, 14.78676478125),
        (Unit::Teaspoon, 4.92892159375),
        (Unit::ImperialGallon, 4546.09),
        (Unit::ImperialQuart, 1136.5225),
        (Unit::ImperialPint, 568.26125),
        (Unit::ImperialFluidOunce, 28.4130625),
        (Unit::Pound, 453.59237),
        (Unit::Ounce, 28.349523125),
        (Unit::DryPint, 550.6104713575),
        (Unit::MetricCup, 250.0),
        (Unit::MetricTablespoon, 15.0),
        (Unit::MetricTeaspoon, 5.0),
        (Unit::AustralianTablespoon, 20.0),
        (Unit::JapaneseCup, 200.0),
    ] {
        let ours = *unit.size().numer() as f64 / *unit.size().denom() as f64;
        assert!((ours / size - 1.0).abs() < 1e-9, "{unit:?} {ours} {size}");
    }
    let ratio = |n, d| Some(Ratio::new(n, d));
    assert_eq!(
        convert(Ratio::from_integer(1), Unit::Tablespoon, Unit::Teaspoon),
        ratio(3, 1)
    );
    assert_eq!(
        convert(Ratio::from_integer(1), Unit::Cup, Unit::Tablespoon),
        ratio(16, 1)
    );
    assert_eq!(
        convert(Ratio::new(1, 3), Unit::Cup, Unit::Teaspoon),
        ratio(16, 1)
    );
    assert_eq!(
        convert(Ratio::new(2, 3), Unit::Cup, Unit::Tablespoon),
        ratio(32, 3)
    );
    assert_eq!(
        convert(Ratio::from_integer(1), Unit::Gram, Unit::Litre),
        None
    );
}

fn any_unit() -> impl Strategy<Value = Unit> {
    prop::sample::select(Unit::all().collect::<Vec<_>>())
}

proptest! {
    #[test]
    fn no_text_panics(text in "\\PC*") {
        if let Ok(amount) = parse(&text) {
            let _ = print::amount(&amount);
            let _ = amount.times(Ratio::new(7, 3)).map(|a| print::amount(&a));
        }
    }

    #[test]
    fn no_amount_like_text_panics(
        text in "(about |~|-)?[0-9]{0,12}[ .,/½⅓x×-]{0,2}[0-9]{0,8} ?(g|kg|cups?|tbsp|tins?|\\(400 g\\) tins|lb|to|-|plus|\\+)? ?[0-9/½]{0,5} ?(oz|g|tsp|each)?"
    ) {
        if let Ok(amount) = parse(&text) {
            let _ = print::amount(&amount);
            let _ = amount.times(Ratio::new(7, 3)).map(|a| print::amount(&a));
        }
    }

    #[test]
    fn conversion_there_and_back_is_exact(numer in 1i128..1_000_000, denom in 1i128..1000, a in any_unit(), b in any_unit()) {
        let value = Ratio::new(numer, denom);
        if let Some(there) = convert(value, a, b) {
            prop_assert_eq!(convert(there, b, a), Some(value));
        } else {
            prop_assert_ne!(a.dimension(), b.dimension());
        }
    }

    /// What is printed, read again, is what was meant within 5 % (or, of spoons, less than an eighth of a teaspoon).
    #[test]
    fn printed_amounts_stay_near(numer in 1i128..20_000, denom in 1i128..60, unit in any_unit()) {
        let value = Ratio::new(numer, denom);
        prop_assume!(value * unit.size() >= Ratio::from_integer(1) && !matches!(unit.dimension(), Dimension::Length));
        let text = print::value(value, unit);
        prop_assume!(!text.starts_with("less than"));
        let read = parse(&text).unwrap();
        let quantity = read.quantity().unwrap();
        let back = convert(quantity.lo, quantity.unit().unwrap(), unit).unwrap();
        let off = if back > value { back - value } else { value - back };
        let eighth = Ratio::new(1, 16) * Unit::Teaspoon.size() / unit.size();
        prop_assert!(off * Ratio::from_integer(20) <= value || off <= eighth, "{} {:?} -> {}", value, unit, text);
    }
}
