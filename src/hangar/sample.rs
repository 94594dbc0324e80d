//! A plan with one more checklist, tried out on airframes at hand or on an invented one.

use std::sync::Arc;

use super::{Hangar, PROGRAMME};
use crate::airframe::{Airframe, read_airframe};
use crate::checklist::{Checklist, Condition, Kind, Library};
use crate::diagnostic::{Diagnostic, Source};
use crate::plan::{ComposeInput, Plan, compose};
use crate::vocabulary::EQUIPMENT;

/// An airframe with the text that messages point into.
pub struct SampleAirframe {
    pub source: Arc<Source>,
    pub airframe: Airframe,
}

/// An invented airframe of a type, made so that as many steps of the checklist as can be stand in its plan: with all
/// equipment, many hours, and one report of a kind that selects the module.
///
/// # Errors
/// Faults of the record made for it; that would be a fault of the program.
pub fn sample_airframe(type_id: &str, checklist: &Checklist) -> Result<SampleAirframe, Vec<Diagnostic>> {
    let quoted = |text: &str| toml::Value::String(text.to_string()).to_string();
    let list = |items: Vec<String>| items.iter().map(|item| quoted(item)).collect::<Vec<_>>().join(", ");
    let mut text = format!(
        "registration = \"INVENTED\"\ntype = {}\nserial = \"0\"\nhours = \"100000\"\nlaunches = 100000\n",
        quoted(type_id)
    );
    text.push_str(&format!("equipment = [{}]\n", list(EQUIPMENT.iter().map(ToString::to_string).collect())));
    text.push_str(&format!("build_standard = [{}]\n", list(standards(checklist))));
    for (at, kind) in kinds(checklist).iter().enumerate() {
        text.push_str(&format!(
            "\n[[report]]\nid = \"r{at}\"\nkind = {}\ndate = 2026-01-01\nby = \"invented\"\ntext = \"Invented, to select the module.\"\n",
            quoted(kind)
        ));
    }
    let source = Source::new("an invented airframe", text);
    Ok(SampleAirframe { airframe: read_airframe(&source)?, source })
}

/// Build standards that the steps ask for, and none that one must be without.
fn standards(checklist: &Checklist) -> Vec<String> {
    let conditions = || checklist.steps.iter().flat_map(|step| &step.value.when);
    let without = |id: &String| {
        conditions().any(|row| matches!(row, Condition::WithoutBuildStandard(other) if other == id))
    };
    let mut found: Vec<String> = conditions()
        .filter_map(|row| match row {
            Condition::BuildStandard(id) if !without(id) => Some(id.clone()),
            _ => None,
        })
        .collect();
    found.sort();
    found.dedup();
    found
}

/// The first kind that selects a module.
fn kinds(checklist: &Checklist) -> Vec<String> {
    let Kind::Module(selection) = &checklist.kind else { return Vec::new() };
    selection.reports.iter().chain(&selection.occurrences).take(1).map(|kind| kind.value.clone()).collect()
}

/// Composes the plans in which the checklist would take part: of every airframe at hand that it concerns, and of an
/// invented one for every type that it concerns.
///
/// # Errors
/// Every fault of these plans, once.
pub fn try_out(hangar: &Hangar, checklist: &Checklist) -> Result<Vec<Plan>, Vec<Diagnostic>> {
    let mut library = hangar.library().clone();
    library.try_out(checklist.clone());
    let types: Vec<String> = match &checklist.kind {
        Kind::Supplement(content) => vec![content.of_type.id.clone()],
        _ => library.types().into_iter().map(str::to_string).collect(),
    };
    let (mut plans, mut faults) = (Vec::new(), Vec::new());
    for type_id in types {
        match sample_airframe(&type_id, checklist) {
            Ok(sample) => add(&mut plans, &mut faults, &library, &sample.airframe, &sample.source),
            Err(found) => faults.extend(found),
        }
        for file in &hangar.airframes {
            if let Ok(airframe) = &file.airframe
                && airframe.type_id == type_id
            {
                add(&mut plans, &mut faults, &library, airframe, &file.source);
            }
        }
    }
    let mut once: Vec<Diagnostic> = Vec::new();
    for fault in faults {
        if !once.contains(&fault) {
            once.push(fault);
        }
    }
    if once.is_empty() { Ok(plans) } else { Err(once) }
}

fn add(
    plans: &mut Vec<Plan>,
    faults: &mut Vec<Diagnostic>,
    library: &Library,
    airframe: &Airframe,
    airframe_source: &Arc<Source>,
) {
    match compose(&ComposeInput { library, airframe, airframe_source, programme: PROGRAMME }) {
        Ok(plan) => plans.push(plan),
        Err(found) => faults.extend(found),
    }
}
