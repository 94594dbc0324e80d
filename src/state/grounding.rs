//! What keeps the airframe on the ground, in words: every screen and list shows it.

use chrono::NaiveDate;

use super::{Defect, State};
use crate::words::{date, said};

/// One line for each defect that grounds the airframe on that day; an overdue deferral grounds it, too.
pub fn grounding(state: &State, day: NaiveDate) -> Vec<String> {
    state.standing_defects().filter_map(|defect| why(defect, day)).collect()
}

fn why(defect: &Defect, day: NaiveDate) -> Option<String> {
    let (id, what) = (&defect.id, &defect.raised.what);
    if defect.grounds() {
        let before = defect.raised.from_record.as_ref().filter(|_| defect.dispositions.is_empty());
        return Some(match before {
            Some(record) => {
                say!(
                    "{id} {what}: {} since {}, by the airframe's record",
                    said(&record.standing),
                    date(record.found),
                    id = id,
                    what = what
                )
            }
            None => format!("{id} {what}: {}", said(defect.standing().word())),
        });
    }
    let until = defect.overdue_on(day)?;
    Some(say!(
        "{id} {what}: was deferred until {until}, which has passed",
        id = id,
        what = what,
        until = date(until)
    ))
}
