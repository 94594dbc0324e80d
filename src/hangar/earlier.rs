//! The annual before this one, and the plan that held at some entry.

use std::collections::BTreeSet;

use chrono::{DateTime, FixedOffset};

use super::opening_entry::others;
use super::{Hangar, HangarError, Viewing};
use crate::event::Event;
use crate::plan::Plan;
use crate::state::instant;

/// The last signed annual of the same airframe that began before this session; where none is signed, the newest one
/// before it. A session that this one continues belongs to the same annual and is left out.
pub fn earlier_annual(hangar: &Hangar, now: &Viewing) -> Option<Viewing> {
    let begun = begun_at(now)?;
    let registration = &now.plan.airframe.registration;
    // Only what can be it is folded: a hangar holds the annuals of many airframes.
    let mut before: Vec<(DateTime<FixedOffset>, Viewing)> = others(hangar, &now.sid)
        .into_iter()
        .filter(|(_, _, opened)| opened.registration.eq_ignore_ascii_case(registration))
        .filter_map(|(folder, first, _)| {
            let at = instant(&first.wall).filter(|at| *at < begun)?;
            Some((at, Viewing::open(hangar, &folder.sid).ok()?))
        })
        .collect();
    before.sort_by_key(|(at, _)| std::cmp::Reverse(*at));
    let same_annual = continued_by(now, &before);
    before.retain(|(_, view)| !same_annual.contains(&view.sid));
    let signed = before.iter().position(|(_, view)| view.state.signed.is_some());
    if before.is_empty() { None } else { Some(before.swap_remove(signed.unwrap_or(0)).1) }
}

/// The newest signed annual of an airframe, the last session of its chain.
pub fn last_annual_of(hangar: &Hangar, registration: &str) -> Option<Viewing> {
    let newest = super::summaries(hangar).into_iter().find(|session| {
        session.registration.eq_ignore_ascii_case(registration)
            && session.signed.is_some()
            && session.continued_by.is_none()
    })?;
    Viewing::open(hangar, &newest.sid).ok()
}

fn begun_at(view: &Viewing) -> Option<DateTime<FixedOffset>> {
    instant(&view.state.opened.as_ref()?.stamp.wall)
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
            say!("session {} has no entry {at}", view.sid, at = at),
            say!(
                "its entries are 0 to {last}; list them with: spanwise show {} --entries",
                view.sid,
                last = last
            ),
        ));
    }
    let revised = view.entries.iter().take_while(|stamped| stamped.entry <= at).filter_map(|stamped| {
        match &stamped.event {
            Event::PlanRevised(revised) => Some(revised.plan.as_str()),
            _ => None,
        }
    });
    let plan = revised.last().map_or(Some(view.plans.first()), |hash| view.plans.of(hash));
    plan.ok_or_else(|| {
        HangarError::not_found(
            say!("the plan of session {} at entry {at} is not at hand", view.sid, at = at),
            say!("name a later entry, or the session alone for the plan that holds now"),
        )
    })
}
