//! Butterworth band-pass of second order per edge, as two second-order sections.
//!
//! Source: bilinear transform of the analogue prototype with pre-warped edges, the textbook design.

use super::input::{InputError, positive};
use realfft::num_complex::Complex64;
use std::f64::consts::PI;

/// One second-order section, `b` over `a` with `a[0] = 1`, direct form II transposed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    pub b: [f64; 3],
    /// `a1` and `a2`.
    pub a: [f64; 2],
    state: [f64; 2],
}

impl Section {
    fn new(b: [f64; 3], pole: Complex64) -> Self {
        Self { b, a: [-2.0 * pole.re, pole.norm_sqr()], state: [0.0; 2] }
    }

    fn step(&mut self, x: f64) -> f64 {
        let y = self.b[0] * x + self.state[0];
        self.state[0] = self.b[1] * x - self.a[0] * y + self.state[1];
        self.state[1] = self.b[2] * x - self.a[1] * y;
        y
    }
}

/// A band-pass that is fed sample by sample.
#[derive(Clone, Debug, PartialEq)]
pub struct BandPass {
    pub sections: [Section; 2],
}

impl BandPass {
    /// -3 dB edges in Hz.
    ///
    /// # Errors
    /// Edges in wrong order, or not below half the sampling frequency.
    pub fn new(low_hz: f64, high_hz: f64, sample_rate_hz: f64) -> Result<Self, InputError> {
        positive(mark!("sampling frequency"), sample_rate_hz, "Hz")?;
        positive(mark!("lower edge of the filter"), low_hz, "Hz")?;
        if !(high_hz > low_hz && high_hz < sample_rate_hz / 2.0) {
            let reason =
                mark!("the upper edge has to lie above the lower one and below half the sampling frequency");
            return Err(InputError::Unusable { what: mark!("filter band"), reason });
        }
        // Frequencies in units of the sampling frequency; the transform then has the constant 2 * 1.
        let warped = |hz: f64| 2.0 * (PI * hz / sample_rate_hz).tan();
        let (low, high) = (warped(low_hz), warped(high_hz));
        let (width, centre_squared) = (high - low, low * high);
        let prototype = Complex64::from_polar(1.0, 0.75 * PI) * (width / 2.0);
        let root = (prototype * prototype - centre_squared).sqrt();
        let analogue = [prototype + root, prototype - root];
        let digital = analogue.map(|p| (2.0 + p) / (2.0 - p));
        // Two zeros at 0 Hz, two at half the sampling frequency; each pole comes with its conjugate.
        let gain = width * width * 4.0 / analogue.iter().map(|p| (2.0 - p).norm_sqr()).product::<f64>();
        let (first, second) = if digital[0].norm() < digital[1].norm() {
            (digital[0], digital[1])
        } else {
            (digital[1], digital[0])
        };
        Ok(Self {
            sections: [Section::new([gain, 2.0 * gain, gain], first), Section::new([1.0, -2.0, 1.0], second)],
        })
    }

    /// The next filtered sample.
    pub fn step(&mut self, x: f64) -> f64 {
        let [first, second] = &mut self.sections;
        second.step(first.step(x))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn gain_at(hz: f64) -> f64 {
        let fs = 48_000.0;
        let mut filter = BandPass::new(1_500.0, 12_000.0, fs).unwrap();
        let response: Vec<f64> =
            (0..48_000).map(|i| filter.step((2.0 * PI * hz * f64::from(i) / fs).sin())).collect();
        let settled = &response[24_000..];
        (settled.iter().map(|y| y * y).sum::<f64>() / settled.len() as f64 * 2.0).sqrt()
    }

    #[test]
    fn the_edges_lie_3_db_down_and_low_rumble_is_gone() {
        for edge in [1_500.0, 12_000.0] {
            assert!((gain_at(edge) - 0.5f64.sqrt()).abs() < 1e-3, "{edge}: {}", gain_at(edge));
        }
        assert!((gain_at(4_500.0) - 1.0).abs() < 0.02);
        assert!(gain_at(80.0) < 0.004);
    }

    #[test]
    fn impossible_bands_are_refused() {
        assert!(BandPass::new(1_500.0, 24_000.0, 48_000.0).is_err());
        assert!(BandPass::new(5_000.0, 1_000.0, 48_000.0).is_err());
        assert!(BandPass::new(0.0, 1_000.0, 48_000.0).is_err());
    }
}
