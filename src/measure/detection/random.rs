//! Random numbers that are the same on every machine, so that a study can be repeated to the last digit.

use std::f64::consts::TAU;

/// SplitMix64 (Steele, Lea and Flood 2014, from memory); not for anything secret.
#[derive(Debug, Clone, PartialEq)]
pub struct SplitMix64 {
    state: u64,
}

impl SplitMix64 {
    pub fn new(seed: u64) -> Self {
        Self { state: seed }
    }

    pub fn next_u64(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Uniform in [0, 1).
    pub fn uniform(&mut self) -> f64 {
        (self.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Normal with mean 0 and the given standard deviation, by Box and Muller.
    pub fn normal(&mut self, standard_deviation: f64) -> f64 {
        let radius = (-2.0 * (1.0 - self.uniform()).ln()).sqrt();
        standard_deviation * radius * (TAU * self.uniform()).cos()
    }
}
