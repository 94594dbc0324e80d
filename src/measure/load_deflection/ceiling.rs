//! The load ceiling of a test card: asked before a load is applied, not after.

use crate::words::figure;
use std::fmt;

/// A load that must not be applied.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AboveCeiling {
    pub load_n: f64,
    pub ceiling_n: f64,
}

impl AboveCeiling {
    /// What stands against the load, and what to do.
    pub fn why(&self) -> String {
        let [load_n, ceiling_n] = [self.load_n.abs(), self.ceiling_n].map(|n| figure(format_args!("{n:.1}")));
        let against = if self.load_n.is_finite() && self.ceiling_n >= 0.0 {
            say!("{load_n} N is above the ceiling of {ceiling_n} N.", load_n, ceiling_n)
        } else {
            say!(
                "a load of {load_n} N cannot be held against a ceiling of {ceiling_n} N.",
                load_n = figure(self.load_n),
                ceiling_n = figure(self.ceiling_n)
            )
        };
        let caution = say!(
            "A push test can damage a sound structure. Do not apply this load; the limits in the type's maintenance \
             manual govern, then local rules and the licensed person."
        );
        format!("{against} {caution}")
    }
}

impl fmt::Display for AboveCeiling {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&say!("refused: {why}", why = self.why()))
    }
}

impl std::error::Error for AboveCeiling {}

/// Refuses a load (N, either sign) above the ceiling (N). A load or ceiling that is not a number is refused too.
pub fn check_ceiling(load_n: f64, ceiling_n: f64) -> Result<(), AboveCeiling> {
    if load_n.abs() <= ceiling_n { Ok(()) } else { Err(AboveCeiling { load_n, ceiling_n }) }
}
