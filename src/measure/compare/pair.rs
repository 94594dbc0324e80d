//! Two values of the same airframe: its other side, or an earlier annual.

use super::gate::{NotUsed, TestIdentity};
use super::{METHOD, Question, Scale, Verdict};
use crate::measure::estimate::{Estimate, Interval, effective_degrees_of_freedom};
use crate::measure::noncentral_t::{critical_t, detectable_shift};
use crate::words::{figure, said};
use std::fmt;

/// What is asked of a pair.
#[derive(Debug, Clone, PartialEq)]
pub struct PairSettings {
    pub question: Question,
    /// Standard uncertainty of setting up twice (supports, temperature): relative on the logarithmic scale
    /// (default 1 %), else in the quantity's unit.
    pub set_up_u: f64,
}

impl PairSettings {
    /// Stiffness with the default set-up uncertainty of 1 %.
    pub fn stiffness() -> Self {
        Self { question: Question::stiffness(), set_up_u: 0.01 }
    }
}

/// Value against the other value; "softer" is said of the first.
#[derive(Debug, Clone, PartialEq)]
pub struct PairComparison {
    pub method: &'static str,
    pub value: Estimate,
    pub other: Estimate,
    /// value - other on the scale, with its standard uncertainty and degrees of freedom.
    pub difference: Estimate,
    /// Ratio value/other (logarithmic scale) or difference (plain), with confidence 1 - alpha.
    pub interval: Interval,
    pub smallest_loss: f64,
    pub verdict: Verdict,
}

/// Input that cannot be compared.
#[derive(Debug, Clone, PartialEq)]
pub enum PairError {
    Value {
        value: f64,
    },
    Setting {
        name: &'static str,
        value: f64,
    },
    /// Neither value has an uncertainty.
    NoUncertainty,
}

impl fmt::Display for PairError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Value { value } => f.write_str(&say!("the value {value} cannot be compared; it needs a finite uncertainty, 1 or more degrees of freedom, \
                 and must be above zero for a ratio", value = figure(value))),
            Self::Setting { name, value } => {
                f.write_str(&say!("the card's {name} of {value} is outside its range; correct the checklist", name = said(name), value = figure(value)))
            }
            Self::NoUncertainty => {
                f.write_str(say!("insufficient data: neither value has an uncertainty; state one or repeat the readings"))
            }
        }
    }
}

impl std::error::Error for PairError {}

/// Compares two values measured with the same card, for example left against right.
pub fn compare_pair(
    value: Estimate,
    other: Estimate,
    settings: &PairSettings,
) -> Result<PairComparison, PairError> {
    let question = &settings.question;
    let scale = question.scale;
    if let Some((name, value)) = question.fault() {
        return Err(PairError::Setting { name, value });
    }
    if !(settings.set_up_u.is_finite() && settings.set_up_u >= 0.0) {
        return Err(PairError::Setting { name: mark!("set-up uncertainty"), value: settings.set_up_u });
    }
    for e in [value, other] {
        let u_possible = e.standard_uncertainty.is_finite() && e.standard_uncertainty >= 0.0;
        if !(scale.accepts(e.value) && u_possible && e.degrees_of_freedom >= 1.0) {
            return Err(PairError::Value { value: e.value });
        }
    }
    let part = |e: Estimate| (scale.uncertainty(e.value, e.standard_uncertainty), e.degrees_of_freedom);
    let parts = [part(value), part(other), (settings.set_up_u, f64::INFINITY)];
    let u = parts.iter().map(|(u, _)| u * u).sum::<f64>().sqrt();
    if u == 0.0 {
        return Err(PairError::NoUncertainty);
    }
    let nu = effective_degrees_of_freedom(&parts).floor().max(1.0);
    let difference = Estimate::new(scale.forward(value.value) - scale.forward(other.value), u, nu);
    let shift = detectable_shift(nu, question.alpha, question.power, question.sides) * u;
    let half = critical_t(question.alpha, nu, question.sides) * u;
    let two_sided = difference.interval(1.0 - question.alpha);
    let back = |d: f64| if scale == Scale::Logarithmic { d.exp() } else { d };
    Ok(PairComparison {
        method: METHOD,
        value,
        other,
        difference,
        interval: Interval { lower: back(two_sided.lower), upper: back(two_sided.upper) },
        smallest_loss: question.loss_from_shift(shift),
        verdict: question.verdict(question.softening(difference.value), half, shift),
    })
}

/// One earlier annual of the airframe.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnAnnual {
    pub date: String,
    pub identity: TestIdentity,
    pub value: Estimate,
    /// A repair, modification, other gauge or other load level since the annual before: a new series starts here.
    pub starts_new_series: Option<String>,
}

/// The airframe against its own past.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnComparison {
    /// Against the first annual of the series; `None` when there is none.
    pub against_first: Option<(OwnAnnual, PairComparison)>,
    /// Against the annual before, when that is another one than the first.
    pub against_previous: Option<(OwnAnnual, PairComparison)>,
    pub shown_beside: Vec<(OwnAnnual, Vec<NotUsed>)>,
}

/// Compares with earlier annuals given in time order. `break_now` names a break between the last of them and now.
pub fn compare_own(
    test: &TestIdentity,
    value: Estimate,
    earlier: &[OwnAnnual],
    break_now: Option<&str>,
    settings: &PairSettings,
) -> Result<OwnComparison, PairError> {
    let mut shown_beside = Vec::new();
    let mut series: Vec<&OwnAnnual> = Vec::new();
    let mut broken_by = break_now.map(str::to_string);
    for annual in earlier.iter().rev() {
        let mut reasons = test.differences(&annual.identity);
        if let Some(reason) = &broken_by {
            reasons.push(NotUsed::BeforeBreak(reason.clone()));
        }
        if !settings.question.scale.accepts(annual.value.value) {
            reasons.push(NotUsed::NotUsable(annual.value.value));
        }
        if reasons.is_empty() {
            series.push(annual);
        } else {
            shown_beside.push((annual.clone(), reasons));
        }
        if broken_by.is_none() {
            broken_by.clone_from(&annual.starts_new_series);
        }
    }
    shown_beside.reverse();
    let against = |annual: &OwnAnnual| {
        compare_pair(value, annual.value, settings).map(|comparison| (annual.clone(), comparison))
    };
    let against_first = series.last().map(|a| against(a)).transpose()?;
    let against_previous = if series.len() > 1 { Some(against(series[0])?) } else { None };
    Ok(OwnComparison { against_first, against_previous, shown_beside })
}
