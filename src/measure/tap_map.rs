//! Tap map: which points of a uniform area, or which mirrored pairs, ring differently from the rest.
//!
//! One map covers one area of one lay-up and backing; never across a spar, rib or change of thickness. Mirrored parts
//! that were repaired are not mirrored: note the repairs. A flag asks for a second look, it is no finding.
//!
//! The same maps taken of decay times are support only: alone they count where two neighbouring points stand out.

use super::input::InputError;
use super::robust::{LIMIT_Z, RobustZ, robust_z};

/// Version of the method, recorded beside each result.
pub const METHOD: &str = "tap-map/1";

/// Fewer points or pairs give a list, no flags: their median and spread are too rough.
pub const MIN_POINTS: usize = 8;
/// A mirrored difference below this (logarithm, about 5 %) is of no practical meaning. Default of the method.
pub const MIN_EFFECT_LN: f64 = 0.05;

/// The map of one area; vectors follow the order of the points, with `None` for empty cells.
#[derive(Clone, Debug, PartialEq)]
pub struct TapMap {
    /// Robust z of ln f; all `None` when there are too few points.
    pub z: Vec<Option<f64>>,
    /// Indices of the points with |z| above the limit.
    pub flagged: Vec<usize>,
    /// Middle and scale of ln f, from which z comes; zero when there are too few points.
    pub median_ln: f64,
    pub scale_ln: f64,
    /// Points with a value.
    pub points: usize,
    /// False when fewer than [`MIN_POINTS`] points have a value: nothing could be flagged.
    pub sufficient: bool,
}

/// The z of the cells that have a value, put back in their places.
fn spread_out(cells: &[Option<f64>], robust: &RobustZ) -> Vec<Option<f64>> {
    let mut z = robust.z.iter().copied();
    cells.iter().map(|cell| cell.and_then(|_| z.next())).collect()
}

fn check(cells: &[Option<f64>], what: &'static str, u_ln: f64) -> Result<(), InputError> {
    super::input::not_negative(mark!("uncertainty of one point"), u_ln, "")?;
    for value in cells.iter().flatten() {
        super::input::positive(what, *value, "Hz")?;
    }
    Ok(())
}

impl TapMap {
    /// Flagged points whose second mode (Hz, in the order of the points) fits the rest of the area: there the dominant
    /// mode has only swapped with a neighbour's. Tap them again before believing the flag.
    pub fn explained_by_second_mode(&self, second_hz: &[Option<f64>]) -> Vec<usize> {
        let fits = |hz: f64| hz > 0.0 && (hz.ln() - self.median_ln).abs() <= LIMIT_Z * self.scale_ln;
        let explained = |i: &usize| second_hz.get(*i).copied().flatten().is_some_and(fits);
        self.flagged.iter().copied().filter(explained).collect()
    }
}

/// Outliers among the frequencies (Hz) of one uniform area. `u_ln` is the relative uncertainty of one point.
///
/// # Errors
/// A frequency that is not positive; a negative uncertainty.
pub fn outliers(frequencies_hz: &[Option<f64>], u_ln: f64) -> Result<TapMap, InputError> {
    check(frequencies_hz, mark!("tap frequency"), u_ln)?;
    let logs: Vec<Option<f64>> = frequencies_hz.iter().map(|f| f.map(f64::ln)).collect();
    let values: Vec<f64> = logs.iter().flatten().copied().collect();
    let points = values.len();
    let (z, flagged) = (vec![None; logs.len()], vec![]);
    let empty = TapMap { z, flagged, median_ln: 0.0, scale_ln: 0.0, points, sufficient: false };
    match robust_z(&values, u_ln) {
        Some(robust) if points >= MIN_POINTS => {
            let z = spread_out(&logs, &robust);
            let far = |i: &usize| z[*i].is_some_and(|value| value.abs() > LIMIT_Z);
            let flagged = (0..z.len()).filter(far).collect();
            let (median_ln, scale_ln) = (robust.median, robust.scale);
            Ok(TapMap { z, flagged, median_ln, scale_ln, points, sufficient: true })
        }
        _ => Ok(empty),
    }
}

/// The map of mirrored pairs.
#[derive(Clone, Debug, PartialEq)]
pub struct MirrorMap {
    /// `ln f_left - ln f_right`; `None` where a side is empty.
    pub delta: Vec<Option<f64>>,
    pub z: Vec<Option<f64>>,
    pub flagged: Vec<usize>,
    /// Median of the differences.
    pub side_offset: f64,
    /// The median itself stands off zero: the whole side differs, or was tapped differently. Not hidden by centring.
    pub whole_side_differs: bool,
    pub pairs: usize,
    pub sufficient: bool,
}

/// Compares the frequencies (Hz) of mirrored points. `s_tap` is the relative scatter of one point's value.
///
/// A pair is flagged when its difference is far from the others, larger than 5 %, and larger than the scatter of two
/// points explains (`2 sqrt(2) s_tap`).
///
/// # Errors
/// Sides of different length; a frequency that is not positive; a negative scatter.
pub fn mirror(
    left_hz: &[Option<f64>],
    right_hz: &[Option<f64>],
    s_tap: f64,
) -> Result<MirrorMap, InputError> {
    if left_hz.len() != right_hz.len() {
        let reason =
            mark!("the two sides have different numbers of points; pair each point with its mirror image");
        return Err(InputError::Unusable { what: mark!("mirrored tap map"), reason });
    }
    check(left_hz, mark!("left tap frequency"), s_tap)?;
    check(right_hz, mark!("right tap frequency"), s_tap)?;
    let difference = |(l, r): (&Option<f64>, &Option<f64>)| Some(l.as_ref()?.ln() - r.as_ref()?.ln());
    let delta: Vec<Option<f64>> = left_hz.iter().zip(right_hz).map(difference).collect();
    let values: Vec<f64> = delta.iter().flatten().copied().collect();
    let pairs = values.len();
    let robust = robust_z(&values, 2f64.sqrt() * s_tap);
    let Some(robust) = robust.filter(|_| pairs >= MIN_POINTS) else {
        let z = vec![None; delta.len()];
        let (side_offset, whole_side_differs) = (super::robust::median(&values).unwrap_or(0.0), false);
        return Ok(MirrorMap {
            delta,
            z,
            flagged: vec![],
            side_offset,
            whole_side_differs,
            pairs,
            sufficient: false,
        });
    };
    let z = spread_out(&delta, &robust);
    let smallest = MIN_EFFECT_LN.max(2.0 * 2f64.sqrt() * s_tap);
    let far =
        |i: &usize| z[*i].is_some_and(|v| v.abs() > LIMIT_Z) && delta[*i].is_some_and(|d| d.abs() > smallest);
    let flagged = (0..z.len()).filter(far).collect();
    let standard_error = 1.2533 * robust.scale / (pairs as f64).sqrt();
    let whole_side_differs = robust.median.abs() > 2.0 * standard_error;
    Ok(MirrorMap {
        delta,
        z,
        flagged,
        side_offset: robust.median,
        whole_side_differs,
        pairs,
        sufficient: true,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn empty_cells_stay_empty_and_keep_their_place() {
        let mut cells: Vec<Option<f64>> = (0..10).map(|i| Some(1500.0 + f64::from(i))).collect();
        cells[2] = None;
        cells[7] = Some(900.0);
        let map = outliers(&cells, 0.0).unwrap();
        assert_eq!((map.flagged, map.points, map.z[2]), (vec![7], 9, None));
    }

    #[test]
    fn a_swapped_mode_is_told_from_a_dull_point() {
        let mut cells: Vec<Option<f64>> = (0..10).map(|i| Some(1500.0 + 3.0 * f64::from(i))).collect();
        (cells[2], cells[6]) = (Some(900.0), Some(900.0));
        let mut seconds = vec![None; 10];
        (seconds[2], seconds[6]) = (Some(1510.0), Some(1100.0));
        let map = outliers(&cells, 0.0).unwrap();
        assert_eq!(map.flagged, vec![2, 6]);
        assert_eq!(map.explained_by_second_mode(&seconds), vec![2]);
        assert!(map.explained_by_second_mode(&[]).is_empty());
    }

    #[test]
    fn few_points_give_no_flags() {
        let map = outliers(&[Some(1500.0), Some(1500.0), Some(300.0)], 0.0).unwrap();
        assert!(!map.sufficient && map.flagged.is_empty());
        let mirrored = mirror(&[Some(1500.0); 7], &[Some(900.0); 7], 0.0).unwrap();
        assert!(!mirrored.sufficient && mirrored.flagged.is_empty());
    }

    #[test]
    fn a_side_that_differs_as_a_whole_is_said_so() {
        let right: Vec<Option<f64>> = (0..9).map(|i| Some(1000.0 + 3.0 * f64::from(i % 3))).collect();
        let left: Vec<Option<f64>> = (0..9).map(|i| Some(900.0 + 4.0 * f64::from(i % 4))).collect();
        let map = mirror(&left, &right, 0.001).unwrap();
        assert!(map.whole_side_differs && map.side_offset < -0.09);
        assert!(map.flagged.is_empty());
    }

    #[test]
    fn a_difference_within_the_scatter_of_tapping_is_not_flagged() {
        let mut left = vec![Some(1000.0); 9];
        left[4] = Some(1080.0);
        let right = vec![Some(1000.0); 9];
        assert_eq!(mirror(&left, &right, 0.0).unwrap().flagged, vec![4]);
        assert!(mirror(&left, &right, 0.03).unwrap().flagged.is_empty());
        assert!(mirror(&left, &right[1..], 0.0).is_err());
    }
}
