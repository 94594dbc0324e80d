//! Hours and launches, and the annual itself.

use super::{Forward, Signed, add, date, number, text, whole};
use crate::airframe::Airframe;
use crate::airframe::edit::Edit;
use crate::completion::totals::totals as totals_of;
use crate::event::Outcome;
use crate::words::{self, said};

/// Totals, `[[annual]]` and, on a release, the keys of the last annual.
///
/// An annual that ends as not airworthy is a completed inspection with an entry of its own (14 CFR 43.11(a)(5), from a
/// secondary text), so it stands in `[[annual]]`. It is no last annual: 91.409(a) demands the inspection *and* the approval
/// for return to service. Once a session that continues it is released, the inspection counts from the first sign-off of that
/// chain: a correction or a repair afterwards does not inspect the airframe anew, and the earlier day falls due earlier.
pub fn totals(session: &Signed<'_>, record: &Airframe, forward: &mut Forward) {
    let signed = session.signed;
    let now = totals_of(session.plan, session.state);
    let (hours, launches) = (now.hours.max(record.hours), now.launches.max(record.launches));
    let is_newer = record.totals_on.is_none_or(|on| on <= signed.date);
    if hours > record.hours || launches > record.launches || is_newer {
        let mut changes = vec![number("hours", hours), whole("launches", launches)];
        if is_newer {
            changes.push(date("totals_on", signed.date));
        }
        forward.change(
            Edit::Head(changes),
            say!(
                "totals: {hours} h, {launches} launches (before: {before} h, {launches_before})",
                hours = words::figure(hours),
                launches,
                before = words::figure(record.hours),
                launches_before = record.launches
            ),
        );
    }
    if signed.outcome == Outcome::Release {
        released(session, record, forward, (now.hours, now.launches));
    } else {
        forward.tell(say!("last annual: unchanged; an annual counts from its release (91.409(a))"));
    }
    let mut changes = vec![
        date("date", signed.date),
        text("session", session.sid),
        text("outcome", signed.outcome.word()),
        text("by", &signed.by.name),
    ];
    changes.extend([number("hours", now.hours), whole("launches", now.launches)]);
    forward.change(
        add("annual", changes),
        say!(
            "annual of {day}: {outcome}, by {by}",
            day = words::date(signed.date),
            outcome = said(signed.outcome.word()),
            by = signed.by.name
        ),
    );
}

fn released(
    session: &Signed<'_>,
    record: &Airframe,
    forward: &mut Forward,
    now: (crate::quantity::Number, u32),
) {
    let inspected = session.first.date;
    if record.last_annual.is_some_and(|last| last > inspected) {
        return forward.tell(say!(
            "last annual: the record holds a later one than {day}; left as it is",
            day = words::date(inspected)
        ));
    }
    // Totals of that day, where the record holds the entry of the first sign-off.
    let first = record.annuals.iter().find(|annual| {
        annual.date == inspected && annual.session.as_deref().is_some_and(|sid| session.is_of_chain(sid))
    });
    let hours = first.and_then(|annual| annual.hours).unwrap_or(now.0);
    let launches = first.and_then(|annual| annual.launches).unwrap_or(now.1);
    let changes = vec![
        date("last_annual", inspected),
        number("hours_at_last_annual", hours),
        whole("launches_at_last_annual", launches),
    ];
    let before = record.last_annual.map_or_else(|| say!("of an annual" => "none").to_string(), words::date);
    if let Some(earlier) = record.last_annual.filter(|on| *on != inspected) {
        keep_the_last(earlier, record, forward);
    }
    forward.change(
        Edit::Head(changes),
        say!(
            "last annual: {day} at {hours} h, {launches} launches (before: {before})",
            day = words::date(inspected),
            hours = words::figure(hours),
            launches,
            before
        ),
    );
}

/// What the head says of the annual before is about to be written over. The use that is expected is counted from it.
fn keep_the_last(on: chrono::NaiveDate, record: &Airframe, forward: &mut Forward) {
    let totals = record.hours_at_last_annual.is_some() || record.launches_at_last_annual.is_some();
    if !totals || record.annuals.iter().any(|annual| annual.date == on) {
        return;
    }
    let mut changes = vec![date("date", on), text("outcome", "the last annual, as the record stated it")];
    changes.extend(record.hours_at_last_annual.map(|hours| number("hours", hours)));
    changes.extend(record.launches_at_last_annual.map(|launches| whole("launches", launches)));
    forward.change(
        add("annual", changes),
        say!("annual of {day}: its totals are kept among the annuals", day = words::date(on)),
    );
}
