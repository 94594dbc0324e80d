//! Instruments near the end of their calibration on the day, or past it.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::{About, Context, Seen};
use crate::event::EntryNumber;
use crate::state::Reading;
use crate::words::date;

pub const NAME: &str = "calibration";
pub const TITLE: &str = mark!("Instrument near or past its calibration");
pub const DOC: &str = mark!(
    "Tells each instrument with which a reading that still stands was taken on a day after its \
calibration fell due, or within the 30 days before. Worth a look because its next calibration may show that it had \
drifted already. From: the due date that the record kept with the reading, and the day of the reading. The 30 days: \
common practice, no source."
);
pub const MAY_BE: &[&str] = &[
    mark!("within its calibration all the same; the next certificate tells whether it had drifted"),
    mark!("the new certificate was at hand and the register not yet brought up to date"),
];

const NEAR_DAYS: i64 = 30;

/// By instrument and due date: the entries, and the days left at the last of them.
type Uses<'a> = BTreeMap<(&'a str, NaiveDate), (Vec<EntryNumber>, i64)>;

pub fn find(context: &Context<'_>) -> Vec<Seen> {
    let mut uses = Uses::new();
    let readings = context.session.state.steps.values().flat_map(|step| &step.readings);
    for reading in readings.filter(|reading| reading.struck.is_none()) {
        take(reading, &mut uses);
    }
    uses.into_iter().map(|((id, due), (entries, left))| seen(id, due, entries, left)).collect()
}

fn take<'a>(reading: &'a Reading, uses: &mut Uses<'a>) {
    let Some(day) = reading.stamp.day() else { return };
    let used = reading.taken.used();
    for instrument in [used.instrument, used.load].into_iter().flatten() {
        let Some(due) = instrument.calibration_due else { continue };
        let left = (due - day).num_days();
        if left <= NEAR_DAYS {
            let (entries, least) = uses.entry((&instrument.id, due)).or_insert((Vec::new(), left));
            entries.push(reading.stamp.entry);
            *least = left.min(*least);
        }
    }
}

fn seen(id: &str, due: NaiveDate, entries: Vec<EntryNumber>, left: i64) -> Seen {
    let days = |count: i64| say!("1 day" | "{n} days" % count);
    let when = match left {
        ..0 => say!("{} past it", days(-left)),
        0 => say!("on that very day").to_string(),
        _ => say!("{} before it", days(left)),
    };
    let count = entries.len();
    let readings = say!("1 reading" | "{n} readings" % count);
    let words = say!(
        "{readings} with {id}, whose calibration falls due on {due}: {when}",
        readings,
        id,
        due = date(due),
        when
    );
    Seen::new(About::Instrument { id: id.to_string() }, entries, words)
}
