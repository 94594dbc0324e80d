//! Carrying forward: what a signed annual changes in the airframe's record, so that the next one opens with it.
//!
//! Pure: plan and state of the signed session and the record as it stands now in, changes of its text and words for each
//! out. [`crate::hangar`] reads and writes the file.

mod advice;
mod carried;
mod defects;
mod papers;
mod readings;
mod totals;

use chrono::NaiveDate;

use crate::airframe::Airframe;
use crate::airframe::edit::{Change, Edit, Written};
use crate::event::SignedOff;
use crate::plan::Plan;
use crate::quantity::Number;
use crate::state::State;

pub use advice::repairs_without_report;
pub use carried::{
    Carried, CarriedDefect, CarriedDue, CarriedReading, CarriedReport, FailedBefore, carried, failed_before,
};

/// A signed session and what went before it in the same annual.
pub struct Signed<'a> {
    pub sid: &'a str,
    pub plan: &'a Plan,
    pub state: &'a State,
    pub signed: &'a SignedOff,
    /// Ids of the sessions that it continues, one behind the other.
    pub earlier: &'a [String],
    /// The first sign-off of that chain; of a session that continues none its own.
    pub first: &'a SignedOff,
}

impl Signed<'_> {
    /// It is this session, or one that it continues.
    fn is_of_chain(&self, sid: &str) -> bool {
        sid == self.sid || self.earlier.iter().any(|earlier| earlier == sid)
    }

    /// How the record names it.
    fn name(&self) -> String {
        format!("session {:.12}", self.sid)
    }
}

/// What becomes of the record.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Forward {
    pub edits: Vec<Edit>,
    /// One line for each change, and for what a person has to see to by hand.
    pub words: Vec<String>,
}

impl Forward {
    fn change(&mut self, edit: Edit, words: impl Into<String>) {
        self.edits.push(edit);
        self.words.push(words.into());
    }

    fn tell(&mut self, words: impl Into<String>) {
        self.words.push(words.into());
    }
}

/// True where the record holds this annual already. Whatever was changed there since is a person's work.
pub fn is_brought(record: &Airframe, sid: &str) -> bool {
    record.annuals.iter().any(|annual| annual.session.as_deref() == Some(sid))
}

/// What the annual changes in the record. Nothing where the record holds it already.
///
/// Changes and removals name entries by their places, so they go before what is added at the ends of the lists.
pub fn forward(session: &Signed<'_>, record: &Airframe) -> Forward {
    let mut forward = Forward::default();
    if is_brought(record, session.sid) {
        return forward;
    }
    totals::totals(session, record, &mut forward);
    papers::reports(session, record, &mut forward);
    papers::directives(session, record, &mut forward);
    papers::life_items(session, record, &mut forward);
    papers::weighing(session, record, &mut forward);
    readings::readings(session, record, &mut forward);
    defects::defects(session, record, &mut forward);
    defects::repairs(session, record, &mut forward);
    forward
}

/// A record has no empty texts: nothing is written where nothing was.
fn text(key: &str, value: impl Into<String>) -> Change {
    let value: String = value.into();
    (key.to_string(), (!value.trim().is_empty()).then_some(Written::Text(value)))
}

fn given(key: &str, value: Option<&String>) -> Change {
    (key.to_string(), value.map(|value| Written::Text(value.clone())))
}

fn date(key: &str, day: NaiveDate) -> Change {
    (key.to_string(), Some(Written::Date(day)))
}

fn number(key: &str, value: Number) -> Change {
    (key.to_string(), Some(Written::Number(value)))
}

fn whole(key: &str, value: u32) -> Change {
    (key.to_string(), Some(Written::Whole(value)))
}

fn without(key: &str) -> Change {
    (key.to_string(), None)
}

fn add(list: &str, changes: Vec<Change>) -> Edit {
    // A new entry gets no empty keys.
    let changes = changes.into_iter().filter(|(_, value)| value.is_some()).collect();
    Edit::Add { list: list.to_string(), below: None, changes }
}

fn alter(list: &str, at: usize, changes: Vec<Change>) -> Edit {
    Edit::Alter { list: list.to_string(), at, below: None, changes }
}

/// An id that the list does not have yet: the wanted one, or with a number behind it.
fn free_id<'a>(wanted: &str, taken: impl Iterator<Item = &'a str> + Clone) -> String {
    let is_taken = |id: &str| taken.clone().any(|known| known == id);
    if !is_taken(wanted) {
        return wanted.to_string();
    }
    (2..)
        .map(|number| format!("{wanted}-{number}"))
        .find(|id| !is_taken(id))
        .unwrap_or_else(|| wanted.to_string())
}
