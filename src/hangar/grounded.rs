//! Whether an airframe is on the ground, by its record and by its annuals.

use chrono::NaiveDate;

use super::SessionSummary;
use crate::airframe::Airframe;
use crate::forward::is_brought;

/// Why it is on the ground on that day, a line each; empty where nothing keeps it there.
///
/// The record speaks for every annual that was brought forward; a session speaks for itself while it runs, and after its
/// signature until it is brought forward.
pub fn airframe_grounding(record: &Airframe, sessions: &[SessionSummary], day: NaiveDate) -> Vec<String> {
    let speaks = |session: &&SessionSummary| {
        session.registration.eq_ignore_ascii_case(&record.registration)
            && session.continued_by.is_none()
            && (session.signed.is_none() || is_newest_signed(session, sessions))
            && !is_brought(record, &session.sid)
    };
    let running: Vec<&SessionSummary> = sessions.iter().filter(speaks).collect();
    let mut why: Vec<String> = Vec::new();
    // What an annual under way has dealt with is told by that annual, not by the record as it was before.
    if !running.iter().any(|session| session.signed.is_none() && session.can_open) {
        why.extend(record.grounded_on(day));
    }
    for session in running {
        why.extend(
            session.grounding.iter().map(|line| say!("annual begun {}: {line}", session.begun, line = line)),
        );
    }
    why
}

fn is_newest_signed(session: &SessionSummary, sessions: &[SessionSummary]) -> bool {
    let newest = sessions.iter().find(|other| {
        other.signed.is_some()
            && other.continued_by.is_none()
            && other.registration.eq_ignore_ascii_case(&session.registration)
    });
    newest.is_some_and(|newest| newest.sid == session.sid)
}
