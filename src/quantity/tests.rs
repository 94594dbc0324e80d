//! Reading, converting and comparing, against published factors and by property.

use super::*;
use proptest::prelude::*;
use std::cmp::Ordering;

fn q(text: &str) -> Quantity {
    Quantity::parse(text).unwrap_or_else(|e| panic!("{text}: {e}"))
}

#[test]
fn a_quantity_is_shown_as_entered() {
    for (typed, shown) in
        [("12.50 kgf", "12.50 kgf"), ("3deg", "3°"), ("12,5 kmh", "12.5 km/h"), ("5 counts", "5 count")]
    {
        assert_eq!(q(typed).to_string(), shown);
        assert_eq!(q(shown), q(typed));
    }
}

#[test]
fn numbers_written_in_a_refused_way_are_not_taken_for_units() {
    let message = |text| Quantity::parse(text).unwrap_err().to_string();
    assert!(message("1e3 mm").starts_with("value \"1e3 mm\" is not a number"));
    assert_eq!(message("1e3"), "value \"1e3\" is written with an exponent; write all its digits out");
    assert!(message("1 000 mm").starts_with("value \"1 000 mm\" is not a number"));
    assert!(message("5 1").starts_with("value \"5 1\" is not a number"));
    assert!(message("mm").starts_with("value \"mm\" is not a number"));
    assert!(message("12.5").ends_with("for example \"12.5 mm\""));
}

/// Exact factors of NIST SP 811 (2008), appendix B.8.
#[test]
fn conversions_are_exact() {
    for (from, unit, expected) in [
        ("10 kgf", Unit::Newton, "98.0665 N"),
        ("1 lbf", Unit::Newton, "4.4482216152605 N"),
        ("98.0665 N", Unit::KilogramForce, "10 kgf"),
        ("29.92 inHg", Unit::Hectopascal, "1013.2074811900272 hPa"),
        ("1 in", Unit::Millimetre, "25.4 mm"),
        ("100 kt", Unit::KilometrePerHour, "185.2 km/h"),
        ("59 °F", Unit::Celsius, "15 °C"),
        ("-40 °C", Unit::Fahrenheit, "-40 °F"),
        ("2 years", Unit::Month, "24 months"),
        ("90 arcmin", Unit::Degree, "1.5°"),
        ("3 kg cm", Unit::NewtonMetre, "0.2941995 Nm"),
    ] {
        assert_eq!(q(from).to(unit).unwrap().to_string(), expected);
        assert!(q(from).converts_exactly(unit));
    }
    assert!(!q("100 km/h").converts_exactly(Unit::Knot));
    assert_eq!(q("100 km/h").to(Unit::Knot).unwrap().to_string(), "53.9956803455723542 kt");
    assert!((q("180 °").in_unit_f64(Unit::Radian).unwrap() - std::f64::consts::PI).abs() < 1e-15);
}

#[test]
fn mixed_kinds_name_both() {
    let error = q("3 mm").compare(&q("4 N")).unwrap_err().to_string();
    assert_eq!(
        error,
        "unit \"mm\" is a length and unit \"N\" is a force; give both in units of the same kind"
    );
    assert!(q("3 launches").to(Unit::Cycle).is_err());
    assert!(q("30 d").compare(&q("1 months")).is_err());
}

#[test]
fn an_entry_takes_the_wanted_unit_or_keeps_its_own() {
    let read = |text| read_entry(text, Unit::KilogramForce, false);
    assert_eq!(read("12.5"), Ok(q("12.5 kgf")));
    assert_eq!(read("12.5 N"), Ok(q("12.5 N")));
    assert_eq!(
        read("12.5 km/h").unwrap_err().to_string(),
        "unit \"km/h\" in \"12.5 km/h\" is a speed; this step wants a force, for example \"12.5 kgf\""
    );
    assert!(read("12.5 kg").unwrap_err().to_string().ends_with("(a spring balance marked kg shows kgf)"));
    assert_eq!(read("12.5 kfg").unwrap_err().to_string(), "unit \"kfg\" is not known; did you mean \"kgf\"?");
    assert_eq!(
        read_entry("12.5", Unit::KilogramForce, true).unwrap_err().to_string(),
        "value \"12.5\" has no unit; type it with its unit, for example \"12.5 kgf\""
    );
}

#[test]
fn a_suggestion_prefers_the_wanted_kind() {
    let error = read_entry("5 mmm", Unit::Inch, false).unwrap_err();
    assert_eq!(error.to_string(), "unit \"mmm\" is not known; did you mean \"mm\"?");
}

#[test]
fn limits_include_their_ends_across_units() {
    let limit = Limit::new(Some(q("2.0 bar")), Some(q("3.0 bar"))).unwrap();
    assert_eq!(limit.to_string(), "2.0 to 3.0 bar");
    assert!(limit.contains(&q("2000 hPa")).unwrap());
    assert!(limit.contains(&q("300000 Pa")).unwrap());
    assert!(!limit.contains(&q("300000.0001 Pa")).unwrap());
    assert!(limit.contains(&q("2 mm")).is_err());
    assert_eq!(Limit::new(None, Some(q("5 mm"))).unwrap().to_string(), "at most 5 mm");
    assert_eq!(Limit::new(Some(q("5 mm")), None).unwrap().to_string(), "at least 5 mm");
}

#[test]
fn a_nominal_value_with_tolerances_makes_a_limit() {
    let limit = Limit::around(&q("24.0°"), &q("2°"), &q("90 arcmin")).unwrap();
    assert_eq!(limit.to_string(), "22.0 to 25.5°");
    assert!(matches!(
        Limit::around(&q("1 mm"), &q("-1 mm"), &q("1 mm")),
        Err(LimitError::NegativeTolerance(_))
    ));
    assert!(matches!(Limit::new(Some(q("3 mm")), Some(q("2 mm"))), Err(LimitError::Reversed { .. })));
    assert_eq!(Limit::new(None, None), Err(LimitError::NoEnd));
}

#[test]
fn files_hold_quantities_as_text() {
    #[derive(serde::Deserialize)]
    struct Step {
        limit: Limit,
    }
    let step: Step = toml::from_str("limit = { min = \"2.0 bar\", max = \"30 psi\" }").unwrap();
    assert_eq!(step.limit.to_string(), "2.0 bar to 30 psi");
    assert_eq!(serde_json::to_string(&step.limit).unwrap(), r#"{"min":"2.0 bar","max":"30 psi"}"#);
    let error =
        toml::from_str::<Step>("limit = { min = \"3 bar\", max = \"2 bar\" }").err().unwrap().to_string();
    assert!(error.contains("exchange them"), "{error}");
}

#[test]
fn too_many_digits_are_an_error() {
    let long = q("7922816251426433759354395.0335 psi");
    assert!(matches!(long.to(Unit::InchOfMercury), Err(QuantityError::Overflow { .. })));
    assert!(matches!(
        long.compare(&q("1.0000000000000000000000001 inHg")),
        Err(QuantityError::Overflow { .. })
    ));
}

fn any_quantity() -> impl Strategy<Value = Quantity> {
    (-(1i64 << 40)..(1i64 << 40), 0u32..6, 0..Unit::ALL.len()).prop_map(|(mantissa, scale, unit)| {
        Quantity::new(rust_decimal::Decimal::new(mantissa, scale).into(), Unit::ALL[unit])
    })
}

proptest! {
    #[test]
    fn no_text_panics(text in "\\PC{0,30}") {
        let _ = Quantity::parse(&text);
        let _ = read_entry(&text, Unit::KilogramForce, true);
    }

    #[test]
    fn digits_and_letters_do_not_panic(text in "[-+0-9.,eE ]{0,60}[a-zA-Z/°%]{0,5}") {
        if let Ok(quantity) = Quantity::parse(&text) {
            for unit in Unit::ALL {
                let _ = (quantity.to(*unit), quantity.in_unit_f64(*unit), quantity.compare(&Quantity::new(1.into(), *unit)));
            }
        }
    }

    #[test]
    fn text_round_trips(quantity in any_quantity()) {
        prop_assert_eq!(Quantity::parse(&quantity.to_string()), Ok(quantity));
    }

    #[test]
    fn exact_conversions_come_back_exactly(quantity in any_quantity(), to in 0..Unit::ALL.len()) {
        let unit = Unit::ALL[to];
        if quantity.converts_exactly(unit) {
            let there = quantity.to(unit).unwrap();
            prop_assert_eq!(there.to(quantity.unit).unwrap(), quantity);
            prop_assert_eq!(there.compare(&quantity), Ok(Ordering::Equal));
        }
    }

    #[test]
    fn rounded_conversions_come_back_closely(quantity in any_quantity(), to in 0..Unit::ALL.len()) {
        let unit = Unit::ALL[to];
        if let Ok(there) = quantity.to(unit) {
            let back = there.in_unit_f64(quantity.unit).unwrap();
            let scale = quantity.value.to_f64().abs() + 500.0;
            prop_assert!((back - quantity.value.to_f64()).abs() <= 1e-12 * scale);
        }
    }
}
