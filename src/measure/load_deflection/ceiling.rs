//! The load ceiling of a test card: asked before a load is applied, not after.

use std::fmt;

/// A load that must not be applied.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AboveCeiling {
    pub load_n: f64,
    pub ceiling_n: f64,
}

impl fmt::Display for AboveCeiling {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { load_n, ceiling_n } = self;
        if load_n.is_finite() && *ceiling_n >= 0.0 {
            f.write_str(&say!(
                "refused: {} N is above the ceiling of {ceiling_n} N.",
                figure(format_args!("{:.1}", load_n.abs())),
                ceiling_n = figure(format_args!("{:.1}", ceiling_n))
            ))?;
        } else {
            f.write_str(&say!(
                "refused: a load of {load_n} N cannot be held against a ceiling of {ceiling_n} N.",
                load_n,
                ceiling_n
            ))?;
        }
        f.write_str(say!(
            " A push test can damage a sound structure. Do not apply this load; the limits in the type's \
             maintenance manual govern, then local rules and the licensed person."
        ))
    }
}

impl std::error::Error for AboveCeiling {}

/// Refuses a load (N, either sign) above the ceiling (N). A load or ceiling that is not a number is refused too.
pub fn check_ceiling(load_n: f64, ceiling_n: f64) -> Result<(), AboveCeiling> {
    if load_n.abs() <= ceiling_n { Ok(()) } else { Err(AboveCeiling { load_n, ceiling_n }) }
}
