//! What a unit is: its kind, its exact factor, and how people spell it.

use super::error::{QuantityError, UnitError};
use super::rational::Rational;
use super::unit_table::Unit;
use rust_decimal::Decimal;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use std::{fmt, str::FromStr};

/// The kind of a quantity; only units of one kind convert into each other.
///
/// Counts of different things (launches, cycles, pieces) are kinds of their own, and so is calendar time, because
/// a month has no fixed number of days.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Dimension {
    Length,
    Force,
    Mass,
    Time,
    Calendar,
    Speed,
    Pressure,
    Angle,
    Torque,
    Stiffness,
    Compliance,
    Frequency,
    Temperature,
    Voltage,
    Current,
    Charge,
    Resistance,
    Ratio,
    Volume,
    Launches,
    Cycles,
    Count,
}

impl Dimension {
    /// "a force", "an angle": for messages.
    pub fn with_article(self) -> &'static str {
        match self {
            Self::Length => say!("a length"),
            Self::Force => say!("a force"),
            Self::Mass => say!("a mass"),
            Self::Time => say!("a time"),
            Self::Calendar => say!("a calendar period"),
            Self::Speed => say!("a speed"),
            Self::Pressure => say!("a pressure"),
            Self::Angle => say!("an angle"),
            Self::Torque => say!("a torque"),
            Self::Stiffness => say!("a stiffness"),
            Self::Compliance => say!("a compliance"),
            Self::Frequency => say!("a frequency"),
            Self::Temperature => say!("a temperature"),
            Self::Voltage => say!("a voltage"),
            Self::Current => say!("a current"),
            Self::Charge => say!("an electric charge"),
            Self::Resistance => say!("an electrical resistance"),
            Self::Ratio => say!("a percentage"),
            Self::Volume => say!("a volume"),
            Self::Launches => say!("a number of launches"),
            Self::Cycles => say!("a number of cycles"),
            Self::Count => say!("a count"),
        }
    }
}

/// One row of the unit table.
pub(super) struct UnitRow {
    pub(super) symbol: &'static str,
    pub(super) dimension: Dimension,
    pub(super) num: i128,
    pub(super) den: i128,
    pub(super) spellings: &'static [&'static str],
}

/// Lower case without what people put between the parts of a unit.
fn squeezed(text: &str) -> String {
    text.chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '.' | '·' | '⋅' | '*'))
        .map(|c| match c {
            'º' | '˚' => '°',
            other => other,
        })
        .flat_map(char::to_lowercase)
        .collect()
}

impl Unit {
    /// The symbol, as shown after a number.
    pub fn symbol(self) -> &'static str {
        self.row().symbol
    }

    pub fn dimension(self) -> Dimension {
        self.row().dimension
    }

    /// Exact factor to the base unit of the kind, as numerator and denominator.
    ///
    /// The base units are the coherent SI units, but the degree for angles, the month for calendar time, and one for
    /// each kind of count. Source: NIST SP 811 (2008), appendix B.8. Only the radian is not exact (19 digits).
    pub fn factor(self) -> (i128, i128) {
        let row = self.row();
        (row.num, row.den)
    }

    /// What is added to the value before the factor applies: absolute zero for temperatures, else nothing.
    pub fn offset(self) -> Decimal {
        match self {
            Self::Celsius => Decimal::new(27315, 2),
            Self::Fahrenheit => Decimal::new(45967, 2),
            _ => Decimal::ZERO,
        }
    }

    pub(super) fn rational(self) -> Option<Rational> {
        let (num, den) = self.factor();
        Rational::new(num, den)
    }

    /// Reads a symbol or a common spelling of it, such as `deg`, `kmh`, `lbs`, `kp`.
    ///
    /// # Errors
    /// An unknown text, with the nearest known spelling where there is one.
    pub fn parse(text: &str) -> Result<Self, UnitError> {
        let text = text.trim();
        if text.is_empty() {
            return Err(UnitError::Empty);
        }
        if let Some(unit) = Self::ALL.iter().find(|u| u.symbol() == text) {
            return Ok(*unit);
        }
        let wanted = squeezed(text);
        let spelt = |u: &&Self| u.row().spellings.contains(&wanted.as_str());
        // After the spellings, so that "kn" is the knot although "kN" is the kilonewton.
        let symbol_in_other_case = |u: &&Self| squeezed(u.symbol()) == wanted;
        let units = Self::ALL.iter();
        let found = units.clone().find(spelt).or_else(|| units.clone().find(symbol_in_other_case));
        found.copied().ok_or_else(|| UnitError::Unknown {
            text: text.to_owned(),
            suggestion: nearest(&wanted, |_| true),
        })
    }

    /// An error unless both are of one kind.
    pub(super) fn same_kind_as(self, other: Self) -> Result<(), QuantityError> {
        if self.dimension() == other.dimension() {
            Ok(())
        } else {
            Err(QuantityError::Mixed { left: self, right: other })
        }
    }
}

/// The unit spelt most like `wanted`, among those that `allowed` admits; `None` when nothing is close.
pub(super) fn nearest(wanted: &str, allowed: impl Fn(Unit) -> bool) -> Option<Unit> {
    let wanted = squeezed(wanted);
    let candidates = Unit::ALL.iter().filter(|u| allowed(**u)).flat_map(|unit| {
        let spellings = unit.row().spellings.iter().map(|s| (*s).to_owned());
        spellings.chain([squeezed(unit.symbol())]).map(move |spelling| (*unit, spelling))
    });
    // A third of the letters may be wrong, and at least one.
    let length = wanted.chars().count();
    let allowance = if length < 2 { 0 } else { (length / 3).max(1) };
    candidates
        // At least the surplus letters are wrong: a page in place of a unit is not compared letter by letter.
        .filter(|(_, spelling)| spelling.chars().count().abs_diff(length) <= allowance)
        .map(|(unit, spelling)| (unit, strsim::damerau_levenshtein(&wanted, &spelling)))
        .filter(|(_, distance)| *distance <= allowance)
        .min_by_key(|(_, distance)| *distance)
        .map(|(unit, _)| unit)
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.symbol())
    }
}

impl FromStr for Unit {
    type Err = UnitError;

    fn from_str(text: &str) -> Result<Self, UnitError> {
        Self::parse(text)
    }
}

impl Serialize for Unit {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.symbol())
    }
}

impl<'de> Deserialize<'de> for Unit {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::parse(&String::deserialize(deserializer)?).map_err(de::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashMap;

    #[test]
    fn every_symbol_and_spelling_means_one_unit() {
        let mut seen: HashMap<String, Unit> = HashMap::new();
        for unit in Unit::ALL {
            assert_eq!(Unit::parse(unit.symbol()), Ok(*unit));
            let symbol = (*unit != Unit::Kilonewton).then(|| squeezed(unit.symbol()));
            for spelling in unit.row().spellings.iter().map(|s| (*s).to_owned()).chain(symbol) {
                assert_eq!(squeezed(&spelling), spelling, "spellings are stored squeezed");
                assert_eq!(seen.insert(spelling.clone(), *unit), None, "{spelling} is two units");
                assert_eq!(Unit::parse(&spelling), Ok(*unit), "{spelling}");
            }
        }
    }

    #[test]
    fn common_spellings_are_understood() {
        for (text, unit) in [
            ("deg", Unit::Degree),
            ("º", Unit::Degree),
            ("KMH", Unit::KilometrePerHour),
            ("km / h", Unit::KilometrePerHour),
            ("kp", Unit::KilogramForce),
            ("kn", Unit::Knot),
            ("kN", Unit::Kilonewton),
            ("in lbf", Unit::InchPound),
            ("N·m", Unit::NewtonMetre),
            ("hours", Unit::Hour),
            ("1", Unit::Count),
        ] {
            assert_eq!(Unit::parse(text), Ok(unit), "{text}");
        }
    }

    #[test]
    fn a_misspelt_unit_gets_a_suggestion_and_nonsense_none() {
        let message = |text| Unit::parse(text).unwrap_err().to_string();
        assert_eq!(message("kfg"), "unit \"kfg\" is not known; did you mean \"kgf\"?");
        assert_eq!(message("degress"), "unit \"degress\" is not known; did you mean \"°\"?");
        assert!(message("furlongs").contains("type a unit such as"), "{}", message("furlongs"));
    }

    /// NIST SP 811 (2008), appendix B.8: the seven figures printed there, as copied into the reference values.
    #[test]
    fn factors_agree_with_the_printed_table() {
        let printed = [
            (Unit::KilogramForce, 9.80665),
            (Unit::PoundForce, 4.448222),
            (Unit::Inch, 0.0254),
            (Unit::Foot, 0.3048),
            (Unit::Knot, 0.5144444),
            (Unit::Pound, 0.4535924),
            (Unit::Psi, 6894.757),
            (Unit::Bar, 1.0e5),
            (Unit::InchOfMercury, 3386.389),
            (Unit::MillimetreOfMercury, 133.3224),
            (Unit::MillimetreOfWater, 9.80665),
            (Unit::InchOfWater, 249.0889),
            // from memory in the reference values: daN, mph, km/h, in lbf
            (Unit::Decanewton, 10.0),
            (Unit::MilePerHour, 0.44704),
            (Unit::KilometrePerHour, 0.2777778),
            (Unit::InchPound, 0.1129848),
        ];
        for (unit, expected) in printed {
            let factor = unit.rational().unwrap().to_f64();
            assert!((factor / expected - 1.0).abs() < 5e-7, "{unit}: {factor} against {expected}");
        }
        // arc minute 2.908882 E-04 rad, degree 1.745329 E-02 rad (the degree from memory)
        let radian = Unit::Radian.rational().unwrap().to_f64();
        assert!((1.0 / 60.0 / radian / 2.908882e-4 - 1.0).abs() < 5e-7);
        assert!((1.0 / radian / 1.745329e-2 - 1.0).abs() < 5e-7);
    }
}
