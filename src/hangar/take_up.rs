//! Taking up another plan in a running session: a newer checklist edition, or a report that came in meanwhile.
//!
//! The plan in the session's folder is never changed: the new one is put beside it, and one event tells of it.

use super::begin::preview_beside;
use super::work::{Recorded, Work};
use super::{Hangar, HangarError};
use crate::audit::compare::{PlanDifference, compare_plans};
use crate::event::{Actor, Event, PlanRevised, RevisionCause};
use crate::plan::{Plan, plan_hash};
use crate::session::Declined;
use crate::signoff::authorisation_for;

/// A plan that could be taken up now, beside the one that holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offer {
    pub plan: Plan,
    pub difference: PlanDifference,
    pub cause: RevisionCause,
    bytes: Vec<u8>,
}

impl Work {
    /// What would be taken up now: the plan as it would be composed today, and how it differs. Nothing is recorded.
    pub fn offer(&self, hangar: &Hangar) -> Result<Option<Offer>, HangarError> {
        let plan = preview_beside(hangar, &self.view.plan)?;
        let difference = compare_plans(&self.view.plan, &plan);
        if difference.is_empty() {
            return Ok(None);
        }
        let bytes = plan
            .to_bytes()
            .map_err(|error| HangarError::disk(error, say!("report this: it is a fault of the program")))?;
        let cause = match difference.editions.is_empty() && !difference.reports_added.is_empty() {
            true => RevisionCause::Report,
            false => RevisionCause::Edition,
        };
        Ok(Some(Offer { plan, difference, cause, bytes }))
    }

    /// Takes the offer up: the plan first, durably, then the one event that names it.
    pub fn take_up(
        &mut self,
        hangar: &Hangar,
        by: &Actor,
        offer: &Offer,
        why: &str,
    ) -> Result<Recorded, HangarError> {
        self.may_take_up(hangar, by, why)?;
        let difference = &offer.difference;
        let revised = PlanRevised {
            by: by.clone(),
            cause: offer.cause,
            why: why.trim().to_string(),
            previous: self.view.plan_hash.clone(),
            plan: plan_hash(&offer.bytes),
            added: difference.added.clone(),
            changed: difference.reopened().map(str::to_string).collect(),
            gone: difference.gone.clone(),
        };
        self.put_plan(&offer.bytes)?;
        self.append(&Event::PlanRevised(revised))
    }

    fn may_take_up(&self, hangar: &Hangar, by: &Actor, why: &str) -> Result<(), HangarError> {
        let declined =
            |why: String, next: &str| Err(HangarError::Declined(Declined { why, next: next.to_string() }));
        if self.view.state.signed.is_some() {
            return declined(
                say!("the session is signed and closed").to_string(),
                say!("a new session continues it"),
            );
        }
        if self.view.state.paused.is_some() {
            return declined(say!("the session is paused").to_string(), say!("resume it first"));
        }
        // What has to be inspected is the certifier's decision, not a helper's.
        let type_id = &self.view.plan.airframe.type_id;
        if authorisation_for(hangar.person(&by.id)?, type_id, hangar.today()).is_none() {
            return declined(
                say!("{} holds no valid authorisation to release annuals of this type", by.name),
                say!("the certifier takes up another plan"),
            );
        }
        if why.trim().is_empty() {
            return declined(say!("no reason is given").to_string(), say!("write why the plan changes"));
        }
        Ok(())
    }
}
