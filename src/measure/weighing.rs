//! Weighing: tare, empty mass and centre of gravity from signed reactions, per cent of the mean aerodynamic chord.
//!
//! Arms are measured from the type's datum, aft positive, all in one unit. Weigh in the manual's level attitude: a
//! small tilt moves mass between the supports.

use super::input::{InputError, finite, not_negative, positive};

/// Version of the method, recorded beside each result.
pub const METHOD: &str = "weighing/1";

/// One weighing point. A tail that has to be held down has a negative `gross_kg`: the sign is kept.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Support {
    /// Scale reading.
    pub gross_kg: f64,
    /// Chocks, blocks and stands on this scale; taken off at this point, not from the total.
    pub tare_kg: f64,
    pub arm: f64,
}

/// A mass at an arm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Item {
    pub mass_kg: f64,
    pub arm: f64,
}

/// The sum of masses and moments, and where the sum acts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Balance {
    pub mass_kg: f64,
    /// kg times the unit of the arms.
    pub moment: f64,
    pub cg: f64,
}

/// Sums masses and moments; any unit of mass and arm, one for all. Masses may be negative (something taken out).
///
/// Source: moment sum of FAA AC 43.13-1B, chapter 10.
///
/// # Errors
/// No item; values that are not finite; a total that is not above zero.
pub fn moment_sum(items: &[Item]) -> Result<Balance, InputError> {
    if items.is_empty() {
        return Err(InputError::TooFew { what: mark!("masses"), given: 0, needed: 1 });
    }
    let (mut mass_kg, mut moment) = (0.0, 0.0);
    for item in items {
        mass_kg += finite(mark!("mass"), item.mass_kg)?;
        moment += item.mass_kg * finite(mark!("arm"), item.arm)?;
    }
    positive(mark!("total mass"), mass_kg, "kg")?;
    Ok(Balance { mass_kg, moment, cg: finite(mark!("centre of gravity"), moment / mass_kg)? })
}

/// Empty mass and centre of gravity from the scales, with the net load of each in the order given.
///
/// # Errors
/// Fewer than two supports; values that are not finite; a negative tare; a total that is not above zero.
pub fn weigh(supports: &[Support]) -> Result<(Vec<f64>, Balance), InputError> {
    if supports.len() < 2 {
        return Err(InputError::TooFew { what: mark!("weighing points"), given: supports.len(), needed: 2 });
    }
    let mut net = Vec::with_capacity(supports.len());
    let mut items = Vec::with_capacity(supports.len());
    for support in supports {
        not_negative(mark!("tare"), support.tare_kg, "kg")?;
        let mass_kg = finite(mark!("scale reading"), support.gross_kg)? - support.tare_kg;
        net.push(mass_kg);
        items.push(Item { mass_kg, arm: support.arm });
    }
    Ok((net, moment_sum(&items)?))
}

/// Centre of gravity from one signed reaction: `D + R L / W`.
///
/// `main_arm` D is the signed arm of the main wheel; `lever` L runs from there to the other support, aft positive, so
/// a tail support has a positive and a nose support a negative lever, and one formula covers every place of the datum.
/// Source: empty-weight formulas of FAA-H-8083-1 (from memory).
///
/// # Errors
/// A total that is not above zero; values that are not finite.
pub fn cg_from_reaction(
    main_arm: f64,
    reaction_kg: f64,
    lever: f64,
    total_kg: f64,
) -> Result<f64, InputError> {
    positive(mark!("total mass"), total_kg, "kg")?;
    finite(mark!("arm of the main wheel"), main_arm)?;
    Ok(main_arm
        + finite(mark!("reaction"), reaction_kg)? * finite(mark!("distance of the supports"), lever)?
            / total_kg)
}

/// Position of `arm` on the chord in per cent: `100 (x - LEMAC) / MAC`.
///
/// # Errors
/// A chord that is not above zero; values that are not finite.
pub fn percent_of_chord(arm: f64, leading_edge: f64, chord: f64) -> Result<f64, InputError> {
    positive(mark!("mean aerodynamic chord"), chord, "")?;
    Ok(100.0 * (finite(mark!("arm"), arm)? - finite(mark!("leading edge"), leading_edge)?) / chord)
}

/// Arm of a position in per cent of the chord; inverse of [`percent_of_chord`].
///
/// # Errors
/// A chord that is not above zero; values that are not finite.
pub fn arm_at_percent(percent: f64, leading_edge: f64, chord: f64) -> Result<f64, InputError> {
    positive(mark!("mean aerodynamic chord"), chord, "")?;
    Ok(finite(mark!("leading edge"), leading_edge)? + finite(mark!("per cent"), percent)? / 100.0 * chord)
}

/// Chord and its leading edge from two positions that are printed both in per cent and as arms: (chord, leading edge).
///
/// # Errors
/// Two positions with the same per cent or in contrary order.
pub fn chord_from_two_positions(percents: [f64; 2], arms: [f64; 2]) -> Result<(f64, f64), InputError> {
    let span = finite(mark!("per cent"), percents[1] - percents[0])?;
    let chord = positive(mark!("chord"), 100.0 * finite(mark!("arm"), arms[1] - arms[0])? / span, "")?;
    Ok((chord, arms[0] - percents[0] / 100.0 * chord))
}

/// Shift of the centre of gravity when `moved_kg` of `total_kg` goes from one arm to another: `m (to - from) / W`.
///
/// # Errors
/// A total that is not above zero; values that are not finite.
pub fn shift_by_moving(total_kg: f64, moved_kg: f64, from: f64, to: f64) -> Result<f64, InputError> {
    positive(mark!("total mass"), total_kg, "kg")?;
    Ok(finite(mark!("moved mass"), moved_kg)? * (finite(mark!("arm"), to)? - finite(mark!("arm"), from)?)
        / total_kg)
}

/// Mass to be moved from one arm to another so that the centre of gravity goes from `cg` to `target`.
///
/// # Errors
/// Arms that are equal; a total that is not above zero; a move in the wrong direction.
pub fn mass_to_move_kg(total_kg: f64, cg: f64, target: f64, from: f64, to: f64) -> Result<f64, InputError> {
    positive(mark!("total mass"), total_kg, "kg")?;
    let wanted = finite(mark!("centre of gravity"), target)? - finite(mark!("centre of gravity"), cg)?;
    let mass = total_kg * wanted / (finite(mark!("arm"), to)? - finite(mark!("arm"), from)?);
    if mass.is_finite() && mass >= 0.0 {
        Ok(mass)
    } else {
        let reason =
            mark!("it moves the centre of gravity the other way or not at all; exchange the two places");
        Err(InputError::Unusable { what: mark!("the move"), reason })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tail_that_is_held_down_keeps_its_sign() {
        let main = Support { gross_kg: 260.0, tare_kg: 0.0, arm: 100.0 };
        let tail = Support { gross_kg: -10.0, tare_kg: 0.0, arm: 4100.0 };
        let (net, balance) = weigh(&[main, tail]).unwrap();
        assert_eq!(net, vec![260.0, -10.0]);
        assert_eq!(balance.mass_kg, 250.0);
        assert_eq!(balance.cg, (260.0 * 100.0 - 10.0 * 4100.0) / 250.0);
        assert_eq!(cg_from_reaction(100.0, -10.0, 4000.0, 250.0), Ok(balance.cg));
    }

    #[test]
    fn impossible_weighings_are_refused() {
        let support = |gross_kg, tare_kg| Support { gross_kg, tare_kg, arm: 1.0 };
        assert!(weigh(&[support(100.0, 0.0)]).is_err());
        assert!(weigh(&[support(100.0, -1.0), support(1.0, 0.0)]).is_err());
        assert!(weigh(&[support(1.0, 2.0), support(1.0, 2.0)]).is_err());
        assert!(percent_of_chord(1.0, 0.0, 0.0).is_err());
        assert!(mass_to_move_kg(100.0, 1.0, 2.0, 5.0, 5.0).is_err());
        assert!(mass_to_move_kg(100.0, 1.0, 2.0, 5.0, 4.0).is_err());
    }
}
