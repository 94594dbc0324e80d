//! Showing computed values with the digits that their uncertainty leaves meaningful.

/// Decimal places at which the second significant digit of `uncertainty` stands; negative left of the point.
fn places(uncertainty: f64) -> Option<i32> {
    if !(uncertainty.is_finite() && uncertainty > 0.0) {
        return None;
    }
    // The exponent after rounding to two digits: 0.0996 becomes 0.10, whose second digit stands in place 2.
    let exponent: i32 = format!("{uncertainty:.1e}").split('e').nth(1)?.parse().ok()?;
    Some(1 - exponent)
}

fn to_places(value: f64, places: i32) -> String {
    match usize::try_from(places) {
        Ok(decimals) => format!("{value:.decimals$}"),
        Err(_) => {
            let step = 10f64.powi(-places);
            format!("{:.0}", (value / step).round() * step)
        }
    }
}

/// `value` to the place of the second significant digit of its standard `uncertainty` (same unit).
///
/// For display only; stored values keep all digits. Without a positive finite uncertainty all digits are shown.
/// Source: JCGM 100:2008 (GUM), 7.2.6.
pub fn rounded(value: f64, uncertainty: f64) -> String {
    match places(uncertainty) {
        Some(places) if value.is_finite() => to_places(value, places),
        _ => value.to_string(),
    }
}

/// `value ± uncertainty`, the uncertainty to two significant digits and the value to the same place.
pub fn rounded_with_uncertainty(value: f64, uncertainty: f64) -> String {
    match places(uncertainty) {
        Some(places) if value.is_finite() => {
            format!("{} ± {}", to_places(value, places), to_places(uncertainty, places))
        }
        _ => value.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The example of JCGM 100:2008, 7.2.6 (from memory): 10.05762 ohm with u = 27 milliohm is shown as 10.058 ohm.
    #[test]
    fn the_value_ends_where_the_uncertainty_ends() {
        assert_eq!(rounded(10.05762, 0.027), "10.058");
        assert_eq!(rounded_with_uncertainty(10.05762, 0.027), "10.058 ± 0.027");
    }

    #[test]
    fn rounding_the_uncertainty_up_moves_its_place() {
        assert_eq!(rounded_with_uncertainty(1.23456, 0.0996), "1.23 ± 0.10");
        assert_eq!(rounded_with_uncertainty(12345.0, 372.0), "12350 ± 370");
        assert_eq!(rounded_with_uncertainty(12.0, 9.96), "12 ± 10");
    }

    #[test]
    fn an_unknown_uncertainty_hides_no_digit() {
        for unknown in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(rounded(1.25, unknown), "1.25");
        }
    }
}
