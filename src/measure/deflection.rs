//! Control-surface travel: millimetres at a radius against degrees, differential and free play.
//!
//! A limit is judged in the unit in which the manual prints it. Manuals print both units with different rounding, so
//! one printed limit must never be replaced by the other converted.

use super::input::{InputError, finite, not_negative, positive, within};

/// Version of the method, recorded beside each result.
pub const METHOD: &str = "deflection/1";

/// Which distance at the trailing edge a number in millimetres means. `r` hinge line to trailing edge, `a` from neutral.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Convention {
    /// Straight from the neutral to the deflected position, as a rule measures it: `2 r sin(a/2)`.
    Chord,
    /// Along the path: `r a`.
    Arc,
    /// At right angles to the neutral surface: `r sin a`.
    Perpendicular,
}

impl Convention {
    pub const ALL: [Self; 3] = [Self::Chord, Self::Arc, Self::Perpendicular];

    /// Travel per unit of radius.
    fn per_radius(self, angle_deg: f64) -> f64 {
        let angle = angle_deg.to_radians();
        match self {
            Self::Chord => 2.0 * (angle / 2.0).sin(),
            Self::Arc => angle,
            Self::Perpendicular => angle.sin(),
        }
    }

    /// Change of the travel with the angle, per unit of radius.
    fn slope_per_radius(self, angle_deg: f64) -> f64 {
        let angle = angle_deg.to_radians();
        match self {
            Self::Chord => (angle / 2.0).cos(),
            Self::Arc => 1.0,
            Self::Perpendicular => angle.cos(),
        }
    }
}

/// Travel in mm for an angle in degrees at a radius in mm; the sign follows the angle.
///
/// # Errors
/// A radius that is not positive; an angle beyond ±90°.
pub fn travel_mm(radius_mm: f64, angle_deg: f64, convention: Convention) -> Result<f64, InputError> {
    positive(mark!("radius"), radius_mm, "mm")?;
    within(mark!("angle"), angle_deg, "°", -90.0, 90.0)?;
    Ok(radius_mm * convention.per_radius(angle_deg))
}

/// Angle in degrees for a travel in mm at a radius in mm; the sign follows the travel.
///
/// # Errors
/// A radius that is not positive; a travel that no angle up to 90° gives.
pub fn angle_deg(radius_mm: f64, travel_mm: f64, convention: Convention) -> Result<f64, InputError> {
    positive(mark!("radius"), radius_mm, "mm")?;
    let largest = radius_mm * convention.per_radius(90.0);
    within(mark!("travel"), travel_mm, "mm", -largest, largest)?;
    let ratio = travel_mm / radius_mm;
    let angle = match convention {
        Convention::Chord => 2.0 * (ratio / 2.0).asin(),
        Convention::Arc => ratio,
        Convention::Perpendicular => ratio.clamp(-1.0, 1.0).asin(),
    };
    Ok(angle.to_degrees())
}

/// A small tolerance to both sides in degrees as mm of travel, at the stated angle.
///
/// # Errors
/// As [`travel_mm`]; a negative tolerance.
pub fn tolerance_mm(
    radius_mm: f64,
    at_angle_deg: f64,
    tolerance_deg: f64,
    convention: Convention,
) -> Result<f64, InputError> {
    travel_mm(radius_mm, at_angle_deg, convention)?;
    not_negative(mark!("tolerance"), tolerance_deg, "°")?;
    Ok(radius_mm * convention.slope_per_radius(at_angle_deg) * tolerance_deg.to_radians())
}

/// Lower and upper tolerance in degrees as mm of travel below and above the travel at the nominal angle, exactly.
///
/// For one-sided and unequal tolerances; the curvature of the travel makes the two sides differ a little.
///
/// # Errors
/// As [`travel_mm`] for the nominal angle and both ends; a negative tolerance.
pub fn tolerance_band_mm(
    radius_mm: f64,
    nominal_deg: f64,
    minus_deg: f64,
    plus_deg: f64,
    convention: Convention,
) -> Result<(f64, f64), InputError> {
    not_negative(mark!("lower tolerance"), minus_deg, "°")?;
    not_negative(mark!("upper tolerance"), plus_deg, "°")?;
    let nominal = travel_mm(radius_mm, nominal_deg, convention)?;
    let low = travel_mm(radius_mm, nominal_deg - minus_deg, convention)?;
    let high = travel_mm(radius_mm, nominal_deg + plus_deg, convention)?;
    Ok((nominal - low, high - nominal))
}

/// The radius in mm at which an angle gives a travel, for a rule whose place is not stated.
///
/// # Errors
/// An angle or travel that is not positive.
pub fn implied_radius_mm(travel_mm: f64, angle_deg: f64, convention: Convention) -> Result<f64, InputError> {
    positive(mark!("travel"), travel_mm, "mm")?;
    positive(mark!("angle"), angle_deg, "°")?;
    within(mark!("angle"), angle_deg, "°", 0.0, 90.0)?;
    Ok(travel_mm / convention.per_radius(angle_deg))
}

/// One printed pair: radius in mm, angle in degrees, travel in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PrintedTravel {
    pub radius_mm: f64,
    pub angle_deg: f64,
    pub travel_mm: f64,
}

/// The conventions under which every printed pair agrees within `tolerance_mm` (half the last printed digit, say).
///
/// None or several is an answer too: the print does not say which distance is meant.
///
/// # Errors
/// No pairs; values that [`travel_mm`] refuses.
pub fn conventions_that_fit(
    printed: &[PrintedTravel],
    tolerance_mm: f64,
) -> Result<Vec<Convention>, InputError> {
    if printed.is_empty() {
        return Err(InputError::TooFew { what: mark!("printed travels"), given: 0, needed: 1 });
    }
    let mut fitting = Vec::new();
    for convention in Convention::ALL {
        let mut all_agree = true;
        for row in printed {
            let computed = travel_mm(row.radius_mm, row.angle_deg, convention)?;
            all_agree &= (computed - finite(mark!("travel"), row.travel_mm)?).abs() <= tolerance_mm;
        }
        if all_agree {
            fitting.push(convention);
        }
    }
    Ok(fitting)
}

/// How much more a surface travels one way than the other, both given as positive magnitudes in one unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Differential {
    /// First minus second, in the unit given.
    pub difference: f64,
    /// First over second.
    pub ratio: f64,
}

/// Differential of two travels (aileron up and down, or left and right), both in `unit` and above zero.
///
/// # Errors
/// A travel that is not positive.
pub fn differential(first: f64, second: f64, unit: &'static str) -> Result<Differential, InputError> {
    positive(mark!("first travel"), first, unit)?;
    positive(mark!("second travel"), second, unit)?;
    Ok(Differential { difference: first - second, ratio: first / second })
}

/// Free play in degrees from play in mm at the trailing edge (chord) at a radius in mm.
///
/// # Errors
/// A negative play, one larger than the radius allows, a radius that is not positive.
pub fn free_play_deg(play_mm: f64, radius_mm: f64) -> Result<f64, InputError> {
    not_negative(mark!("free play"), play_mm, "mm")?;
    angle_deg(radius_mm, play_mm, Convention::Chord)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn impossible_travels_are_refused() {
        assert!(angle_deg(100.0, 150.0, Convention::Perpendicular).is_err());
        assert!(angle_deg(0.0, 1.0, Convention::Chord).is_err());
        assert!(travel_mm(100.0, 120.0, Convention::Arc).is_err());
        assert!(travel_mm(100.0, f64::NAN, Convention::Arc).is_err());
        assert!(free_play_deg(-1.0, 100.0).is_err());
    }

    #[test]
    fn differential_is_signed_and_a_ratio() {
        let result = differential(60.0, 40.0, "mm").unwrap();
        assert_eq!((result.difference, result.ratio), (20.0, 1.5));
        assert!(differential(60.0, 0.0, "mm").is_err());
    }

    proptest! {
        #[test]
        fn angle_and_travel_are_inverse(radius in 10.0f64..2000.0, angle in -89.0f64..89.0, which in 0usize..3) {
            let convention = Convention::ALL[which];
            let travel = travel_mm(radius, angle, convention).unwrap();
            prop_assert!((angle_deg(radius, travel, convention).unwrap() - angle).abs() < 1e-7);
        }

        #[test]
        fn the_tolerance_is_the_slope_of_the_travel(radius in 10.0f64..500.0, angle in 1.0f64..60.0, which in 0usize..3) {
            let convention = Convention::ALL[which];
            let step = 1e-4;
            let up = travel_mm(radius, angle + step, convention).unwrap();
            let down = travel_mm(radius, angle - step, convention).unwrap();
            let tolerance = tolerance_mm(radius, angle, step, convention).unwrap();
            prop_assert!(((up - down) / 2.0 - tolerance).abs() < 1e-9 * radius);
        }
    }
}
