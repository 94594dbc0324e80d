//! Median, median absolute deviation and the robust z that marks values far from the rest.
//!
//! Source: Iglewicz and Hoaglin 1993, modified z-score with the limit 3.5 (rule read in a secondary text).

/// Marked when `|z|` exceeds this.
pub const LIMIT_Z: f64 = 3.5;
/// Makes the median absolute deviation agree with the standard deviation of normal values: 1 / 0.6744897501960817.
const MAD_TO_SD: f64 = 1.0 / 0.674_489_750_196_081_7;
/// The same for the mean absolute deviation: sqrt(pi/2).
const MEAN_AD_TO_SD: f64 = 1.253_314_137_315_500_1;

/// Middle of the sorted values, or the mean of the two middle ones; `None` without values or with a NaN among them.
pub fn median(values: &[f64]) -> Option<f64> {
    if values.is_empty() || values.iter().any(|v| v.is_nan()) {
        return None;
    }
    let mut copy = values.to_vec();
    let middle = copy.len() / 2;
    let (below, upper, _) = copy.select_nth_unstable_by(middle, f64::total_cmp);
    let upper = *upper;
    if values.len() % 2 == 1 {
        return Some(upper);
    }
    below.iter().copied().max_by(f64::total_cmp).map(|lower| lower + (upper - lower) / 2.0)
}

/// Which spread the scale comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ScaleFrom {
    MedianDeviation,
    /// More than half the values are equal, or nearly.
    MeanDeviation,
    /// The values agree better than one of them is known.
    Floor,
}

/// Centre, scale and the distance of each value from the centre in scales.
#[derive(Clone, Debug, PartialEq)]
pub struct RobustZ {
    pub median: f64,
    pub scale: f64,
    pub scale_from: ScaleFrom,
    /// Same order and length as the values.
    pub z: Vec<f64>,
}

/// Robust z of the values, with `floor` (same unit) the smallest scale that makes sense: the uncertainty of one value.
///
/// `None` without values, or with one that is not finite. Values that are all equal have z = 0.
pub fn robust_z(values: &[f64], floor: f64) -> Option<RobustZ> {
    if values.iter().any(|v| !v.is_finite()) {
        return None;
    }
    let centre = median(values)?;
    let deviations: Vec<f64> = values.iter().map(|v| (v - centre).abs()).collect();
    let by_median = median(&deviations)? * MAD_TO_SD;
    let (scale, scale_from) = if by_median >= floor && by_median > 0.0 {
        (by_median, ScaleFrom::MedianDeviation)
    } else {
        let by_mean = deviations.iter().sum::<f64>() / deviations.len() as f64 * MEAN_AD_TO_SD;
        if by_mean > floor { (by_mean, ScaleFrom::MeanDeviation) } else { (floor.max(0.0), ScaleFrom::Floor) }
    };
    let z = values.iter().map(|v| if scale > 0.0 { (v - centre) / scale } else { 0.0 }).collect();
    Some(RobustZ { median: centre, scale, scale_from, z })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_median_is_the_middle() {
        assert_eq!(median(&[3.0, 1.0, 2.0]), Some(2.0));
        assert_eq!(median(&[4.0, 1.0, 3.0, 2.0]), Some(2.5));
        assert_eq!(median(&[]), None);
        assert_eq!(median(&[1.0, f64::NAN]), None);
    }

    #[test]
    fn equal_values_are_no_outliers() {
        let equal = robust_z(&[5.0; 9], 0.0).unwrap();
        assert_eq!((equal.scale, equal.scale_from), (0.0, ScaleFrom::Floor));
        assert!(equal.z.iter().all(|z| *z == 0.0));
        assert!(robust_z(&[1.0, f64::INFINITY], 0.0).is_none());
    }
}
