//! The stiffness of a series beside sound airframes of the same type and build standard.

use crate::airframe::{Airframe, Reference};
use crate::checklist::TypeData;
use crate::measure::compare::{
    Comparison, Provenance, Question, Reference as Measured, StatedVariation, TestIdentity, Withdrawal,
    compare,
};
use crate::measure::estimate::Estimate;
use crate::measure::load_deflection::LoadDeflection;
use crate::plan::Plan;

/// What is compared with what: one measurement of one step.
#[derive(Debug, Clone, Copy)]
pub struct Card<'a> {
    pub plan: &'a Plan,
    pub step: &'a str,
    pub measure: &'a str,
}

/// Compares the measured stiffness with the references of the plan's airframe record.
///
/// Where the two directions differ, the softer one is compared.
///
/// # Errors
/// Why nothing can be compared, in plain words.
pub fn compare_series(card: Card<'_>, result: &LoadDeflection) -> Result<Comparison, String> {
    let airframe = &card.plan.airframe;
    let value = softer_stiffness(result)?;
    let references: Vec<Measured> = airframe
        .references
        .iter()
        .filter(|reference| reference.step == card.step && reference.measure == card.measure)
        .map(|reference| measured(card, reference))
        .collect();
    let stated = card.plan.of_type.as_ref().and_then(stated_variation);
    compare(
        &airframe.registration,
        &identity(card, airframe),
        value,
        &references,
        stated.as_ref(),
        &Question::stiffness(),
    )
    .map_err(|error| error.to_string())
}

pub(super) fn softer_stiffness(result: &LoadDeflection) -> Result<Estimate, String> {
    match (&result.slopes, result.stiffness()) {
        (_, Ok(common)) => Ok(common.estimate_n_per_mm),
        (Ok(slopes), Err(_)) => {
            let sides = [&slopes.positive, &slopes.negative];
            let softer = sides
                .into_iter()
                .filter_map(|side| side.as_ref().ok())
                .map(|side| side.estimate_n_per_mm)
                .min_by(|a, b| a.value.total_cmp(&b.value));
            softer.ok_or_else(|| say!("no stiffness to compare").to_string())
        }
        (Err(_), Err(why)) => Err(why.to_string()),
    }
}

fn identity(card: Card<'_>, airframe: &Airframe) -> TestIdentity {
    test(card, &airframe.type_id, &airframe.build_standard)
}

fn test(card: Card<'_>, type_id: &str, build_standard: &[String]) -> TestIdentity {
    let mut standards = build_standard.to_vec();
    standards.sort();
    TestIdentity {
        airframe_type: type_id.to_string(),
        build_standard: standards.join("+"),
        card: format!("{}/{}", card.step, card.measure),
        load_levels_n: Vec::new(),
        rig_position: String::new(),
    }
}

fn measured(card: Card<'_>, reference: &Reference) -> Measured {
    let not_believed = (!reference.believed_sound).then(|| Withdrawal {
        on: reference.date.to_string(),
        by: say!("the record").to_string(),
        reason: say!("not believed sound").to_string(),
    });
    let withdrawn = reference.withdrawn.as_ref().map(|withdrawn| Withdrawal {
        on: withdrawn.on.to_string(),
        by: withdrawn.by.clone(),
        reason: withdrawn.reason.clone(),
    });
    Measured {
        airframe: reference.registration.clone(),
        identity: test(card, &reference.type_id, &reference.build_standard),
        value: reference.stiffness_n_per_mm.to_f64(),
        standard_uncertainty: reference.standard_uncertainty_n_per_mm.map_or(0.0, |u| u.to_f64()),
        provenance: Provenance {
            record: reference.provenance.clone(),
            measured_on: reference.date.to_string(),
            measured_by: String::new(),
            believed_sound_because: reference.provenance.clone(),
        },
        withdrawn: withdrawn.or(not_believed),
    }
}

fn stated_variation(of_type: &TypeData) -> Option<StatedVariation> {
    let stated = of_type.stated_variation.as_ref()?;
    Some(StatedVariation {
        spread: stated.percent.to_f64() / 100.0,
        relative_doubt: stated.doubt_percent.to_f64() / 100.0,
        measurement_u: stated.measurement_percent.to_f64() / 100.0,
        stated_by: stated.by.clone(),
    })
}
