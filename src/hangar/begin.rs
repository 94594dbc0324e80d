//! Beginning an annual: compose, freeze, create the record.

use super::first_lines::{defects_of_the_record, drafts};
use super::work::{PROGRAM, device_name};
use super::{Hangar, HangarError, PROGRAMME};
use std::sync::Arc;

use crate::airframe::Airframe;
use crate::diagnostic::Source;
use crate::event::{Actor, Event, Opened};
use crate::plan::{ComposeInput, Plan, compose, plan_hash};
use crate::store::{create_with, new_session_id};

/// Version of the event format.
pub const RECORD_FORMAT: u32 = 1;

/// A session that now exists.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Begun {
    pub sid: String,
    pub plan_hash: String,
    pub steps: usize,
    /// Defects of the airframe's record that stand open in it.
    pub from_record: usize,
}

/// The plan that an annual of this airframe would get now.
pub fn preview(hangar: &Hangar, registration: &str) -> Result<Plan, HangarError> {
    let file = hangar.airframe(registration)?;
    let airframe = match &file.airframe {
        Ok(airframe) => airframe,
        Err(faults) => return Err(HangarError::Files(faults.clone())),
    };
    composed(hangar, &file.source, airframe)
}

/// The plan that a session with this plan would get now. A report that it is targeted by stays one: an annual that this session
/// continues may have brought it forward as dealt with.
pub(super) fn preview_beside(hangar: &Hangar, now: &Plan) -> Result<Plan, HangarError> {
    let file = hangar.airframe(&now.airframe.registration)?;
    let mut airframe = file.airframe.clone().map_err(HangarError::Files)?;
    for report in &mut airframe.reports {
        if now.reports.iter().any(|planned| planned.id == report.id) {
            report.dealt_with = None;
            report.dealt_with_how = None;
        }
    }
    composed(hangar, &file.source, &airframe)
}

fn composed(hangar: &Hangar, source: &Arc<Source>, airframe: &Airframe) -> Result<Plan, HangarError> {
    let input =
        ComposeInput { library: hangar.library(), airframe, airframe_source: source, programme: PROGRAMME };
    Ok(compose(&input)?)
}

/// Composes and freezes the plan and creates the session, with every defect that stands open in the airframe's record.
pub fn begin(hangar: &Hangar, registration: &str, by: &Actor) -> Result<Begun, HangarError> {
    let plan = preview(hangar, registration)?;
    let bytes = plan
        .to_bytes()
        .map_err(|error| HangarError::disk(error, say!("report this: it is a fault of the program")))?;
    let hash = plan_hash(&bytes);
    let sid = new_session_id().map_err(|error| HangarError::disk(error, say!("try again")))?;
    let opened = Event::Opened(Opened {
        format: RECORD_FORMAT,
        program: PROGRAM.to_string(),
        plan: hash.clone(),
        registration: plan.airframe.registration.clone(),
        type_id: plan.airframe.type_id.clone(),
        serial: plan.airframe.serial.clone(),
        by: by.clone(),
        device: device_name(),
        continues: None,
    });
    let from_record = defects_of_the_record(&plan, by);
    let events: Vec<Event> = std::iter::once(opened).chain(from_record).collect();
    let drafts = drafts(hangar, &plan, &events)?;
    let nothing_begun = say!("nothing was begun; free space, or choose another hangar folder");
    hangar.folder.ensure(hangar.disk.as_ref()).map_err(|error| HangarError::disk(error, nothing_begun))?;
    create_with(hangar.disk.clone(), &hangar.sessions_folder(), &sid, &bytes, drafts, &[])
        .map_err(|error| HangarError::disk(error, nothing_begun))?;
    let from_record = events.len() - 1;
    Ok(Begun { sid, plan_hash: hash, steps: plan.steps.len(), from_record })
}
