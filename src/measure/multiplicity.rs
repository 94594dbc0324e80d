//! Several quantities judged together: Holm's step-down adjustment.

use std::fmt;

/// Version of this computation, recorded with each result.
pub const METHOD: &str = "holm/1";

/// One quantity's p value after the adjustment, in the order given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Adjusted {
    pub p: f64,
    pub adjusted_p: f64,
    /// True: a finding that stands although several quantities were looked at.
    pub stands: bool,
}

/// A p value that is none.
#[derive(Debug, Clone, PartialEq)]
pub struct NotAProbability {
    /// Position, counted from 0.
    pub index: usize,
    pub value: f64,
}

impl fmt::Display for NotAProbability {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&say!(
            "p value {} ({}) does not lie between 0 and 1; check that test's input",
            self.index + 1,
            self.value
        ))
    }
}

impl std::error::Error for NotAProbability {}

/// Holm: sort p, compare p(i) with alpha/(m-i+1), stop at the first failure.
pub fn holm(p_values: &[f64], alpha: f64) -> Result<Vec<Adjusted>, NotAProbability> {
    if let Some((index, &value)) = p_values.iter().enumerate().find(|(_, p)| !(0.0..=1.0).contains(*p)) {
        return Err(NotAProbability { index, value });
    }
    let mut order: Vec<usize> = (0..p_values.len()).collect();
    order.sort_by(|&a, &b| p_values[a].total_cmp(&p_values[b]));
    let mut result: Vec<Adjusted> =
        p_values.iter().map(|&p| Adjusted { p, adjusted_p: 1.0, stands: false }).collect();
    let mut running = 0.0_f64;
    for (rank, &index) in order.iter().enumerate() {
        running = running.max((p_values[index] * (p_values.len() - rank) as f64).min(1.0));
        result[index].adjusted_p = running;
        result[index].stands = running <= alpha;
    }
    Ok(result)
}
