//! Which measurements count as references.

use super::Scale;
use crate::words::{figure, said};
use std::fmt;

/// Nominal loads closer than this share are the same level.
const SAME_LEVEL: f64 = 0.02;

/// What was tested and how; all of it must agree.
#[derive(Debug, Clone, PartialEq)]
pub struct TestIdentity {
    pub airframe_type: String,
    /// With the modification state of the tested part.
    pub build_standard: String,
    pub card: String,
    /// Nominal load levels of the card, N.
    pub load_levels_n: Vec<f64>,
    pub rig_position: String,
}

/// Where a reference value comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Provenance {
    /// Session, report or file where the readings stand.
    pub record: String,
    pub measured_on: String,
    pub measured_by: String,
    /// Why the airframe was believed sound.
    pub believed_sound_because: String,
}

/// A reference taken back later.
#[derive(Debug, Clone, PartialEq)]
pub struct Withdrawal {
    pub on: String,
    pub by: String,
    pub reason: String,
}

/// One value measured on another airframe.
#[derive(Debug, Clone, PartialEq)]
pub struct Reference {
    /// What tells airframes apart: the serial number.
    pub airframe: String,
    pub identity: TestIdentity,
    pub value: f64,
    pub standard_uncertainty: f64,
    pub provenance: Provenance,
    pub withdrawn: Option<Withdrawal>,
}

/// Why a measurement is shown beside and not used.
#[derive(Debug, Clone, PartialEq)]
pub enum NotUsed {
    OtherType,
    OtherBuildStandard,
    /// One of the two build standards is not recorded.
    UnknownBuildStandard,
    OtherCard,
    OtherLoadLevels,
    OtherRigPosition,
    /// It is the airframe under inspection; its past is compared separately.
    SameAirframe,
    Withdrawn(Withdrawal),
    /// The value cannot be used on the scale of the comparison.
    NotUsable(f64),
    /// An own annual before a repair, modification, other gauge or other load level.
    BeforeBreak(String),
}

impl fmt::Display for NotUsed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OtherType => f.write_str(say!("another type")),
            Self::OtherBuildStandard => {
                f.write_str(say!("another build standard: unlike things, may be stiffer by design"))
            }
            Self::UnknownBuildStandard => f.write_str(say!("build standard not recorded")),
            Self::OtherCard => f.write_str(say!("another test card")),
            Self::OtherLoadLevels => f.write_str(say!("other load levels")),
            Self::OtherRigPosition => f.write_str(say!("another rig position")),
            Self::SameAirframe => f.write_str(say!("the airframe under inspection itself")),
            Self::Withdrawn(w) => f.write_str(&say!("withdrawn on {} by {}: {}", w.on, w.by, w.reason)),
            Self::NotUsable(value) => {
                f.write_str(&say!("value {value} cannot be compared", value = figure(value)))
            }
            Self::BeforeBreak(reason) => {
                f.write_str(&say!("before a break in the series: {reason}", reason = said(reason)))
            }
        }
    }
}

/// A measurement shown beside, with every reason.
#[derive(Debug, Clone, PartialEq)]
pub struct ShownBeside {
    pub reference: Reference,
    pub reasons: Vec<NotUsed>,
}

/// One reference airframe; its repeats are averaged on the scale of the comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct UsedAirframe {
    pub airframe: String,
    /// Back in the quantity's unit.
    pub value: f64,
    /// Root mean square of its measurements' standard uncertainties.
    pub standard_uncertainty: f64,
    pub measurements: Vec<Reference>,
}

/// References sorted into used and shown beside.
#[derive(Debug, Clone, PartialEq)]
pub struct Gated {
    pub used: Vec<UsedAirframe>,
    pub shown_beside: Vec<ShownBeside>,
}

impl TestIdentity {
    /// Everything in which `other` is not the same test.
    pub fn differences(&self, other: &Self) -> Vec<NotUsed> {
        let mut reasons = Vec::new();
        let same = |a: &str, b: &str| a.trim() == b.trim();
        if !same(&self.airframe_type, &other.airframe_type) {
            reasons.push(NotUsed::OtherType);
        }
        if self.build_standard.trim().is_empty() || other.build_standard.trim().is_empty() {
            reasons.push(NotUsed::UnknownBuildStandard);
        } else if !same(&self.build_standard, &other.build_standard) {
            reasons.push(NotUsed::OtherBuildStandard);
        }
        if !same(&self.card, &other.card) {
            reasons.push(NotUsed::OtherCard);
        }
        let (a, b) = (&self.load_levels_n, &other.load_levels_n);
        let alike = |(x, y): (&f64, &f64)| (x - y).abs() <= SAME_LEVEL * x.abs().max(y.abs());
        if a.len() != b.len() || !a.iter().zip(b).all(alike) {
            reasons.push(NotUsed::OtherLoadLevels);
        }
        if !same(&self.rig_position, &other.rig_position) {
            reasons.push(NotUsed::OtherRigPosition);
        }
        reasons
    }
}

/// Sorts `references` for a test of `airframe`; the number of references is the number of airframes.
pub fn gate(airframe: &str, test: &TestIdentity, references: &[Reference], scale: Scale) -> Gated {
    let mut gated = Gated { used: Vec::new(), shown_beside: Vec::new() };
    for reference in references {
        let mut reasons = test.differences(&reference.identity);
        if reference.airframe.trim() == airframe.trim() {
            reasons.push(NotUsed::SameAirframe);
        }
        if let Some(withdrawal) = &reference.withdrawn {
            reasons.push(NotUsed::Withdrawn(withdrawal.clone()));
        }
        let u = reference.standard_uncertainty;
        if !(scale.accepts(reference.value) && u.is_finite() && u >= 0.0) {
            reasons.push(NotUsed::NotUsable(reference.value));
        }
        if !reasons.is_empty() {
            gated.shown_beside.push(ShownBeside { reference: reference.clone(), reasons });
            continue;
        }
        match gated.used.iter_mut().find(|a| a.airframe.trim() == reference.airframe.trim()) {
            Some(known) => known.measurements.push(reference.clone()),
            None => gated.used.push(UsedAirframe {
                airframe: reference.airframe.clone(),
                value: reference.value,
                standard_uncertainty: u,
                measurements: vec![reference.clone()],
            }),
        }
    }
    for airframe in &mut gated.used {
        let m = &airframe.measurements;
        let count = m.len() as f64;
        airframe.value = scale.back(m.iter().map(|r| scale.forward(r.value)).sum::<f64>() / count);
        airframe.standard_uncertainty =
            (m.iter().map(|r| r.standard_uncertainty.powi(2)).sum::<f64>() / count).sqrt();
    }
    gated
}
