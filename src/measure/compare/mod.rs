//! One airframe against reference airframes of the same type and build standard, its other side and its own past.
//!
//! "Different" is not "unairworthy", and references may share a defect: a comparison supports a judgement, it does
//! not make one. Without a reference there is no verdict.

mod gate;
mod pair;
mod prediction;
mod summary;

pub use gate::{
    Gated, NotUsed, Provenance, Reference, ShownBeside, TestIdentity, UsedAirframe, Withdrawal, gate,
};
pub use pair::{
    OwnAnnual, OwnComparison, PairComparison, PairError, PairSettings, compare_own, compare_pair,
};
pub use prediction::{
    CompareError, Comparison, DEFAULT_RELATIVE_DOUBT, FleetBand, StatedVariation, compare, compare_gated,
};

pub(crate) use prediction::{Factors, compare_with};

use super::noncentral_t::Sides;
use std::fmt;

/// Version of this computation, recorded with each result.
pub const METHOD: &str = "compare/1";

/// On which scale differences are taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scale {
    /// Natural logarithm: stiffness, frequency, loop area; the values are above zero, differences are shares.
    Logarithmic,
    /// As it is: lost motion, residual set; the values may be zero or below.
    Plain,
}

impl Scale {
    fn forward(self, value: f64) -> f64 {
        match self {
            Self::Logarithmic => value.ln(),
            Self::Plain => value,
        }
    }

    fn back(self, value: f64) -> f64 {
        match self {
            Self::Logarithmic => value.exp(),
            Self::Plain => value,
        }
    }

    /// Standard uncertainty on the scale: relative for logarithms.
    fn uncertainty(self, value: f64, u: f64) -> f64 {
        match self {
            Self::Logarithmic => u / value.abs(),
            Self::Plain => u,
        }
    }

    fn accepts(self, value: f64) -> bool {
        value.is_finite() && (self == Self::Plain || value > 0.0)
    }
}

/// In which sense a changed value means a softer structure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SofterWhen {
    /// Stiffness, frequency.
    Lower,
    /// Lost motion, hysteresis width, loop area, residual set, compliance.
    Higher,
}

/// What the test card fixes beforehand about the comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    pub scale: Scale,
    pub softer_when: SofterWhen,
    /// `One`: only softening matters.
    pub sides: Sides,
    pub alpha: f64,
    /// With which probability the smallest loss would have been found.
    pub power: f64,
    /// The loss that would matter: a share for [`Scale::Logarithmic`], in the quantity's unit for [`Scale::Plain`].
    pub loss_that_matters: f64,
}

impl Question {
    /// Stiffness: two-sided 5 %, power 80 %, a loss of 15 % matters (defaults of this program).
    pub fn stiffness() -> Self {
        Self {
            scale: Scale::Logarithmic,
            softer_when: SofterWhen::Lower,
            sides: Sides::Two,
            alpha: 0.05,
            power: 0.80,
            loss_that_matters: 0.15,
        }
    }

    /// A loss in the quantity's terms, from a shift on the scale.
    fn loss_from_shift(&self, shift: f64) -> f64 {
        match (self.scale, self.softer_when) {
            (Scale::Plain, _) => shift,
            (Scale::Logarithmic, SofterWhen::Lower) => -(-shift).exp_m1(),
            (Scale::Logarithmic, SofterWhen::Higher) => shift.exp_m1(),
        }
    }

    /// A shift on the scale, from a loss in the quantity's terms.
    fn shift_from_loss(&self, loss: f64) -> f64 {
        match (self.scale, self.softer_when) {
            (Scale::Plain, _) => loss,
            (Scale::Logarithmic, SofterWhen::Lower) => -(-loss).ln_1p(),
            (Scale::Logarithmic, SofterWhen::Higher) => loss.ln_1p(),
        }
    }

    /// The difference counted positive towards softer.
    fn softening(&self, difference: f64) -> f64 {
        match self.softer_when {
            SofterWhen::Lower => -difference,
            SofterWhen::Higher => difference,
        }
    }

    /// Name and value of the first setting that is outside its range.
    fn fault(&self) -> Option<(&'static str, f64)> {
        let share = self.scale == Scale::Logarithmic && self.softer_when == SofterWhen::Lower;
        let loss_ok = self.loss_that_matters > 0.0
            && self.loss_that_matters.is_finite()
            && (!share || self.loss_that_matters < 1.0);
        let checks = [
            ("alpha", self.alpha, self.alpha > 0.0 && self.alpha < 0.5),
            ("power", self.power, self.power > self.alpha && self.power < 1.0),
            (mark!("loss that matters"), self.loss_that_matters, loss_ok),
        ];
        checks.into_iter().find(|(_, _, ok)| !ok).map(|(name, value, _)| (name, value))
    }

    /// The verdict from the softening, the half-width of its interval and the smallest shift that would be found.
    fn verdict(&self, softening: f64, half_width: f64, smallest_shift: f64) -> Verdict {
        if softening > half_width {
            Verdict::Softer
        } else if self.sides == Sides::Two && -softening > half_width {
            Verdict::Stiffer
        } else if smallest_shift <= self.shift_from_loss(self.loss_that_matters) {
            Verdict::Consistent
        } else {
            Verdict::CannotTell(CannotTell::LossTooSmallToShow)
        }
    }
}

/// What a comparison says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// No difference, and a loss that matters would have been found.
    Consistent,
    Softer,
    Stiffer,
    CannotTell(CannotTell),
}

/// Why a comparison says nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CannotTell {
    /// No reference passed the gate.
    NoReference,
    /// One reference and nobody has stated how much sound airframes of the type differ.
    InsufficientData,
    /// No difference shown, but a loss that matters would not have been found either.
    LossTooSmallToShow,
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Consistent => say!("consistent"),
            Self::Softer => say!("softer"),
            Self::Stiffer => say!("stiffer"),
            Self::CannotTell(CannotTell::NoReference) => {
                say!("cannot tell: no reference of the same type, build standard and test card")
            }
            Self::CannotTell(CannotTell::InsufficientData) => {
                say!("cannot tell: insufficient data: one reference airframe and no stated variation between sound airframes")
            }
            Self::CannotTell(CannotTell::LossTooSmallToShow) => {
                say!("cannot tell: no difference shown, but a loss that matters would not have been found either")
            }
        })
    }
}
