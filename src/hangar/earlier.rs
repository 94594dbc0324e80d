//! The annual before: the last signed session of the same airframe that ended before this one began.

use chrono::{DateTime, FixedOffset};

use super::{Hangar, Viewing};
use crate::state::State;

/// The last signed and sound session of this airframe before `view` was begun, where the hangar has one.
///
/// A session that `view` continues is the same annual and does not count.
pub fn earlier_annual(hangar: &Hangar, view: &Viewing) -> Option<Viewing> {
    let opened = view.state.opened.as_ref()?;
    let begun = instant(&opened.stamp.wall)?;
    let continued = opened.what.continues.as_ref().map(|continues| continues.sid.as_str());
    let registration = &view.plan.airframe.registration;
    hangar
        .folder
        .list_sessions(hangar.disk.as_ref())
        .unwrap_or_default()
        .into_iter()
        .filter(|folder| folder.finished && folder.sid != view.sid)
        .filter(|folder| Some(folder.sid.as_str()) != continued)
        .filter_map(|folder| Viewing::open(hangar, &folder.sid).ok())
        .filter(|other| other.integrity.is_empty())
        .filter(|other| other.plan.airframe.registration.eq_ignore_ascii_case(registration))
        .filter_map(|other| signed_at(&other.state).filter(|at| *at <= begun).map(|at| (at, other)))
        .max_by_key(|(at, _)| *at)
        .map(|(_, other)| other)
}

fn signed_at(state: &State) -> Option<DateTime<FixedOffset>> {
    instant(&state.signed.as_ref()?.stamp.wall)
}

fn instant(wall: &str) -> Option<DateTime<FixedOffset>> {
    DateTime::parse_from_rfc3339(wall).ok()
}
