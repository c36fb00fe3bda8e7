//! Numbers as people type them.

use super::*;

#[test]
fn plain_numbers_are_millimetres() {
    for (text, mm) in [("12.5", 12.5), (" 12,5 ", 12.5), ("-3", -3.0), ("−3", -3.0), (".5", 0.5), ("=7", 7.0)] {
        assert_eq!(length_mm(text), Ok(mm), "{text}");
    }
}

#[test]
fn a_unit_belongs_to_the_product_before_it() {
    for (text, mm) in [
        ("12.5 mm", 12.5),
        ("12.5mm", 12.5),
        ("2 cm", 20.0),
        ("1/2 in", 12.7),
        ("1 1/2 in", 38.1),
        ("3\"", 76.2),
        ("1' 3\"", 381.0),
        ("2 * 3 in", 152.4),
        ("(1 + 2) cm", 30.0),
        ("10 mm / 4", 2.5),
        ("2 IN", 50.8),
    ] {
        assert!((length_mm(text).unwrap() - mm).abs() < 1e-12, "{text}");
    }
}

#[test]
fn sums_follow_the_rules_of_arithmetic() {
    for (text, mm) in [
        ("=409.5/2", 204.75),
        ("2+3*4", 14.0),
        ("(2+3)*4", 20.0),
        ("10-2-3", 5.0),
        ("100/5/2", 10.0),
        ("2--3", 5.0),
        ("1 in + 4.6", 30.0),
    ] {
        assert_eq!(length_mm(text), Ok(mm), "{text}");
    }
}

#[test]
fn what_is_no_length_says_why() {
    let unit = |word: &str| QuantityError::Unit { word: word.into(), known: wrong::LENGTH_UNITS };
    for (text, error) in [
        ("", QuantityError::Empty),
        ("=", QuantityError::Empty),
        ("twelve", QuantityError::NumberMissing { before: "twelve".into() }),
        ("12 apples", unit("apples")),
        ("12 +", QuantityError::EndsEarly),
        ("1.234,5", QuantityError::Number("1.234,5".into())),
        ("(3", QuantityError::Bracket),
        ("3)", QuantityError::Left(")".into())),
        ("3 4", QuantityError::Left("4".into())),
        ("2 in * 3 in", QuantityError::TwoUnits),
        ("3 / 0", QuantityError::NotFinite),
        ("(1 in) mm", QuantityError::TwoUnits),
        ("1 in 5", QuantityError::Left("5".into())),
    ] {
        assert_eq!(length_mm(text), Err(error), "{text}");
    }
}

#[test]
fn many_brackets_are_refused_and_not_followed() {
    assert_eq!(length_mm(&"(".repeat(100_000)), Err(QuantityError::Bracket));
}

#[test]
fn angles_are_degrees() {
    assert_eq!(angle_deg("45"), Ok(45.0));
    assert_eq!(angle_deg("22.5 deg"), Ok(22.5));
    assert!(angle_deg("12 mm").is_err());
}
