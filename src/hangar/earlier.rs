//! The annual before this one, and the plan that held at some entry.

use std::collections::BTreeSet;

use chrono::{DateTime, FixedOffset};

use super::{Hangar, HangarError, Viewing};
use crate::event::Event;
use crate::plan::Plan;

/// The last signed annual of the same airframe that began before this session; where none is signed, the newest one
/// before it. A session that this one continues belongs to the same annual and is left out.
pub fn earlier_annual(hangar: &Hangar, now: &Viewing) -> Option<Viewing> {
    let begun = begun_at(now)?;
    let of_airframe = |view: &Viewing| {
        view.plan.airframe.registration.eq_ignore_ascii_case(&now.plan.airframe.registration)
    };
    let mut before: Vec<(DateTime<FixedOffset>, Viewing)> = hangar
        .folder
        .list_sessions(hangar.disk.as_ref())
        .unwrap_or_default()
        .into_iter()
        .filter(|folder| folder.finished && folder.sid != now.sid)
        .filter_map(|folder| Viewing::open(hangar, &folder.sid).ok())
        .filter(of_airframe)
        .filter_map(|view| begun_at(&view).map(|at| (at, view)))
        .filter(|(at, _)| *at < begun)
        .collect();
    before.sort_by_key(|(at, _)| std::cmp::Reverse(*at));
    let same_annual = continued_by(now, &before);
    before.retain(|(_, view)| !same_annual.contains(&view.sid));
    let signed = before.iter().position(|(_, view)| view.state.signed.is_some());
    if before.is_empty() { None } else { Some(before.swap_remove(signed.unwrap_or(0)).1) }
}

fn opened_hash(view: &Viewing) -> &str {
    view.state.opened.as_ref().map_or("", |told| told.what.plan.as_str())
}

fn begun_at(view: &Viewing) -> Option<DateTime<FixedOffset>> {
    DateTime::parse_from_rfc3339(&view.state.opened.as_ref()?.stamp.wall).ok()
}

/// Ids of the sessions that this one continues, one behind the other.
fn continued_by(now: &Viewing, before: &[(DateTime<FixedOffset>, Viewing)]) -> BTreeSet<String> {
    let continues = |view: &Viewing| Some(view.state.opened.as_ref()?.what.continues.as_ref()?.sid.clone());
    let mut found = BTreeSet::new();
    let mut next = continues(now);
    // A session counts once: a record that continues itself ends the search.
    while let Some(sid) = next.filter(|sid| found.insert(sid.clone())) {
        next = before.iter().find(|(_, view)| view.sid == sid).and_then(|(_, view)| continues(view));
    }
    found
}

/// The plan by which the session was worked when entry `at` was recorded.
///
/// # Errors
/// The session has no such entry, or its plan of that time is not at hand.
pub fn plan_in_force(view: &Viewing, at: u64) -> Result<&Plan, HangarError> {
    if at >= view.state.entries {
        let last = view.state.entries.saturating_sub(1);
        return Err(HangarError::not_found(
            format!("session {} has no entry {at}", view.sid),
            format!("its entries are 0 to {last}; list them with: spanwise show {} --entries", view.sid),
        ));
    }
    let revised = view.entries.iter().take_while(|stamped| stamped.entry <= at).filter_map(|stamped| {
        match &stamped.event {
            Event::PlanRevised(revised) => Some(revised.plan.as_str()),
            Event::Opened(opened) => Some(opened.plan.as_str()),
            _ => None,
        }
    });
    let hash = revised.last();
    let first = view.plans.first();
    match hash
        .and_then(|hash| view.plans.of(hash))
        .or((view.state.revisions.is_empty() || hash == Some(opened_hash(view))).then_some(first))
    {
        Some(plan) => Ok(plan),
        None => Err(HangarError::not_found(
            format!("the plan of session {} at entry {at} is not at hand", view.sid),
            "name a later entry, or the session alone for the plan that holds now",
        )),
    }
}
