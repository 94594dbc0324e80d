//! Round numbers along an axis.

use super::Axis;
use crate::words::number;

/// Numbers from here on are written with an exponent, or they would fill the picture.
const WIDE_FROM: f64 = 1e6;

/// Round values inside the axis, about `wanted` of them, with their words. None where the axis has no length.
pub(crate) fn ticks(axis: &Axis, wanted: usize) -> Vec<(f64, String)> {
    let range = axis.max - axis.min;
    let step = round_step(range / wanted.max(1) as f64);
    if !(range.is_finite() && step.is_finite() && step > 0.0) {
        return Vec::new();
    }
    let first = (axis.min / step).ceil();
    let last = (axis.max / step).floor();
    // A value so large that the step is lost in its last digit has no ticks.
    if !(last - first).is_finite() || last - first > 4.0 * wanted.max(1) as f64 {
        return Vec::new();
    }
    let largest = axis.min.abs().max(axis.max.abs());
    let count = (last - first).max(-1.0) as i64;
    (0..=count).map(|index| (first + index as f64) * step).map(|at| (at, words(at, step, largest))).collect()
}

/// 1, 2 or 5 times a power of ten, not below `least`.
fn round_step(least: f64) -> f64 {
    if !(least.is_finite() && least > 0.0) {
        return f64::NAN;
    }
    let power = 10f64.powf(least.log10().floor());
    [1.0, 2.0, 5.0].into_iter().map(|times| times * power).find(|step| *step >= least).unwrap_or(10.0 * power)
}

fn words(at: f64, step: f64, largest: f64) -> String {
    if largest >= WIDE_FROM {
        return if at == 0.0 { "0".to_string() } else { number(&format!("{at:.1e}")).into_owned() };
    }
    let digits = (-step.log10().floor()).clamp(0.0, 6.0) as usize;
    let text = format!("{at:.digits$}");
    if text.trim_start_matches(['-', '0', '.']).is_empty() {
        "0".to_string()
    } else {
        number(&text).into_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(min: f64, max: f64, wanted: usize) -> Vec<String> {
        let axis = Axis { label: String::new(), min, max };
        ticks(&axis, wanted).into_iter().map(|(_, words)| words).collect()
    }

    #[test]
    fn round_numbers_with_as_many_digits_as_they_need() {
        assert_eq!(of(-4.1, 4.1, 5), ["-4", "-2", "0", "2", "4"]);
        assert_eq!(of(0.0, 100.0, 5), ["0", "20", "40", "60", "80", "100"]);
        assert_eq!(of(0.02, 0.11, 4), ["0.05", "0.10"]);
    }

    #[test]
    fn no_length_and_absurd_lengths_give_few_ticks_or_none() {
        assert!(of(1.0, 1.0, 4).is_empty());
        assert!(of(f64::NEG_INFINITY, 1.0, 4).is_empty());
        assert!(of(1e18, 1e18 + 256.0, 4).len() <= 17);
        assert!(of(-1.05e18, 1.05e18, 4).iter().all(|words| words.len() <= 8));
    }
}
