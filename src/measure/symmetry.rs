//! Rigging symmetry: the same distance (or angle) on both sides, against each other and against a nominal value.
//!
//! Points, nominal values and tolerances come from the type's manual. Stretch the tape alike on both sides; a public
//! restatement of the FAA airframe handbook names about 5 lbf on a spring scale.

use super::input::{InputError, at_most, finite, not_negative};

/// Version of the method, recorded beside each result.
pub const METHOD: &str = "symmetry/1";

/// What the manual asks, all in the unit of the readings. At least one part is given.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SymmetryLimit {
    pub nominal: Option<Nominal>,
    /// Largest difference between the sides, without sign.
    pub side_to_side: Option<f64>,
}

/// A nominal value that allows `minus` below and `plus` above, both without sign.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nominal {
    pub value: f64,
    pub minus: f64,
    pub plus: f64,
}

impl Nominal {
    /// The allowed range, ends included.
    pub fn range(&self) -> (f64, f64) {
        (self.value - self.minus, self.value + self.plus)
    }

    fn allows(&self, reading: f64) -> bool {
        let (low, high) = self.range();
        at_most(low, reading, self.value) && at_most(reading, high, self.value)
    }
}

/// All in the unit of the readings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Symmetry {
    /// Left minus right.
    pub difference: f64,
    /// Left minus nominal and right minus nominal, where there is a nominal value.
    pub deviations: Option<(f64, f64)>,
    pub sides_within_nominal: Option<(bool, bool)>,
    pub difference_within: Option<bool>,
}

impl Symmetry {
    /// Whether everything asked for is met.
    pub fn within(&self) -> bool {
        self.sides_within_nominal.is_none_or(|(left, right)| left && right)
            && self.difference_within != Some(false)
    }
}

/// Compares the two sides with each other and with what the manual asks.
///
/// # Errors
/// A reading that is not finite; a negative tolerance; a limit that asks nothing.
pub fn compare(left: f64, right: f64, limit: SymmetryLimit) -> Result<Symmetry, InputError> {
    finite(mark!("left reading"), left)?;
    finite(mark!("right reading"), right)?;
    if limit.nominal.is_none() && limit.side_to_side.is_none() {
        let reason = mark!(
            "neither a nominal value nor a largest difference is given; take one from the type's manual"
        );
        return Err(InputError::Unusable { what: mark!("symmetry limit"), reason });
    }
    if let Some(nominal) = limit.nominal {
        finite(mark!("nominal value"), nominal.value)?;
        not_negative(mark!("lower tolerance"), nominal.minus, "")?;
        not_negative(mark!("upper tolerance"), nominal.plus, "")?;
    }
    let difference = left - right;
    let difference_within = match limit.side_to_side {
        Some(largest) => {
            Some(at_most(difference.abs(), not_negative(mark!("largest difference"), largest, "")?, left))
        }
        None => None,
    };
    Ok(Symmetry {
        difference,
        deviations: limit.nominal.map(|n| (left - n.value, right - n.value)),
        sides_within_nominal: limit.nominal.map(|n| (n.allows(left), n.allows(right))),
        difference_within,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_side_can_pass_alone_while_the_pair_fails() {
        let nominal = Some(Nominal { value: 1000.0, minus: 5.0, plus: 5.0 });
        let result = compare(996.0, 1004.0, SymmetryLimit { nominal, side_to_side: Some(6.0) }).unwrap();
        assert_eq!(result.sides_within_nominal, Some((true, true)));
        assert_eq!(result.difference_within, Some(false));
        assert!(!result.within());
    }

    #[test]
    fn readings_on_the_limit_are_within() {
        let nominal = Some(Nominal { value: 1.0, minus: 0.7, plus: 0.1 });
        let on = compare(0.3, 1.1, SymmetryLimit { nominal, side_to_side: Some(0.8) }).unwrap();
        assert!(on.within(), "{on:?}");
        assert!(!compare(0.299, 1.1, SymmetryLimit { nominal, side_to_side: None }).unwrap().within());
    }

    #[test]
    fn a_limit_that_asks_nothing_is_refused() {
        assert!(compare(1.0, 1.0, SymmetryLimit::default()).is_err());
        let negative = SymmetryLimit { nominal: None, side_to_side: Some(-1.0) };
        assert!(compare(1.0, 1.0, negative).is_err());
    }
}
