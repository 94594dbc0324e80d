//! Unit factors of NIST SP 811 (2008), appendix B.8.

use crate::values::handbook;
use spanwise::quantity::{Quantity, Unit};

/// Every factor for a unit that the program knows; the ones marked from memory were recalled.
#[test]
fn factors() {
    let mut checked = 0;
    for row in handbook("unit") {
        let name = row.text("name").replace("_conventional", "").replace("in_lbf", "in-lbf");
        let (from, to) = name.split_once("_to_").unwrap();
        let unit = |text: &str| {
            Unit::parse(&text.replace("m_s", "m/s").replace("km_h", "km/h").replace("N_m", "Nm"))
        };
        let (Ok(from), Ok(to)) = (unit(from), unit(to)) else { continue };
        let factor = Quantity::new(1.into(), from).in_unit_f64(to).unwrap();
        let tolerance = if row.flag("exact_decimal") { 1e-14 } else { row.number("rel_tol") };
        row.check_relative("factor", factor, tolerance);
        checked += 1;
    }
    assert_eq!(checked, 18, "units of the table that the program knows");
}

#[test]
fn worked_conversions() {
    let rows = handbook("unit_example");
    let pressure = rows.iter().find(|row| row.has("value")).unwrap();
    let text = format!("{} inHg", pressure.number("value"));
    let hectopascal = Quantity::parse(&text).unwrap().in_unit_f64(Unit::Hectopascal).unwrap();
    pressure.check("expected", hectopascal, pressure.number("tol"));
    let temperature = rows.iter().find(|row| row.has("degF")).unwrap();
    for (f, c) in temperature.numbers("degF").into_iter().zip(temperature.numbers("expected_degC")) {
        let celsius = Quantity::parse(&format!("{f} °F")).unwrap().to(Unit::Celsius).unwrap();
        assert_eq!(celsius.value.to_f64(), c);
    }
    let force = handbook("lateral_force").into_iter().find(|row| row.has("kgf")).unwrap();
    for (kgf, newton) in force.numbers("kgf").into_iter().zip(force.numbers("expected_n")) {
        let got = Quantity::parse(&format!("{kgf} kgf")).unwrap().in_unit_f64(Unit::Newton).unwrap();
        assert!((got - newton).abs() <= force.number("tol"));
    }
}
