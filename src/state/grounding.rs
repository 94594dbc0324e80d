//! What keeps the airframe on the ground, in words: every screen and list shows it.

use chrono::NaiveDate;

use super::{Defect, State};

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
                format!("{id} {what}: {} since {}, by the airframe's record", record.standing, record.found)
            }
            None => format!("{id} {what}: {}", defect.standing().word()),
        });
    }
    let until = defect.overdue_on(day)?;
    Some(format!("{id} {what}: was deferred until {until}, which has passed"))
}
