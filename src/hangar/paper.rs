//! Entering what was written on a printed worksheet: all rows are checked, then recorded one by one in the sheet's order.

use std::path::Path;

use chrono::{DateTime, FixedOffset, NaiveDate, NaiveTime};

use super::{Hangar, HangarError, Viewing, Work};
use crate::event::{Actor, Event, FromPaper};
use crate::paper::{Checked, Passage, Sheet, Typed, check, find_sheet};
use crate::session::{Declined, Facts};
use crate::store::texts::read_text;

/// What is told of a sheet before its rows.
#[derive(Debug, Clone)]
pub struct SheetNamed<'a> {
    /// As typed from the foot of the paper.
    pub code: &'a str,
    /// Id of who wrote on it.
    pub written_by: &'a str,
    pub written_on: NaiveDate,
    pub written_at: Option<NaiveTime>,
    /// A certifier at the keyboard accepts what a helper ticked.
    pub accept: bool,
}

/// Finds the sheet and the person in record and register.
///
/// # Errors
/// The code is mistyped or of another session; the register knows no such person.
pub fn passage(hangar: &Hangar, view: &Viewing, named: &SheetNamed<'_>) -> Result<Passage, HangarError> {
    let sheet = find(view, named.code)?;
    let written_by = hangar.person(named.written_by)?.clone();
    Ok(Passage {
        sheet,
        written_by,
        written_on: named.written_on,
        written_at: named.written_at,
        accept: named.accept,
    })
}

/// The sheet of this session that a typed code names.
///
/// # Errors
/// The code is mistyped, or of another session, airframe or edition.
pub fn find(view: &Viewing, code: &str) -> Result<Sheet, HangarError> {
    find_sheet(&view.plans, &view.entries, code)
        .map_err(|fault| fault.declined(&view.sid, &view.plan.airframe.registration).into())
}

/// Checks the rows on the record as it stands; nothing is recorded.
///
/// Files that rows name by `@FILE` are looked for from `base`.
pub fn check_rows(
    hangar: &Hangar,
    view: &Viewing,
    by: &Actor,
    passage: &Passage,
    rows: &[Typed],
    base: &Path,
) -> Checked {
    let facts = Facts { today: hangar.today(), people: &hangar.people, instruments: &hangar.instruments };
    let now: DateTime<FixedOffset> = hangar.clock.now();
    let file = |path: &str| {
        let path = base.join(path);
        read_text(&path, &path.to_string_lossy())
            .map(|source| source.text.clone())
            .map_err(|fault| fault.to_string())
    };
    check((&view.plan, &view.state), by, passage, rows, (&facts, now), &file)
}

impl Work {
    /// Records rows that were checked and found sound, and says how many entries that made.
    ///
    /// # Errors
    /// The disk, or a row that no longer fits; what was recorded until then stays, and is not recorded twice when the
    /// same rows are entered again.
    pub fn enter_from_paper(
        &mut self,
        hangar: &Hangar,
        by: &Actor,
        checked: &Checked,
    ) -> Result<Vec<u64>, HangarError> {
        if !checked.is_sound() {
            return Err(HangarError::Declined(Declined {
                why: "some rows cannot be recorded".to_string(),
                next: "correct them; nothing was recorded".to_string(),
            }));
        }
        let mut entries = Vec::new();
        for done in checked.rows.iter().filter_map(|row| row.outcome.as_ref().ok()) {
            for (request, paper) in &done.requests {
                // Decided anew: the run's own entry may stand before it by now.
                let event = self.ask(hangar, by, request.clone())?;
                let event = FromPaper { paper: paper.clone(), event: Box::new(event) };
                entries.push(self.append(&Event::FromPaper(event))?.entry);
            }
        }
        Ok(entries)
    }
}
